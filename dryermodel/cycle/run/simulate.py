"""Run one cycle from SI parameters, interpreted: no compilation, nothing to wait for."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from dryermodel.cycle.engine import loop as engine
from dryermodel.cycle.engine.outcome import Outcome
from dryermodel.cycle.engine.parameters import Parameters
from dryermodel.cycle.result import CycleResult, Trajectory
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
    (w, tape), out = scratch(FIRST_TAPE), Outcome()
    tape = engine.run(parameters, when, what, w, out, tape)
    trajectory = Trajectory(*(column[: int(tape.used[0])] for column in tape[:5]))
    return CycleResult(parameters, out, w.y, trajectory, title, scenario_hash)
