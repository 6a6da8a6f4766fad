"""The study in small: it scores as it says, and on a few visits the diagnosis is worth what it claims."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest

from dryermodel.inference.bank import Bank, draw
from dryermodel.inference.diagnosis import Diagnosis
from dryermodel.inference.posterior import weigh
from dryermodel.inference.priors import priors_of
from dryermodel.scenario.faults import catalogue
from dryermodel.scenario.model import load_scenario
from tests.validation import advice
from tests.validation.decision_list import LINES, decide
from tests.validation.long_run import distances, part_of
from tests.validation.scores import calibration_error, difference, evenness, ranks, share
from tests.validation.study import Judge, Outcome, sound_of, study
from tests.validation.tables import FAMILIES, family, put
from tests.validation.visits import DIFFERENT, EVIDENCE, LOG, PRIOR, Visits, draw_visits


@pytest.fixture(scope="module")
def bank() -> Bank:
    """All hypotheses, thirty machines of each."""
    scenario = load_scenario("standard")
    priors = priors_of(scenario)
    return draw(scenario, priors, 30 * len(priors.hypotheses), 3)


@pytest.fixture(scope="module")
def visits(bank: Bank) -> dict[str, Visits]:
    return {kind: draw_visits(bank, kind, 80, 11) for kind in (PRIOR, DIFFERENT)}


@pytest.fixture(scope="module")
def found(bank: Bank, visits: dict[str, Visits]) -> dict[str, dict[str, Outcome]]:
    return {kind: study(bank, bank, v) for kind, v in visits.items()}


def test_truths_come_as_often_as_the_priors_say(bank: Bank) -> None:
    many = draw_visits(bank, PRIOR, 600, 5).truth.which
    healthy = bank.hypotheses[0].weight / (1.0 - bank.priors.outside)
    assert (many == 0).mean() == pytest.approx(healthy, abs=3.0 * np.sqrt(healthy / 600))


def test_readings_scatter_about_the_truth_as_the_likelihood_has_it(bank: Bank) -> None:
    from dryermodel.field.measurements import measurements

    many = draw_visits(bank, PRIOR, 600, 5)
    entry = measurements()["exhaust temperature"]
    true = many.truth.numbers[entry.number()]
    off = np.abs(many.values["exhaust temperature"] - true) / np.hypot(entry.accuracy, entry.model)
    assert np.nanmedian(off) == pytest.approx(0.7407, abs=0.09)  # of Student's t with four degrees of freedom
    assert np.array_equal(np.isnan(true), np.isnan(off))


def test_different_machines_are_different_and_their_faults_the_same(visits: dict[str, Visits]) -> None:
    one, other = visits[PRIOR].truth, visits[DIFFERENT].truth
    assert np.array_equal(one.which, other.which)
    assert np.array_equal(one.severities, other.severities)
    ratio = other.numbers["collar_duct_flow"] / one.numbers["collar_duct_flow"]
    assert np.nanstd(np.log(ratio)) > 0.02


def test_evidence_grows_and_leaves_out_what_a_machine_has_not(visits: dict[str, Visits]) -> None:
    sets = list(EVIDENCE.values())
    assert all(more[: len(fewer)] == fewer for fewer, more in pairwise(sets))
    v = visits[PRIOR]
    cold = int(np.flatnonzero(np.isnan(v.values["exhaust temperature"]))[0])
    assert "exhaust temperature" not in {m.name for m in v.evidence(cold, LOG).measured}
    assert [s.name for s in v.evidence(cold, LOG).seen] == ["flame seen"]


def test_study_s_shortcut_is_the_diagnosis_itself(bank: Bank, visits: dict[str, Visits]) -> None:
    """Likelihoods added up piece by piece, groups from kept distances: the ranking is the program's."""
    judge, v = Judge(bank), visits[PRIOR]
    for visit in range(4):
        evidence = v.evidence(visit, LOG)
        d = Diagnosis(weigh(bank, evidence), 1)
        p = judge.posterior(judge.more(judge.start(), evidence), evidence)
        assert p.probabilities == pytest.approx(d.posterior.probabilities)
        told = {frozenset(r.hypotheses): r.probability for r in d.alike}
        for members in judge.sets(p):
            assert told[frozenset(members)] == pytest.approx(p.probabilities[members].sum())


@pytest.mark.parametrize("kind", [PRIOR, DIFFERENT])
def test_diagnosis_is_far_better_than_a_guess_and_than_the_list(
    found: dict[str, dict[str, Outcome]], kind: str
) -> None:
    for o in found[kind].values():
        assert o.method.within(1).mean() > np.mean(o.listed)
        assert o.method.within(3).mean() > 0.6
        assert o.method.within(1).mean() <= o.method.within(3).mean()


def test_more_evidence_names_the_very_fault_oftener(found: dict[str, dict[str, Outcome]]) -> None:
    for sets in found.values():
        said = [np.mean(np.array(o.method.strict) <= 2) for o in sets.values()]
        assert said[-1] > said[0]
    sizes = [np.mean(o.method.size) for o in found[PRIOR].values()]
    assert sizes == sorted(sizes, reverse=True)


def test_severities_are_not_far_off(found: dict[str, dict[str, Outcome]]) -> None:
    covered = found[PRIOR]["three"].method.covered
    assert share(covered).low < 0.8 < share(covered).high + 0.05


def test_lines_of_the_list_name_faults_of_the_catalogue(bank: Bank) -> None:
    assert {line.fault for line in LINES} <= set(catalogue())
    sound = sound_of(bank)
    healthy = {name: sound[name] for name in LOG if name in sound} | {"flame seen": 1.0}
    assert decide(healthy, sound) == "healthy"
    assert decide(healthy | {"flame seen": 0.0, "ignition tries": 9.0}, sound) == "gas_shut_off"
    assert decide(healthy | {"vent static": 200.0}, sound) == "vent_blockage"
    assert decide(healthy | {"gas input": 0.8 * sound["gas input"]}, sound) == "weak_burner"


def test_every_hypothesis_has_a_family(bank: Bank) -> None:
    assert {family(h) for h in bank.hypotheses} == set(FAMILIES)


def test_wilson_s_interval_is_the_published_one() -> None:
    """15 of 148: 0.0624 to 0.1605 (Newcombe, Stat. Med. 17, 1998, table I, without continuity correction)."""
    told = share([True] * 15 + [False] * 133)
    assert (told.low, told.high) == pytest.approx((0.0624, 0.1605), abs=1e-4)
    assert str(share([])) == "none"


def test_calibration_error_of_a_calibrated_forecaster_is_small() -> None:
    rng = np.random.default_rng(1)
    said = rng.random(20_000)
    right = rng.random(20_000) < said
    assert calibration_error(said, right) < 0.02
    assert calibration_error(np.sqrt(said), right) > 0.1


def test_ranks_of_a_right_posterior_are_even_and_of_a_narrow_one_are_not() -> None:
    rng = np.random.default_rng(2)
    assert evenness(ranks(list(rng.random(500)))) > 0.01
    assert evenness(ranks(list(np.clip(0.5 + 0.1 * rng.standard_normal(500), 0, 1)))) < 1e-6


def test_difference_is_paired() -> None:
    rng = np.random.default_rng(3)
    one = rng.random(400) < 0.6
    other = one ^ (rng.random(400) < 0.05)
    told = difference(one, other)
    assert told.low < told.value < told.high
    assert told.high - told.low < 2.0 * 100.0 * np.sqrt(2 * 0.24 / 400) * 1.96


def test_advice_stops_when_sure_and_counts_its_minutes(bank: Bank, visits: dict[str, Visits]) -> None:
    v, judge = visits[PRIOR], Judge(bank)
    visit = advice.complaining(v)[0]
    steps = advice.by_advice(judge, v, visit, most=12.0)
    assert steps[0].minutes == 0.0
    assert all(after.minutes > before.minutes for before, after in pairwise(steps))
    assert all(s.minutes < 12.0 for s in steps[:-1])
    fixed = advice.by_order(judge, v, visit, ("flame seen", "drum turns"))
    assert [s.minutes for s in fixed] == [0.0, 3.0, 5.0]


def test_fixed_order_holds_known_tests_once(bank: Bank) -> None:
    assert len(set(advice.FIXED)) == len(advice.FIXED)
    assert set(advice.FIXED) <= set(advice.every_test(bank))


def test_curve_keeps_the_last_answer() -> None:
    walks = [[advice.Step(0.0, False, 0.1), advice.Step(4.0, True, 0.9)], [advice.Step(0.0, True, 0.3)]]
    assert advice.curve(walks, np.array([0.0, 3.9, 4.0, 99.0])).tolist() == [0.5, 0.5, 1.0, 1.0]
    assert advice.reached(np.array([0.2, 0.4]), np.array([0.0, 1.0]), 0.5) == np.inf


def test_part_of_a_document_is_put_between_its_marks(tmp_path: object) -> None:
    from pathlib import Path

    document = Path(str(tmp_path)) / "d.md"
    document.write_text("a\n<!-- x: run -->\nold\n<!-- end of part -->\nb\n", encoding="utf-8")
    put("x", "run", "new", document)
    put("x", "run", "newer", document)
    assert document.read_text(encoding="utf-8") == "a\n<!-- x: run -->\n\nnewer\n\n<!-- end of part -->\nb\n"
    with pytest.raises(ValueError, match="no place"):
        put("y", "run", "new", document)


def test_larger_bank_is_nearer_to_the_long_run(bank: Bank, visits: dict[str, Visits]) -> None:
    small = part_of(bank, len(bank.batch) // 3)
    assert len(small.batch) == 10 * len(bank.hypotheses)
    found = distances({"all": bank, "third": small}, bank, visits[PRIOR], range(6))
    for name in EVIDENCE:
        assert max(found["all", name]) < 1e-9 < np.median(found["third", name])
