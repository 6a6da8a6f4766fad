"""The order of repairs by rule, on made-up outcomes: a wet load comes last, and what counts as wet."""

from __future__ import annotations

import pytest

from dryermodel.bench.costs import tariff
from dryermodel.scenario.model import load_scenario
from dryermodel.studies.repairs import DRY, MONEY, TIME, Done, Outcome, _order, sets_of

PRICES = tariff(load_scenario("standard"))


def made(cycle_time: float, moisture: float, gas_energy: float = 1e7) -> Outcome:
    return Outcome(cycle_time, True, moisture, gas_energy, 1e6, None, None, None)


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
