"""What is left to do after a visit, and what to be careful of."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dryermodel.field.measurements import Measurement
from dryermodel.findings.fault_words import who
from dryermodel.inference.diagnosis import is_healthy
from dryermodel.inference.priors import HEALTHY
from dryermodel.scenario.faults import find_fault
from dryermodel.show.pages.report import words
from dryermodel.show.pages.report.case import MOST_TESTS, MOST_TOLD, TOLD, Case
from dryermodel.show.pages.report.words import CUSTOMER, TECHNICIAN
from dryermodel.show.text.diagnosis import hidden_words, percent, pointer_words

if TYPE_CHECKING:
    from dryermodel.inference.diagnosis import Diagnosis, Ranked


def left_to_do(case: Case, reader: str) -> list[str]:
    """Return what is left to do: repairs, rest of the ranking, tests, what could hide.

    Parameters
    ----------
    case : Case
        What is reported.
    reader : str
        For whom.
    """
    told = _still(case, reader)
    if not case.visit.work:
        told = _repairs(case.found.ranking[0], reader) + told
    elif not case.visit.looked_again:
        told.append(
            "Measure again what was measured before, on the same load: it is not yet seen to have worked."
        )
    d = case.afterwards or case.found
    for t in case.tests[: MOST_TESTS if reader == TECHNICIAN else 2]:
        line = f"To look at next: {t.test.question}"
        if reader == CUSTOMER and isinstance(t.test, Measurement):
            line = f"To be measured next: {words.measurement_name(t.name, reader)}"
        if reader == TECHNICIAN:
            pointers = "; ".join(pointer_words(d, t, p) for p in t.pointers)
            line += f" {t.minutes:.0f} min; {pointers}." + (
                f" Caution: {t.test.caution}" if t.test.caution else ""
            )
        told.append(line)
    if reader == TECHNICIAN and (hidden := hidden_words(d, case.si)):
        told.append(f"Could be there without having shown: {hidden}.")
    return told


def _still(case: Case, reader: str) -> list[str]:
    """What may be wrong besides what was mended, or what leads if nothing was."""
    if case.afterwards is not None:
        return [_afterwards(case.afterwards, reader)]
    best = case.found.ranking[0]
    known = set(case.mended) if case.visit.work else set(best.faults)
    rest = [
        r
        for r in case.found.ranking
        if r.probability >= TOLD and not is_healthy(r) and not known & set(r.faults)
    ]
    return [
        f"Also to be thought of ({_short_share(r, reader)}): {_group(r, reader)}" for r in rest[:MOST_TOLD]
    ]


def _afterwards(d: Diagnosis, reader: str) -> str:
    """What the readings after the work say by themselves."""
    best = d.ranking[0]
    likely = words.share_words(best.probability)
    if reader == CUSTOMER and is_healthy(best):
        return f"What was measured after the work fits a dryer with nothing wrong ({likely})."
    if reader == CUSTOMER:
        return f"What was measured after the work leaves open ({likely}): {_first(best)}"
    told = [_told(r, reader) for r in d.ranking[:3] if r.probability >= TOLD]
    return f"What was measured after the work, by itself: {' '.join(told)}"


def _first(r: Ranked) -> str:
    return words.plain_fault(r.faults[0])


def _told(r: Ranked, reader: str) -> str:
    """A group with its probability, as a sentence."""
    return f"{words.how_likely(r.probability, reader)}: {_group(r, reader)}"


def _group(r: Ranked, reader: str) -> str:
    return f"{words.group_name(r, reader).rstrip('.')}."


def _short_share(r: Ranked, reader: str) -> str:
    """A probability without the words for it."""
    return percent(r.probability) if reader == TECHNICIAN else words.share_words(r.probability).split(", ")[1]


def _repairs(r: Ranked, reader: str) -> list[str]:
    """What mends what leads the ranking, and who may do it."""
    keys = [] if is_healthy(r) else words.members(r)[:2]
    start = "To be put right, " + ("if it is that" if len(keys) < 2 or r.together else "whichever it is")
    told = []
    for key in keys:
        fault = find_fault(key)
        what = fault.remedy if reader == TECHNICIAN else words.plain_fault(key)
        told.append(f"{start}: {what} ({who(fault)})")
    return told


def fault_cautions(case: Case) -> list[str]:
    """Return the cautions of what was mended and of what leads the ranking, each once."""
    keys = [*case.mended, *words.members(case.found.ranking[0])[:2]]
    return list(
        dict.fromkeys(find_fault(key).caution for key in keys if key != HEALTHY and find_fault(key).caution)
    )
