"""Faults that evidence cannot tell apart: joined as long as nothing read separates them."""

from __future__ import annotations

import numpy as np
import pytest

from dryermodel.field.evidence import Evidence, gather
from dryermodel.inference.bank import Bank
from dryermodel.inference.diagnosis import diagnose
from dryermodel.inference.groups import Curve, apart, curve, features, groups, in_errors
from dryermodel.inference.likelihood import spread
from tests.inference.conftest import FEW
from tests.inference.toys import by_severity, line, toy_bank

TIME, STATIC, EXHAUST = "cycle time=50 min", "static=0.7 in w.c.", "exhaust temperature=125 degF"
VENT = ("vent_blockage", "vent_flap_stuck", "vent_crushed")


def together(bank: Bank, evidence: Evidence, *faults: str) -> bool:
    """Whether these are in one group."""
    numbers = [FEW.index(name) for name in faults]
    return any(set(numbers) <= set(g) for g in groups(bank, evidence, range(1, len(FEW) - 1)))


def test_vent_s_three_faults_look_alike_to_static_time_and_temperature(bank: Bank) -> None:
    assert together(bank, gather([TIME, STATIC, EXHAUST], ["flame seen"]), *VENT)


@pytest.mark.parametrize(
    ("look", "other"), [("flap stuck", "vent_blockage"), ("vent crushed", "vent_flap_stuck")]
)
def test_look_at_the_part_separates_them(bank: Bank, look: str, other: str) -> None:
    found = next(f for f in VENT if f.endswith(look.split()[1]))
    assert not together(bank, gather([TIME, STATIC, EXHAUST], [look]), found, other)


def test_weak_burner_and_low_supply_are_parted_by_the_supply_pressure(bank: Bank) -> None:
    alike = ("weak_burner", "low_supply_pressure")
    readings = [TIME, "gas input=16000 Btu/h", "manifold=2.5 in w.c."]
    assert together(bank, gather(readings, []), *alike)
    assert not together(bank, gather([*readings, "supply pressure=7 in w.c. +- 0.02 in w.c."], []), *alike)


def test_no_flame_is_no_slow_drying(bank: Bank) -> None:
    assert not together(bank, gather([TIME], ["flame seen"]), "igniter_open", "vent_blockage")


def test_values_do_not_matter_only_what_was_read(bank: Bank) -> None:
    one, other = (
        gather(
            [f"cycle time={time} +- 1 min", f"static={static} in w.c. +- 0.02 in w.c."],
            [f"flame seen={said}"],
        )
        for time, static, said in (("40 min", "0.2", "yes"), ("90 min", "1.4", "no"))
    )
    order = range(len(FEW) - 1)
    assert groups(bank, one, order) == groups(bank, other, order)


def test_everyone_is_in_one_group_and_leaders_keep_their_order(bank: Bank) -> None:
    order = [3, 1, 5, 4, 2, 0]
    made = groups(bank, gather([TIME, STATIC], []), order)
    assert sorted(h for g in made for h in g) == sorted(order)
    leaders = [g[0] for g in made]
    assert leaders == [h for h in order if h in leaders]


def toy(rise: float, slope: float = 10.0) -> Bank:
    """Two faults on a line: the second reaches further by `rise`."""
    return toy_bank(
        [
            (("vent_blockage",), 0.5, by_severity(3000.0, 600.0, slope)),
            (("weak_burner",), 0.5, by_severity(3000.0, 600.0 + rise, slope)),
        ],
        4000,
    )


def test_faults_of_the_same_path_are_one_whatever_their_severities_are_called() -> None:
    evidence = gather(["cycle time=60 min +- 1 min"], [])
    assert groups(toy(60.0), evidence, [0, 1]) == [[0, 1]]
    apart_by_far = toy_bank(
        [(("vent_blockage",), 0.5, line(3000.0, 10.0)), (("weak_burner",), 0.5, line(6000.0, 10.0))], 4000
    )
    assert groups(apart_by_far, evidence, [0, 1]) == [[0], [1]]


def test_distance_is_in_standard_deviations_of_instrument_and_machines_together() -> None:
    gap, slope = 900.0, 150.0
    rules = [line(3000.0, slope), line(3000.0 + gap, slope)]
    bank = toy_bank(
        [((key,), 0.5, rule) for key, rule in zip(("igniter_open", "gas_shut_off"), rules, strict=True)], 8000
    )
    found = features(bank, gather(["cycle time=50 min +- 100 s"], []))
    told = apart(curve(bank, found, 0), curve(bank, found, 1))
    error = np.hypot(100.0, 0.06 * 3450.0)  # of instrument and model, half way
    assert told == pytest.approx(gap / np.hypot(error, slope), rel=0.05)


@pytest.mark.parametrize("value", [100.0, 3000.0, 9000.0])
def test_error_is_one_all_along_the_scale(value: float) -> None:
    (m,) = gather(["cycle time=50 min +- 100 s"], []).measured
    step = 1e-3 * value
    rise = np.diff(in_errors(m, np.array([value, value + step])))[0] / step
    assert rise == pytest.approx(1.0 / spread(m, np.array([value]))[0], rel=2e-3)


def test_few_machines_seem_no_further_apart_than_many() -> None:
    """Two faults of one and the same number: what means of few machines scatter is not a difference."""
    found = []
    for size in (48, 4800):
        two = [((key,), 0.5, line(3000.0, 600.0)) for key in ("vent_blockage", "weak_burner")]
        told = [toy_bank(two, size, seed=seed) for seed in range(20)]
        evidence = gather(["cycle time=50 min +- 10 s"], [])
        found.append(np.mean([apart(*(curve(b, features(b, evidence), h) for h in (0, 1))) for b in told]))
    assert found[0] == pytest.approx(found[1], abs=0.12)


def test_line_between_steps_is_near_too() -> None:
    """Three standard deviations from step to step: a fault half way between two of them is on the line."""
    steps = np.arange(6.0)[:, None] * 3.0
    nothing = np.zeros(1)
    one, other = Curve(steps, nothing, 50.0), Curve(steps[:-1] + 1.5, nothing, 50.0)
    assert apart(one, other) == pytest.approx(0.0, abs=1e-9)
    beside = np.column_stack([steps, np.full(6, 2.0)])
    flat = np.column_stack([steps, np.zeros(6)])
    assert apart(Curve(beside, np.zeros(2), 50.0), Curve(flat, np.zeros(2), 50.0)) == pytest.approx(2.0)


def test_evidence_with_nothing_joins_all(bank: Bank) -> None:
    assert features(bank, Evidence()).shape == (len(bank.batch), 0)


def test_reading_of_nothing_at_all_is_no_accident(bank: Bank) -> None:
    """An input of nought has no relative error; its features are numbers all the same."""
    assert np.isfinite(features(bank, gather(["gas input=0 Btu/h"], []))).all()


@pytest.mark.parametrize(("share", "alone"), [(0.12, False), (0.08, True)])
def test_what_was_read_parts_those_that_are_ten_times_less_likely(share: float, alone: bool) -> None:
    """Two faults of the same numbers, one met far less often: no reading separates them, and yet."""
    rule = line(3000.0, 100.0)
    rest = 1.0 - share / (1.0 + share)
    kinds = [(("vent_blockage",), rest, rule), (("weak_burner",), rest * share, rule)]
    d = diagnose(toy_bank([((), 1e-9, rule), *kinds], 900), gather(["cycle time=50 min"], []), fresh=0)
    assert next(r.faults for r in d.alike) == ("vent_blockage", "weak_burner")
    (first,) = [r for r in d.ranking if "vent_blockage" in r.faults]
    assert first.faults == (("vent_blockage",) if alone else ("vent_blockage", "weak_burner"))
    assert sum(r.probability for r in d.ranking) == pytest.approx(sum(r.probability for r in d.alike))


def test_few_machines_part_nobody() -> None:
    """Twenty machines of a fault say little of a ratio: those that look alike stay together."""
    rule = line(3000.0, 100.0)
    kinds = [(("vent_blockage",), 0.95, rule), (("weak_burner",), 0.05, rule)]
    d = diagnose(toy_bank([((), 1e-9, rule), *kinds], 60), gather(["cycle time=50 min"], []), fresh=0)
    assert not d.enough and d.ranking == d.alike and len(d.ranking[0].faults) == 2


def test_without_a_reading_every_suspect_has_a_line_of_its_own(bank: Bank) -> None:
    d = diagnose(bank, gather([], [], "takes too long"), fresh=0)
    assert all(len(r.hypotheses) == 1 for r in d.ranking)
    assert len(d.ranking) == len(FEW)
