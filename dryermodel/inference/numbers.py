"""The numbers of simulated machines that evidence is held against: readings, the machine at rest, and more.

Every number has a name; measurements and observations say which one they are (``measurements.toml``,
``observations.toml``). Arrays throughout, SI, NaN where a machine has no such number.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from dryermodel.cycle.engine.parameters import NEVER
from dryermodel.cycle.run.columns import over_columns
from dryermodel.physics.moist_air import relative_humidity
from dryermodel.readings.collars import at_collars
from dryermodel.readings.rows import COLUMNS, DERIVED, column

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Array = NDArray[np.float64]

OVER_HEALTHY = " over healthy"
"""End of the name of a number relative to the healthy machine of the scenario."""

DIFFERENCES = frozenset({"load_temp_max", "wettest_final_moisture"})
"""Numbers that are compared with the healthy machine's by difference; all others by ratio."""

DAMP, HOT = 0.05, 318.0
"""Moisture [kg/kg] of the wettest pieces above which a load is damp, and temperature [K] above which it is
hot to the hand (45 degC); assumed."""

IN_TIME = 1.15
"""Share of the healthy cycle time within which a run that leaves the load damp stopped too soon; assumed."""

SOON = 5400.0
"""Time [s] beyond which nobody says that it stops too soon; assumed."""


class Machines(NamedTuple):
    """Simulated machines: what went in and what came out."""

    rows: NDArray[np.void]  # of PARAMETER_ROW, shape (n,)
    outcomes: NDArray[np.void]  # of OUTCOME_ROW, shape (n,)
    manifold: Array  # [1] manifold pressure over the sound machine's
    left: Array  # [1] share of the sound machine's manifold pressure that a low supply leaves
    supplied: Array  # [1] 0 where the gas is shut off

    def field(self, name: str) -> Array:
        """A field of the parameters."""
        return np.asarray(self.rows[name], dtype=np.float64)

    def reading(self, name: str) -> Array:
        """A reading of the vocabulary."""
        return column(self.outcomes, name)


def _start_moisture(m: Machines) -> Array:
    return np.asarray((m.field("piece_share") * m.field("piece_moisture")).sum(axis=1))


def _weight(m: Machines, moisture: Array) -> Array:
    return np.asarray(m.field("dry_mass") * (1.0 + moisture))


def _collar(m: Machines) -> dict[str, Array]:
    """Static and flow at the collar at rest, and what of the flow reaches the hood past a leaking joint."""
    static, flow, on, _ = at_collars(m.rows)
    told = {"collar_static": static, "collar_duct_flow": on, "collar_duct_velocity": on / _area(m)}
    # Joint and vent both pass as the root of the collar's pressure: the share that goes on hardly changes.
    goes_on = on / np.maximum(flow, 1e-9)
    for state in ("mid_drying", "heat_off"):
        told[f"{state}_hood_flow"] = m.reading(f"{state}_flow") * goes_on
    return told | {"mid_drying_hood_velocity": told["mid_drying_hood_flow"] / _area(m)}


def _area(m: Machines) -> Array:
    return np.asarray(0.25 * math.pi * m.field("vent_diameter") ** 2)


def _humidity(m: Machines) -> Array:
    fields = (m.field(name) for name in ("room_temp", "room_humidity_ratio", "pressure"))
    return over_columns(relative_humidity, *fields)


def _glows(m: Machines) -> Array:
    has = (m.field("igniter_resistance") < 0.5 * NEVER) & (m.reading("ignition_tries") > 0.0)
    return has.astype(np.float64)


def _hot_but_damp(m: Machines) -> Array:
    damp = m.reading("wettest_final_moisture") > DAMP
    return np.asarray(damp & (m.reading("load_temp_max") > HOT) & (m.reading("burner_time") > 600.0), float)


def _wet_and_cold(m: Machines) -> Array:
    return np.asarray((m.reading("final_moisture") > 0.15) & (m.reading("load_temp_max") < HOT), float)


SIMPLE: Mapping[str, Callable[[Machines], Array]] = {
    "start_weight": lambda m: _weight(m, _start_moisture(m)),
    "end_weight": lambda m: _weight(m, m.reading("final_moisture")),
    "dry_weight": lambda m: m.field("dry_mass"),
    "start_moisture": _start_moisture,
    "gas_input": lambda m: m.field("firing_rate"),
    "line_voltage": lambda m: m.field("line_voltage"),
    "room_temp": lambda m: m.field("room_temp"),
    "room_humidity": _humidity,
    "tumbling": lambda m: m.field("tumbling"),
    "motor_stop_time": lambda m: m.field("motor_stop_time"),
    "timer_works": lambda m: m.field("timer_works"),
    "glows": _glows,
    "tries_in_vain": lambda m: m.reading("ignition_tries") - m.reading("burner_cycles"),
    "hot_but_damp": _hot_but_damp,
    "wet_and_cold": _wet_and_cold,
    "primary_air": lambda m: m.field("primary_air"),
    "pressure": lambda m: m.field("pressure"),
    "burner_share": lambda m: m.reading("burner_time") / np.maximum(m.reading("cycle_time"), 1.0),
}
"""Numbers that follow from a machine and its cycle."""


def numbers_of(
    m: Machines, healthy: Mapping[str, float] | None, manifold: float, supply: float
) -> dict[str, Array]:
    """Return every number of simulated machines.

    Parameters
    ----------
    m : Machines
        Any number of them.
    healthy : mapping of str to float, or None
        Numbers of the scenario's healthy machine, which some are relative to; None while they are
        themselves looked for.
    manifold, supply : float
        Manifold and supply pressure of the sound machine [Pa].

    Returns
    -------
    dict of ndarray, shape (n,) each
    """
    found = {name: m.reading(name) for name in (*COLUMNS, *DERIVED)}
    found |= {name: rule(m) for name, rule in SIMPLE.items()}
    found |= _collar(m)
    found["hood_flow"] = found["collar_duct_flow"]
    found["manifold_pressure"] = manifold * m.manifold * m.supplied
    found["supply_pressure"] = (supply - manifold * (1.0 - m.left)) * m.supplied
    return found if healthy is None else found | _relative(found, healthy)


def _relative(found: Mapping[str, Array], healthy: Mapping[str, float]) -> dict[str, Array]:
    told = {}
    for name in (
        "hood_flow",
        "load_temp_max",
        "cycle_time",
        "gas_energy",
        "wettest_final_moisture",
        "burner_share",
    ):
        other = healthy[name]
        told[name + OVER_HEALTHY] = (
            found[name] - other if name in DIFFERENCES else found[name] / max(other, 1e-12)
        )
    damp = found["final_moisture"] > max(DAMP, healthy["final_moisture"] + 0.04)
    told["stops_damp"] = np.asarray(
        damp & (found["cycle_time"] < min(SOON, IN_TIME * healthy["cycle_time"])), float
    )
    told["combustion_air"] = _combustion_air(found, healthy)
    told["lateness"] = _lateness(found, healthy)
    return told


def _combustion_air(found: Mapping[str, Array], healthy: Mapping[str, float]) -> Array:
    """Primary air over the gas it burns, the healthy machine being 1: thin air and much gas lower it."""
    gas = found["gas_input"] / max(healthy["gas_input"], 1e-9)
    return np.asarray(found["primary_air"] * found["pressure"] / healthy["pressure"] / np.maximum(gas, 0.5))


def _lateness(found: Mapping[str, Array], healthy: Mapping[str, float]) -> Array:
    """By how much longer than usual a load takes, what is left damp counted in [1]."""
    usual = (
        healthy["time_to_marked"]
        if healthy["time_to_marked"] == healthy["time_to_marked"]
        else healthy["cycle_time"]
    )
    dry = np.where(np.isnan(found["time_to_marked"]), found["cycle_time"], found["time_to_marked"])
    left = np.maximum(found["final_moisture"] - healthy["final_moisture"], 0.0)
    longer = np.maximum(dry / usual, found["cycle_time"] / healthy["cycle_time"]) - 1.0
    return np.asarray(longer + 5.0 * left)
