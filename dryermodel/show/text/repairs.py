"""What repairs gain, as tables and sentences, and as data."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

from dryermodel.findings.statements import CAUTIONS
from dryermodel.readings import quantities as Q
from dryermodel.scenario.faults import RANGE_STATUS
from dryermodel.show.text.columns import WIDEST, right_aligned, wrap
from dryermodel.show.text.cycle import clean
from dryermodel.show.text.fault_pages import who
from dryermodel.show.text.faults import fault_amount
from dryermodel.studies.repairs import DRY, MONEY

if TYPE_CHECKING:
    from dryermodel.scenario.faults import Fault
    from dryermodel.studies.repairs import Gains, Outcome, Repairs, Span

Table = tuple[list[str], list[list[str]]]

ALL, SUM = "all together", "sum of each alone"
MINUTE = 60.0

KINDS = {
    "cycle_time": ("time", 1),
    "time_to_dry": ("time", 1),
    "gas": ("energy", 2),
    "electricity": ("energy", 2),
    "cost_load": ("", 3),
    "cost_year": ("", 2),
    "co2_year": ("mass", 0),
}
"""Kind of each gain, none for money, and its decimals."""

SAFETY_FIRST = (
    "What can hurt someone comes first, whatever it gains: exhaust in the room, a limit that trips, a blown "
    f"cut-off, the smell of gas. {CAUTIONS['unplug']} {CAUTIONS['limit']}"
)

_SENTENCE = re.compile(r"[^.]+\.(?=\s|$)")

SUMMED = 0.5 * MINUTE
"""Seconds by which the sum of single gains and the gain of all must differ to be said [s]."""


def _text(value: float, name: str, si: bool) -> str:
    kind, decimals = KINDS[name]
    if not kind:
        return f"{round(value, decimals) + 0.0:.{decimals}f}"
    return Q.number(value, kind, si, decimals)


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
        lines.append(f"{word:<7} {_state(outcome)}")
    return lines


def _state(o: Outcome) -> str:
    end = f"ends after {Q.text(o.cycle_time, 'time', False)}" if o.ended else "does not end by itself"
    dry = "4 % not reached" if o.time_to_dry is None else f"4 % after {Q.text(o.time_to_dry, 'time', False)}"
    energy = f"{Q.text(o.gas, 'energy', False)} gas, {Q.text(o.electricity, 'energy', False)} electricity"
    return f"{end}, {dry}, load left at {Q.text(o.final_moisture, 'moisture', False)}, {energy}"


def time_table(found: Repairs, si: bool = False) -> Table:
    """Each repair alone, all together and the sum: minutes saved."""
    names = ("cycle_time", "time_to_dry")
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
    names = ("gas", "electricity", "cost_load", "cost_year", "co2_year")
    money, mass = found.tariff.currency, Q.display("mass", si).label
    headers = ["repair", "gas kWh", "elec kWh", f"{money} a load", f"{money} a year", f"CO2 {mass} a year"]

    def cells(gains: Gains) -> list[str]:
        plain = ("gas", "electricity", "cost_load")
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
    """The order that buys most first, with what is saved so far."""
    names = ("cycle_time", "time_to_dry", "cost_year")
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


def notes(found: Repairs) -> list[str]:
    """What must be read with the numbers, each once.

    Parameters
    ----------
    found : Repairs
        From :func:`dryermodel.studies.repairs.plan_repairs`.
    """
    return [
        _criterion(found),
        *_interaction(found),
        *_worse_alone(found),
        *_not_dry(found),
        *_range(found),
        *_prices(found),
        f"Severities and their ranges are {RANGE_STATUS}; gains are those of this load, room and program.",
    ]


def _criterion(found: Repairs) -> str:
    what = "money a load" if found.criterion == MONEY else "minutes of the cycle"
    text = f"The order takes next whatever leaves the fewest {what}; a machine that leaves its load wet comes"
    text = text.replace("fewest money", "least money")
    holds = "the same" if found.order_holds else "NOT the same"
    return f"{text} last. It is {holds} over the whole assumed range."


def _interaction(found: Repairs) -> list[str]:
    total, alone = found.together["cycle_time"], found.sum_of_each("cycle_time")
    if len(found.faults) < 2 or total is None or alone is None or abs(total.value - alone) < SUMMED:
        return []
    return [
        f"Repairs act on each other: alone they save {alone / MINUTE:.1f} min in all, together "
        f"{total.value / MINUTE:.1f} min. Do not add up single gains."
    ]


def _worse_alone(found: Repairs) -> list[str]:
    losing = [
        key
        for key, (_, gains) in found.each.items()
        if (span := gains["cycle_time"]) is not None and span.value < -SUMMED
    ]
    if not losing:
        return []
    return [f"Alone, with the rest left as it is, this makes the cycle longer: {', '.join(losing)}."]


def _not_dry(found: Repairs) -> list[str]:
    outcomes = [found.before, found.after, *(o for o, _ in found.each.values())]
    lines = []
    if any(o.final_moisture > DRY for o in outcomes):
        lines.append(
            "*: the load is left above 4 %: a second run would be needed, so minutes and money of that cycle "
            "are of an unfinished job, and what a repair saves against it reads too low."
        )
    if not all(o.ended for o in outcomes):
        lines.append(
            ">: does not end by itself; time and energy run to the time limit of the computation, so what a "
            "repair saves against it depends on when a person stops the machine."
        )
    return lines


def _range(found: Repairs) -> list[str]:
    if len(found.couplings) < 2 and len(found.lags) < 2:
        return []
    low, high = 100.0 * found.couplings[0], 100.0 * found.couplings[-1]
    ends = (
        ""
        if found.all_end
        else " Some of these cycles are stopped by the time limit, which bounds the range."
    )
    return [
        f"In brackets, the assumed range: high-limit coupling {low:.0f} to {high:.0f} %, lag "
        f"{found.lags[0]:.0f} to {found.lags[-1]:.0f} s, {len(found.couplings) * len(found.lags)} "
        "pairs, each simulated. Nothing published says where in it a machine lies; without brackets it makes "
        f"no difference that shows.{ends}"
    ]


def _prices(found: Repairs) -> list[str]:
    if not found.tariff.assumed:
        return []
    texts = found.scenario.texts
    told = "; ".join(f"{key.removeprefix('costs.')} {texts[key]}" for key in found.tariff.assumed)
    return [f"Assumed, section costs: {told.replace('gas_co2 none', 'gas_co2 of the kind of gas')}."]


def remedy_lines(found: Repairs) -> list[str]:
    """What to do for each fault, in the order that buys most first, and who may do it; each caution once."""
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


def as_data(found: Repairs, version: str) -> dict[str, Any]:
    """The repairs for programs: SI, and money in the scenario's currency.

    Parameters
    ----------
    found : Repairs
        From :func:`dryermodel.studies.repairs.plan_repairs`.
    version : str
        Of the program.
    """
    return {
        "version": version,
        "scenario_hash": found.scenario.hash,
        "title": found.scenario.title,
        "faults": dict(found.scenario.faults),
        "currency": found.tariff.currency,
        "criterion": found.criterion,
        "before": _outcome_data(found.before),
        "after": _outcome_data(found.after),
        "each_alone": {
            key: {"after": _outcome_data(outcome), "saved_SI": _gains_data(gains)}
            for key, (outcome, gains) in found.each.items()
        },
        "all_together_saved_SI": _gains_data(found.together),
        "sum_of_each_alone_SI": {name: clean(found.sum_of_each(name)) for name in KINDS},
        "order": [
            {"repair": s.key, "after": _outcome_data(s.outcome), "saved_so_far_SI": _gains_data(s.gains)}
            for s in found.order
        ],
        "order_holds_over_assumed_range": found.order_holds,
        "assumed_range": {"high_limit_coupling": found.couplings, "high_limit_lag_s": found.lags},
        "status": "assumed",
        "notes": notes(found),
    }


def _outcome_data(outcome: Outcome) -> dict[str, Any]:
    numbers = {
        name: value if isinstance(value, bool) else clean(value) for name, value in outcome._asdict().items()
    }
    return {**numbers, "second_run_needed": outcome.final_moisture > DRY}


def _gains_data(gains: Gains) -> dict[str, Any]:
    return {
        name: None if span is None else {part: clean(value) for part, value in span._asdict().items()}
        for name, span in gains.items()
    }
