"""Likelihood of evidence: densities by other means, slips, answers and the faults that a look finds."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from dryermodel.field.evidence import Measured, read_measured
from dryermodel.field.measurements import find_measurement
from dryermodel.field.observations import find_observation, observations
from dryermodel.inference import likelihood as L
from dryermodel.inference.bank import Batch
from dryermodel.inference.priors import Hypothesis
from tests.inference.toys import density

WIDTH = 4000.0


def one(m: Measured, shown: float, width: float = WIDTH) -> float:
    return float(L.log_measured(m, np.array([shown]), width)[0])


@given(st.floats(600.0, 9000.0), st.floats(600.0, 9000.0))
def test_density_is_a_heavy_tailed_one_mixed_with_slips(value: float, shown: float) -> None:
    m = read_measured(f"cycle time={value} s")
    expected = density(m, np.array([shown]), L.SLIP, WIDTH)[0]
    assert one(m, shown) == pytest.approx(np.log(expected), rel=1e-9)


def test_density_over_the_bank_s_range_sums_to_one() -> None:
    entry = find_measurement("vent static")
    number, accuracy, low, high = "mid_drying_static", 5.0, 0.0, 400.0

    def at(value: float) -> float:
        return float(np.exp(one(Measured(entry, number, value, accuracy), 150.0, high - low)))

    assert quad(at, low, high, points=[150.0], limit=200)[0] == pytest.approx(1.0, abs=2e-3)


def test_slip_s_share_is_what_is_left_far_away() -> None:
    m = read_measured("cycle time=200 min +- 10 s")
    assert np.exp(one(m, 600.0)) * WIDTH == pytest.approx(L.SLIP, rel=0.02)


def test_machine_without_the_number_is_measured_by_a_slip_only() -> None:
    m = read_measured("cut-out temperature=155 degF")
    assert np.exp(one(m, np.nan, 50.0)) == pytest.approx(L.SLIP / 50.0)


def test_better_instrument_tells_more() -> None:
    rough, fine = (read_measured(f"static=0.6 in w.c. +- {a} in w.c.") for a in ("0.1", "0.01"))
    near, far = np.array([149.3]), np.array([100.0])
    told = [float((L.log_measured(m, near, 500.0) - L.log_measured(m, far, 500.0))[0]) for m in (rough, fine)]
    assert told[1] > told[0] > 0.0


def test_spread_joins_instrument_and_model_in_squares() -> None:
    m = read_measured("flow=100 cfm +- 3 cfm")
    flow, own = np.array([0.05]), m.measurement.model_relative
    assert L.spread(m, flow)[0] == pytest.approx(np.hypot(m.accuracy, own * 0.05))
    warm = read_measured("exhaust temperature=150 degF +- 4 delta_degF")
    assert L.spread(warm, np.array([330.0]))[0] == pytest.approx(5.0 / 1.8)  # 4 and the model's 3 degF


def test_width_reaches_from_the_bank_to_the_value() -> None:
    inside, beyond = (read_measured(f"cycle time={v} s") for v in (1500, 5000))
    assert L.width_of(inside, (1010.0, 1990.0)) == pytest.approx(980.0)
    assert L.width_of(beyond, (1010.0, 1990.0)) == pytest.approx(5000.0 - 1010.0)
    assert L.width_of(inside, ()) == pytest.approx(8.0 * inside.accuracy)


def test_dial_s_advance_is_the_difference_of_its_marks() -> None:
    numbers = {"dial_at_5min": np.array([30.0]), "dial_at_25min": np.array([400.0])}
    assert L.number_of(numbers, "dial 5-25") == 370.0
    assert L.number_of(numbers, "dial 0-25") == 400.0


HYPOTHESES = (
    Hypothesis((), 0.4),
    Hypothesis(("vent_blockage",), 0.3),
    Hypothesis(("igniter_open",), 0.2),
    Hypothesis(("weak_burner", "vent_blockage"), 0.1),
)


def batch(which: list[int], severities: list[tuple[float, float]], **numbers: list[float]) -> Batch:
    held = {name: np.array(v) for name, v in numbers.items()}
    return Batch(np.array(which), np.zeros((len(which), 2)), np.array(severities), held)


@pytest.mark.parametrize("name", [o.name for o in observations().values() if o.number])
def test_answer_by_number_runs_between_the_error_rates(name: str) -> None:
    o = find_observation(name)
    side = 60.0 * o.width * (1.0 if o.rising else -1.0)
    found = batch(
        [0] * 4, [(0.5, 0.5)] * 4, **{o.number: [o.threshold - side, o.threshold, o.threshold + side, np.nan]}
    )
    low, middle, high, none = L.share_yes(o, found, HYPOTHESES)
    assert (low, high) == (pytest.approx(o.yes_if_not), pytest.approx(o.yes_if_so))
    assert middle == pytest.approx(0.5 * (o.yes_if_not + o.yes_if_so))
    assert none == o.yes_if_not  # no such number: it is not so


def test_look_at_a_part_finds_its_fault_alone_or_with_another_by_severity() -> None:
    o = find_observation("vent choked")
    half = o.half_seen
    found = batch(
        [0, 1, 1, 1, 3, 2], [(0.9, 0.9), (half, 0.9), (1.0, 0.0), (0.0, 1.0), (0.0, half), (1.0, 1.0)]
    )
    so = (L.share_yes(o, found, HYPOTHESES) - o.yes_if_not) / (o.yes_if_so - o.yes_if_not)
    assert so == pytest.approx([0.0, 0.5, 1.0 / (1.0 + half**2), 0.0, 0.5, 0.0])


def test_look_finds_what_is_there_or_not_whatever_its_severity() -> None:
    o = find_observation("igniter open")
    found = batch([2, 0], [(0.2, 0.2), (0.2, 0.2)])
    assert L.share_yes(o, found, HYPOTHESES) == pytest.approx([o.yes_if_so, o.yes_if_not])


@pytest.mark.parametrize("name", ["flame seen", "vent choked"])
def test_yes_and_no_exhaust_the_answers(name: str) -> None:
    o = find_observation(name)
    found = batch([0, 1, 2], [(0.3, 0.3)] * 3, burner_cycles=[4.0, 0.5, 0.0])
    yes, no = (np.exp(L.log_seen(o, said, found, HYPOTHESES)) for said in (True, False))
    assert yes + no == pytest.approx(np.ones(3))
    assert yes[0] != no[0]


def test_what_was_read_twice_is_a_slip_ten_times_less_often() -> None:
    once = read_measured("cycle time=300 min +- 10 s")
    twice, shown = once._replace(times=2), np.array([2400.0, np.nan])
    fall = np.exp(L.log_measured(twice, shown, 1e4) - L.log_measured(once, shown, 1e4))
    assert fall == pytest.approx(0.1, rel=0.02)
    usual = np.array([once.value])
    expected = density(twice, usual, 0.1 * L.SLIP, 1e4)
    assert np.exp(L.log_measured(twice, usual, 1e4)) == pytest.approx(expected, rel=1e-9)
