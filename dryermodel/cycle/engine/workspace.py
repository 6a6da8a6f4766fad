"""The arrays that a run works in, made once and used for any number of runs."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from dryermodel.cycle.engine.state import N_STATES
from dryermodel.cycle.engine.switching import N_DISCRETE

if TYPE_CHECKING:
    from dryermodel.cycle.engine.arrays import Flags, Matrix, Vector

STAGES = 4
"""Rates that a step keeps: at its start, at its inner points and at its end."""


class Workspace(NamedTuple):
    """Where a run keeps its state and a step its intermediate results."""

    y: Vector  # (N_STATES,) state; the final one after a run
    s: Flags  # (N_DISCRETE,) discrete state; the final one after a run
    k: Matrix  # (STAGES, N_STATES) rates: [0] at `y`, [STAGES - 1] at `y_new` after a step
    y_new: Vector  # (N_STATES,) where a step ends
    trial: Vector  # (N_STATES,) inner point of a step
    scale: Vector  # (N_STATES,) tolerable error of each state that feeds back
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
        np.zeros(2),
    )
