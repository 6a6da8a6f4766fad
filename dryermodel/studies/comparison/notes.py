"""Sentences that keep a comparison honest: what is wet, over-dried, stopped, assumed."""

from __future__ import annotations

import string
from collections.abc import Sequence
from typing import TYPE_CHECKING

from dryermodel.cycle.engine import parameters as P
from dryermodel.findings.heat import LITTLE_AIR_RATIO
from dryermodel.findings.less_air import AirCase, less_air, only_air_differs
from dryermodel.findings.statements import CAUTIONS
from dryermodel.findings.trust import rests_on_high_limit
from dryermodel.readings import quantities as Q
from dryermodel.readings.measures import combustion_air_ratio

if TYPE_CHECKING:
    from dryermodel.studies.comparison.cases import Case
    from dryermodel.studies.comparison.figures import Figures

LIKE = 0.001
"""Final moistures within a tenth of a percent of the bone-dry weight, as printed, are the same [kg/kg]."""

HOTTER = 15.0 * 5.0 / 9.0
"""15 degF of load temperature that a hand would feel [K]."""


def notes(cases: Sequence[Case], numbers: Sequence[Figures], si: bool = False) -> list[str]:
    """What must be read with the numbers, each once.

    Parameters
    ----------
    cases : sequence of Case
        All that are compared.
    numbers : sequence of Figures
        Theirs, in the same order.
    si : bool
        degC instead of degF.
    """
    found = [
        *_unended(numbers),
        *_wet(numbers),
        *_unlike(numbers),
        *_hot(numbers, si),
        *_less_air(cases, numbers, si),
        *_not_validated(cases),
        *_prices(cases),
        *_cautions(cases),
    ]
    return list(dict.fromkeys(found))


def _letters(ranks: Sequence[int]) -> str:
    """Letters of some cases, as a list.

    >>> _letters([1, 2, 4])
    'B, C and E'
    """
    names = [string.ascii_uppercase[rank] for rank in ranks]
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def _verb(ranks: Sequence[int], one: str, more: str) -> str:
    return f"{_letters(ranks)} {one if len(ranks) == 1 else more}"


def _unended(numbers: Sequence[Figures]) -> list[str]:
    ranks = [rank for rank, n in enumerate(numbers) if not n.ended]
    if not ranks:
        return []
    return [
        f"{_verb(ranks, 'does', 'do')} not end by itself: time and energy of that cycle run to the time "
        "limit of the computation, and what is really used depends on when a person stops the machine."
    ]


def _wet(numbers: Sequence[Figures]) -> list[str]:
    found = []
    for rank, n in enumerate(numbers):
        left = n.values["final_moisture"]
        if n.wet and left is not None:
            pieces = f" ({n.told})" if n.told else ""
            moisture = f"{Q.text(left, 'moisture', False)} moisture{pieces}"
            found.append(
                f"{_letters([rank])} ends wet, at {moisture}: a second run would be needed. Time, energy and "
                "cost of its cycle are of an unfinished job: no saving."
            )
    return found


def _unlike(numbers: Sequence[Figures]) -> list[str]:
    left = [n.values["final_moisture"] or 0.0 for n in numbers if not n.wet]
    if len(left) < 2 or max(left) - min(left) <= LIKE:
        return []
    listed = ", ".join(
        f"{string.ascii_uppercase[rank]} {Q.text(n.values['final_moisture'] or 0.0, 'moisture', False)}"
        for rank, n in enumerate(numbers)
        if not n.wet
    )
    return [
        f"The loads do not end equally dry ({listed}): for like with like read the figures to the same 4 %."
    ]


def _hot(numbers: Sequence[Figures], si: bool) -> list[str]:
    first = numbers[0].values["load_temp_max"]
    if first is None:
        return []
    ranks = [r for r, n in enumerate(numbers) if (n.values["load_temp_max"] or 0.0) > first + HOTTER]
    if not ranks:
        return []
    peaks = ", ".join(Q.text(numbers[r].values["load_temp_max"] or 0.0, "temperature", si) for r in ranks)
    return [
        f"{_verb(ranks, 'heats', 'heat')} the load to {peaks} against {Q.text(first, 'temperature', si)} "
        "in A: over-dried and hot is no gain, whatever the time."
    ]


def _less_air(cases: Sequence[Case], numbers: Sequence[Figures], si: bool) -> list[str]:
    """Among the cases that differ from the first in nothing but how much air is moved."""
    p = cases[0].result.parameters
    found = []
    for rank, (case, n) in enumerate(zip(cases, numbers, strict=True)):
        flow, exhaust = n.values["exhaust_flow"], n.values["exhaust_temp_bulk"]
        alike = rank == 0 or only_air_differs(p, case.result.parameters)
        if alike and flow is not None and exhaust is not None:
            trips = int(n.values["high_limit_trips"] or 0)
            found.append(AirCase(_letters([rank]), flow, exhaust, n.values["time_to_4pct"], trips))
    told = less_air(found, p, si=si)
    return [] if told is None else [told]


def _not_validated(cases: Sequence[Case]) -> list[str]:
    ranks = [rank for rank, case in enumerate(cases) if rests_on_high_limit(case.result)]
    if not ranks:
        return []
    p = cases[ranks[0]].result.parameters
    return [
        f"{_verb(ranks, 'rests', 'rest')} on the assumed high-limit coupling "
        f"({100.0 * p.high_limit_coupling:.0f} %) and lag ({p.high_limit_lag:.0f} s), not validated against "
        "measured blockage data: a direction, not a measurement."
    ]


def _prices(cases: Sequence[Case]) -> list[str]:
    found = []
    if len({case.tariff.currency for case in cases}) > 1:
        found.append("The cases have different currencies; nothing is exchanged.")
    missing = [r for r, c in enumerate(cases) if None in (c.tariff.gas_price, c.tariff.electricity_price)]
    if missing:
        found.append(
            f"{_verb(missing, 'has', 'have')} no price in {cases[missing[0]].tariff.currency}: give "
            "costs.gas_price and costs.electricity_price."
        )
    assumed = dict.fromkeys(key for case in cases for key in case.tariff.assumed)
    if assumed:
        told = "; ".join(f"{key.removeprefix('costs.')} {cases[0].scenario.texts[key]}" for key in assumed)
        told = told.replace("gas_co2 none", "gas_co2 of the kind of gas")
        found.append(f"Assumed, section costs: {told}.")
    return found


def _cautions(cases: Sequence[Case]) -> list[str]:
    wanted = ["unplug"]
    if any(case.result.high_limit_trips for case in cases):
        wanted += ["fire", "limit"]
    if any(case.result.parameters.heat_source == P.GAS_HEAT for case in cases):
        wanted.append("gas")
    ratios = [combustion_air_ratio(case.result) for case in cases]
    if any(ratio is not None and ratio < LITTLE_AIR_RATIO for ratio in ratios):
        wanted.append("co")
    return ["Caution: " + " ".join(CAUTIONS[key] for key in wanted)]
