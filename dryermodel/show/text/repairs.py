"""What repairs gain, as tables and sentences."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from dryermodel.findings.fault_words import fault_amount, who
from dryermodel.findings.statements import CAUTIONS
from dryermodel.readings import quantities as Q
from dryermodel.show.text.columns import WIDEST, right_aligned, wrap
from dryermodel.studies.repairs import DRY
from dryermodel.vocabulary import READINGS

if TYPE_CHECKING:
    from dryermodel.scenario.faults import Fault
    from dryermodel.studies.repairs import Gains, Outcome, Repairs, Span

Table = tuple[list[str], list[list[str]]]

ALL, SUM = "all together", "sum of each alone"

SAFETY_FIRST = (
    "What can hurt someone comes first, whatever it gains: exhaust in the room, a limit that trips, a blown "
    f"cut-off, the smell of gas. {CAUTIONS['unplug']} {CAUTIONS['limit']}"
)

_SENTENCE = re.compile(r"[^.]+\.(?=\s|$)")


def _text(value: float, name: str, si: bool) -> str:
    return Q.number(value, READINGS[name].kind, si, READINGS[name].decimals)


def _gain(span: Span | None, name: str, si: bool) -> str:
    """A gain with its range, when that is wider than it is printed."""
    if span is None:
        return "-"
    value, low, high = (_text(v, name, si) for v in span)
    return value if low == high else f"{value} ({low} to {high})"


def _after(outcome: Outcome) -> list[str]:
    """Minutes of the cycle, and moisture left; a star where the load is not dry."""
    minutes = Q.number(outcome.cycle_time, "time", False)
    left = Q.number(outcome.final_moisture, "moisture", False)
    return [minutes if outcome.ended else f">{minutes}", left + ("*" if outcome.final_moisture > DRY else "")]


def heading(found: Repairs, si: bool = False) -> list[str]:
    """What is wrong, and the machine before and after, as lines."""
    scenario = found.scenario
    lines = [Q.printable(scenario.title) or scenario.name]
    for fault in found.faults:
        text = f"{fault.key}, {fault_amount(fault, scenario.faults[fault.key], si)}: {fault.title}"
        lines += wrap(text, WIDEST, "  ", "    ")
    for word, outcome in (("before", found.before), ("after", found.after)):
        lines.append(f"{word:<7} {_state(outcome, si)}")
    return lines


def _state(o: Outcome, si: bool) -> str:
    end = f"ends after {Q.text(o.cycle_time, 'time', False)}" if o.ended else "does not end by itself"
    at = o.time_to_4pct
    dry = "4 % not reached" if at is None else f"4 % after {Q.text(at, 'time', False)}"
    gas, electricity = Q.text(o.gas_energy, "gas energy", si), Q.text(o.electric_energy, "energy", si)
    left = Q.text(o.final_moisture, "moisture", False)
    return f"{end}, {dry}, load left at {left}, {gas} gas, {electricity} electricity"


def time_table(found: Repairs, si: bool = False) -> Table:
    """Each repair alone, all together and the sum: minutes saved."""
    names = ("cycle_time", "time_to_4pct")
    headers = ["repair", "then min", "left %", "min saved a cycle", "min saved to 4 %"]
    lines = [
        [key, *_after(outcome), *(_gain(gains[name], name, si) for name in names)]
        for key, (outcome, gains) in found.each.items()
    ]
    lines.append([ALL, *_after(found.after), *(_gain(found.together[name], name, si) for name in names)])
    lines.append([SUM, "", "", *_sums(found, names, si)])
    return right_aligned(headers, lines, 1)


def money_table(found: Repairs, si: bool = False) -> Table:
    """Each repair alone, all together and the sum: energy, money and CO2 saved by the cycle as it runs."""
    names = ("gas_energy", "electric_energy", "cost_load", "cost_year", "co2_year")
    money, mass = found.tariff.currency, Q.display("mass", si).label
    gas = Q.display("gas energy", si).label
    headers = ["repair", f"gas {gas}", "elec kWh", f"{money} a load", f"{money} a year", f"CO2 {mass} a year"]

    def cells(gains: Gains) -> list[str]:
        plain = ("gas_energy", "electric_energy", "cost_load")
        return [
            _gain(_without_range(gains[name]) if name in plain else gains[name], name, si) for name in names
        ]

    lines = [[key, *cells(gains)] for key, (_, gains) in found.each.items()]
    lines += [[ALL, *cells(found.together)], [SUM, *_sums(found, names, si)]]
    return right_aligned(headers, lines, 1)


def _without_range(span: Span | None) -> Span | None:
    return None if span is None else span._replace(low=span.value, high=span.value)


def _sums(found: Repairs, names: tuple[str, ...], si: bool) -> list[str]:
    values = [(name, found.sum_of_each(name)) for name in names]
    return ["-" if value is None else _text(value, name, si) for name, value in values]


def order_table(found: Repairs, si: bool = False) -> Table:
    """The order in which to do them, with what is saved so far."""
    names = ("cycle_time", "time_to_4pct", "cost_year")
    money = found.tariff.currency
    headers = ["", "repair", "then min", "left %", "min saved so far", "to 4 %", f"{money} a year so far"]
    lines = [
        [
            f"{rank}.",
            step.key,
            *_after(step.outcome),
            *(_gain(step.gains[name], name, si) for name in names),
        ]
        for rank, step in enumerate(found.order, start=1)
    ]
    return right_aligned(headers, lines, 2)


def remedy_lines(found: Repairs) -> list[str]:
    """What to do for each fault, in the order in which to do it, and who may do it; each caution once."""
    by_key: dict[str, Fault] = {fault.key: fault for fault in found.faults}
    lines: list[str] = []
    said: set[str] = set()
    for step in found.order:
        fault = by_key[step.key]
        fresh = [text.strip() for text in _SENTENCE.findall(fault.caution) if text.strip() not in said]
        said.update(fresh)
        caution = f" Caution: {' '.join(fresh)}" if fresh else ""
        lines += wrap(f"{fault.key}: {fault.remedy} Who: {who(fault)}.{caution}", WIDEST, "- ", "  ")
    return lines + wrap(SAFETY_FIRST, WIDEST)
