"""A bank of simulated machines small enough for the page: the numbers its questions need, in 16 bits each."""

from __future__ import annotations

import base64
import re
from typing import TYPE_CHECKING, Any

import numpy as np

from dryermodel.field.beyond import Machine
from dryermodel.field.complaints import complaints
from dryermodel.field.measurements import ADVANCE, measurements
from dryermodel.field.observations import observations
from dryermodel.inference import groups, likelihood, next_test, posterior
from dryermodel.inference.cautions import SEEN_DANGERS
from dryermodel.inference.diagnosis import SHOWN, TRUSTED
from dryermodel.scenario.files import shipped_scenarios
from dryermodel.scenario.model import load_scenario
from dryermodel.vocabulary import MARKS

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from dryermodel.inference.bank import Bank
    from dryermodel.scenario.model import Scenario

    Array = NDArray[np.float64]

SIZE = 6000
"""Machines in the page's bank."""

STEPS, NONE = 65534, 65535
"""Greatest of the 16-bit numbers that stand for a value, and the one that stands for none."""

WIDE = 100.0
"""Ratio of greatest to least of a positive number from which on its logarithm is kept."""


def bank_data(bank: Bank) -> dict[str, Any]:
    """Return a bank as the page reads it.

    Parameters
    ----------
    bank : Bank
        Its priors and machines.
    """
    batch, held = bank.batch, [name for name in needed() if name in bank.batch.numbers]
    return {
        "title": bank.scenario.title,
        "scenario": bank.scenario.name,
        "hypotheses": [[list(h.faults), h.weight] for h in bank.hypotheses],
        "outside": bank.priors.outside,
        "machines": len(batch),
        "which": packed(batch.which.astype("<u2")),
        "severities": [packed(np.rint(batch.severities[:, i] * STEPS).astype("<u2")) for i in (0, 1)],
        "numbers": {name: {**coded(batch.numbers[name]), "ends": bank.ends(name)} for name in held},
        "constants": constants(),
        "machine": bounds(bank.scenario),
        "differs": differences(bank.scenario),
        "seenDangers": SEEN_DANGERS,
    }


def bounds(scenario: Scenario) -> dict[str, Any]:
    """Return what bounds the readings of a machine [SI], whatever is wrong with it."""
    machine = Machine(scenario)
    p = machine.numbers
    return {
        "electric": machine.electric,
        "deadHead": machine.dead_head,
        "freeDelivery": machine.free_delivery,
        "firingRate": p.firing_rate,
        "roomTemp": p.room_temp,
        "humidity": machine.humidity,
        "pressure": p.pressure,
    }


def differences(scenario: Scenario) -> dict[str, list[str]]:
    """Return by name of a shipped scenario what it has other than this one, each as a line to read."""
    own = {row.key: row for row in scenario.with_faults({}).resolved()}
    found = {}
    for name in shipped_scenarios():
        rows = [row for row in load_scenario(name).resolved() if row.key in own]
        other = [(row, own[row.key]) for row in rows if own[row.key].si != row.si]
        found[name] = [f"{row.key} {tidy(row.text)}, here {tidy(mine.text)}" for row, mine in other]
    return found


def tidy(text: str) -> str:
    """Return a value as written, without the digits that a sum of shares leaves behind.

    >>> tidy("58.50000000000001 %"), tidy("8.45 lb")
    ('58.5 %', '8.45 lb')
    """
    return re.sub(r"\d+\.\d{6,}", lambda number: f"{float(number[0]):.6g}", text)


def constants() -> dict[str, Any]:
    """Return the constants of likelihood, posterior, grouping and the next test."""
    from scipy.special import gammaln

    half = 0.5 * likelihood.FREEDOM
    top = float(gammaln(half + 0.5) - gammaln(half) - 0.5 * np.log(likelihood.FREEDOM * np.pi))
    return {
        "freedom": likelihood.FREEDOM,
        "logTop": top,
        "slip": likelihood.SLIP,
        "stands": likelihood.STANDS,
        "disturbed": posterior.DISTURBED,
        "doubted": posterior.DOUBTED,
        "anywhere": posterior.ANYWHERE,
        "alike": groups.ALIKE,
        "farBehind": groups.FAR_BEHIND,
        "trusted": TRUSTED,
        "answers": groups.ANSWERS,
        "steps": groups.STEPS,
        "shown": SHOWN,
        "next": {
            "kept": next_test.KEPT,
            "results": next_test.RESULTS,
            "shuffles": next_test.SHUFFLES,
            "leastBits": next_test.LEAST_BITS,
            "settingUp": next_test.SETTING_UP,
        },
    }


def needed() -> list[str]:
    """Return the names of the numbers that the page's questions are held against."""
    found = [n for m in measurements().values() if m.name != ADVANCE for n in m.states.values()]
    found += [f"dial_at_{minute}min" for minute in MARKS]
    asked = [*observations().values(), *(c.as_seen for c in complaints().values())]
    found += [o.number for o in asked if o.number]
    return list(dict.fromkeys(found))


def coded(values: Array) -> dict[str, Any]:
    """Return numbers in 16 bits each, evenly between their ends, or their logarithms where they reach far.

    >>> coded(np.array([1.0, 2.0, np.nan]))["low"]
    1.0
    """
    there = np.isfinite(values)
    known = values[there] if there.any() else np.zeros(1)
    far = bool(known.min() > 0.0 and known.max() > WIDE * known.min())
    scaled = np.log(np.where(there, values, known[0])) if far else np.where(there, values, known[0])
    low, high = float(scaled[there].min(initial=np.inf)), float(scaled[there].max(initial=-np.inf))
    low, high = (low, high) if there.any() else (0.0, 0.0)
    span = high - low if high > low else 1.0
    codes = np.where(there, np.rint((scaled - low) / span * STEPS), NONE).astype("<u2")
    return {"low": low, "span": span, "far": far, "codes": packed(codes)}


def packed(codes: NDArray[Any]) -> str:
    """Return 16-bit numbers as text."""
    return base64.b64encode(codes.tobytes()).decode("ascii")
