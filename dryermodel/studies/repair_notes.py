"""Sentences that must be read with what repairs gain."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dryermodel.scenario.faults import RANGE_STATUS
from dryermodel.studies.repairs import DRY, MONEY

if TYPE_CHECKING:
    from dryermodel.studies.repairs import Repairs

MINUTE = 60.0

SUMMED = 0.5 * MINUTE
"""Seconds by which the sum of single gains and the gain of all must differ to be said [s]."""


def notes(found: Repairs) -> list[str]:
    """What must be read with the numbers, each once.

    Parameters
    ----------
    found : Repairs
        From :func:`dryermodel.studies.repairs.plan_repairs`.
    """
    return [
        _criterion(found),
        *_dangers(found),
        *_interaction(found),
        *_worse_alone(found),
        *_not_dry(found),
        *_range(found),
        *_prices(found),
        f"Severities and their ranges are {RANGE_STATUS}; gains are those of this load, room and program.",
    ]


def _criterion(found: Repairs) -> str:
    what = "money a load" if found.criterion == MONEY else "minutes of the cycle"
    text = (
        f"The order takes first what can hurt someone, then whatever leaves the fewest {what}; a machine "
        "that leaves its load wet comes last."
    ).replace("fewest money", "least money")
    holds = "the same" if found.order_holds else "NOT the same"
    return f"{text} It is {holds} over the whole assumed range."


def _dangers(found: Repairs) -> list[str]:
    told = [f"{step.key} because of {step.danger}" for step in found.order if step.danger]
    return [f"For safety, whatever it gains: {'; '.join(told)}."] if told else []


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
