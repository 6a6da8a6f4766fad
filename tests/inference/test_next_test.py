"""The next test: information against brute force, nothing where there is none, tools and minutes."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from dryermodel.field.evidence import Evidence, gather, taken
from dryermodel.field.measurements import measurements
from dryermodel.field.observations import observations
from dryermodel.inference import likelihood as L
from dryermodel.inference.bank import Bank
from dryermodel.inference.diagnosis import diagnose
from dryermodel.inference.next_test import LEAST_BITS, SETTING_UP, NextTest, next_tests
from dryermodel.scenario.model import load_scenario
from tests.inference.toys import Rule, toy_bank

FAULTS = ("vent_blockage", "weak_burner", "igniter_open", "overload")
KINDS = ((), *((key,) for key in FAULTS))


def rule(time: float, cycles: float) -> Rule:
    """Cycle time tells; burner cycles decide whether a flame is seen; the gas input tells nothing."""
    return lambda x, bad: {
        "cycle_time": time + 200.0 * x[:, 2],
        "burner_cycles": np.full(len(x), cycles),
        "gas_input": 6000.0 + 800.0 * x[:, 3],
    }


def toy(size: int = 5000) -> Bank:
    times, cycles = (2400.0, 4200.0, 3000.0, 2600.0, 5200.0), (5.0, 5.0, 5.0, 0.0, 5.0)
    rules = [rule(t, c) for t, c in zip(times, cycles, strict=True)]
    return toy_bank([(key, 0.2, r) for key, r in zip(KINDS, rules, strict=True)], size)


NOTHING = Evidence()


def found(bank: Bank, evidence: Evidence = NOTHING) -> dict[str, NextTest]:
    return {t.name: t for t in next_tests(diagnose(bank, evidence, fresh=0))}


def entropy(p: np.ndarray[tuple[int, ...], np.dtype[np.float64]]) -> float:
    return float(-(p[p > 0] * np.log2(p[p > 0])).sum())


def test_information_of_an_answer_is_that_of_the_table() -> None:
    """Four of five machines burn: the answer's mutual information, by hand."""
    o = observations()["flame seen"]
    yes = np.array([o.yes_if_so] * 3 + [o.yes_if_not] + [o.yes_if_so])
    joint = 0.2 * np.array([yes, 1.0 - yes])
    expected = entropy(joint.sum(axis=0)) + entropy(joint.sum(axis=1)) - entropy(joint.ravel())
    assert found(toy())["flame seen"].bits == pytest.approx(expected, abs=0.02)


def test_information_of_a_measurement_is_that_of_brute_force() -> None:
    """Thousands of results drawn, each judged by all machines."""
    bank, rng = toy(), np.random.default_rng(7)
    entry, shown = measurements()["cycle time"], bank.batch.numbers["cycle_time"]
    picked = rng.choice(len(shown), 600)
    errors = L.spread(taken(entry, 3000.0), shown[picked]) * rng.standard_t(L.FREEDOM, 600)
    left = []
    for value in np.maximum(shown[picked] + errors, 30.0):
        p = np.exp(L.log_measured(taken(entry, float(value)), shown, 4000.0))
        left.append(entropy(np.bincount(bank.batch.which, p, 5) / p.sum()))
    expected = np.log2(5.0) - np.mean(left)
    assert found(bank)["cycle time"].bits == pytest.approx(expected, abs=0.12)


def test_test_that_tells_nothing_is_not_told_however_few_the_machines() -> None:
    for size in (60, 300, 5000):
        assert "gas input" not in found(toy(size))


def test_machines_counted_many_times_over_are_no_more_than_one() -> None:
    """After evidence that hardly any machine fits, a number that tells nothing still tells nothing."""
    evidence = gather(["cycle time=70 min +- 5 s"], [])
    assert diagnose(toy(300), evidence, fresh=0).posterior.effective < 120
    assert "gas input" not in found(toy(300), evidence)


def test_what_is_known_is_not_asked_again() -> None:
    evidence = gather(["cycle time=50 min"], ["flame seen"])
    assert {"cycle time", "flame seen"}.isdisjoint(found(toy(), evidence))


def test_rarer_result_points_where_it_should() -> None:
    asked = found(toy())
    yes, no = asked["flame seen"].pointers
    assert (yes.result, no.result) == ("yes", "no")
    assert KINDS[no.leader] == ("igniter_open",) and no.probability > 0.9
    assert yes.share + no.share == pytest.approx(1.0)
    low, middle, high = asked["cycle time"].pointers
    ends = [float(end) for p in (low, middle, high) for end in p.result]
    assert ends == sorted(ends)
    assert KINDS[high.leader] == ("overload",)
    assert low.share + middle.share + high.share == pytest.approx(1.0)


def test_best_rate_comes_first_and_minutes_can_be_told() -> None:
    d = diagnose(toy(), Evidence(), fresh=0)
    usual = next_tests(d)
    assert [t.rate for t in usual] == sorted((t.rate for t in usual), reverse=True)
    slow = {t.name: t for t in next_tests(d, minutes={"flame seen": 99.0})}
    assert slow["flame seen"].minutes == 99.0 + SETTING_UP
    assert slow["flame seen"].bits == found(toy())["flame seen"].bits
    assert next_tests(d, minutes={"flame seen": 99.0})[-1].name == "flame seen"
    assert all(t.bits >= LEAST_BITS for t in usual)


def test_only_tools_at_hand(bank: Bank) -> None:
    d = diagnose(bank, Evidence(), fresh=0)
    every, none, watch = (next_tests(d, tools) for tools in (None, (), ("watch",)))
    assert {tool for t in none for tool in t.test.tools} <= {"hand"}
    assert {tool for t in watch for tool in t.test.tools} <= {"hand", "watch"}
    assert len(none) < len(watch) < len(every)
    assert {t.name for t in none} < {t.name for t in every}


def test_machine_that_lacks_the_number_is_told_by_that(bank: Bank) -> None:
    """Half the machines never light: that there is no time to flame is information too."""
    two = [
        ((), 0.5, lambda x, bad: {"ignition_delay_mean": np.full(len(x), 30.0)}),
        (("igniter_open",), 0.5, lambda x, bad: {"ignition_delay_mean": np.full(len(x), np.nan)}),
    ]
    told = found(toy_bank(two, 2000))["time to flame"]
    assert told.bits == pytest.approx(1.0, abs=0.05)
    assert sum(p.share for p in told.pointers) == pytest.approx(0.5, abs=0.01)


def test_same_question_same_answer(bank: Bank) -> None:
    d = diagnose(bank, gather(["cycle time=60 min"], []), fresh=0)
    assert next_tests(d) == next_tests(d)


def test_an_electric_machine_is_not_looked_at_for_a_flame() -> None:
    gas = toy()
    electric = replace(gas, scenario=load_scenario("electric"))
    assert (
        "flame seen" in found(gas) and "flame seen" not in found(electric) and "cycle time" in found(electric)
    )
