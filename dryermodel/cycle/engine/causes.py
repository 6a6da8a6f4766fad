"""What can set off a switching, by name."""

from __future__ import annotations

NO_CAUSE = -1
"""Nothing switches: an ordinary step."""

CAUSE_START = 0
CAUSE_EXHAUST_THERMOSTAT = 1
CAUSE_HIGH_LIMIT = 2
CAUSE_THERMAL_CUTOFF = 3
CAUSE_COIL = 4
CAUSE_MARKED_MOISTURE = 5
CAUSE_STOP_MOISTURE = 6
CAUSE_MID_DRYING = 7
CAUSE_FLAME_SENSOR = 8
CAUSE_DIAL = 9
CAUSE_INTERRUPTION = 10
CAUSE_TIME_LIMIT = 11
CAUSE_MOTOR_LET_GO = 12
CAUSE_SCORCHING = 13

THRESHOLD_CAUSES = (
    CAUSE_EXHAUST_THERMOSTAT,
    CAUSE_HIGH_LIMIT,
    CAUSE_THERMAL_CUTOFF,
    CAUSE_COIL,
    CAUSE_MARKED_MOISTURE,
    CAUSE_STOP_MOISTURE,
    CAUSE_MID_DRYING,
    CAUSE_SCORCHING,
)
"""Causes that wait for a function of the state to pass a level; the first named goes first in a tie."""
