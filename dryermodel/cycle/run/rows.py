"""Many runs one after the other, each outcome a row of numbers; compiled together with the engine."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dryermodel.cycle.engine.loop import run
from dryermodel.cycle.engine.tally import UNLIMITED, new_tape
from dryermodel.cycle.engine.workspace import new_workspace

if TYPE_CHECKING:
    from dryermodel.cycle.engine.arrays import Flags, Rows, Vector
    from dryermodel.cycle.engine.tally import Tape
    from dryermodel.cycle.engine.workspace import Workspace


def scratch(rows: int, most: int = UNLIMITED) -> tuple[Workspace, Tape]:
    """Return what :func:`run_rows` works in, with a recording that grows from `rows` rows to `most`."""
    return new_workspace(), new_tape(rows, most)


def run_rows(rows: Rows, when: Vector, what: Flags, w: Workspace, tape: Tape, out: Rows) -> Tape:
    """Run one cycle for each parameter row and write its outcome into the same row of `out`.

    Parameters
    ----------
    rows : structured ndarray of PARAMETER_ROW, shape (n,)
        Parameter sets.
    when, what : arrays, shape (k,)
        Interruptions of every cycle: times [s], ascending, and codes.
    w : Workspace
        Scratch.
    tape : Tape
        Recording to start with, may have zero rows.
    out : structured ndarray of OUTCOME_ROW, shape (n,)
        Blank rows, from :func:`~dryermodel.cycle.run.many.blank_outcomes`.

    Returns
    -------
    Tape
        The recording of all of them, which is `tape` or a longer one when that was full.
    """
    for i in range(len(rows)):
        tape = run(rows[i], when, what, w, out[i], tape)
    return tape
