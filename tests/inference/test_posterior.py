"""Weights of a bank, and of one that was refined: against sums and integrals got in other ways."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.special import ndtr

from dryermodel.field.evidence import Evidence, gather
from dryermodel.inference import likelihood as L
from dryermodel.inference.bank import Bank
from dryermodel.inference.posterior import (
    ANYWHERE,
    DISTURBED,
    DOUBTED,
    Pool,
    Posterior,
    Proposal,
    judged,
    log_outside,
    pool_of,
    refined,
    weigh,
)
from dryermodel.inference.proposals import FROM_PRIOR, INFLATED, Normal, near, ratio
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
    width = L.width_of(m, bank.ends("cycle_time"))
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

    root = np.tril(np.random.default_rng(2).standard_normal((WIDTH, WIDTH))) + 2.0 * np.eye(WIDTH)
    proposal = Normal(np.linspace(-0.4, 0.7, WIDTH), root)
    points = np.random.default_rng(1).standard_normal((6, WIDTH))
    own = multivariate_normal(proposal.mean, root @ root.T).pdf(points)
    prior = multivariate_normal(np.zeros(WIDTH)).pdf(points)
    assert ratio(proposal, points) == pytest.approx(FROM_PRIOR + (1.0 - FROM_PRIOR) * own / prior)
    assert ratio(None, points) == pytest.approx(np.ones(6))


def test_proposal_of_a_linear_machine_is_its_posterior() -> None:
    """One number on a line over one unknown, read with a normal error: the closed form of two normals."""
    bank = three(3000)
    mine = np.flatnonzero(bank.batch.which == 0)  # 2400 + 300 x, with no error of its own
    (m,) = gather(["cycle time=2600 s +- 1 min"], []).measured
    found = near(bank.batch, mine, np.zeros(len(mine)), [m])
    error = L.spread(m, np.array([m.value]))[0]
    counts = (L.FREEDOM + 1.0) / L.FREEDOM  # of a reading that fits, under Student's t
    precision = 1.0 + counts * (300.0 / error) ** 2
    mean = counts * (300.0 / error) * (m.value - 2400.0) / error / precision
    covariance = found.root @ found.root.T / INFLATED
    assert found.mean[2] == pytest.approx(mean, rel=0.03)
    assert covariance[2, 2] == pytest.approx(1.0 / precision, rel=0.05)
    others = [0, 1, 3]
    assert found.mean[others] == pytest.approx(np.zeros(3), abs=0.1)
    assert np.diag(covariance)[others] == pytest.approx(np.ones(3), abs=0.05)


def test_number_without_any_error_guides_nothing() -> None:
    """Nought on every machine and read as nought by an instrument without error: no line to divide by."""
    bank = toy_bank([(HEALTHY, 1.0, lambda x, _: {"gas_input": np.zeros(len(x))})], 300)
    (m,) = gather(["gas input=0 Btu/h"], []).measured
    exact = m._replace(accuracy=0.0, measurement=m.measurement._replace(model=0.0, model_relative=0.0))
    found = near(bank.batch, np.arange(300), np.zeros(300), [exact])
    assert found.mean == pytest.approx(np.zeros(WIDTH))
    assert np.isfinite(found.root).all()


def test_number_that_no_machine_has_guides_nothing() -> None:
    bank = three(300)
    bank.batch.numbers["cycle_time"][:] = np.nan
    found = near(bank.batch, np.arange(300), np.zeros(300), TIME.measured)
    assert found.mean == pytest.approx(np.zeros(WIDTH))
    assert found.root @ found.root.T == pytest.approx(INFLATED * np.eye(WIDTH))


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


def test_what_something_outside_would_show_is_a_healthy_machine_s_or_anywhere() -> None:
    bank = three(6000)
    numbers = bank.batch.numbers["cycle_time"]
    low, high = np.quantile(numbers, [0.01, 0.99])
    for value in (2500.0, 4300.0):
        evidence = gather([f"cycle time={value!r} s +- 60 s"], [])
        (m,) = evidence.measured
        x, w = normal_grid()
        own = float(w @ density(m, 2400.0 + 300.0 * x, L.SLIP, high - low))
        expected = (1.0 - DISTURBED) * own + DISTURBED / (ANYWHERE * (high - low))
        assert np.exp(log_outside(bank, pool_of(bank), evidence)) == pytest.approx(expected, rel=0.04)


def test_answers_of_something_outside_are_doubted() -> None:
    names = ("cycle_time", "tumbling")
    bank = toy_bank([(HEALTHY, 1.0, lambda x, _: dict.fromkeys(names, np.full(len(x), 1.0)))], 300)
    for yes, share in (("yes", 0.995), ("no", 0.005)):
        told = np.exp(log_outside(bank, pool_of(bank), gather([], [f"drum turns={yes}"])))
        assert told == pytest.approx((1.0 - DOUBTED) * share + 0.5 * DOUBTED, rel=1e-6)


def test_pool_of_a_bank_counts_each_hypothesis() -> None:
    pool = pool_of(three(31))
    assert [p.drawn for p in pool.proposals] == [10, 10, 10]
    assert np.exp(pool.log_drawn) == pytest.approx(np.full(30, 10.0))
