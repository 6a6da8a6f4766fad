"""A diagnosis as a page to read."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from dryermodel.field.complaints import complained_of
from dryermodel.field.evidence import said
from dryermodel.field.measurements import Measurement
from dryermodel.findings.fault_words import fault_amount
from dryermodel.inference.bank import LONGEST
from dryermodel.inference.cautions import cautions, must_leave
from dryermodel.inference.diagnosis import SHOWN, Interval, Ranked, Reason, is_healthy
from dryermodel.inference.priors import HEALTHY
from dryermodel.scenario.faults import find_fault
from dryermodel.show.text.columns import WIDEST, wrap
from dryermodel.show.text.complaint import not_understood

if TYPE_CHECKING:
    from collections.abc import Sequence

    from dryermodel.field.evidence import Measured
    from dryermodel.inference.diagnosis import Diagnosis
    from dryermodel.inference.gains import Gain
    from dryermodel.inference.next_test import NextTest, Pointer
    from dryermodel.scenario.faults import Fault

Table = tuple[list[str], list[list[str]]]

MOST = 8
"""Lines of a ranking, of tests and of reasons."""

SURE = 0.9
"""Probability from which on a group counts as found."""

FAINT = 0.15
"""Bits of evidence below which a piece is not worth a word."""


def name_of(key: str) -> str:
    """A fault's key in words, short enough for a table.

    >>> name_of("vent_blockage"), name_of("healthy")
    ('vent blockage', 'nothing wrong')
    """
    return "nothing wrong" if key == HEALTHY else key.replace("_", " ")


def title_of(key: str) -> str:
    """A fault's name for people."""
    return "Nothing wrong" if key == HEALTHY else find_fault(key).title


def heading(d: Diagnosis) -> list[str]:
    """Machine, evidence and what comes first for safety."""
    evidence = d.evidence
    told = [f"{m.name} {said(m.value, m.measurement.unit)}" for m in evidence.measured]
    told += [f"{s.name}: {'yes' if s.yes else 'no'}" for s in evidence.seen]
    words = f'"{evidence.complaint}"; ' if evidence.complaint else ""
    lines = [d.bank.scenario.title]
    if d.bank.scenario.faults:
        named = " and ".join(map(name_of, d.bank.scenario.faults))
        lines += wrap(f"Its scenario has {named}: left out here, since what is wrong is asked.", WIDEST)
    known = f"What is known: {words}{', '.join(told) or 'nothing measured yet'}"
    lines += wrap(f"{known.removesuffix('.')}.", WIDEST)
    if evidence.complaint and not complained_of(evidence.complaint) and not must_leave(d):
        lines += wrap(not_understood(evidence.complaint), WIDEST)
    for text in cautions(d):
        lines += wrap(text, WIDEST, "FIRST: ", "       ")
    return lines


def ranking_table(d: Diagnosis, si: bool = False) -> Table:
    """What may be wrong, the likeliest first; severities in metric units on request."""
    headers = ["likely", "what; / where no reading so far tells apart", "how bad, if it is that (80 %)"]
    shown = [r for r in d.ranking if r.probability >= SHOWN][:MOST]
    rows = [[percent(r.probability), short_name(r), _severity(r, si)] for r in shown]
    rest = sum(r.probability for r in d.ranking) - sum(r.probability for r in shown)
    if rest >= 0.005:
        rows.append([percent(rest), "everything else in the catalogue", ""])
    rows.append([percent(d.unexplained), "nothing in the catalogue explains this", ""])
    return headers, rows


def short_name(r: Ranked) -> str:
    """A group on one line: its likeliest members by name."""
    likely = likely_of(r, 0.05)
    more = len(r.faults) - len(likely)
    if r.together:
        return " with ".join(map(name_of, likely))
    return " / ".join(map(name_of, likely)) + others(more)


def others(more: int) -> str:
    """What is said of the rest of a group.

    >>> others(0), others(1), others(4)
    ('', ' / 1 more, less likely', ' / 4 more, less likely')
    """
    return f" / {more} more, less likely" if more else ""


def likely_of(r: Ranked, share: float) -> list[str]:
    """Up to three of a group that hold so much of it [1]; of many that hold little each, the first three."""
    if r.together:
        return list(r.faults[:3])
    return [key for key in r.faults if r.members[key] >= share * r.probability][:3] or list(r.faults[:3])


def _severity(r: Ranked, si: bool) -> str:
    graded = [key for key in likely_of(r, 0.05) if key in r.severities]
    return "; ".join(severity_text(key, r.severities[key], si) for key in graded)


def severity_text(key: str, s: Interval, si: bool = False) -> str:
    """How bad a fault is, as the technician says it, in metric units on request.

    >>> severity_text("vent_blockage", Interval(0.5, 0.6, 0.7))
    '50 % to 70 %'
    """
    fault = find_fault(key)
    ends = (_rounded(_amount(fault, s.low, si)), _rounded(_amount(fault, s.high, si)))
    return f"{ends[0]} to {ends[1]}"


def _amount(fault: Fault, severity: float, si: bool) -> str:
    return fault_amount(fault, severity, si=True) if si else fault.said(severity)


def _rounded(text: str) -> str:
    """A number with its unit to two digits."""
    number, _, unit = text.partition(" ")
    try:
        value = float(number)
    except ValueError:
        return text
    return f"{float(f'{value:.2g}'):g} {unit}".rstrip()


def percent(p: float) -> str:
    """A probability; what is all but certain or impossible is not rounded to it.

    >>> percent(0.347), percent(0.9997), percent(0.0004), percent(0.0)
    ('35 %', '> 99 %', '< 1 %', '< 1 %')
    """
    if p > 0.995:
        return "> 99 %"
    return "< 1 %" if p < 0.005 else f"{100.0 * p:.0f} %"


def verdict(d: Diagnosis, si: bool = False) -> list[str]:
    """What the ranking comes to, in words; in metric units on request."""
    best = d.ranking[0]
    lines: list[str] = []
    if d.unexplained > 0.5:
        lines.append(
            "Nothing in the catalogue explains this well: check the readings first, then look for what this "
            "program does not know."
        )
    elif is_healthy(best):
        lines.append(_healthy(d, si))
    elif best.probability >= SURE:
        lines.append(f"{titles(best)}: {percent(best.probability)}.")
    else:
        lines.append(f"Not certain yet. First, with {percent(best.probability)}: {titles(best)}.")
    if len(best.faults) > 1 and not best.together:
        if len(likely_of(best, 0.1)) > 1:
            lines.append("No reading so far tells these apart; a look at each does (see the tests below).")
        if (nothing := d.sound) > max(best.members.values()):
            lines.append(f"Nothing wrong with it, with {percent(nothing)}, is likelier than any one of them.")
    outside = [key for key in best.faults if key != HEALTHY and not find_fault(key).dryer_at_fault]
    if outside and len(outside) == len(best.faults):
        lines.append("Then the dryer is fine and what is around it is not: say so.")
    doubted = d.doubtful()
    once, again = ([m for m in doubted if (m.times > 1) == more] for more in (False, True))
    lines.append(_doubt(once, "read again; if it stands, write it down twice, and"))
    lines.append(_doubt(again, "it stands, so"))
    if not d.enough:
        lines.append(
            f"Few of the simulated machines fit all of it ({d.posterior.effective:.0f} effective of "
            f"{d.posterior.cycles}): take the percentages as rough, and check the reading that fits worst."
        )
    return [line for text in lines if text for line in wrap(text, WIDEST)]


def _doubt(doubted: Sequence[Measured], what: str) -> str:
    """What is said of measurements that fit nothing likely, and what is to be done; empty for none."""
    if not doubted:
        return ""
    names = " and ".join(f"{m.name} {said(m.value, m.measurement.unit)}" for m in doubted)
    fit = "fit" if len(doubted) > 1 else "fits"
    return f"{names} {fit} nothing likely in the catalogue: {what} look for what this program does not know."


def titles(r: Ranked) -> str:
    """The likeliest of a group by their titles."""
    words = [f'"{title_of(key)}"' for key in likely_of(r, 0.1)]
    return (" together with " if r.together else " or ").join(words)


def _healthy(d: Diagnosis, si: bool) -> str:
    p = percent(d.ranking[0].probability)
    looked = bool(d.evidence.measured or d.evidence.seen)
    hidden = hidden_words(d, si) if looked else ""
    tail = f" What could be there without showing: {hidden}." if hidden else ""
    return (
        f"Nothing wrong with it stands first ({p}). One long load is ordinary: loads of one home scatter by "
        f"half of their time, and thick or dripping loads take longest.{tail}"
    )


def hidden_words(d: Diagnosis, si: bool = False) -> str:
    """How bad some faults could be without having shown, in metric units on request."""
    told = []
    for key, worst in sorted(d.hidden(), key=lambda item: -d.involved[item[0]])[:4]:
        fault = find_fault(key)
        way = "up" if fault.amount(1.0) >= fault.amount(0.0) else "down"
        told.append(f"{name_of(key)}, {way} to {_rounded(_amount(fault, worst, si))} ({fault.quantity})")
    return "; ".join(told)


def reason_lines(d: Diagnosis) -> list[str]:
    """Evidence for and against each of the first groups, measured beside predicted."""
    lines: list[str] = []
    for r in [r for r in d.ranking if r.probability >= 0.05][:4]:
        lines += wrap(f"{short_name(r)} ({percent(r.probability)})", WIDEST)
        found = [reason for reason in d.reasons(r) if abs(reason.bits) >= FAINT][:MOST]
        for word, part in (
            ("for", [x for x in found if x.bits > 0.0]),
            ("against", [x for x in found if x.bits < 0.0]),
        ):
            if part:
                lines += wrap("; ".join(map(reason_words, part)) + ".", WIDEST, f"  {word}: ", "       ")
    return lines


def reason_words(x: Reason) -> str:
    """One piece of evidence, what was to be expected, and how much it says."""
    strength = "strongly " if abs(x.bits) >= 2.0 else "slightly " if abs(x.bits) < 0.6 else ""
    if x.measurement is None:
        share = x.predicted if isinstance(x.predicted, float) else math.nan
        yes = share if x.measured else 1.0 - share
        return f"{strength}{x.name}: {'yes' if x.measured else 'no'} ({percent(yes)} of such machines)"
    unit = x.measurement.measurement.unit
    expected = _expected(x.predicted, unit)
    return f"{strength}{x.name} {said(float(x.measured), unit)} ({expected})"


def _expected(predicted: Interval | float, unit: str) -> str:
    if not isinstance(predicted, Interval) or math.isnan(predicted.middle):
        return "such machines have none"
    return f"expected {between(predicted.low, predicted.high, unit)}"


def between(low: float, high: float, unit: str) -> str:
    """Two values with one unit where they share it.

    >>> between(0.1, 0.2, "%")
    '10 to 20 %'
    """
    return f"{said(low, unit).partition(' ')[0]} to {said(high, unit)}"


def next_heading(d: Diagnosis) -> str:
    """What stands above the next tests; where nobody stays, they wait."""
    after = ", but not before what stands first is seen to" if must_leave(d) else ""
    return f"What to test next{after} (most told for a minute of work)"


def next_lines(d: Diagnosis, tests: Sequence[NextTest]) -> list[str]:
    """What to do next, and where each result would point."""
    if not tests:
        return ["No test in the list would tell more than is known."]
    lines: list[str] = []
    for i, t in enumerate(tests[:5], 1):
        tools = ", ".join(x for x in t.test.tools if x != "hand")
        work = f"{t.minutes:.0f} min{', ' + tools if tools else ''}"
        lines += wrap(f"{t.test.question} ({t.name}; {work}; {t.bits:.2f} bit)", WIDEST, f"{i}. ", "   ")
        told = "; ".join(pointer_words(d, t, p) for p in t.pointers)
        lines += wrap(told, WIDEST, "   ", "   ")
        if t.test.caution:
            lines += wrap(f"Caution: {t.test.caution}", WIDEST, "   ", "   ")
    return lines


def pointer_words(d: Diagnosis, t: NextTest, p: Pointer) -> str:
    """Where one result of a test would point."""
    leader = " with ".join(name_of(key) for key in d.bank.hypotheses[p.leader].faults or (HEALTHY,))
    if isinstance(p.result, str):
        return f"{p.result} -> {leader} {percent(p.probability)}"
    unit = t.test.unit if isinstance(t.test, Measurement) else ""
    return f"{between(*p.result, unit)} -> {leader} {percent(p.probability)}"


def gain_table(found: Sequence[Gain]) -> Table:
    """What each repair buys if it is that fault."""
    headers = [
        "repair of",
        ALONE_OR_NOT,
        "cycle now",
        "minutes saved a load (80 %)",
        "gas and electricity saved",
    ]
    rows = []
    for g in found:
        now, time = g.before["cycle_time"], g.saved["cycle_time"]
        energy = g.saved["gas_energy"].middle + g.saved["electric_energy"].middle
        rows.append([
            name_of(g.fault), percent(g.probability), length(now.middle),
            f"{signed(time.low / 60.0, 0)} to {signed(time.high / 60.0, 0)} min{' *' if g.given_up else ''}",
            f"{signed(energy / 3.6e6, 2)} kWh",
        ])  # fmt: skip
    return headers, rows


def signed(value: float, places: int) -> str:
    """A difference with its sign; what rounds to nought has none.

    >>> signed(2.6, 0), signed(-0.003, 2), signed(-1.25, 1)
    ('+3', '0.00', '-1.2')
    """
    text = f"{value:+.{places}f}"
    return text if float(text) else text[1:]


ALONE_OR_NOT = "there, alone or not"
"""Heading of how likely a fault is there at all; the ranking has it alone and with each other apart."""

GIVEN_UP = (
    f"* Some of these cycles do not end and are given up after {LONGEST / 60.0:.0f} min, before the repair "
    "or after it: what is saved there, or lost, may be much more."
)
"""What savings mean where the bank gave cycles up."""

LOSES = (
    "Less than 0: mended, it takes more, because as it is it stops early, runs without heat or heats less "
    "air. Then the repair is for dryness and safety."
)
"""What a saving below nought means."""


SMALLER = "Overload mended is a smaller load: the laundry that is left out needs one of its own."
"""What a saving of the load's size leaves out."""


def gain_notes(found: Sequence[Gain]) -> list[str]:
    """What has to be said below the table of repairs."""
    below = any(
        g.saved["cycle_time"].low <= -30.0
        or g.saved["gas_energy"].middle + g.saved["electric_energy"].middle <= -18000.0
        for g in found
    )
    lines = wrap(GIVEN_UP, WIDEST) if any(g.given_up for g in found) else []
    lines += wrap(LOSES, WIDEST) if below else []
    return lines + (wrap(SMALLER, WIDEST) if any(g.fault == "overload" for g in found) else [])


def length(time: float) -> str:
    """A cycle's length; the bank gives endless ones up."""
    return f"over {LONGEST / 60.0:.0f} min" if time >= 0.999 * LONGEST else f"{time / 60.0:.0f} min"


def closing(d: Diagnosis) -> list[str]:
    """What it stands on."""
    p = d.posterior
    return wrap(
        f"From {p.cycles} simulated machines of this kind ({p.effective:.0f} effective), seed {d.seed}. "
        "How often faults are met, how instruments and people err, where the high limit sits: assumed, not "
        "validated (docs/diagnosis.md). Rating plate, local code and licensed practice come before this.",
        WIDEST,
    )
