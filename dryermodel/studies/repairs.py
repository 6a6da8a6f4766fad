"""What each repair of a machine with several faults would gain, alone, together and in order.

Every set of repairs is simulated, so what they do to each other shows. The high limit's coupling and
lag are assumed values that decide how much restricted air slows a machine; every gain is computed over
the span in which they may lie, and told as a range. Nothing is drawn at random.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from itertools import combinations, product
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from dryermodel.bench.costs import Tariff, cost, tariff
from dryermodel.cycle.engine.endings import ENDED, MOISTURE_REACHED
from dryermodel.cycle.run.many import simulate_many
from dryermodel.errors import InputError, did_you_mean
from dryermodel.readings.gaps import Gaps, gaps_of_rows
from dryermodel.scenario.faults import Fault, catalogue, find_fault

if TYPE_CHECKING:
    from dryermodel.cycle.engine.parameters import Parameters
    from dryermodel.scenario.model import Scenario

COUPLINGS, LAGS = (0.65, 0.72, 0.79), (25.0, 45.0, 90.0)
"""Assumed span of the high limit's coupling [1] and lag [s]: its ends and what the defaults take."""

_COUPLING_KEY, _LAG_KEY = "machine.high_limit_coupling", "machine.high_limit_lag"

MOST_FAULTS = 8
"""Repairs at once; every set of them is simulated."""

DRY = 0.04
"""Moisture at which like is compared with like, and above which a load is not dry [kg/kg]."""

DAMPER = 0.005
"""How much damper than the repaired machine leaves it a load may be and still count as dry [kg/kg]."""

TIME, MONEY = "time", "money"
CRITERIA = (TIME, MONEY)
"""By which the order of repairs is chosen: minutes of a cycle, or money a load."""

Done = frozenset[str]
"""Keys of the faults that have been repaired."""


class Outcome(NamedTuple):
    """What one cycle comes to."""

    cycle_time: float  # [s]
    ended: bool  # by itself, not by the time limit
    final_moisture: float  # [kg/kg]
    high_limit_trips: int
    gas_energy: float  # [J]
    electric_energy: float  # [J]
    time_to_4pct: float | None  # [s] to 4 %; None if it is never reached
    gas_energy_to_4pct: float | None  # [J]
    electric_energy_to_4pct: float | None  # [J]


class Span(NamedTuple):
    """A number with the assumed values as they are, and its least and greatest over their span."""

    value: float
    low: float
    high: float

    @property
    def spread(self) -> float:
        """Width of the range."""
        return self.high - self.low


Gains = dict[str, Span | None]
"""What is saved, by name: times [s], energies [J], money, CO2 [kg]; None where one side has no number."""


class Step(NamedTuple):
    """One repair, in the order in which to do them."""

    key: str
    danger: str  # what it takes away that can hurt someone, empty if nothing
    outcome: Outcome  # after it and those before it
    gains: Gains  # of it and those before it, against the machine before all repairs


class Repairs(NamedTuple):
    """What repairs gain."""

    scenario: Scenario  # with its faults
    tariff: Tariff
    faults: tuple[Fault, ...]
    criterion: str
    before: Outcome
    after: Outcome  # all repaired
    each: dict[str, tuple[Outcome, Gains]]  # that repair alone
    together: Gains
    order: tuple[Step, ...]
    order_holds: bool  # over the whole assumed span
    all_end: bool  # no cycle over that span is stopped by the time limit
    couplings: tuple[float, ...]
    lags: tuple[float, ...]
    rel_tolerance: float
    gaps: Gaps  # the widest of all cycles

    def sum_of_each(self, name: str) -> float | None:
        """Return the sum of what each repair gains alone, or None if one of them has no number."""
        parts = [gains[name] for _, gains in self.each.values()]
        known = [part.value for part in parts if part is not None]
        return sum(known) if len(known) == len(parts) else None


class _Variant(NamedTuple):
    """One pair of assumed values with the outcomes of every set of repairs."""

    coupling: float
    lag: float
    outcomes: dict[Done, Outcome]


def check_criterion(word: str) -> str:
    """Return the criterion; raise InputError with the nearest for another word."""
    if word not in CRITERIA:
        listed = " or ".join(f"'{name}'" for name in CRITERIA)
        raise InputError(f"is '{word}'; choose {listed}{did_you_mean(word, CRITERIA)}", "--first-by")
    return word


def plan_repairs(scenario: Scenario, criterion: str = TIME) -> Repairs:
    """Return what repairing the faults of a scenario gains.

    Parameters
    ----------
    scenario : Scenario
        With one to eight faults; each is one repair.
    criterion : str
        ``time`` or ``money``: by which the order is chosen among repairs that leave the same dangers. What
        can hurt someone goes first, whatever it gains; a machine that leaves its load wet comes last,
        however short its cycle.

    Returns
    -------
    Repairs
        Each repair alone, all together, and the order in which to do them, with ranges over the
        assumed span of the high limit's coupling and lag.

    Raises
    ------
    InputError
        No faults, too many, or an unknown criterion.
    """
    check_criterion(criterion)
    keys = tuple(scenario.faults)
    if not keys:
        raise InputError(
            "give what is wrong with --fault, or in the section faults of the scenario", "repairs"
        )
    if len(keys) > MOST_FAULTS:
        raise InputError(f"{len(keys)} faults at once are too many, at most {MOST_FAULTS}", "repairs")
    prices = tariff(scenario)
    variants, gaps = _variants(scenario, keys)
    own = variants[0]

    def gains(done: Done) -> Gains:
        saved = [_saved(v.outcomes[frozenset()], v.outcomes[done], prices) for v in variants]
        return _spans(_saved(own.outcomes[frozenset()], own.outcomes[done], prices), saved)

    order = _order(own.outcomes, keys, prices, criterion)
    chains = [frozenset(order[: i + 1]) for i in range(len(order))]
    everything = frozenset(keys)
    return Repairs(
        scenario,
        prices,
        tuple(find_fault(key) for key in keys),
        criterion,
        own.outcomes[frozenset()],
        own.outcomes[everything],
        {key: (own.outcomes[frozenset({key})], gains(frozenset({key}))) for key in keys},
        gains(everything),
        tuple(
            Step(key, _takes_away(own.outcomes, done, key), own.outcomes[done], gains(done))
            for key, done in zip(order, chains, strict=True)
        ),
        all(_order(v.outcomes, keys, prices, criterion) == order for v in variants),
        all(outcome.ended for v in variants for outcome in v.outcomes.values()),
        tuple(sorted({v.coupling for v in variants})),
        tuple(sorted({v.lag for v in variants})),
        scenario.to_parameters().rel_tolerance,
        gaps,
    )


def sets_of(keys: Sequence[str]) -> Iterator[Done]:
    """Yield every set of some of the keys, the empty one first.

    >>> [sorted(done) for done in sets_of(["a", "b"])]
    [[], ['a'], ['b'], ['a', 'b']]
    """
    for count in range(len(keys) + 1):
        for chosen in combinations(keys, count):
            yield frozenset(chosen)


def _variants(scenario: Scenario, keys: Sequence[str]) -> tuple[list[_Variant], Gaps]:
    """Return the outcomes over the assumed span of coupling and lag, the scenario's own first.

    A value that a person gave is taken as it is.
    """
    coupling, lag = float(scenario.value(_COUPLING_KEY)), float(scenario.value(_LAG_KEY))
    couplings = (coupling,) if scenario.given[_COUPLING_KEY].rank else (coupling, *COUPLINGS)
    lags = (lag,) if scenario.given[_LAG_KEY].rank else (lag, *LAGS)
    pairs = list(dict.fromkeys(product(couplings, lags)))
    done = list(sets_of(keys))
    left = [
        scenario.with_faults({k: s for k, s in scenario.faults.items() if k not in repaired}).to_parameters()
        for repaired in done
    ]
    rows = [p._replace(high_limit_coupling=c, high_limit_lag=t) for c, t in pairs for p in left]
    outcomes, gaps = _outcomes(rows, scenario.interruptions())
    found = [
        _Variant(c, t, dict(zip(done, outcomes[i * len(done) : (i + 1) * len(done)], strict=True)))
        for i, (c, t) in enumerate(pairs)
    ]
    return found, gaps


def _outcomes(
    rows: Sequence[Parameters], interruptions: Sequence[tuple[float, int]]
) -> tuple[list[Outcome], Gaps]:
    """Simulate each as it runs, and again until 4 %."""
    whole = simulate_many([p._replace(marked_moisture=DRY) for p in rows], interruptions=interruptions)
    to_dry = simulate_many([p._replace(stop_moisture=DRY) for p in rows], interruptions=interruptions)
    outcomes = [_outcome(one, other) for one, other in zip(whole, to_dry, strict=True)]
    return outcomes, gaps_of_rows(np.concatenate([whole, to_dry]))


def _outcome(whole: np.void, to_dry: np.void) -> Outcome:
    reached = int(to_dry["end_code"]) == MOISTURE_REACHED
    return Outcome(
        float(whole["cycle_time_s"]),
        int(whole["end_code"]) in ENDED,
        float(whole["final_moisture"]),
        int(whole["high_limit_trips"]),
        float(whole["gas_energy_J"]),
        float(whole["electric_energy_J"]),
        float(to_dry["cycle_time_s"]) if reached else None,
        float(to_dry["gas_energy_J"]) if reached else None,
        float(to_dry["electric_energy_J"]) if reached else None,
    )


def _saved(before: Outcome, after: Outcome, prices: Tariff) -> dict[str, float | None]:
    """What is saved, by name."""
    one, other = (
        cost(before.gas_energy, before.electric_energy, prices),
        cost(after.gas_energy, after.electric_energy, prices),
    )
    money = None if one.money is None or other.money is None else one.money - other.money
    to_dry = (before.time_to_4pct, after.time_to_4pct)
    return {
        "cycle_time": before.cycle_time - after.cycle_time,
        "time_to_4pct": None if to_dry[0] is None or to_dry[1] is None else to_dry[0] - to_dry[1],
        "gas_energy": before.gas_energy - after.gas_energy,
        "electric_energy": before.electric_energy - after.electric_energy,
        "cost_load": money,
        "cost_year": None if money is None else money * prices.loads_per_year,
        "co2_year": (one.co2 - other.co2) * prices.loads_per_year,
    }


def _spans(own: dict[str, float | None], saved: Sequence[dict[str, float | None]]) -> Gains:
    found: Gains = {}
    for name, value in own.items():
        known = [v for v in (one[name] for one in saved) if v is not None]
        found[name] = None if value is None else Span(value, min(known), max(known))
    return found


def _order(
    outcomes: dict[Done, Outcome], keys: Sequence[str], prices: Tariff, criterion: str
) -> tuple[str, ...]:
    """Repair after repair, each time the one after which the machine is safest, then best."""
    dry = max(DRY, outcomes[frozenset(keys)].final_moisture + DAMPER)
    burden = _burden(prices, criterion, dry)
    order: list[str] = []
    while len(order) < len(keys):
        left = [key for key in keys if key not in order]

        def rank(key: str) -> tuple[int, tuple[bool, float]]:
            done = frozenset((*order, key))
            return dangers_left(outcomes, done), burden(outcomes[done])

        # The first of equals: the order in which the faults stand in the catalogue or the file.
        order.append(min(left, key=rank))
    return tuple(order)


def danger_of(key: str) -> str:
    """Return what can hurt someone while a fault stays, by the catalogue; empty for most.

    >>> danger_of("vent_joint_leak"), danger_of("weak_burner")
    ('burner exhaust in the room', '')
    """
    known = catalogue().get(key)
    return known.danger if known else ""


def limit_trips(outcomes: dict[Done, Outcome], done: Done) -> bool:
    """Return whether the high limit opens after these repairs, and more often than after all of them."""
    everything = max(outcomes, key=len)
    return outcomes[done].high_limit_trips > outcomes[everything].high_limit_trips


def dangers_left(outcomes: dict[Done, Outcome], done: Done) -> int:
    """Return how many things that can hurt someone are left after some repairs.

    Parameters
    ----------
    outcomes : dict of set of keys to Outcome
        Of every set of repairs.
    done : set of str
        Those that have been made: each one left that the catalogue calls a danger counts, and a high limit
        that still trips.
    """
    everything = max(outcomes, key=len)
    left = sum(1 for key in everything - done if danger_of(key))
    return left + limit_trips(outcomes, done)


def _takes_away(outcomes: dict[Done, Outcome], done: Done, key: str) -> str:
    """What the last of some repairs takes away that can hurt someone, in words."""
    before = done - {key}
    told = [danger_of(key)]
    if limit_trips(outcomes, before) and not limit_trips(outcomes, done):
        told.append(f"a high limit that trips ({outcomes[before].high_limit_trips} times a cycle)")
    return " and ".join(text for text in told if text)


def _burden(prices: Tariff, criterion: str, dry: float) -> Callable[[Outcome], tuple[bool, float]]:
    """What is to be made small: a wet load first of all, then minutes or money."""

    def burden(outcome: Outcome) -> tuple[bool, float]:
        if outcome.final_moisture > dry:
            return True, outcome.final_moisture
        if criterion == MONEY:
            money = cost(outcome.gas_energy, outcome.electric_energy, prices).money
            return False, math.inf if money is None else money
        return False, outcome.cycle_time

    return burden
