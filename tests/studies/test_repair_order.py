"""The order of repairs by rule, on made-up outcomes: danger first, a wet load last, what counts as wet."""

from __future__ import annotations

import pytest

from dryermodel.bench.costs import tariff
from dryermodel.scenario.model import load_scenario
from dryermodel.studies.repairs import (
    DRY,
    MONEY,
    TIME,
    Done,
    Outcome,
    _order,
    dangers_left,
    plan_repairs,
    sets_of,
)

PRICES = tariff(load_scenario("standard"))


def made(cycle_time: float, moisture: float, gas_energy: float = 1e7, trips: int = 0) -> Outcome:
    return Outcome(cycle_time, True, moisture, trips, gas_energy, 1e6, None, None, None)


def outcomes(after_a: Outcome, after_b: Outcome, repaired: Outcome) -> dict[Done, Outcome]:
    """Of a machine with the faults a and b."""
    known = {frozenset("a"): after_a, frozenset("b"): after_b, frozenset("ab"): repaired}
    return {done: known.get(done, made(9000.0, 0.5)) for done in sets_of(["a", "b"])}


@pytest.mark.parametrize(
    ("repaired", "damp", "first"),
    [
        # A machine that dries to 1 %: 4 % is dry, and a shade more is not.
        (0.01, DRY, "b"),
        (0.01, DRY + 0.001, "a"),
        # One that is set to leave 6 %: up to half a percent more than that is as good.
        (0.06, 0.0649, "b"),
        (0.06, 0.0651, "a"),
    ],
)
@pytest.mark.parametrize("criterion", [TIME, MONEY])
def test_what_leaves_the_load_wet_comes_last_however_quick_or_cheap(
    repaired: float, damp: float, first: str, criterion: str
) -> None:
    slow, quick = made(3000.0, repaired, 3e7), made(1000.0, damp, 1e7)
    order = _order(outcomes(slow, quick, made(2000.0, repaired)), ["a", "b"], PRICES, criterion)
    assert order[0] == first


def test_of_two_wet_ones_the_drier_comes_first() -> None:
    found = outcomes(made(1000.0, 0.30), made(3000.0, 0.10), made(2000.0, 0.01))
    assert _order(found, ["a", "b"], PRICES, TIME) == ("b", "a")


def test_of_two_dry_ones_the_criterion_decides_and_equals_keep_their_order() -> None:
    quick, cheap = made(1000.0, 0.01, 3e7), made(3000.0, 0.01, 1e7)
    found = outcomes(quick, cheap, made(2000.0, 0.01))
    assert _order(found, ["a", "b"], PRICES, TIME) == ("a", "b")
    assert _order(found, ["a", "b"], PRICES, MONEY) == ("b", "a")
    alike = outcomes(quick, quick, made(2000.0, 0.01))
    assert _order(alike, ["a", "b"], PRICES, TIME) == ("a", "b")
    assert _order(alike, ["b", "a"], PRICES, TIME) == ("b", "a")


@pytest.mark.parametrize("criterion", [TIME, MONEY])
def test_a_limit_that_trips_is_mended_first_whatever_it_costs(criterion: str) -> None:
    """Repairing a stops the trips and makes the cycle longer and dearer; repairing b does not."""
    safe, quick = made(5000.0, 0.01, 5e7), made(1000.0, 0.01, 1e7, trips=12)
    found = outcomes(safe, quick, made(900.0, 0.01))
    assert _order(found, ["b", "a"], PRICES, criterion) == ("a", "b")
    wet = outcomes(made(5000.0, 0.3), quick, made(900.0, 0.01))
    assert _order(wet, ["b", "a"], PRICES, criterion) == ("a", "b")


def test_trips_of_the_repaired_machine_itself_are_nobody_s_danger() -> None:
    found = outcomes(made(5000.0, 0.01, trips=3), made(1000.0, 0.01, trips=3), made(900.0, 0.01, trips=3))
    assert [dangers_left(found, frozenset(done)) for done in ("a", "b", "ab")] == [0, 0, 0]
    assert _order(found, ["a", "b"], PRICES, TIME) == ("b", "a")


@pytest.mark.parametrize("criterion", [TIME, MONEY])
@pytest.mark.parametrize(
    ("dangerous", "word"),
    [("vent_blockage=75 %", "limit that trips"), ("vent_joint_leak=5 cm2", "exhaust in the room"),
     ("venturi_dusty=50 %", "carbon monoxide")],
)  # fmt: skip
def test_what_can_hurt_someone_comes_first_by_any_criterion(
    dangerous: str, word: str, criterion: str
) -> None:
    """A slow igniter costs more minutes and money than a small leak or a yellow flame, which cost none."""
    scenario = load_scenario("standard", faults=["igniter_slow=90 s", dangerous])
    first, second = plan_repairs(scenario, criterion).order
    assert first.key == dangerous.partition("=")[0] and word in first.danger
    assert (second.key, second.danger) == ("igniter_slow", "")
