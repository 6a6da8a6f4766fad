"""Sobol indices: a case with a known answer, inputs that cannot matter, seeds and notes."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from dryermodel.errors import InputError
from dryermodel.scenario.model import Scenario, load_scenario
from dryermodel.studies.uncertainty.indices import sobol_study
from dryermodel.studies.uncertainty.sensitivity import Study, plan_study, runs_of, sensitivity, tail_share
from dryermodel.studies.uncertainty.uncertain import Uncertain

A, B = 7.0, 0.1


def ishigami(shares: NDArray[np.float64]) -> NDArray[np.float64]:
    x = np.pi * (2.0 * shares - 1.0)
    return np.atleast_2d(np.sin(x[:, 0]) + A * np.sin(x[:, 1]) ** 2 + B * x[:, 2] ** 4 * np.sin(x[:, 0]))


def ishigami_indices() -> tuple[list[float], list[float]]:
    """Closed form: T. Ishigami and T. Homma, Proc. ISUMA 1990, 398-403 (formulas from memory)."""
    v1 = 0.5 * (1.0 + B * np.pi**4 / 5.0) ** 2
    v2 = A**2 / 8.0
    v13 = B**2 * np.pi**8 * (1.0 / 18.0 - 1.0 / 50.0)
    total = v1 + v2 + v13
    return [v1 / total, v2 / total, 0.0], [(v1 + v13) / total, v2 / total, v13 / total]


def test_ishigami_closed_form_is_itself_right() -> None:
    # The variance by brute force, so that a slip of memory in the formulas would show.
    draws = np.random.default_rng(0).random((400_000, 3))
    v1 = 0.5 * (1.0 + B * np.pi**4 / 5.0) ** 2
    total = v1 + A**2 / 8.0 + B**2 * np.pi**8 * (1.0 / 18.0 - 1.0 / 50.0)
    assert ishigami(draws).var() == pytest.approx(total, rel=0.01)


def test_ishigami() -> None:
    best, low, high = sobol_study(ishigami, 3, 4096, seed=0)
    first, total = ishigami_indices()
    assert best.shape == (2, 1, 3)
    assert best[0, 0] == pytest.approx(first, abs=0.015)
    assert best[1, 0] == pytest.approx(total, abs=0.015)
    assert np.all(low[0, 0] - 0.01 <= first) and np.all(np.array(first) <= high[0, 0] + 0.01)
    assert np.all(low <= best) and np.all(best <= high)


def test_intervals_narrow_with_more_points() -> None:
    widths = [
        (high - low).max() for n in (256, 4096) for _, low, high in [sobol_study(ishigami, 3, n, seed=1)]
    ]
    # By the square root of the number of points: a quarter, give or take.
    assert 0.15 < widths[1] / widths[0] < 0.4


def test_additive_function_shares_out_exactly() -> None:
    # Variance of c u is c^2 / 12: shares 1 : 4 : 9.
    best, _, _ = sobol_study(lambda u: np.atleast_2d(u @ [1.0, 2.0, 3.0]), 3, 2048, seed=0)
    for order in (0, 1):
        assert best[order, 0] == pytest.approx(np.array([1.0, 4.0, 9.0]) / 14.0, abs=0.01)


def test_several_outcomes_at_once_are_those_one_by_one() -> None:
    def both(u: NDArray[np.float64]) -> NDArray[np.float64]:
        return np.concatenate([ishigami(u), np.atleast_2d(u[:, 0])])

    best, _, _ = sobol_study(both, 3, 256, seed=3)
    assert best[:, :1] == pytest.approx(sobol_study(ishigami, 3, 256, seed=3)[0], rel=1e-9)
    assert best[1, 1] == pytest.approx([1.0, 0.0, 0.0], abs=0.05)


@pytest.fixture(scope="module")
def standard() -> Scenario:
    return load_scenario("standard")


@pytest.fixture(scope="module")
def study(standard: Scenario) -> Study:
    return sensitivity(
        standard, plan_study(standard), n=128, outcomes=["cycle_time", "energy", "time_to_dry"]
    )


def test_every_default_unknown_has_its_share(standard: Scenario, study: Study) -> None:
    unknown = {u.key for u in plan_study(standard)}
    assert len(unknown) >= 12
    assert study.runs == runs_of(study.uncertain, 128) == 128 * (len(unknown) + 2)
    for outcome in study.outcomes:
        assert {i.key for i in outcome.influences} == unknown
        totals = [i.total.value for i in outcome.influences]
        assert totals == sorted(totals, reverse=True)
        assert all(i.total.low <= i.total.value <= i.total.high for i in outcome.influences)
        assert all(value >= 0.0 for value in totals)
        assert outcome.least < outcome.mean < outcome.greatest


def test_more_water_in_the_load_decides_the_energy(study: Study) -> None:
    # Mechanism: water removed is mass times moisture, and it takes most of the heat.
    energy = next(s for s in study.outcomes if s.outcome.name == "energy")
    assert {i.key for i in energy.influences[:3]} & {"load.initial_moisture", "load.dry_mass"}


def test_same_seed_same_numbers(standard: Scenario) -> None:
    vary = ["load.dry_mass=5:12 lb", "room.temperature=60:85 degF"]
    first, again, other = (
        sensitivity(standard, plan_study(standard, vary), n=64, seed=seed) for seed in (4, 4, 5)
    )
    assert first.outcomes == again.outcomes
    assert first.outcomes != other.outcomes


def test_what_cannot_matter_gets_nothing(standard: Scenario) -> None:
    # The very-dry dial position does nothing at the normal setting; the marked moisture only sets when a
    # moment is noted, and so the integrator's steps, not what happens.
    vary = ["load.dry_mass=5:12 lb", "machine.dial_very_dry=1:9 min", "controls.marked_moisture=2:6 %"]
    found = sensitivity(standard, plan_study(standard, vary), n=128)
    for outcome in found.outcomes:
        by_key = {i.key: i for i in outcome.influences}
        idle = by_key["machine.dial_very_dry"]
        assert idle.total == idle.first == (0.0, 0.0, 0.0)
        mark = by_key["controls.marked_moisture"]
        assert abs(mark.total.value) < 0.02
        assert mark.first.low <= 0.0 <= mark.first.high
        assert by_key["load.dry_mass"].total.value > 0.9


def test_counts_are_drawn_whole(standard: Scenario) -> None:
    elbows = plan_study(standard, ["vent.elbows=0:4"])[0]
    assert sorted(set(elbows.ppf(np.linspace(0.0, 1.0, 101)).tolist())) == [0, 1, 2, 3, 4]


def test_time_limit_is_noted() -> None:
    scenario = load_scenario("standard", ["controls.time_limit=38 min"])
    found = sensitivity(
        scenario,
        plan_study(scenario, ["load.dry_mass=5:20 lb"]),
        n=64,
        outcomes=["cycle_time", "time_to_dry"],
    )
    notes = " / ".join(found.notes())
    assert found.at_time_limit > 0
    assert "time limit of 38 min" in notes
    assert "time_to_dry: " in notes and "never got there" in notes


def test_constant_outcome_is_noted(standard: Scenario) -> None:
    found = sensitivity(standard, plan_study(standard, ["machine.dial_very_dry=1:9 min"]), n=64)
    assert all(s.constant for s in found.outcomes)
    assert "does not vary" in found.notes()[0]
    assert found.outcomes[0].influences[0].total == (0.0, 0.0, 0.0)


def test_tail_share_of_a_flat_spread_is_small() -> None:
    assert tail_share(np.linspace(0.0, 1.0, 1000)) == pytest.approx(0.03, abs=0.005)
    assert tail_share(np.zeros(10)) == 0.0


@pytest.mark.parametrize(
    ("n", "more", "told"),
    [
        (1000, {}, "power of two, such as 512 or 1024"),
        (32, {}, "outside the allowed 64 to 65536"),
        (1 << 20, {}, "outside the allowed"),
        (64, {"seed": -2}, "--seed"),
        (64, {"outcomes": ["cost"]}, "--outcome: no outcome 'cost'"),
    ],
)
def test_bad_input(standard: Scenario, n: int, more: dict[str, object], told: str) -> None:
    with pytest.raises(InputError, match=told):
        sensitivity(standard, plan_study(standard), n=n, **more)  # type: ignore[arg-type]


def test_nothing_uncertain(standard: Scenario) -> None:
    with pytest.raises(InputError, match="nothing is uncertain"):
        sensitivity(standard, [], n=64)


def test_own_distributions(standard: Scenario) -> None:
    mass = Uncertain("load.dry_mass", "triangular", 3.0, 3.8, 5.0, (), "", "ours", "assumed")
    found = sensitivity(standard, [mass], n=64)
    assert found.outcomes[0].influences[0].first.value == pytest.approx(1.0, abs=0.1)
