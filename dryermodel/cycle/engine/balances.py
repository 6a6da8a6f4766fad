"""What is missing from the water and energy balances of a finished run."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dryermodel.cycle.engine.equations import FUEL_WATER_DATUM
from dryermodel.cycle.engine.parameters import Parameters
from dryermodel.cycle.engine.state import (
    AIR_ENTHALPY_IN,
    AIR_ENTHALPY_OUT,
    CHAMBER_TEMP,
    ELECTRIC_ENERGY,
    GAS_ENERGY,
    HEAT_LOST,
    HOUSING_TEMP,
    METAL_TEMP,
    WATER_FORMED,
    WATER_IN,
    WATER_OUT,
    heat_gained,
    water_removed,
)
from dryermodel.physics.moist_air import water_enthalpy

if TYPE_CHECKING:
    from dryermodel.cycle.engine.arrays import Vector


LEAST_WATER, LEAST_ENERGY = 1.0e-6, 1.0
"""Throughput [kg], [J] below which gaps are taken relative to these: a run of nanoseconds moves nothing,
and the rounding of what the load holds would otherwise read as a gap."""


def water_gap(y: Vector, p: Parameters) -> float:
    """Water that is missing, relative to the water blown out [1].

    Parameters
    ----------
    y : sequence of float, shape (N_STATES,)
        Final state.
    p : Parameters
        The parameter set.
    """
    removed = water_removed(y, p)
    missing = removed + y[WATER_IN] + y[WATER_FORMED] - y[WATER_OUT]
    return float(missing / max(y[WATER_OUT], LEAST_WATER))


def energy_gap(y: Vector, p: Parameters) -> float:
    """Energy that is missing, relative to what passed through the machine [1].

    That is the larger of gas and electricity together and the enthalpy of the air blown out.

    Formed water counts as liquid at the heating value's datum, as gross values imply.

    Parameters
    ----------
    y : sequence of float, shape (N_STATES,)
        Final state.
    p : Parameters
        The parameter set.
    """
    supplied = y[GAS_ENERGY] + y[ELECTRIC_ENERGY]
    fuel_water = y[WATER_FORMED] * water_enthalpy(FUEL_WATER_DATUM)
    air = y[AIR_ENTHALPY_IN] - y[AIR_ENTHALPY_OUT]
    load = heat_gained(y, p)
    metal = p.drum_heat_capacity * (y[METAL_TEMP] - p.room_temp)
    metal += p.housing_heat_capacity * (y[HOUSING_TEMP] - p.room_temp)
    metal += p.chamber_heat_capacity * (y[CHAMBER_TEMP] - p.room_temp)
    missing = supplied + fuel_water + air - y[HEAT_LOST] - load - metal
    return float(missing / max(supplied, abs(y[AIR_ENTHALPY_OUT]), LEAST_ENERGY))
