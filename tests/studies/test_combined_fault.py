"""The hand sum of docs/combined-fault.md, replayed: its own numbers, and the model's beside them."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from dryermodel.cycle.engine import state as Y
from dryermodel.cycle.result import CycleResult
from dryermodel.physics.moist_air import saturation_pressure
from dryermodel.scenario.run import simulate
from tests.cycle.cases import CFM, KWH, degF
from tests.plain import plain_scenario
from tests.studies.hand_sum import Sum, by_hand, in_the_tail, saturation

DOC = " ".join((Path(__file__).parents[2] / "docs" / "combined-fault.md").read_text(encoding="utf-8").split())
BTU_PER_HOUR = 1055.05585262 / 3600.0

TIME_TOLERANCE, GAS_TOLERANCE, EXHAUST_TOLERANCE = 0.05, 0.05, 3.0
"""As stated in the document: shares, and degF."""

BOTH = ("weak_burner=80 %", "cold_makeup_air=20 degF")
CASES = {"neither": (), "weak burner": BOTH[:1], "cold air": BOTH[1:], "both": BOTH}


@cache
def model(case: str) -> CycleResult:
    return simulate(plain_scenario(faults=CASES[case]))


@cache
def hand(case: str) -> Sum:
    """With the flow that an anemometer would have read, and everything else from the document."""
    p, bulk = model(case).parameters, model(case).bulk
    assert bulk is not None
    flow = bulk["exhaust_flow_m3_per_s"]
    return by_hand(p.firing_rate, p.room_temp - 273.15, p.room_humidity_ratio, flow, p.load_temp - 273.15)


@cache
def documented() -> Sum:
    return by_hand(17600.0 * BTU_PER_HOUR, 23.0 / 1.8, 0.00456, 148.0 * CFM, 43.0 / 1.8)


def test_document_s_arithmetic() -> None:
    s, b = documented(), documented().bulk
    half_way, last = s.tail_rates
    for number in (
        f"**{b.drum_flow:.4f} kg/s**", f"**{b.inlet_temp:.1f} degC**", f"**{b.inlet_humidity:.4f}**",
        f"= **{b.units:.3f}**", f"**{b.load_temp:.1f} degC**", f"**{1e3 * b.rate:.3f} g/s**",
        f"**{b.exhaust_temp:.1f} degC = {b.exhaust_temp * 1.8 + 32.0:.0f} degF**",
        f"load {in_the_tail(b, 0.145, 0.0)[0]:.1f} degC, {1e3 * half_way:.3f} g/s",
        f"load {in_the_tail(b, 0.04, 5e4)[0]:.1f} degC, {1e3 * last:.3f} g/s",
        f"1.169 g/s | {s.warm_up:.0f} |", f"1.169 g/s | {s.bulk_time:.0f} |", f"below | {s.tail_time:.0f} |",
        f"**{s.time / 60.0:.1f} min** | {s.time:.0f} |",
        f"= **{s.gas(17600.0 * BTU_PER_HOUR) / KWH:.2f} kWh**",
    ):  # fmt: skip
        assert number in DOC, number


def test_document_s_table_against_the_model() -> None:
    r = model("both")
    assert r.bulk is not None and r.time_to_marked is not None
    gas = float(r.trajectory.at(r.time_to_marked)[Y.GAS_ENERGY])
    assert f"31.8 min | {r.time_to_marked / 60.0:.1f} min |" in DOC
    assert f"2.69 kWh | {gas / KWH:.2f} kWh |" in DOC
    assert f"98 degF | {degF(r.bulk['exhaust_temp_K']):.0f} degF |" in DOC
    for case in CASES:
        at = model(case).time_to_marked
        assert at is not None
        assert f"| {case} | {hand(case).time / 60.0:.1f} min | {at / 60.0:.1f} min |" in DOC
    assert f"41 min healthy, {r.cycle_time / 60.0:.0f} min with both" in DOC


@pytest.mark.parametrize("case", CASES)
def test_hand_sum_and_model_agree_within_the_stated_tolerance(case: str) -> None:
    r, s = model(case), hand(case)
    assert r.bulk is not None and r.time_to_marked is not None
    gas = float(r.trajectory.at(r.time_to_marked)[Y.GAS_ENERGY])
    assert s.time == pytest.approx(r.time_to_marked, rel=TIME_TOLERANCE)
    assert s.gas(r.parameters.firing_rate) == pytest.approx(gas, rel=GAS_TOLERANCE)
    assert degF(s.bulk.exhaust_temp + 273.15) == pytest.approx(
        degF(r.bulk["exhaust_temp_K"]), abs=EXHAUST_TOLERANCE
    )
    assert s.bulk.rate == pytest.approx(r.bulk["evaporation_kg_per_s"], rel=0.02)


def test_tolerance_would_catch_a_fault_that_is_left_out() -> None:
    """The sum for one fault lies far outside the tolerance of the other's."""
    for one, other in (("both", "weak burner"), ("both", "cold air"), ("weak burner", "neither")):
        at = model(one).time_to_marked
        assert at is not None
        assert abs(hand(other).time / at - 1.0) > 1.5 * TIME_TOLERANCE


def test_faults_multiply_rather_than_add() -> None:
    times = {case: float(model(case).time_to_marked or 0.0) for case in CASES}
    alone = times["weak burner"] + times["cold air"] - 2.0 * times["neither"]
    together = times["both"] - times["neither"]
    assert together > 1.1 * alone


def test_saturation_of_the_sum_is_the_published_one() -> None:
    """ASHRAE Fundamentals ch. 1, Hyland-Wexler, typed in a second time for the sum."""
    for t in (0.0, 15.0, 30.0, 60.0):
        p = float(saturation_pressure(t + 273.15))
        assert saturation(t) == pytest.approx(0.621945 * p / (101325.0 - p), rel=1e-9)
