"""Switchings in plain English: what changed, when, and what set it off."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from dryermodel.cycle.engine import causes as E
from dryermodel.cycle.engine import switching as S

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

CAUSES = {
    E.CAUSE_START: "start pressed",
    E.CAUSE_EXHAUST_THERMOSTAT: "exhaust thermostat",
    E.CAUSE_HIGH_LIMIT: "high limit",
    E.CAUSE_THERMAL_CUTOFF: "thermal cut-off",
    E.CAUSE_COIL: "main valve coil",
    E.CAUSE_STOP_MOISTURE: "moisture asked for",
    E.CAUSE_MARKED_MOISTURE: "marked moisture",
    E.CAUSE_FLAME_SENSOR: "flame sensor",
    E.CAUSE_DIAL: "timer dial",
    E.CAUSE_INTERRUPTION: "interruption",
    E.CAUSE_TIME_LIMIT: "time limit",
    E.CAUSE_MOTOR_LET_GO: "motor contact",
    E.CAUSE_SCORCHING: "scorching cloth",
}

CHANGES: tuple[tuple[int, str, str], ...] = (
    (S.SUPPLY, "power is back", "power is cut"),
    (S.DOOR, "door closes", "door opens"),
    (S.RUNNING, "motor runs", "motor stops"),
    (S.EXHAUST_THERMOSTAT, "exhaust thermostat closes", "exhaust thermostat opens"),
    (S.HIGH_LIMIT, "high limit closes", "high limit opens"),
    (S.THERMAL_CUTOFF, "thermal cut-off closes", "thermal cut-off opens for good"),
    (S.FLAME_SENSOR, "flame sensor recloses", "flame sensor opens"),
    (S.COIL_WHOLE, "main coil conducts again", "main coil goes open"),
    (S.HEAT_CALL, "heat circuit fed", "heat circuit dead"),
    (S.IGNITER, "igniter on", "igniter off"),
    (S.FLAME, "burner lights", "burner goes out"),
    (S.HEATER, "heater on", "heater off"),
    (S.TIMER_MOTOR, "timer runs", "timer stands still"),
)
"""Discrete state, words when it turns on, words when it turns off."""


LOADS = (S.HEAT_CALL, S.IGNITER, S.FLAME, S.HEATER, S.TIMER_MOTOR)


class Event(NamedTuple):
    """One switching."""

    time: float  # [s]
    cause: str
    changes: tuple[str, ...]

    @property
    def text(self) -> str:
        """The changes in one line."""
        return ", ".join(self.changes) if self.changes else "reached"


def narrate(
    time: NDArray[np.float64], discrete: NDArray[np.int64], cause: NDArray[np.int64]
) -> tuple[Event, ...]:
    """Turn a recorded run into events.

    Parameters
    ----------
    time, discrete, cause : ndarray
        Columns of a :class:`~dryermodel.cycle.result.Trajectory`.
    """
    found = []
    for row in range(len(time)):
        if cause[row] == E.NO_CAUSE or cause[row] == E.CAUSE_MID_DRYING:
            continue
        changes = _changes(discrete, row)
        if not changes and cause[row] == E.CAUSE_FLAME_SENSOR:
            continue  # it cooled without ever having opened
        if cause[row] == E.CAUSE_DIAL:
            changes = ("timer opens its heat contact: cool-down",) + changes
            if discrete[row, S.STRETCH] == 2:
                changes = ("timer reaches the end of the dial",) + changes[1:]
        found.append(Event(float(time[row]), CAUSES[int(cause[row])], changes))
    return tuple(found)


def _changes(discrete: NDArray[np.int64], row: int) -> tuple[str, ...]:
    if row == 0:
        return tuple(on for column, on, _ in CHANGES if column in (S.RUNNING, *LOADS) and discrete[0, column])
    before, after = discrete[row - 1], discrete[row]
    return tuple(
        on if after[column] else off for column, on, off in CHANGES if before[column] != after[column]
    )
