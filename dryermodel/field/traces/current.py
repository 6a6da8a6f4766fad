"""Current at the plug, from a clamp or a meter that shows no power: as much of the power as it tells."""

from __future__ import annotations

import numpy as np

from dryermodel.field.traces.rhythm import IDLE
from dryermodel.field.traces.table import Log
from dryermodel.machine.motor import POWER_FACTOR


def as_power(log: Log, volts: float) -> tuple[Log, tuple[str, ...]]:
    """Add the power that a log of current stands for.

    ::

        P = sqrt((U I)^2 - Q^2),   Q = U I_motor sqrt(1 - cos(phi)^2),   cos(phi) = 0.6

    The lagging part of the current is the motor's and stays what it is while igniter and coils come and go;
    the motor's own power factor is assumed, so that switchings can be read off and watts cannot.

    Parameters
    ----------
    log : Log
        With readings of current.
    volts : float
        Line voltage [V].

    Notes
    -----
    The inverse of :func:`dryermodel.machine.motor.line_current`.
    """
    amperes = log.values["current"]
    runs = amperes[amperes > IDLE["current"]]
    motor = float(np.nanpercentile(runs, 10.0)) if len(runs) else 0.0
    apparent = volts * amperes
    lagging = volts * motor * np.sqrt(1.0 - POWER_FACTOR**2)
    active = np.sqrt(np.clip(apparent**2 - lagging**2, (POWER_FACTOR * apparent) ** 2, None))
    power = np.where(amperes > IDLE["current"], active, POWER_FACTOR * apparent)
    note = (
        f"power from current at {volts:g} V with a motor's power factor of {POWER_FACTOR:g}, which is assumed"
    )
    return log._replace(values={**log.values, "power": power}), (note,)
