"""Many cycles of one scenario with some of its values running through a range."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any, NamedTuple

from dryermodel.cycle.run.many import BLOCK, simulate_blocks
from dryermodel.errors import InputError
from dryermodel.scenario.follow import moves_with
from dryermodel.scenario.merge import OPTIONS_LABEL
from dryermodel.studies.sweep.design import MOST_POINTS, Design, Drawn, Grid
from dryermodel.studies.sweep.outcomes import OUTCOMES, TEXT_COLUMN, as_written, column
from dryermodel.studies.sweep.points import PointMaker
from dryermodel.studies.sweep.vary import OPTION, Varied, read_all

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from dryermodel.scenario.model import Scenario

RUN_COLUMN = "run"


@dataclass(frozen=True)
class Sweep:
    """A sweep that can be run: scenario, points and units.

    Attributes
    ----------
    scenario : Scenario
        What does not vary.
    design : Design
        The points.
    si : bool
        SI units in the table.
    """

    scenario: Scenario
    design: Design
    si: bool = False

    @property
    def size(self) -> int:
        """Number of runs."""
        return self.design.size

    @property
    def varied(self) -> tuple[Varied, ...]:
        """The keys that vary."""
        return self.design.varied

    @property
    def seed(self) -> int | None:
        """Seed of the points; None on a grid."""
        return self.design.seed if isinstance(self.design, Drawn) else None

    @cached_property
    def moves_with(self) -> dict[str, tuple[str, ...]]:
        """Keys that move along with a varied one: a cut-in with its cut-out, unless it is set."""
        fixed = [key for key, who in self.scenario.given.items() if who.label == OPTIONS_LABEL]
        return moves_with([v.key for v in self.varied], fixed)

    @cached_property
    def maker(self) -> PointMaker:
        """Makes the parameters of a point."""
        return PointMaker(self.scenario, [v.key for v in self.varied], self.moves_with)

    @property
    def marked_moisture(self) -> float | None:
        """Moisture whose first crossing is recorded [kg/kg]; None if it varies."""
        key = "controls.marked_moisture"
        return None if any(v.key == key for v in self.varied) else float(self.scenario.value(key))

    @cached_property
    def columns(self) -> tuple[str, ...]:
        """Names of the table's columns: run, varied keys, outcomes, end reason."""
        keys = [v.column(self.si) for v in self.varied]
        outcomes = [column(o, self.marked_moisture, self.si) for o in OUTCOMES]
        return (RUN_COLUMN, *keys, *outcomes, TEXT_COLUMN)

    def ranges(self) -> list[dict[str, Any]]:
        """Varied keys with both ends in the unit shown, for a person or a file."""
        return [
            {
                "key": v.key,
                "column": v.column(self.si),
                "unit": v.unit(self.si),
                "start": float(as_written(v.shown(v.start, self.si))),
                "stop": float(as_written(v.shown(v.stop, self.si))),
                "values": v.n or None,
                "spacing": "equal ratios" if v.log else "linear",
            }
            for v in self.varied
        ]

    def identity(self) -> dict[str, Any]:
        """What the table follows from: two sweeps with the same identity have the same bytes."""
        from dryermodel import __version__
        from dryermodel.cycle.run.reach import fingerprint
        from dryermodel.cycle.run.rows import run_rows

        return {
            "dryermodel": __version__,
            "engine": fingerprint(run_rows),
            "scenario_hash": self.scenario.hash,
            "varied": [[v.key, f"{v.start:.12g}", f"{v.stop:.12g}", v.n, v.log] for v in self.varied],
            "moves_with": {key: list(others) for key, others in self.moves_with.items()},
            "runs": self.size,
            "seed": self.seed,
            "rel_tolerance": self.maker.tolerance,
            "columns": list(self.columns),
        }


def plan_sweep(
    scenario: Scenario,
    vary: Sequence[str],
    *,
    settings: Sequence[str] = (),
    sobol: int | None = None,
    seed: int | None = None,
    si: bool = False,
) -> Sweep:
    """Read what is to vary and check that every point of it can be.

    Parameters
    ----------
    scenario : Scenario
        What does not vary, `settings` included.
    vary : sequence of str
        ``key=start:stop:n`` each; see :func:`dryermodel.studies.sweep.vary.read_vary`.
    settings : sequence of "section.key=value"
        What was set beside it, to see that nothing is both set and varied.
    sobol : int, optional
        Draw this many points over the ranges instead of the grid.
    seed : int, optional
        Of the drawn points, 0 or more; 0 if none is given. Only with `sobol`.
    si : bool
        SI units in the table.

    Returns
    -------
    Sweep
        Ready to run.

    Raises
    ------
    InputError
        Nothing varies, or something is not admissible.
    """
    if not vary:
        raise InputError("nothing varies; e.g. --vary 'vent.length=5 ft:60 ft:12'", OPTION)
    varied = read_all(vary, settings, drawn=sobol is not None)
    design: Design = Grid(varied)
    if sobol is None and seed is not None:
        raise InputError("draws nothing from a grid; add --sobol N to draw points, or leave it out", "--seed")
    if sobol is not None:
        check_seed(seed or 0)
        if not 1 <= sobol <= MOST_POINTS:
            raise InputError(f"is {sobol}, outside the allowed 1 to {MOST_POINTS} points", "--sobol")
        design = Drawn(varied, sobol, seed or 0)
    sweep = Sweep(scenario, design, si)
    sweep.maker.check_ends([(v.start, v.stop) for v in varied])
    return sweep


def check_seed(seed: int) -> None:
    """Raise InputError for a negative seed."""
    if seed < 0:
        raise InputError(f"is {seed}; a seed is 0 or more", "--seed")


class Block(NamedTuple):
    """Consecutive runs of a sweep."""

    first: int
    points: NDArray[np.float64]  # (n, keys) [SI]
    parameters: NDArray[np.void]  # (n,) of PARAMETER_ROW
    outcomes: NDArray[np.void]  # (n,) of OUTCOME_ROW


def run_blocks(sweep: Sweep, start: int = 0) -> Iterator[Block]:
    """Run a sweep from run number `start` on, block by block in order, with flat memory."""
    waiting: deque[tuple[NDArray[np.float64], NDArray[np.void]]] = deque()

    def rows() -> Iterator[NDArray[np.void]]:
        for first in range(start, sweep.size, BLOCK):
            points = sweep.design.points(first, min(first + BLOCK, sweep.size))
            waiting.append((points, sweep.maker.rows(points)))
            yield waiting[-1][1]

    first = start
    for outcomes in simulate_blocks(rows(), interruptions=sweep.scenario.interruptions()):
        yield Block(first, *waiting.popleft(), outcomes)
        first += len(outcomes)
