"""What a sweep will take, from a few of its runs."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

import numpy as np

from dryermodel.cycle.run.many import BLOCK
from dryermodel.studies.sweep.frame import csv_text, frame_of, records_of
from dryermodel.studies.sweep.plan import Block, Sweep

MANY = 200_000
"""Runs above which a person is asked first."""


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

    from dryermodel.cycle.run.many import prepare_many, simulate_many

    sample = BLOCK * (cpu_count() or 1)  # a block for each core, as in the sweep itself
    places = sorted({i * sweep.size // sample for i in range(sample)})
    prepare_many()
    began = clock()
    points = np.vstack([sweep.design.points(i, i + 1) for i in places])
    rows = sweep.maker.rows(points)
    outcomes = simulate_many(rows, interruptions=sweep.scenario.interruptions())
    text = csv_text(frame_of(records_of(sweep, Block(0, points, rows, outcomes))), header=False)
    share = sweep.size / len(places)
    return Estimate((clock() - began) * share, len(text) * share)


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
