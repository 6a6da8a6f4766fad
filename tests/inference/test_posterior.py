"""Weights of a bank, and of one that was refined: against sums and integrals got in other ways."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.special import ndtr
from scipy.stats import t

from dryermodel.field.evidence import Evidence, gather
from dryermodel.inference import likelihood as L
from dryermodel.inference.bank import Bank
from dryermodel.inference.posterior import (
    FROM_PRIOR,
    OUTSIDE_WIDER,
    Normal,
    Pool,
    Posterior,
    Proposal,
    _log_normal_ratio,
    judged,
    log_outside,
    pool_of,
    refined,
    weigh,
)
from tests.inference.toys import LEAST, WIDTH, ToyShop, by_severity, density, line, normal_grid, toy_bank

HEALTHY, VENT, BURNER = (), ("vent_blockage",), ("weak_burner",)
NOTHING = Evidence()
TIME = gather(["cycle time=60 min +- 1 min"], [])


def three(size: int = 3000, outside: float = 0.0, seed: int = 1) -> Bank:
    """Healthy 40 min, vent 48 to 80 min by severity, burner 55 min."""
    return toy_bank(
        [
            (HEALTHY, 0.5, line(2400.0, 300.0)),
            (VENT, 0.3, by_severity(2400.0, 2400.0, 200.0)),
            (BURNER, 0.2, line(3300.0, 400.0)),
        ],
        size,
        outside,
        seed,
    )


def exact(evidence: Evidence = TIME) -> tuple[list[float], float]:
    """Marginal likelihoods of the three by integration, and the vent's mean severity."""
    (m,) = evidence.measured
    bank = three()
    width = L.width_of(m, bank.batch.numbers["cycle_time"])
    x, wx = normal_grid(801)
    bad = LEAST + (1.0 - LEAST) * (np.arange(800) + 0.5) / 800
    grid = density(m, 2400.0 + 2400.0 * bad[:, None] + 200.0 * x, L.SLIP, width) @ wx
    plain = [float(density(m, a + b * x, L.SLIP, width) @ wx) for a, b in ((2400.0, 300.0), (3300.0, 400.0))]
    return [plain[0], float(grid.mean()), plain[1]], float(grid @ bad / grid.sum())


def test_without_evidence_the_priors_stand() -> None:
    p = weigh(three(outside=0.1), NOTHING)
    share = np.array([0.5, 0.3, 0.2]) / 1.1
    assert p.probabilities == pytest.approx(share, rel=1e-9)
    assert p.outside == pytest.approx(0.1 / 1.1)


def test_hand_made_likelihood_gives_direct_sums() -> None:
    p = weigh(three(30), NOTHING)
    told = np.linspace(-3.0, 1.0, 30)
    p.__dict__["log_likelihood"] = told
    w = np.array([0.5, 0.3, 0.2])[p.pool.batch.which] * np.exp(told) / 10.0
    assert p.weights == pytest.approx(w / w.sum())
    expected = [w[p.pool.batch.which == h].sum() / w.sum() for h in range(3)]
    assert p.probabilities == pytest.approx(expected)
    assert p.effective == pytest.approx(w.sum() ** 2 / (w**2).sum())


def test_bank_s_answer_is_the_integral() -> None:
    likelihoods, severity = exact()
    p = weigh(three(12_000), TIME)
    joint = np.array([0.5, 0.3, 0.2]) * likelihoods
    assert p.probabilities == pytest.approx(joint / joint.sum(), abs=0.01)
    mine = p.pool.batch.which == 1
    mean = p.weights[mine] @ p.pool.batch.severities[mine, 0] / p.weights[mine].sum()
    assert mean == pytest.approx(severity, abs=0.01)


def test_unequal_shares_of_a_bank_do_not_weigh() -> None:
    """Twice as many machines of one kind: it is as likely as before."""
    bank = three(3000)
    p = weigh(bank, TIME)
    keep = np.flatnonzero((bank.batch.which != 0) | (np.arange(len(bank.batch)) % 2 == 0))
    shop = ToyShop(bank.workshop.rules)  # type: ignore[attr-defined]
    part = shop.simulate(bank.batch.which[keep], bank.batch.points[keep])
    counts = np.bincount(part.which)
    fewer = Posterior(bank, Pool(part, tuple(Proposal(h, int(n), None) for h, n in enumerate(counts))), TIME)
    assert fewer.probabilities == pytest.approx(p.probabilities, abs=0.01)


def test_refined_pool_integrates_the_prior() -> None:
    """Weights without their likelihood are the prior's: sums to one and its moments, whatever was drawn."""
    p = weigh(three(600), TIME)
    for _ in range(2):
        p = refined(p, np.random.default_rng(3), 3000)
    which, points = p.pool.batch.which, p.pool.batch.points
    for h in np.unique(which[600:]):
        mine = which == h
        w = np.exp(-p.pool.log_drawn[mine])
        assert w.sum() == pytest.approx(1.0, abs=0.06)
        assert w @ points[mine] == pytest.approx(np.zeros(WIDTH), abs=0.12)
        assert w @ points[mine] ** 2 == pytest.approx(np.ones(WIDTH), abs=0.2)
        assert w @ (points[mine, 2] > 1.0) == pytest.approx(1.0 - ndtr(1.0), abs=0.03)


def test_no_weight_of_a_refined_machine_outgrows_the_prior_s_share() -> None:
    p = refined(weigh(three(600), TIME), np.random.default_rng(4), 2000)
    for last in p.pool.proposals[3:]:
        mine = p.pool.batch.which == last.hypothesis
        assert np.exp(-p.pool.log_drawn[mine]).max() <= 1.0 / (200 + FROM_PRIOR * last.drawn) + 1e-12


@pytest.mark.parametrize("value", ["60 min", "95 min"])
def test_refined_answer_is_that_of_a_far_larger_bank(value: str) -> None:
    evidence = gather([f"cycle time={value} +- 10 s"], [])
    large = weigh(three(120_000), evidence)
    errors = []
    for seed in range(5):
        small = judged(weigh(three(240), evidence), seed, enough=2000.0)
        errors.append(small.probabilities - large.probabilities)
    assert np.mean(errors, axis=0) == pytest.approx(np.zeros(3), abs=0.02)
    assert np.abs(errors).max() < 0.06


def test_refinement_adds_effective_machines_and_says_how_many_cycles() -> None:
    first = weigh(three(240), TIME)
    better = judged(first, 1, enough=1000.0)
    assert better.effective > 1000.0 > first.effective
    assert better.cycles == len(better.pool.batch) == sum(x.drawn for x in better.pool.proposals)
    assert better.cycles - 240 == better.bank.workshop.simulated - 240  # type: ignore[attr-defined]


def test_enough_machines_are_not_refined_and_seeds_repeat() -> None:
    rich = weigh(three(3000), NOTHING)
    assert judged(rich, 1) is rich
    poor = weigh(three(240), TIME)
    one, same, other = (judged(poor, seed, enough=900.0).probabilities for seed in (1, 1, 2))
    assert np.array_equal(one, same)
    assert not np.array_equal(one, other)


def test_fresh_cycles_are_the_most_that_are_drawn() -> None:
    poor = weigh(three(240), TIME)
    assert judged(poor, 1, fresh=0, enough=1e9) is poor
    for fresh in (400, 4000):
        assert judged(poor, 1, fresh, enough=1e9).cycles - 240 == pytest.approx(fresh, abs=0.1 * fresh + 80)


def test_ratio_of_a_proposal_is_that_of_two_normal_densities() -> None:
    from scipy.stats import multivariate_normal

    covariance = np.array([[0.5, 0.2], [0.2, 0.3]])
    near = Normal(np.array([1, 3]), np.array([0.7, -0.4]), np.linalg.cholesky(covariance))
    points = np.random.default_rng(1).standard_normal((6, WIDTH))
    own = multivariate_normal(near.mean, covariance).logpdf(points[:, [1, 3]])
    prior = multivariate_normal(np.zeros(2)).logpdf(points[:, [1, 3]])
    assert _log_normal_ratio(near, points) == pytest.approx(own - prior)


def test_one_strange_reading_is_a_slip_and_three_are_something_outside() -> None:
    names = ("cycle_time", "time_to_marked", "heat_on_first")
    bank = toy_bank(
        [(HEALTHY, 0.97, lambda x, _: dict.fromkeys(names, 2400.0 + 300.0 * x[:, 2]))], 3000, 0.03
    )
    usual, strange = (
        [f"{name}={value} s +- 60 s" for name in ("cycle time", "time to dry", "first burn")]
        for value in (2450, 6600)
    )
    told = [weigh(bank, gather([*strange[:n], *usual[n:]], [])).outside for n in range(4)]
    assert told[0] < 0.03 and told[1] < 0.3 and told[3] > 0.9
    assert told == sorted(told)


def test_what_something_outside_would_show_is_half_as_wide_as_the_bank_and_half_anywhere() -> None:
    bank = three()
    low, tenth, middle, most, high = np.quantile(
        bank.batch.numbers["cycle_time"], [0.01, 0.1, 0.5, 0.9, 0.99]
    )
    scale = OUTSIDE_WIDER * (most - tenth) / 2.56
    at = np.linspace(low, high, 1000)
    told = [np.exp(log_outside(bank, gather([f"cycle time={v!r} s +- 60 s"], []))) for v in map(float, at)]
    near = t(L.FREEDOM, middle, scale)
    assert np.trapezoid(told, at) == pytest.approx(
        0.5 * (near.cdf(high) - near.cdf(low)) + 0.5 / OUTSIDE_WIDER, abs=1e-3
    )


def test_pool_of_a_bank_counts_each_hypothesis() -> None:
    pool = pool_of(three(31))
    assert [p.drawn for p in pool.proposals] == [10, 10, 10]
    assert np.exp(pool.log_drawn) == pytest.approx(np.full(30, 10.0))
