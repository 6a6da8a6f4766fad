"""Why a run ended: the engine's codes, and the choice among those of the time limit."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from dryermodel.cycle.engine.causes import CAUSE_SCORCHING, CAUSE_STOP_MOISTURE, CAUSE_TIME_LIMIT
from dryermodel.cycle.engine.parameters import AUTO, NEVER, Parameters
from dryermodel.cycle.engine.switching import RUNNING, STRETCH
from dryermodel.machine.timer import OFF

if TYPE_CHECKING:
    from dryermodel.cycle.engine.arrays import Flags
    from dryermodel.cycle.engine.outcome import Outcome

GOES_ON = -1
"""It has not ended."""

DIAL_RAN_OUT = 0
MOISTURE_REACHED = 1
TIME_LIMIT = 2
STOPPED = 3
NEVER_CUTS_OUT = 4
THERMOSTAT_NEVER_OPENS = 5
TIMER_ONLY_IN_TRIPS = 6
TIMER_STILL = 7
NOT_DRY = 8
SCORCHED = 9

ENDED = (DIAL_RAN_OUT, MOISTURE_REACHED, STOPPED, SCORCHED)
"""Ends of the cycle; all others are ends of the computation at its time limit."""


def ending(cause: int, s: Flags, waiting: int, p: Parameters, out: Outcome) -> int:
    """Code of the end that has come with the switching of `cause`, or GOES_ON.

    Parameters
    ----------
    cause : int
        What the last switching was set off by.
    s : array of int, shape (N_DISCRETE,)
        Settled discrete state.
    waiting : int
        Interruptions still to come: only they can start a stopped motor again.
    p : Parameters
        The parameter set.
    out : Outcome
        What was counted so far.
    """
    if s[STRETCH] == OFF:
        return DIAL_RAN_OUT
    if cause == CAUSE_SCORCHING:
        return SCORCHED
    if cause == CAUSE_STOP_MOISTURE:
        return MOISTURE_REACHED
    if cause == CAUSE_TIME_LIMIT:
        return why_unended(p, out)
    if s[RUNNING] == 0 and waiting == 0:
        return STOPPED
    return GOES_ON


def why_unended(p: Parameters, out: Outcome) -> int:
    """Why a run met its time limit, as far as it shows: the thermostat, the timer, or a wet load.

    Parameters
    ----------
    p : Parameters
        The parameter set.
    out : Outcome
        What was counted up to the limit.
    """
    automatic = p.program == AUTO
    dry = not math.isnan(out.time_to_marked_s)
    opened = not math.isnan(out.first_cut_out_s)
    ran = out.timer_time_s > 0.0
    if automatic and dry and not opened and out.burner_cycles > 0.0:
        if ran:
            return TIMER_ONLY_IN_TRIPS
        return THERMOSTAT_NEVER_OPENS if p.cut_out > 0.5 * NEVER else NEVER_CUTS_OUT
    if not ran and (opened or not automatic):
        return TIMER_STILL
    return TIME_LIMIT if dry else NOT_DRY
