"""What a report says, as text in the order in which it is read; the layout is in ``assets``."""

from __future__ import annotations

import hashlib
from typing import TYPE_CHECKING, NamedTuple

from dryermodel.field.evidence import said
from dryermodel.field.safety import RULES
from dryermodel.inference.cautions import cautions
from dryermodel.inference.diagnosis import is_healthy
from dryermodel.inference.gains import FEW
from dryermodel.scenario.faults import find_fault
from dryermodel.show.pages.report import change, words
from dryermodel.show.pages.report.case import MOST_TOLD, MOST_WORK, TOLD, Case, known, short
from dryermodel.show.pages.report.left import fault_cautions, left_to_do
from dryermodel.show.pages.report.words import CUSTOMER, TECHNICIAN
from dryermodel.show.text.diagnosis import FAINT, name_of, others, percent, reason_words, verdict

if TYPE_CHECKING:
    from dryermodel.field.visit import Visit
    from dryermodel.inference.diagnosis import Diagnosis, Ranked


class Finding(NamedTuple):
    """One group of faults: how likely, what, and how bad."""

    share: str
    what: str
    how_bad: str


class Report(NamedTuple):
    """What a report says; every text is plain and still to be escaped."""

    title: str
    facts: list[tuple[str, str]]
    dangers: list[str]
    summary: list[str]
    measured: list[tuple[str, str]]
    yes: list[str]
    no: list[str]
    findings: list[Finding]
    means: list[str]
    done: list[str]
    change: list[change.Row]
    change_notes: list[str]
    saves: list[change.Saved]
    saves_notes: list[str]
    left: list[str]
    rules: list[str]
    sure: list[str]
    made: str


def report_of(case: Case, reader: str, version: str) -> Report:
    """Return what a report says.

    Parameters
    ----------
    case : Case
        What it is made of.
    reader : str
        ``customer`` or ``technician``.
    version : str
        Of the program.
    """
    visit, d = case.visit, case.found
    evidence = d.evidence
    return Report(
        "Your dryer: what we found" if reader == CUSTOMER else "Dryer visit: report for the technician",
        _facts(visit, reader),
        cautions(d),
        _summary(case, reader),
        [(words.measurement_name(m.name, reader), change.with_error(m)) for m in evidence.measured],
        [_seen(s.observation.question, s.name, reader) for s in evidence.seen if s.yes],
        [_seen(s.observation.question, s.name, reader) for s in evidence.seen if not s.yes],
        [_finding(r, reader, case.si) for r in d.ranking[:MOST_TOLD] if r.probability >= TOLD],
        _means(d, reader),
        _done(visit, reader),
        _changed(case, reader),
        _change_notes(case, reader),
        [] if case.mending is None else change.savings(case.mending, visit.scenario, case.si),
        _saves_notes(case, reader),
        left_to_do(case, reader),
        [*fault_cautions(case), *RULES],
        _sure(case, reader),
        _made(case, version),
    )  # fmt: skip


def _changed(case: Case, reader: str) -> list[change.Row]:
    """What was measured and seen before and after."""
    before, after = case.found.evidence, case.visit.evidence_after()
    measured = change.rows(before.measured, after.measured, case.mending, reader, case.si)
    return measured + change.answer_rows(before.seen, after.seen)


def _facts(visit: Visit, reader: str) -> list[tuple[str, str]]:
    conditions = visit.file.conditions
    told = [("Date", visit.file.date), ("Complaint", visit.complaint)]
    told += [("Load", conditions.load), ("Controls", conditions.controls)]
    if reader == TECHNICIAN:
        told += [("Machine", visit.scenario.full_title), ("Notes", conditions.notes)]
        told += [("Recordings", ", ".join(visit.file.logs))]
        told += [
            ("Remarks", "; ".join(e.note for e in (*visit.file.measurement, *visit.file.after) if e.note))
        ]
    return [(name, short(text)) for name, text in told if text.strip()]


def _seen(question: str, name: str, reader: str) -> str:
    return question if reader == CUSTOMER else name


def _summary(case: Case, reader: str) -> list[str]:
    """The whole in a few sentences."""
    d = case.found
    told = [words.summary(d.ranking[0], d.unexplained, reader) if known(d.evidence) else NOTHING]
    if not case.visit.work:
        told.append("Nothing has been done yet.")
    elif case.mended:
        names = "; ".join(dict.fromkeys(short(job.did) or name_of(job.fault) for job in case.visit.work[:3]))
        told.append(f"Done: {names}.")
    first = {m.number: m for m in d.evidence.measured}
    for m in case.visit.evidence_after().measured:
        if m.number == "cycle_time" and m.number in first:
            ran = [said(x.value, "min", 2).partition(" ")[0] for x in (first[m.number], m)]
            told.append(f"The dryer ran {ran[0]} minutes before and {ran[1]} after, as measured.")
    if case.mending is not None:
        told.append(change.in_words(case.mending, case.visit.scenario, bool(case.visit.work)))
    return told


NOTHING = "Nothing was measured or looked at, so that little can be said of what is wrong."


def _finding(r: Ranked, reader: str, si: bool) -> Finding:
    more = len(r.faults) - len(words.members(r))
    name = words.group_name(r, reader)
    if reader == TECHNICIAN and more > 0:
        name += others(more)
    return Finding(words.how_likely(r.probability, reader), name, words.how_bad(r, reader, si))


def _means(d: Diagnosis, reader: str) -> list[str]:
    """What else is to be said of the ranking."""
    best = d.ranking[0]
    told: list[str] = []
    if reader == TECHNICIAN:
        told.append(" ".join(verdict(d)))
        told += _reasons(d, best)
        told.append(f"Nothing in the catalogue explains it: {percent(d.unexplained)}.")
    else:
        if not is_healthy(best) and not any(find_fault(key).dryer_at_fault for key in best.faults):
            told.append("If so, the dryer itself is sound: the trouble is around it.")
        if not is_healthy(best):
            told.append(f"How it is felt: {find_fault(best.faults[0]).customer_says}")
    return [text for text in told if text]


def _reasons(d: Diagnosis, r: Ranked) -> list[str]:
    found = [x for x in d.reasons(r) if abs(x.bits) >= FAINT]
    sides = (
        ("For it", [x for x in found if x.bits > 0.0]),
        ("Against it", [x for x in found if x.bits < 0.0]),
    )
    return [f"{side}: {'; '.join(map(reason_words, part[:6]))}." for side, part in sides if part]


def _done(visit: Visit, reader: str) -> list[str]:
    told = []
    for job in visit.work[:MOST_WORK]:
        fault = "" if not job.fault else words.fault_name(job.fault, reader)
        parts = [short(job.date), short(job.did)]
        line = ": ".join(part for part in parts if part)
        told.append(" - what it mends: ".join(part for part in (line, fault) if part))
    if len(visit.work) > MOST_WORK:
        told.append(f"and {len(visit.work) - MOST_WORK} more in the visit file")
    return [line for line in told if line]


def _change_notes(case: Case, reader: str) -> list[str]:
    told, mending = [], case.mending
    if mending is None:
        if case.visit.work and not case.mended:
            told.append("The work names no fault of the catalogue, so that nothing is modelled here.")
        elif case.mended:
            told.append(
                "No machine of this kind can have what the work names, so that nothing is modelled here."
            )
        return told
    if case.visit.work:
        told.append(
            "Modelled: machines that fit what was measured and have what was mended, and the same machines, "
            "load and room without it; the middle, and in brackets where 8 of 10 of them lie."
        )
    else:
        names = " and ".join(map(name_of, mending.faults)) if reader == TECHNICIAN else "what is likeliest"
        told.append(f"Nothing was done yet: this is what mending {names} would change, if it is that.")
    told.append("What the model says of a machine with such a fault is not validated by measurements.")
    if mending.effective < FEW:
        told.append(
            "Few simulated machines fit all of it: the ranges are drawn wider than that, and still rough."
        )
    if not mending.together:
        told.append("No simulated machine has all of this at once; each stands for one of the faults.")
    if reader == TECHNICIAN and case.mended:
        shares = ", ".join(f"{name_of(k)} {percent(case.found.involved.get(k, 0.0))}" for k in case.mended)
        told.append(f"What the diagnosis gave to what was mended: {shares}.")
    if case.visit.work and not case.visit.looked_again:
        told.append("Nothing was measured after the work.")
    return told


def _saves_notes(case: Case, reader: str) -> list[str]:
    if case.mending is None:
        best = case.found.ranking[0]
        return (
            ["Nothing to mend was found, so nothing is saved."]
            if is_healthy(best) and not case.visit.work
            else []
        )
    told = [change.tariff_words(case.visit.scenario)]
    if any(line.load.startswith("-") for line in change.savings(case.mending, case.visit.scenario)):
        told.append(
            "A minus is more than before: a dryer that gets its air back, or dries to the end, can burn more "
            "gas in less time."
        )
    return told


def _sure(case: Case, reader: str) -> list[str]:
    d = case.found
    told = []
    if reader == TECHNICIAN:
        p = d.posterior
        told.append(
            f"From {p.cycles} simulated machines, {p.effective:.0f} of which count after the evidence."
        )
        if not d.enough:
            told.append("Few fit all of it: take every percentage as rough.")
        if doubted := d.doubtful():
            names = ", ".join(f"{m.name} {said(m.value, m.measurement.unit)}" for m in doubted)
            told.append(f"Fits nothing likely, read again: {names}.")
    elif not d.enough or d.doubtful():
        told.append(
            "Some of what was measured does not fit together well: take the words on how likely as rough."
        )
    told.append(
        "Measured values are as good as the figure behind \u00b1 says (two of three times). What is called "
        "modelled, and every likelihood, comes from a computer model and not from this dryer: how often "
        "faults are met and how people err is assumed, and what it says of faulty machines, a blocked vent "
        "above all, is not validated by measurements."
    )
    return told


def _made(case: Case, version: str) -> str:
    visit = case.visit
    digest = hashlib.sha256(visit.text.encode("utf-8")).hexdigest()[:12]
    bank = len(case.found.bank.batch)
    return (
        f"dryermodel {version}; machine {visit.scenario.hash}; visit {short(visit.path.name)} {digest}; "
        f"bank of {bank}, seed {case.found.seed}; status: assumed"
    )
