"""A sweep as lines of text: the rows of its table, and what they will take."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np

from dryermodel.cycle.run.many import BLOCK, as_rows
from dryermodel.studies.sweep.outcomes import OUTCOMES, end_reasons
from dryermodel.studies.sweep.plan import Block, Sweep, run_blocks

if TYPE_CHECKING:
    from dryermodel.studies.sweep.vary import Varied

DIGITS = 10
"""Significant digits of a written number."""

MANY = 200_000
"""Runs above which a person is asked first."""


def lines_of(sweep: Sweep, block: Block) -> str:
    """Rows of the table for a block, as the lines of a CSV file."""
    columns = [v.shown(block.points[:, i], sweep.si) for i, v in enumerate(sweep.varied)]
    columns += [o.shown(o.values(block.outcomes), sweep.si) for o in OUTCOMES]
    reasons = end_reasons(block.outcomes, block.parameters)
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    for i, (numbers, reason) in enumerate(zip(zip(*columns, strict=True), reasons, strict=True)):
        writer.writerow([block.first + i, *map(as_digits, numbers), reason.value])
    return text.getvalue()


def as_digits(value: float) -> str:
    """Write a number of the table; nothing where it does not apply.

    >>> as_digits(0.1 + 0.2), as_digits(float("nan"))
    ('0.3', '')
    """
    return "" if value != value else f"{value + 0.0:.{DIGITS}g}"


def header_line(sweep: Sweep) -> str:
    """First line of the table."""
    return ",".join(sweep.columns) + "\n"


Progress = Callable[[int, int], None]
"""Told how many runs are done, and of how many."""


def sweep_lines(sweep: Sweep, start: int = 0, progress: Progress | None = None) -> Iterator[str]:
    """Run a sweep from run number `start` on; the table's lines block by block."""
    for block in run_blocks(sweep, start):
        yield lines_of(sweep, block)
        if progress is not None:
            progress(block.first + len(block.outcomes), sweep.size)


class Estimate(NamedTuple):
    """What a sweep will take."""

    seconds: float
    file_bytes: float


def estimate(sweep: Sweep, clock: Callable[[], float]) -> Estimate:
    """Estimate time and size of a sweep from a few of its runs, spread over all of it.

    Parameters
    ----------
    sweep : Sweep
        What is to be run.
    clock : callable
        Seconds on any clock that does not go back.
    """
    from os import cpu_count

    from dryermodel.cycle.run.many import prepare, simulate_many

    sample = BLOCK * (cpu_count() or 1)  # a block for each core, as in the sweep itself
    places = sorted({i * sweep.size // sample for i in range(sample)})
    prepare()
    began = clock()
    points = np.vstack([sweep.design.points(i, i + 1) for i in places])
    rows = as_rows(sweep.maker(point) for point in points.tolist())
    outcomes = simulate_many(rows, interruptions=sweep.scenario.interruptions())
    text = lines_of(sweep, Block(0, points, rows, outcomes))
    share = sweep.size / len(places)
    return Estimate((clock() - began) * share, len(text) * share)


def sweep_settings(varied: Sequence[Varied], si: bool = False) -> list[Mapping[str, Any]]:
    """Varied keys with both ends in the unit shown, for a person or a file."""
    return [
        {
            "key": v.key,
            "column": v.column(si),
            "unit": v.unit(si),
            "start": float(as_digits(float(v.shown(v.start, si)))),
            "stop": float(as_digits(float(v.shown(v.stop, si)))),
            "values": v.n or None,
            "spacing": "equal ratios" if v.log else "linear",
        }
        for v in varied
    ]


def in_words(need: Estimate) -> tuple[str, str]:
    """Time and size as a person says them.

    >>> in_words(Estimate(5400.0, 3.2e9)), in_words(Estimate(40.0, 2e5))
    (('1.5 h', '3.2 GB'), ('40 s', '0.2 MB'))
    """
    units = ((31_557_600.0, "years"), (86_400.0, "days"), (3600.0, "h"), (60.0, "min"), (0.0, "s"))
    length, word = next(unit for unit in units if need.seconds >= 1.2 * unit[0])
    sizes = ((1e12, "TB"), (1e9, "GB"), (0.0, "MB"))
    size, letter = next(unit for unit in sizes if need.file_bytes >= unit[0])
    return (
        f"{_two_digits(need.seconds / (length or 1.0))} {word}",
        f"{_two_digits(need.file_bytes / (size or 1e6))} {letter}",
    )


def _two_digits(value: float) -> str:
    return f"{value:.2g}" if value < 100.0 else f"{value:,.0f}"
