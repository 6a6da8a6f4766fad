"""What a report is made of."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, NamedTuple

from dryermodel.inference.diagnosis import is_healthy

if TYPE_CHECKING:
    from dryermodel.field.evidence import Evidence, Measured
    from dryermodel.field.visit import Visit
    from dryermodel.inference.diagnosis import Diagnosis
    from dryermodel.inference.gains import Mending
    from dryermodel.inference.next_test import NextTest

TOLD = 0.05
"""Probability from which on a group is told."""

MOST_TOLD, MOST_TESTS, MOST_WORK, MOST_WORDS = 4, 3, 12, 400
"""Groups, tests and entries of work that are told, and letters of one text: what two pages hold."""


class Case(NamedTuple):
    """All that a report is made of.

    Attributes
    ----------
    visit : Visit
    found : Diagnosis
        On what was known before any work.
    tests : sequence of NextTest
        What would tell more, of the latest diagnosis.
    mending : Mending or None
        Machines before and after the work, or, where nothing was done, before and after the likeliest repair.
    afterwards : Diagnosis or None
        On what was measured after the work by itself.
    si : bool
        Numbers in metric units.
    """

    visit: Visit
    found: Diagnosis
    tests: Sequence[NextTest]
    mending: Mending | None
    afterwards: Diagnosis | None
    si: bool = False

    @property
    def mended(self) -> tuple[str, ...]:
        """Faults of the catalogue that the work names."""
        return named_faults(self.visit)


def named_faults(visit: Visit) -> tuple[str, ...]:
    """Return the faults of the catalogue that the work of a visit names, each once."""
    return tuple(dict.fromkeys(job.fault for job in visit.work if job.fault))


def to_mend(visit: Visit, found: Diagnosis) -> tuple[str, ...]:
    """Return what the model mends: what the work names; where nothing was done, the likeliest fault."""
    if visit.work:
        return named_faults(visit)
    best = found.ranking[0]
    return (
        ()
        if is_healthy(best) or not known(found.evidence)
        else best.faults
        if best.together
        else best.faults[:1]
    )


def known(evidence: Evidence) -> bool:
    """Return whether anything was measured or looked at; a complaint alone makes no finding."""
    return bool(evidence.measured or evidence.seen)


def short(text: str) -> str:
    r"""Text of a visit on one line, cut where two pages would not hold it.

    >>> short("a\n b"), len(short("x" * 5000))
    ('a b', 400)
    """
    line = " ".join(text.split())
    return line if len(line) <= MOST_WORDS else f"{line[: MOST_WORDS - 4]} ..."


def by_number(found: Sequence[Measured]) -> Mapping[str, Measured]:
    """Measurements by the number of the model that they are."""
    return {m.number: m for m in found}
