"""Run one cycle from SI parameters: interpreted, so that there is nothing to wait for, unless it is long.

Both engines are the same source and give the same bits. Most cycles are done interpreted before the
compiled engine would be loaded; a long or restless one is handed over to it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import astuple
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from dryermodel.cycle.engine import loop
from dryermodel.cycle.engine.outcome import Outcome
from dryermodel.cycle.engine.parameters import Parameters
from dryermodel.cycle.result import CycleResult, Trajectory
from dryermodel.cycle.run.many import OUTCOME_ROW, as_rows, at_hand, blank_outcomes, in_order, prepare
from dryermodel.cycle.run.rows import scratch

if TYPE_CHECKING:
    from dryermodel.cycle.engine.arrays import Flags, Vector
    from dryermodel.cycle.engine.tally import Tape
    from dryermodel.cycle.engine.workspace import Workspace

LONG = 4096
"""Steps, a second or two interpreted, after which a compiled engine is used if there is one to load."""

VERY_LONG = 32_768
"""Steps after which the engine is compiled if there is none: that takes about as long as they did."""


def run_cycle(
    parameters: Parameters,
    interruptions: Sequence[tuple[float, int]] = (),
    *,
    title: str = "",
    scenario_hash: str = "",
    piece_names: Sequence[str] = (),
) -> CycleResult:
    """Simulate one cycle from the press of the start button to its end.

    Parameters
    ----------
    parameters : Parameters
        SI numbers.
    interruptions : sequence of (float, int)
        Time [s] and code of what happens to the machine from outside, in any order, those of one
        time in the order in which they happen; codes in
        :mod:`dryermodel.machine.circuit`.
    title, scenario_hash, piece_names : str, str, sequence of str
        Carried into the result.

    Returns
    -------
    CycleResult
        A run that cannot end stops at the time limit and says why.
    """
    when, what = in_order(interruptions)
    found = interpreted(parameters, when, what, LONG)
    if found is None and not at_hand():
        found = interpreted(parameters, when, what, VERY_LONG)
    w, out, tape = found or compiled(parameters, when, what)
    trajectory = Trajectory(*(column[: int(tape.used[0])] for column in tape[:5]))
    return CycleResult(parameters, out, w.y, trajectory, title, scenario_hash, tuple(piece_names))


class Run(NamedTuple):
    """A finished run."""

    workspace: Workspace
    outcome: Outcome
    tape: Tape


def interpreted(p: Parameters, when: Vector, what: Flags, most: int) -> Run | None:
    """Run on the interpreted engine; None when it is longer than `most` rows of the recording."""
    (w, tape), out = scratch(min(most, LONG), most), Outcome()
    tape = loop.run(p, when, what, w, out, tape)
    # Through a row, as the compiled engine's: plain floats, whatever the engine had written.
    row = np.array([astuple(out)], OUTCOME_ROW)
    return None if math.isnan(out.end_code) else Run(w, Outcome(*row[0].item()), tape)


def compiled(p: Parameters, when: Vector, what: Flags) -> Run:
    """Run on the compiled engine, which may have to be loaded or compiled first."""
    w, tape = scratch(LONG)
    row = blank_outcomes(1)
    tape = prepare()(as_rows([p]), when, what, w, tape, row)
    return Run(w, Outcome(*row[0].item()), tape)
