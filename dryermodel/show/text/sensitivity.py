"""A sensitivity study as tables and sentences."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from dryermodel import units
from dryermodel.show.text.columns import short_hash

if TYPE_CHECKING:
    from dryermodel.studies.uncertainty.sensitivity import Index, Sensitivity, Study

MEANING = (
    "first order: share of the outcome's variance that would go if this one value were known; total: "
    "share that would be left if all others were known, this value's interplay with them included"
)
"""What the two numbers mean, in one line."""

HEADERS = ("value", "range", "first order", "95 % interval", "total", "95 % interval", "range is")
FEWEST_DECIMALS = 2


def sensitivity_rows(study: Study, outcome: Sensitivity, si: bool = False) -> list[list[str]]:
    """Rows of the table of one outcome under `HEADERS`, the most important value first.

    Parameters
    ----------
    study : Study
        Holds the ranges.
    outcome : Sensitivity
        One of its outcomes.
    si : bool
        SI units in the ranges.
    """
    uncertain = {u.key: u for u in study.uncertain}
    return [
        [
            i.key,
            uncertain[i.key].text(si),
            _share(i.first.value),
            _interval(i.first),
            _share(i.total.value),
            _interval(i.total),
            uncertain[i.key].status,
        ]
        for i in outcome.influences
    ]


def outcome_line(outcome: Sensitivity, si: bool = False) -> str:
    """Sentence about how far an outcome is spread."""
    o = outcome.outcome
    values = np.array([outcome.mean, outcome.least, outcome.greatest])
    mean, least, greatest = (units.digits(float(v), 4) for v in o.shown(values, si))
    unit = o.si_unit if si else o.unit
    return f"{o.words}: mean {mean} {unit}, from {least} to {greatest} {unit}".replace("  ", " ")


def _share(value: float) -> str:
    return f"{round(value, FEWEST_DECIMALS) + 0.0:.{FEWEST_DECIMALS}f}"


def _interval(index: Index) -> str:
    return f"{_share(index.low)} to {_share(index.high)}"


def provenance(study: Study, version: str) -> str:
    """What the numbers follow from, in one line.

    Parameters
    ----------
    study : Study
        What was found.
    version : str
        Of the program.
    """
    return (
        f"dryermodel {version}, scenario hash {short_hash(study.scenario.hash)}, {study.runs} cycles, "
        f"seed {study.seed}, relative tolerance {study.rel_tolerance:g}"
    )
