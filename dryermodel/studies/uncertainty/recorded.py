"""Compiled runs with their recording on: what bands over time are made from."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np

from dryermodel.cycle.engine import state as Y
from dryermodel.cycle.engine import switching
from dryermodel.cycle.result import Trajectory, moistures
from dryermodel.cycle.run.many import blank_outcomes, in_order, prepare
from dryermodel.cycle.run.rows import scratch
from dryermodel.cycle.run.simulate import LONG

if TYPE_CHECKING:
    from numpy.typing import NDArray


class Recorded(NamedTuple):
    """One compiled run with what the bands need of its recording."""

    outcome: np.void
    cycle_time: float  # [s]
    time: NDArray[np.float64]  # (k,) [s]
    element: NDArray[np.float64]  # (k,) [K] exhaust thermostat
    element_rate: NDArray[np.float64]  # (k,) [K/s]
    housing: NDArray[np.float64]  # (k,) [K] blower housing, part of which the thermostat feels
    moisture: NDArray[np.float64]  # (k,) [kg/kg]
    flame: list[tuple[float, float]]  # [s] from and to


def recorded_runs(rows: NDArray[np.void], interruptions: Sequence[tuple[float, int]]) -> Iterator[Recorded]:
    """Run each row on the compiled engine with its recording on.

    The compiled function is the one of the many-run engine, with a tape of some length instead of
    none: nothing more is compiled.
    """
    engine = prepare()
    when, what = in_order(interruptions)
    w, tape = scratch(LONG)
    for i in range(len(rows)):
        tape.used[0] = 0
        out = blank_outcomes(1)
        tape = engine(rows[i : i + 1], when, what, w, tape, out)
        yield _note(out[0], tape, int(tape.used[0]), rows[i]["piece_share"])


def _note(outcome: np.void, tape: Any, used: int, shares: Sequence[float]) -> Recorded:
    """Keep what the bands need; the tape is written over by the next run."""
    trajectory = Trajectory(*(np.array(column[:used]) for column in tape[:5]))
    cycle_time = float(outcome["cycle_time_s"])
    flame = trajectory.intervals(switching.FLAME, cycle_time)
    flame += trajectory.intervals(switching.HEATER, cycle_time)
    state = trajectory.state
    return Recorded(
        outcome,
        cycle_time,
        trajectory.time,
        state[:, Y.EXHAUST_ELEMENT].copy(),
        trajectory.rate[:, Y.EXHAUST_ELEMENT].copy(),
        state[:, Y.HOUSING_TEMP].copy(),
        moistures(state, shares),
        flame,
    )
