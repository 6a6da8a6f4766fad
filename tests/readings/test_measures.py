"""Derived numbers of a cycle that tables, pictures and findings share."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from dryermodel.cycle.engine import state as Y
from dryermodel.cycle.result import CycleResult
from dryermodel.readings import measures as M

Cycles = Callable[..., CycleResult]


def test_time_to_moisture_is_the_marked_crossing(cycle: Cycles) -> None:
    result = cycle()
    assert M.time_to_moisture(result) == pytest.approx(result.time_to_marked, abs=1e-6)


@pytest.mark.parametrize("level", [0.5, 0.25, 0.1, 0.04, 0.02])
def test_moisture_at_the_time_found_is_the_level(cycle: Cycles, level: float) -> None:
    at = M.time_to_moisture(cycle(), level)
    assert at is not None
    assert cycle().trajectory.at(at)[Y.MOISTURE] == pytest.approx(level, abs=1e-9)


def test_four_percent_means_four_percent_whatever_is_marked(cycle: Cycles) -> None:
    other = cycle("controls.marked_moisture=20 %")
    assert other.time_to_marked != pytest.approx(cycle().time_to_marked)
    assert M.time_to_4pct(other) == pytest.approx(M.time_to_4pct(cycle()), abs=0.05)


def test_four_percent_is_found_when_the_run_stops_there(cycle: Cycles) -> None:
    result = cycle("controls.stop_at_moisture=4 %")
    assert M.time_to_4pct(result) == pytest.approx(result.cycle_time, abs=1e-6)


def test_a_load_that_stays_wet_has_no_time(cycle: Cycles) -> None:
    assert M.time_to_4pct(cycle("controls.program=air only")) is None


def test_a_load_that_is_dry_already_takes_none(cycle: Cycles) -> None:
    assert M.time_to_4pct(cycle("load.initial_moisture=3 %")) == 0.0


def test_both_sides_of_the_first_cut_out(cycle: Cycles) -> None:
    """The burner outlet falls by more than 50 K within the moment of the switching; its metal lags."""
    result = cycle()
    opened = M.first_cut_out(result)
    assert opened is not None
    s = M.both_sides(result)
    assert np.all(np.diff(s["time_s"]) >= 0.0)
    near = np.abs(s["time_s"] - opened) <= M.BEFORE * 1.01
    assert np.ptp(s["burner_outlet_temp_K"][near]) > 50.0
    assert np.ptp(s["load_temp_K"][near]) < 0.01


spans = st.lists(st.tuples(st.floats(0, 10), st.floats(0, 10)).map(lambda p: (min(p), max(p))), max_size=1)


@given(spans, st.floats(0, 10), st.floats(0, 10), st.floats(0, 10))
def test_shares_of_parts_add_up(intervals: list[tuple[float, float]], a: float, b: float, c: float) -> None:
    a, b, c = sorted((a, b, c))
    parts = M.share_on(intervals, a, b) * (b - a) + M.share_on(intervals, b, c) * (c - b)
    assert M.share_on(intervals, a, c) * (c - a) == pytest.approx(parts, abs=1e-9)
    assert 0.0 <= M.share_on(intervals, a, c) <= 1.0 + 1e-12


def test_heat_intervals_add_up_to_the_burner_time(cycle: Cycles) -> None:
    for result in (cycle(), cycle("machine.heat=electric")):
        assert sum(b - a for a, b in M.heat_intervals(result)) == pytest.approx(result.burner_time)


def test_energy_until_the_end_is_all_of_it(cycle: Cycles) -> None:
    result = cycle()
    assert M.energy_until(result, result.cycle_time) == pytest.approx(
        result.gas_energy + result.electric_energy
    )
    assert M.energy_until(result, 0.0) == 0.0


def test_healthy_leaks(cycle: Cycles) -> None:
    """15 to 20 % of the blower's flow: the range the standard machine's leaks are fitted to."""
    leak = M.leaks(cycle())
    assert 0.15 <= leak.total <= 0.20
    assert leak.total == leak.drum_seal + leak.gasket
    assert M.leaks(cycle("air.gasket_leak=20 cm2")).gasket > 3.0 * leak.gasket


def test_combustion_air(cycle: Cycles) -> None:
    """A healthy machine passes tens of times the stoichiometric air; a shut vent, less than it."""
    healthy = M.combustion_air_ratio(cycle())
    shut = M.combustion_air_ratio(cycle("vent.open_area=0 %", "controls.time_limit=5 min"))
    assert healthy is not None and healthy > 20.0
    assert shut is not None and shut < 1.0
    assert M.combustion_air_ratio(cycle("machine.heat=electric")) is None


def test_cool_down_begins_when_its_length_is_left(cycle: Cycles) -> None:
    start = M.cool_down_start(cycle())
    assert start is not None
    assert cycle().cycle_time - start == pytest.approx(300.0)
    assert M.cool_down_start(cycle("burner.firing_rate=11000 Btu/h")) is None


def test_peaks_are_reached_and_not_passed(cycle: Cycles) -> None:
    hottest, s = cycle().outcome.load_temp_max_K, cycle().series
    assert hottest >= s["load_temp_K"].max() > 340.0
    dense = cycle().sample(np.linspace(1400.0, 2200.0, 2000))
    assert hottest <= cycle().sample(cycle().trajectory.time)["load_temp_K"].max() + 1e-6
    assert M.exhaust_peak(cycle()) >= dense["exhaust_temp_K"].max() - 0.05


def test_a_load_that_only_cools_is_hottest_at_the_start(cycle: Cycles) -> None:
    result = cycle("controls.program=air only")
    assert result.outcome.load_temp_max_K == pytest.approx(result.series["load_temp_K"][0], abs=1e-9)


@pytest.mark.parametrize(
    ("override", "restricted"),
    [
        ("vent.length=20 ft", False),
        ("vent.resistance_factor=8", True),
        ("vent.open_area=50 %", True),
        ("vent.flex_factor=3", True),
        ("vent.flap_pressure=0.2 inH2O", True),
        ("air.screen_loss=3 inH2O", False),
    ],
)
def test_what_counts_as_a_restricted_vent(cycle: Cycles, override: str, restricted: bool) -> None:
    assert M.vent_restricted(cycle(override)) is restricted


def test_without_bulk_drying_the_whole_time_the_motor_ran_is_read(cycle: Cycles) -> None:
    """Cold air only: medians over the run, leaks at half time, combustion air as the gas would meet it."""
    cold = cycle("controls.program=air only")
    assert cold.bulk is None
    s, medians = cold.series, M.running_medians(cold)
    on = s["motor"] > 0.5
    assert medians is not None
    for name in ("exhaust_flow_m3_per_s", "vent_static_Pa", "exhaust_temp_K"):
        assert medians[name] == np.median(s[name][on])
    f = cold.air(0.5 * cold.cycle_time).flows
    found = M.leaks(cold)
    assert found.drum_seal * f.exhaust == pytest.approx(f.drum - f.burner, rel=1e-9)
    assert found.total == pytest.approx(1.0 - f.burner / f.exhaust, rel=1e-9)
    ratio = M.combustion_air_ratio(cold)
    p = cold.parameters
    assert ratio == pytest.approx(s["combustion_air_kg_per_s"][on].min() / (p.firing_rate * p.air_per_energy))
