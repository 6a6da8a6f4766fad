"""A bank: who is in it, what was simulated, and what a manometer would show on each machine."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.special import ndtr

from dryermodel.cycle.run import columns
from dryermodel.cycle.run.many import as_rows, simulate_many
from dryermodel.inference.bank import LONGEST, Bank, Workshop, spread_points
from dryermodel.inference.draws import TOLERANCE, Drawer, severities_of
from dryermodel.inference.priors import Priors, priors_of
from dryermodel.scenario.faults import apply_faults, find_fault
from dryermodel.scenario.model import load_scenario
from tests.inference.conftest import FEW


def of(bank: Bank, name: str) -> np.ndarray[tuple[int], np.dtype[np.int64]]:
    return np.flatnonzero(bank.batch.which == FEW.index(name))


def test_every_hypothesis_has_the_same_number_of_machines(bank: Bank) -> None:
    assert bank.counts.tolist() == [40] * len(FEW)
    assert [h.name for h in bank.hypotheses] == list(FEW)


def test_points_of_each_hypothesis_are_spread_better_than_by_chance() -> None:
    hypotheses, each, width = 53, 128, 37
    which, points = spread_points(hypotheses, hypotheses * each, width, 1)
    means = np.array([points[which == h].mean(axis=0) for h in range(hypotheses)]) * np.sqrt(each)
    assert np.sqrt((means**2).mean()) < 0.3  # 1 by chance
    shares = ndtr(points[which == 7])
    assert all(np.histogram(shares[:, i], 16, (0.0, 1.0))[0].tolist() == [8] * 16 for i in range(width))


def test_no_two_hypotheses_have_the_same_points() -> None:
    which, points = spread_points(4, 32, 5, 1)
    assert len(np.unique(points, axis=0)) == len(which)


def test_too_few_machines_are_still_one_of_each() -> None:
    which, _ = spread_points(7, 3, 4, 1)
    assert which.tolist() == list(range(7))


def test_seed_decides_the_points() -> None:
    one, same, other = (spread_points(3, 30, 4, seed)[1] for seed in (1, 1, 2))
    assert np.array_equal(one, same)
    assert not np.array_equal(one, other)


def test_machines_are_the_engine_s_own_cycles(bank: Bank) -> None:
    """A machine of the bank, made again by hand from its values and its fault."""
    shop = bank.workshop
    for name in ("healthy", "vent_blockage", "vent_blockage + weak_burner"):
        i = of(bank, name)[3]
        values = shop.drawer.values(bank.batch.points[[i]])[0]
        p = shop.drawer._make([float(v) for v in values])
        h, bad = bank.hypotheses[FEW.index(name)], bank.batch.severities[i]
        faults = {key: float(bad[place]) for place, key in enumerate(h.faults)}
        p = (apply_faults(p, faults) if faults else p)._replace(rel_tolerance=TOLERANCE)
        row = simulate_many(as_rows([p._replace(time_limit=min(p.time_limit, LONGEST))]))[0]
        assert bank.batch.numbers["cycle_time"][i] == row["cycle_time_s"]
        assert bank.batch.numbers["burner_cycles"][i] == row["burner_cycles"]


def test_rows_of_every_hypothesis_are_those_of_each_machine_by_itself(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """All faults alone and in pairs, to the last bit, with nothing left to do point by point."""
    monkeypatch.setattr(columns, "REFUSED", ())
    scenario = load_scenario("standard")
    priors = priors_of(scenario)
    drawer, hypotheses = Drawer(scenario, priors), priors.hypotheses
    which, points = spread_points(len(hypotheses), 20 * len(hypotheses), drawer.width, 3)
    found = drawer.rows(hypotheses, which, points)
    values, severities = drawer.values(points).tolist(), drawer.severities(points)
    for row, number, value, bad in zip(found, which, values, severities, strict=True):
        p, faults = drawer._make(value), severities_of(hypotheses[number], bad)
        p = (apply_faults(p, faults) if faults else p)._replace(rel_tolerance=TOLERANCE)
        assert row.tobytes() == as_rows([p])[0].tobytes(), hypotheses[number].name


def test_no_cycle_is_waited_for_longer_than_anyone_would(bank: Bank) -> None:
    assert bank.batch.numbers["cycle_time"].max() <= LONGEST


def test_manifold_pressure_is_the_square_of_the_burner_s_share(bank: Bank) -> None:
    sound = bank.healthy["manifold_pressure"]
    mine = of(bank, "weak_burner")
    fault = find_fault("weak_burner")
    shares = np.array([fault.amount(s) for s in bank.batch.severities[mine, 0]])
    assert bank.batch.numbers["manifold_pressure"][mine] == pytest.approx(sound * shares**2)
    both = of(bank, "vent_blockage + weak_burner")
    second = np.array([fault.amount(s) for s in bank.batch.severities[both, 1]])
    assert bank.batch.numbers["manifold_pressure"][both] == pytest.approx(sound * second**2)


def test_low_supply_lowers_manifold_and_supply_and_a_weak_burner_only_the_manifold(bank: Bank) -> None:
    numbers, healthy = bank.batch.numbers, bank.healthy
    low, weak = of(bank, "low_supply_pressure"), of(bank, "weak_burner")
    lost = healthy["manifold_pressure"] - numbers["manifold_pressure"][low]
    assert (lost > 0.0).all()
    assert healthy["supply_pressure"] - numbers["supply_pressure"][low] == pytest.approx(lost)
    assert (numbers["manifold_pressure"][weak] < healthy["manifold_pressure"]).all()


def test_supply_is_the_house_s_own_with_a_weak_burner(bank: Bank) -> None:
    """Regulator or orifice is at fault: the pipe before it is not."""
    weak = of(bank, "weak_burner")
    assert bank.batch.numbers["supply_pressure"][weak] == pytest.approx(bank.healthy["supply_pressure"])


def test_no_gas_no_pressure(bank: Bank) -> None:
    shut = of(bank, "gas_shut_off")
    assert (bank.batch.numbers["manifold_pressure"][shut] == 0.0).all()
    assert (bank.batch.numbers["supply_pressure"][shut] == 0.0).all()


def test_leaking_joint_is_missed_at_the_hood(bank: Bank) -> None:
    """What the blower moves goes by the collar; what a leak takes never gets to the hood."""
    numbers = bank.batch.numbers
    leak, sound = of(bank, "vent_joint_leak"), of(bank, "healthy")
    share = numbers["mid_drying_hood_flow"] / numbers["mid_drying_flow"]
    assert share[sound] == pytest.approx(np.ones(40))
    worst, mildest = (leak[f(bank.batch.severities[leak, 0])] for f in (np.argmax, np.argmin))
    assert share[worst] < share[mildest] < 0.99
    velocity = numbers["mid_drying_hood_velocity"] / numbers["mid_drying_hood_flow"]
    assert np.nanstd(velocity) < 1e-9 * np.nanmean(velocity)


def test_ends_are_the_bank_s_own_quantiles(bank: Bank) -> None:
    low, high = bank.ends("mid_drying_static")
    values = bank.batch.numbers["mid_drying_static"]
    assert (np.nanmean(values < low), np.nanmean(values > high)) == pytest.approx((0.01, 0.01), abs=0.006)
    assert bank.ends("dial 0-20") == bank.ends("dial_at_20min")


def test_progress_counts_every_cycle(few: Priors) -> None:
    shop = Workshop(load_scenario("standard"), few)
    which, points = spread_points(len(FEW), 20, shop.drawer.width, 2)
    told: list[tuple[int, int]] = []
    batch = shop.simulate(which, points, lambda done, of_all: told.append((done, of_all)))
    assert told[-1] == (len(batch), 20)
