"""The arrays that a run works in, made once and used for any number of runs."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from dryermodel.cycle.engine.state import N_STATES
from dryermodel.cycle.engine.strokes import KEPT
from dryermodel.cycle.engine.switching import N_DISCRETE

if TYPE_CHECKING:
    from dryermodel.cycle.engine.arrays import Flags, Matrix, Vector

STAGES = 7
"""Rates that a step keeps: at its start, at its inner points and at its end."""

END = STAGES - 1
"""Where the rates at the end of a step are kept."""

N_MEMORY = 10
"""Numbers that readings remember from one switching to another."""

MARKS, MARK = 12, 300.0
"""Marks of the clock, and the time between them [s]."""


class Workspace(NamedTuple):
    """Where a run keeps its state and a step its intermediate results."""

    y: Vector  # (N_STATES,) state; the final one after a run
    s: Flags  # (N_DISCRETE,) discrete state; the final one after a run
    k: Matrix  # (STAGES, N_STATES) rates: [0] at `y`, [END] at `y_new` after a step
    y_new: Vector  # (N_STATES,) where a step ends
    y_mid: Vector  # (N_STATES,) half way through a step
    k_mid: Vector  # (N_STATES,) rates there
    trial: Vector  # (N_STATES,) inner point of a step
    scale: Vector  # (N_STATES,) tolerable error of each state that feeds back
    memory: Vector  # (N_MEMORY,) what readings must remember, see :mod:`dryermodel.cycle.engine.gauges`
    heat_on: Vector  # (KEPT + 1,) [s] latest strokes, see :mod:`dryermodel.cycle.engine.strokes`
    heat_off: Vector  # (KEPT + 1,) [s] latest gaps
    dial_marks: Vector  # (MARKS,) [s] dial at the marks of the clock
    gas_marks: Vector  # (MARKS,) [J] gas at the marks of the clock
    clock: Vector  # (2,) [s] time, and length of the next step


def new_workspace() -> Workspace:
    """Room for a run."""
    return Workspace(
        np.zeros(N_STATES),
        np.zeros(N_DISCRETE, dtype=np.int64),
        np.zeros((STAGES, N_STATES)),
        np.zeros(N_STATES),
        np.zeros(N_STATES),
        np.zeros(N_STATES),
        np.zeros(N_STATES),
        np.zeros(N_STATES),
        np.zeros(N_MEMORY),
        np.zeros(KEPT + 1),
        np.zeros(KEPT + 1),
        np.zeros(MARKS),
        np.zeros(MARKS),
        np.zeros(2),
    )
