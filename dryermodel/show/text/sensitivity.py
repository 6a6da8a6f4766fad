"""A sensitivity study as tables and sentences."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from dryermodel import units
from dryermodel.show.text.columns import short_hash

if TYPE_CHECKING:
    from dryermodel.studies.uncertainty.sensitivity import Index, Sensitivity, Study

MEANING = (
    "alone: share of the spread (of its variance) that would go if this one value were known; in all: share "
    "that would stay if all others were known, so what it does together with others counts; a little below "
    "0 is the noise of the sample"
)
"""What the two numbers mean, in one line."""

HEADERS = ("what is not known", "from ... to", "alone", "in all", "95 % interval", "range is", "key")
WORTH = 0.05
"""Share of the spread from which a value is named [1]."""

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
            uncertain[i.key].words,
            uncertain[i.key].text(si),
            _share(i.first.value),
            _share(i.total.value),
            _interval(i.total),
            uncertain[i.key].status,
            i.key,
        ]
        for i in outcome.influences
    ]


def outcome_line(study: Study, outcome: Sensitivity, si: bool = False) -> str:
    """Sentence about how far an outcome is spread, and by what.

    Parameters
    ----------
    study, outcome, si
        As in :func:`sensitivity_rows`.
    """
    o = outcome.outcome
    values = np.array([outcome.mean, outcome.least, outcome.greatest])
    mean, least, greatest = (units.digits(float(v), 4) for v in o.read(values, si))
    unit = o.read_unit(si)
    spread = f"{o.words}: from {least} to {greatest} {unit}, {mean} on average".replace("  ", " ")
    return f"{spread}; {_by_what(study, outcome)}" if not outcome.constant else spread


def _by_what(study: Study, outcome: Sensitivity) -> str:
    """What spreads it, the most important first; what hardly does, by number."""
    words = {u.key: u.words for u in study.uncertain}
    sure = [i for i in outcome.influences if i.total.value >= WORTH and i.total.low > 0.0]
    if not sure:
        return "no single value stands out"
    named = ", ".join(f"{words[i.key]} ({100.0 * i.total.value:.0f} %)" for i in sure)
    rest = len(outcome.influences) - len(sure)
    each = f"; the other {rest} less than {100.0 * WORTH:.0f} % each, or too little to tell" if rest else ""
    return f"most of it by {named}{each}"


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
