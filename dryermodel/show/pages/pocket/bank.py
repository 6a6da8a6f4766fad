"""A bank of simulated machines small enough for the page: the numbers its questions need, in 16 bits each."""

from __future__ import annotations

import base64
from typing import TYPE_CHECKING, Any

import numpy as np

from dryermodel.field.complaints import complaints
from dryermodel.field.measurements import ADVANCE, measurements
from dryermodel.field.observations import observations
from dryermodel.inference import groups, likelihood, posterior
from dryermodel.inference.cautions import SEEN_DANGERS
from dryermodel.inference.diagnosis import SHOWN

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from dryermodel.inference.bank import Bank

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
        "seenDangers": SEEN_DANGERS,
    }


def constants() -> dict[str, float]:
    """Return the constants of likelihood, posterior and grouping."""
    from scipy.special import gammaln

    half = 0.5 * likelihood.FREEDOM
    top = float(gammaln(half + 0.5) - gammaln(half) - 0.5 * np.log(likelihood.FREEDOM * np.pi))
    return {
        "freedom": likelihood.FREEDOM,
        "logTop": top,
        "slip": likelihood.SLIP,
        "disturbed": posterior.DISTURBED,
        "doubted": posterior.DOUBTED,
        "anywhere": posterior.ANYWHERE,
        "alike": groups.ALIKE,
        "answers": groups.ANSWERS,
        "steps": groups.STEPS,
        "shown": SHOWN,
    }


def needed() -> list[str]:
    """Return the names of the numbers that the page's questions are held against."""
    found = [n for m in measurements().values() if m.name != ADVANCE for n in m.states.values()]
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
