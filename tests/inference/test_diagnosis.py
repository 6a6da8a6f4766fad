"""The answer: ranking, severities, reasons for and against, what could be there unseen."""

from __future__ import annotations

import numpy as np
import pytest

from dryermodel.field.evidence import Evidence, gather
from dryermodel.inference import likelihood as L
from dryermodel.inference.bank import Bank
from dryermodel.inference.diagnosis import FEWEST, Diagnosis, diagnose, is_healthy, quantiles
from tests.inference.toys import by_severity, line, toy_bank

TIME = gather(["cycle time=60 min +- 1 min"], [])


def toy(outside: float = 0.02) -> Bank:
    return toy_bank(
        [
            ((), 0.5, line(2400.0, 200.0)),
            (("vent_blockage",), 0.2, by_severity(2000.0, 2400.0, 150.0)),
            (("igniter_open",), 0.08, line(3500.0, 200.0)),
            (("vent_blockage", "weak_burner"), 0.2, by_severity(2300.0, 2700.0, 150.0)),
        ],
        6000,
        outside,
    )


def test_ranking_holds_every_hypothesis_once_and_sums_to_one() -> None:
    d = diagnose(toy(), TIME, fresh=0)
    held = [h for r in d.ranking for h in r.hypotheses]
    assert sorted(held) == [0, 1, 2, 3]
    assert sum(r.probability for r in d.ranking) + d.unexplained == pytest.approx(1.0)
    assert [r.probability for r in d.ranking] == sorted((r.probability for r in d.ranking), reverse=True)


def test_pair_is_there_together_and_a_group_is_one_of_them() -> None:
    d = diagnose(toy(), TIME, fresh=0)
    by_numbers = {r.hypotheses: r for r in d.ranking}
    pair = by_numbers[(3,)]
    assert pair.together and pair.faults == ("vent_blockage", "weak_burner")
    assert set(pair.members.values()) == {pair.probability}
    assert set(pair.severities) == {"vent_blockage", "weak_burner"}
    (healthy,) = [r for r in d.ranking if is_healthy(r)]
    assert not healthy.together and healthy.severities == {}
    for r in d.ranking:
        if not r.together:
            assert sum(r.members.values()) == pytest.approx(r.probability)


def test_fault_involved_counts_alone_and_with_another() -> None:
    d = diagnose(toy(), TIME, fresh=0)
    p = d.posterior.probabilities
    assert d.involved["vent_blockage"] == pytest.approx(p[1] + p[3])
    assert d.involved["weak_burner"] == pytest.approx(p[3])


def test_severity_is_what_the_reading_says() -> None:
    """2000 s and 2400 s for each whole severity: one hour is two thirds of the way."""
    d = diagnose(toy(), TIME, fresh=0)
    told = next(r.severities["vent_blockage"] for r in d.ranking if 1 in r.hypotheses)
    assert told.middle == pytest.approx((3600.0 - 2000.0) / 2400.0, abs=0.03)
    assert told.low < told.middle < told.high
    error = np.hypot(np.hypot(60.0, 0.06 * 3600.0), 150.0) / 2400.0
    assert told.high - told.low == pytest.approx(2.0 * 1.35 * error, rel=0.25)


def test_handful_of_machines_does_not_make_a_severity_sure() -> None:
    """Sixty machines and a fine instrument: the interval is that of at least `FEWEST`."""
    rough = by_severity(2000.0, 2400.0, 900.0)
    few = toy_bank([((), 0.5, line(2400.0, 200.0)), (("vent_blockage",), 0.5, rough)], 120)
    d = diagnose(few, gather(["cycle time=55 min +- 1 s"], []), fresh=0)
    held = d._severity(1, 0)
    mine = few.batch.which == 1
    spread = np.quantile(few.batch.severities[mine, 0], [0.1, 0.9])
    assert held.high - held.low > 0.5 * float(np.ptp(spread))
    assert FEWEST >= 10.0


def test_bits_of_a_single_reading_are_its_ratio_of_odds() -> None:
    bank = toy(outside=0.0)
    before, after = (diagnose(bank, e, fresh=0).posterior.probabilities for e in (Evidence(), TIME))
    d = diagnose(bank, TIME, fresh=0)
    for r in d.ranking:
        inside = list(r.hypotheses)
        odds = [p[inside].sum() / (1.0 - p[inside].sum()) for p in (before, after)]
        (reason,) = d.reasons(r)
        assert reason.bits == pytest.approx(np.log2(odds[1] / odds[0]), abs=1e-6)
        assert reason.measured == 3600.0


def test_what_a_group_would_have_shown_does_not_lean_on_the_reading_itself() -> None:
    d = diagnose(toy(), gather(["cycle time=90 min +- 1 min"], []), fresh=0)
    healthy = next(r for r in d.ranking if is_healthy(r))
    predicted = d.reasons(healthy)[0].predicted
    assert not isinstance(predicted, float)
    assert predicted.middle == pytest.approx(2400.0, abs=20.0)
    assert predicted.high - predicted.low == pytest.approx(2.0 * 1.2816 * 200.0, rel=0.1)


def test_strongest_reason_comes_first(bank: Bank) -> None:
    d = diagnose(bank, gather(["cycle time=60 min"], ["flame seen=no"], "does not heat"), fresh=0)
    for r in d.ranking:
        bits = [abs(reason.bits) for reason in d.reasons(r)]
        assert bits == sorted(bits, reverse=True)
        assert {reason.name for reason in d.reasons(r)} == {"cycle time", "flame seen", "does not heat"}


def test_complaint_counts_as_an_answer(bank: Bank) -> None:
    silent, told = (diagnose(bank, gather([], [], said), fresh=0) for said in ("", "it does not heat"))
    cold = next(i for i, h in enumerate(bank.hypotheses) if h.name == "igniter_open")
    assert told.posterior.probabilities[cold] > 3.0 * silent.posterior.probabilities[cold]


def test_mild_fault_that_would_not_have_shown_is_told_with_how_bad_it_could_be() -> None:
    """A minute over the usual: the blockage that takes no longer than that could be there."""
    bank = toy_bank(
        [((), 0.5, line(2400.0, 100.0)), (("vent_blockage",), 0.5, by_severity(2300.0, 2000.0, 100.0))], 6000
    )
    d = diagnose(bank, gather(["cycle time=45 min +- 10 s"], []), fresh=0)
    ((fault, worst),) = d.hidden()
    assert fault == "vent_blockage"
    assert worst == pytest.approx(float(_ninth(d)), abs=0.01)
    assert 0.2 < worst < 0.55
    far = diagnose(bank, gather(["cycle time=36 min +- 10 s"], []), fresh=0)
    assert far.hidden() == [] or far.hidden()[0][1] < worst


def _ninth(d: Diagnosis) -> float:
    mine = d.posterior.pool.batch.which == 1
    bad, w = d.posterior.pool.batch.severities[mine, 0], d.posterior.weights[mine]
    order = np.argsort(bad)
    return float(np.interp(0.9, np.cumsum(w[order]) / w.sum(), bad[order]))


def test_wrong_reading_is_doubted_and_a_right_one_is_not() -> None:
    bank = toy()
    strange, usual = (gather([f"cycle time={t} +- 10 s"], []) for t in ("300 min", "42 min"))
    assert [m.name for m in diagnose(bank, strange, fresh=0).doubtful()] == ["cycle time"]
    assert diagnose(bank, usual, fresh=0).doubtful() == []
    (m,) = strange.measured
    shown = np.array([2400.0, np.nan])
    assert L.slipped(m, shown, 1e4) == pytest.approx([1.0, 1.0], abs=1e-2)


def test_a_strange_reading_that_stands_speaks_for_what_is_outside_the_catalogue() -> None:
    """Once it is rather a slip; read twice it is ten times less often one."""
    bank = toy_bank([((), 0.9, line(2400.0, 100.0))], outside=0.1)
    known = gather(["cycle time=300 min +- 10 s"], [])
    again = known._replace(measured=(known.measured[0]._replace(times=2),))
    once, twice = (diagnose(bank, evidence, fresh=0).unexplained for evidence in (known, again))
    odds = [p / (1.0 - p) for p in (once, twice)]
    assert odds[1] / odds[0] == pytest.approx(10.0, rel=0.15)


@pytest.mark.parametrize("share", [0.1, 0.5, 0.9])
def test_weighted_quantiles_are_those_of_repeated_values(share: float) -> None:
    rng = np.random.default_rng(2)
    values, counts = rng.random(300), rng.integers(1, 6, 300)
    (told,) = quantiles(values, counts.astype(float), (share,))
    assert told == pytest.approx(np.quantile(np.repeat(values, counts), share), abs=0.01)
