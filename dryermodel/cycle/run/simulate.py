"""Run one cycle from SI parameters, interpreted: no compilation, nothing to wait for."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from dryermodel.cycle.engine import loop as engine
from dryermodel.cycle.engine import tally
from dryermodel.cycle.engine.parameters import Parameters
from dryermodel.cycle.result import CycleResult, EndReason, Trajectory
from dryermodel.cycle.run.rows import scratch

FIRST_TAPE = 4096
"""Rows of the recording to start with; it grows with a longer run."""


def run_cycle(
    parameters: Parameters,
    interruptions: Sequence[tuple[float, int]] = (),
    *,
    title: str = "",
    scenario_hash: str = "",
) -> CycleResult:
    """Simulate one cycle from the press of the start button to its end.

    Parameters
    ----------
    parameters : Parameters
        SI numbers.
    interruptions : sequence of (float, int)
        Time [s] and code of what happens to the machine from outside, in any order; codes in
        :mod:`dryermodel.machine.circuit`.
    title, scenario_hash : str
        Carried into the result.

    Returns
    -------
    CycleResult
        A run that cannot end stops at the time limit and says why.
    """
    planned = sorted(interruptions)
    when = np.array([t for t, _ in planned], dtype=float)
    what = np.array([code for _, code in planned], dtype=np.int64)
    y, s, work, totals, tape = scratch(FIRST_TAPE)
    code, tape = engine.run(parameters, when, what, y, s, work, totals, tape)
    trajectory = Trajectory(*(column[: int(tape.used[0])] for column in tape[:5]))
    end = end_reason(code, totals)
    return CycleResult(parameters, end, float(work[7, 0]), y, totals, trajectory, title, scenario_hash)


def end_reason(code: int, totals: np.ndarray[tuple[int], np.dtype[np.float64]]) -> EndReason:
    """Plain reason for the engine's end code, looking at why a time limit was hit."""
    if code == engine.DIAL_RAN_OUT:
        return EndReason.DIAL_RAN_OUT
    if code == engine.MOISTURE_REACHED:
        return EndReason.MOISTURE_REACHED
    if code == engine.STOPPED:
        return EndReason.STOPPED
    if totals[tally.TIMER_TIME] > 0.0:
        return EndReason.TIMER_STILL
    dry = totals[tally.MARKED_AT] >= 0.0
    if totals[tally.CUT_OUT_AT] < 0.0 and totals[tally.BURNS] > 0 and dry:
        return EndReason.NEVER_CUTS_OUT
    return EndReason.TIME_LIMIT
