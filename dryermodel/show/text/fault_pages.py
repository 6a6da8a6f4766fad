"""The fault catalogue as pages to read: what it does, what is said, measured, confirmed and done."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dryermodel.findings.fault_words import fault_amount, who
from dryermodel.scenario.fault_text import plainly
from dryermodel.scenario.fault_ways import ways_of
from dryermodel.scenario.faults import RANGE_STATUS
from dryermodel.show.text.columns import wrap

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from dryermodel.scenario.fault_search import Match
    from dryermodel.scenario.faults import Fault

WIDEST = 100
INDENT = 12


def page(fault: Fault, full: bool = False) -> list[str]:
    """One fault as lines.

    Parameters
    ----------
    fault : Fault
        Of the catalogue.
    full : bool
        With how it moves the model and the keys of a scenario file that say the same.
    """
    parts = [("does", fault.effect), ("customer", fault.customer_says)]
    parts += [("measure", "; ".join(fault.measure)), ("confirms", fault.confirms), ("remedy", fault.remedy)]
    parts += [("caution", fault.caution), ("who", who(fault))]
    if full:
        parts += [("severity", _scale(fault)), ("in model", fault.rule)]
        parts += [("same as", ", ".join(fault.scenario_keys)), ("write", _examples(fault))]
    if full and fault.also:
        parts.append(("also", ", ".join(fault.also)))
    if fault.gas_only:
        parts.append(("only", "gas machines"))
    lines = wrap(f"{fault.key}: {fault.title} ({fault.place}; {_span(fault)})", WIDEST)
    for name, text in parts:
        lines += wrap(text, WIDEST, f"  {name:<{INDENT - 2}}", " " * INDENT)
    return lines


def _span(fault: Fault) -> str:
    low, high = fault_amount(fault, 0.0), fault_amount(fault, 1.0)
    return f"{low} to {high}" if fault.graded else f"{low} or {high}"


def _scale(fault: Fault) -> str:
    if not fault.graded:
        return f"on/off: 0 is {fault.at_0}, 1 is {fault.at_1} ({fault.quantity})"
    steps = ", ".join(f"{s:g} is {fault_amount(fault, s)}" for s in (0.0, 0.5, 1.0))
    return f"{steps} ({fault.quantity}); range {RANGE_STATUS}, {fault.law}"


def _examples(fault: Fault) -> str:
    if not fault.graded:
        return f"--fault {fault.key}"
    ways = [fault.at_half, *(way.example for way in ways_of(fault.key)), "severity 0.5"]
    return ", or ".join(f'--fault "{fault.key}={plainly(text)}"' for text in ways)


def pages(faults: Iterable[Fault]) -> list[str]:
    """Several faults in full, a blank line before each but the first.

    Parameters
    ----------
    faults : iterable of Fault
        In the order wanted.
    """
    lines: list[str] = []
    for fault in faults:
        lines += ([""] if lines else []) + page(fault, full=True)
    return lines


def list_lines(faults: Sequence[Fault]) -> list[str]:
    """The catalogue, one line a fault: key and title.

    Parameters
    ----------
    faults : sequence of Fault
        In the order wanted.
    """
    width = max((len(fault.key) for fault in faults), default=0) + 2
    return [f"{fault.key:<{width}}{fault.title}" for fault in faults]


def found_lines(matches: Sequence[Match]) -> list[str]:
    """Faults that were searched for: what is said, and what to measure first.

    Parameters
    ----------
    matches : sequence of Match
        From :func:`dryermodel.scenario.fault_search.search`.
    """
    lines: list[str] = []
    for match in matches:
        fault = match.fault
        lines += wrap(f"{fault.key}: {fault.title}", WIDEST)
        lines += wrap(f"said: {fault.customer_says}", WIDEST, "    ", "          ")
        lines += wrap(f"measure: {fault.measure[0]}", WIDEST, "    ", "             ")
    return lines
