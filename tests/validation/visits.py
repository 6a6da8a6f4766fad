"""Visits whose truth is known: machines from the prior or deliberately others, read by imperfect people.

Two sets of machines are drawn. ``prior``: everything as the inference thinks it is, its own errors of
instruments, model and people included. ``different``: what the inference takes for known is moved as well,
what it thinks unknown reaches further, instruments are off by a constant all through a visit, logs are
noisier, and in one visit of ten an answer is the wrong way round; the model's own error is not added, since
these machines already differ from the model's.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from dryermodel.cycle.run.many import simulate_many
from dryermodel.field.complaints import complained_of, complaints
from dryermodel.field.evidence import Evidence, Measured, Seen, taken
from dryermodel.field.measurements import Measurement, measurements
from dryermodel.field.observations import observations
from dryermodel.inference import likelihood as L
from dryermodel.inference.bank import LONGEST, Bank, Batch, gas_of, pressures_of
from dryermodel.inference.numbers import Machines, numbers_of
from dryermodel.scenario.model import load_scenario

Array = NDArray[np.float64]
Row = NDArray[np.void]

PRIOR, DIFFERENT = "prior", "different"

THREE = ("cycle time", "final moisture", "exhaust temperature", "flame seen")
SIX = (*THREE, "vent static", "exhaust flow", "gas input")
LOG = (*SIX, "peak exhaust temperature", "burner cycles", "ignition tries", "burner on late")
EVIDENCE: Mapping[str, tuple[str, ...]] = {"three": THREE, "six": SIX, "six and a log": LOG}
"""Sets of evidence, each one part of the next; ``flame seen`` is the one answer among them."""

LOGGED = ("peak exhaust temperature", "burner cycles", "ignition tries", "burner on late")
COUNTED = ("burner cycles", "ignition tries", "high-limit trips")

SHARED = {"thermometer": "K", "manometer": "Pa", "anemometer": "", "gas meter": "", "clamp meter": ""}
"""Instruments with an offset of their own, the same for all they read on a visit."""

MISREAD = 0.1
"""Share of the different visits in which one answer is the wrong way round."""


@dataclass(frozen=True)
class Visits:
    """What is wrong on each visit, and what everybody would read there.

    Attributes
    ----------
    truth : Batch
        Machines; what is wrong with each is ``truth.which``.
    values : mapping of str to ndarray
        Result of every measurement [SI]; NaN where this machine has no such number.
    answers : mapping of str to ndarray of bool
        Answer to every question.
    said : tuple of str
        What the customer complained of, empty for nothing.
    """

    truth: Batch
    values: Mapping[str, Array]
    answers: Mapping[str, NDArray[np.bool_]]
    said: tuple[str, ...]

    def __len__(self) -> int:
        return len(self.truth)

    def evidence(self, visit: int, names: Sequence[str], complaint: str = "") -> Evidence:
        """What these tests bring on one visit; what a machine does not have is not measured."""
        measured = [self.measured(visit, name) for name in names if name in self.values]
        seen = [
            Seen(observations()[name], bool(self.answers[name][visit]))
            for name in names
            if name in self.answers
        ]
        return Evidence(tuple(m for m in measured if m is not None), tuple(seen), complaint)

    def measured(self, visit: int, name: str) -> Measured | None:
        value = float(self.values[name][visit])
        return None if np.isnan(value) else taken(measurements()[name], value)


def draw_visits(bank: Bank, kind: str, count: int, seed: int) -> Visits:
    """Draw visits of a bank's kind of machine.

    Parameters
    ----------
    bank : Bank
        Whose priors and workshop are used; none of its machines is.
    kind : str
        `PRIOR` or `DIFFERENT`.
    count, seed : int
        Of the visits.
    """
    rng = np.random.default_rng(seed)
    weights = np.array([h.weight for h in bank.hypotheses])
    which = rng.choice(len(weights), count, p=weights / weights.sum()).astype(np.int64)
    points = rng.standard_normal((count, bank.workshop.drawer.width))
    truth = _machines(bank, which, points, rng if kind == DIFFERENT else None)
    read = _read if kind == PRIOR else _read_badly
    values = {m.name: read(m, L.number_of(truth.numbers, m.number()), rng) for m in _possible(bank)}
    if kind == DIFFERENT:
        _offset(values, rng)
    for name in COUNTED:
        values[name] = np.round(values[name])
    values = {name: np.clip(v, *measurements()[name].within) for name, v in values.items()}
    return Visits(truth, values, _answers(bank, truth, rng, kind), _said(bank, truth, rng))


def _possible(bank: Bank) -> list[Measurement]:
    return [m for m in measurements().values() if m.number() in bank.batch.numbers]


def _machines(bank: Bank, which: NDArray[np.int64], points: Array, rng: np.random.Generator | None) -> Batch:
    shop = bank.workshop
    rows = shop.drawer.rows(bank.hypotheses, which, points)
    if rng is not None:
        differ(rows, rng)
    rows["time_limit"] = np.minimum(rows["time_limit"], LONGEST)
    severities = shop.drawer.severities(points)
    machines = Machines(rows, simulate_many(rows), *gas_of(bank.hypotheses, which, severities))
    numbers = numbers_of(machines, bank.healthy, *pressures_of(bank.scenario))
    return Batch(which, points, severities, numbers)


def differ(rows: Row, rng: np.random.Generator) -> None:
    """Move what the inference takes for known, and stretch what it thinks unknown, machine by machine."""

    def times(name: str, low: float, high: float) -> None:
        factor = np.exp(rng.uniform(np.log(low), np.log(high), len(rows)))
        rows[name] *= factor if rows[name].ndim == 1 else factor[:, None]

    def plus(name: str, low: float, high: float, least: float = 0.0, most: float = 1.0) -> None:
        rows[name] = np.clip(rows[name] + rng.uniform(low, high, len(rows)), least, most)

    times("exhaust_lag", 0.5, 2.5)  # sensor in its seat
    times("high_limit_lag", 0.6, 1.8)
    plus("high_limit_coupling", -0.08, 0.08)  # where the high limit sits
    plus("high_limit_metal_share", -0.15, 0.15)
    times("piece_critical_moisture", 0.6, 1.5)  # shape of the falling rate
    times("fan_dead_head", 0.85, 1.15)  # the blower's curve: its head and its steepness
    times("fan_slope", 0.65, 1.5)
    times("vent_back_pressure", 0.4, 2.5)
    times("burner_loss", 0.6, 1.6)
    plus("transfer_exponent", -0.15, 0.15)
    times("lewis_factor", 0.9, 1.1)
    plus("small_load_exponent", -0.15, 0.15)
    times("chamber_heat_capacity", 0.6, 1.7)
    times("coil_lag", 0.7, 1.4)
    times("motor_heat_share", 0.6, 1.5)
    _other_cloth(rows, rng)


def _other_cloth(rows: Row, rng: np.random.Generator) -> None:
    """Half of the loads are a family's: thin shirts, ordinary cloth and thick jeans, as wet on the whole."""
    family = load_scenario("family_load").to_parameters()
    shares, wet = np.array(family.piece_share), np.array(family.piece_moisture)
    family_mean = float(shares @ wet)
    for row in rows[rng.random(len(rows)) < 0.5]:
        mean = float(row["piece_share"] @ row["piece_moisture"])
        for name in rows.dtype.names or ():
            if name.startswith("piece_"):
                row[name] = getattr(family, name)
        row["piece_moisture"] *= mean / family_mean
        row["piece_exposure"] *= np.exp(rng.uniform(np.log(0.8), np.log(1.25)))


def _read(m: Measurement, true: Array, rng: np.random.Generator) -> Array:
    """As the likelihood has it: heavy-tailed errors of instrument and model, and now and then a slip."""
    accuracy = np.hypot(m.accuracy, m.relative * true)
    scale = np.sqrt(accuracy**2 + m.model**2 + (m.model_relative * true) ** 2)
    value = true + scale * rng.standard_t(L.FREEDOM, len(true))
    known = true[np.isfinite(true)]
    low, high = np.quantile(known, [0.01, 0.99]) if len(known) else (0.0, 1.0)
    slipped = (rng.random(len(true)) < L.SLIP) & np.isfinite(true)
    return np.where(slipped, rng.uniform(low, high, len(true)), value)


def _read_badly(m: Measurement, true: Array, rng: np.random.Generator) -> Array:
    """Normal errors of the instrument, twice as large from a log."""
    accuracy = np.hypot(m.accuracy, m.relative * true)
    return true + accuracy * rng.standard_normal(len(true)) * (2.0 if m.name in LOGGED else 1.0)


def _offset(values: dict[str, Array], rng: np.random.Generator) -> None:
    """Each instrument of a visit is off by the same number of its standard deviations all along."""
    count = len(next(iter(values.values())))
    off = {tool: rng.standard_normal(count) for tool in SHARED}
    for name, value in values.items():
        m = measurements()[name]
        for tool in m.tools:
            if tool in off:
                values[name] = value + off[tool] * np.hypot(m.accuracy, m.relative * value)


def _answers(bank: Bank, truth: Batch, rng: np.random.Generator, kind: str) -> dict[str, NDArray[np.bool_]]:
    names = list(observations())
    found = {
        name: rng.random(len(truth)) < L.share_yes(observations()[name], truth, bank.hypotheses)
        for name in names
    }
    if kind == DIFFERENT:
        wrong = rng.random(len(truth)) < MISREAD
        found["flame seen"] ^= wrong & (rng.random(len(truth)) < 0.25)
        for visit in np.flatnonzero(wrong):
            found[names[int(rng.integers(len(names)))]][visit] ^= True
    return found


def _said(bank: Bank, truth: Batch, rng: np.random.Generator) -> tuple[str, ...]:
    """What customers complain of, in words that are understood."""
    told = {
        c.name: rng.random(len(truth)) < L.share_yes(c.as_seen, truth, bank.hypotheses)
        for c in complaints().values()
        if [c] == complained_of(c.name)
    }
    return tuple("; ".join(name for name, said in told.items() if said[visit]) for visit in range(len(truth)))
