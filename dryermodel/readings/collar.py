"""What a manometer and an anemometer at the outlet collar show, running with the heat off."""

from __future__ import annotations

from typing import NamedTuple

from dryermodel.cycle.engine.equations import flows
from dryermodel.cycle.engine.parameters import Parameters
from dryermodel.cycle.engine.state import start_moisture
from dryermodel.physics.moist_air import moist_density


class Collar(NamedTuple):
    """Running with the heat off: what the outlet collar passes."""

    static: float  # [Pa]
    flow: float  # [m3/s] through the blower
    duct_flow: float  # [m3/s] that goes on through the vent, less by a joint leak
    density: float  # [kg/m3]


def at_collar(p: Parameters) -> Collar:
    """Return static and flow at the collar, blower on, heat off, clean screen.

    Parameters
    ----------
    p : Parameters
        The machine with its vent, in its room.
    """
    density = moist_density(p.room_temp, p.room_humidity_ratio, p.pressure)
    f = flows(p, 1.0, start_moisture(p), density, density)
    return Collar(f.collar_pressure, f.total / density, (f.total - f.joint) / density, density)
