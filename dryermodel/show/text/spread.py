"""How far the cycles of one scenario lie apart, as a table and sentences."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from dryermodel import units
from dryermodel.show.text.columns import short_hash
from dryermodel.studies.sweep.outcomes import find_outcome, time_to_dry_words
from dryermodel.studies.uncertainty.spread import SUMMARY

if TYPE_CHECKING:
    from dryermodel.studies.uncertainty.spread import Spread

HEADERS = ("outcome", "5 %", "median", "95 %", "unit", "note")


def spread_words(spread: Spread, name: str) -> str:
    """Words for an outcome, the marked moisture named."""
    if name == "time_to_dry":
        return time_to_dry_words(float(spread.scenario.value("controls.marked_moisture")))
    return find_outcome(name, "--samples").words


def spread_rows(spread: Spread, si: bool = False) -> list[list[str]]:
    """Rows of the table of outcomes under `HEADERS`.

    Parameters
    ----------
    spread : Spread
        What the samples did.
    si : bool
        SI units.
    """
    rows = []
    for name in SUMMARY:
        outcome = find_outcome(name, "--samples")
        unit = outcome.read_unit(si)
        found = spread.percentiles(name)
        missing = spread.missing(name)
        note = f"{missing} of {spread.n} samples never got there" if missing else ""
        if found is None:
            rows.append([spread_words(spread, name), "-", "-", "-", unit, note])
            continue
        numbers = [units.digits(float(v), 4) for v in outcome.read(np.array(found), si)]
        rows.append([spread_words(spread, name), *numbers, unit, note])
    return rows


def spread_lines(spread: Spread, si: bool = False) -> list[str]:
    """Sentences about what was drawn, how the samples ended, and what the numbers are."""
    drawn = "; ".join(f"{u.key} {u.text(si)} ({u.status})" for u in spread.drawn.uncertain)
    ended = ", ".join(f"{count} {reason}" for reason, count in spread.end_reasons.items())
    return [
        f"{spread.n} samples, seed {spread.seed}, relative tolerance {spread.rel_tolerance:g}; "
        f"scenario hash {short_hash(spread.scenario.hash)}",
        f"not known, and drawn: {drawn}",
        f"ended: {ended}",
        "percentiles of the samples; the model's own errors are not among what was drawn",
    ]
