"""The result: sampling, duty, sums, and the same bytes twice."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dryermodel.cycle.engine import state as Y
from dryermodel.cycle.engine import switching as S
from dryermodel.cycle.engine.parameters import NEVER
from dryermodel.cycle.result import CycleResult
from dryermodel.cycle.run.simulate import run_cycle
from tests.cycle.cases import parameters, run, run_changed


def test_trajectory_reproduces_its_rows(standard_result: CycleResult) -> None:
    """At each recorded time the recorded state; at a switching the row after it."""
    tr = standard_result.trajectory
    for i in range(len(tr.time)):
        j = int(np.searchsorted(tr.time, tr.time[i], side="right")) - 1
        assert (tr.at(float(tr.time[i])) == tr.state[j]).all()


def test_trajectory_is_continuous_through_switchings(standard_result: CycleResult) -> None:
    """States do not jump: the rows before and after agree to rounding."""
    tr = standard_result.trajectory
    at_once = np.flatnonzero(np.diff(tr.time) == 0.0)
    assert len(at_once) > 20
    for i in at_once:
        assert tr.state[i + 1] == pytest.approx(tr.state[i], rel=1e-12, abs=1e-12)


def test_rows_ascend_in_time(standard_result: CycleResult) -> None:
    assert (np.diff(standard_result.trajectory.time) >= 0.0).all()
    assert standard_result.trajectory.time[-1] == standard_result.cycle_time


@settings(max_examples=60, deadline=None, derandomize=True)
@given(st.floats(0.0, 1.0))
def test_between_rows_against_a_run_of_finer_steps(share: float) -> None:
    """The cubics between rows: within 10 mK and 2e-6 kg/kg of a run at a hundredth of the tolerance,
    away from the switchings, whose times differ by milliseconds. Its own error in moisture is 1.2e-6."""
    r, fine = run(), run_changed(rel_tolerance=1e-7)
    t = share * r.cycle_time
    switched = r.trajectory.time[r.trajectory.cause >= 0]
    if np.min(np.abs(switched - t)) < 0.05:
        return
    a, b = r.trajectory.at(t), fine.trajectory.at(t)
    for state in (Y.METAL_TEMP, Y.EXHAUST_ELEMENT, Y.HIGH_LIMIT_ELEMENT):
        assert a[state] == pytest.approx(b[state], abs=1e-2)
    assert a[Y.MOISTURE] == pytest.approx(b[Y.MOISTURE], abs=2e-6)


def test_before_the_start_and_after_the_end_are_the_ends(standard_result: CycleResult) -> None:
    tr = standard_result.trajectory
    assert (tr.at(-5.0) == tr.state[0]).all(), "no extrapolation to before the start"
    assert (tr.at(standard_result.cycle_time + 100.0) == tr.state[-1]).all()


@pytest.mark.parametrize("overrides", [(), ("vent.resistance_factor=8",), ("machine.heat=electric",)])
@pytest.mark.parametrize("bin_length", [60.0, 300.0, 333.3])
def test_duty_integrates_to_the_totals(overrides: tuple[str, ...], bin_length: float) -> None:
    r = run(*overrides)
    duty = r.duty(bin_length)
    width = np.diff(np.append(duty["start_s"], r.cycle_time))
    assert float((duty["burner_duty"] * width).sum()) == pytest.approx(r.burner_time, abs=1e-6)
    assert float((duty["timer_duty"] * width).sum()) == pytest.approx(r.timer_time, abs=1e-6)
    assert (duty["burner_duty"] >= 0.0).all()
    assert (duty["burner_duty"] <= 1.0 + 1e-12).all()


def test_intervals_of_the_flame_add_up(standard_result: CycleResult) -> None:
    spans = standard_result.trajectory.intervals(S.FLAME, standard_result.cycle_time)
    assert len(spans) == standard_result.burner_cycles
    assert sum(b - a for a, b in spans) == pytest.approx(standard_result.burner_time, abs=1e-9)


def test_series_covers_the_cycle_and_both_sides_of_switchings(standard_result: CycleResult) -> None:
    s = standard_result.series
    assert s["time_s"][0] == 0.0
    assert s["time_s"][-1] == standard_result.cycle_time
    assert {len(values) for values in s.values()} == {len(s["time_s"])}
    assert np.diff(s["time_s"]).max() <= 10.0 + 1e-9
    assert all(np.isfinite(values).all() for values in s.values())


def test_sampled_quantities_agree_with_each_other(standard_result: CycleResult) -> None:
    s = standard_result.series
    p = standard_result.parameters
    assert s["water_in_load_kg"] == pytest.approx(s["moisture"] * p.dry_mass)
    assert set(np.unique(s["heat"])) == {0.0, 1.0}
    assert s["heat_released_W"][s["heat"] > 0.5] == pytest.approx(p.firing_rate)
    assert not s["heat_released_W"][s["heat"] < 0.5].any()
    assert (s["unburned_gas_W"] == 0.0).all()


def test_evaporation_integrates_to_the_water_removed(standard_result: CycleResult) -> None:
    """The sampled rate, by trapezium at 1 s, against the integrator: within 0.1 %."""
    times = np.arange(0.0, standard_result.cycle_time, 1.0)
    rate = standard_result.sample(times)["evaporation_kg_per_s"]
    assert float(np.trapezoid(rate, times)) == pytest.approx(standard_result.water_removed, rel=1e-3)


def test_recorded_maxima_are_those_of_the_trajectory(standard_result: CycleResult) -> None:
    """Kept on the way, for runs that record nothing."""
    r = standard_result
    assert r.outcome.exhaust_element_max_K == r.trajectory.state[:, Y.EXHAUST_ELEMENT].max()
    assert r.outcome.load_temp_max_K == pytest.approx(float(r.series["load_temp_K"].max()), abs=0.1)


def test_probe_half_way_through_bulk_drying(standard_result: CycleResult) -> None:
    """Half way from the start to where the falling rate begins: what a technician would read then."""
    r = standard_result
    falls_below = min(Y.critical_moisture(r.parameters), 0.5 * 0.575)
    wet = r.series["moisture"] > 0.5 * (0.575 + falls_below)
    i = int(np.flatnonzero(wet)[-1])
    at = {name: float(values[i]) for name, values in r.series.items()}
    assert r.outcome.mid_drying_exhaust_temp_K == pytest.approx(at["exhaust_element_temp_K"], abs=0.2)
    assert r.outcome.mid_drying_flow_m3_per_s == pytest.approx(at["exhaust_flow_m3_per_s"], rel=1e-3)
    assert r.outcome.mid_drying_static_Pa == pytest.approx(at["vent_static_Pa"], rel=1e-3)


def test_nothing_sampled_is_nothing_returned(standard_result: CycleResult) -> None:
    assert standard_result.sample([]) == {}


def test_table_has_units_in_its_names(standard_result: CycleResult) -> None:
    """People's units by default: 75 degF in the room, 8.45 lb of load with 57.5 % of water."""
    table = standard_result.to_dataframe(60.0)
    assert len(table) == int(standard_result.cycle_time // 60.0) + 1
    assert table["load_temp_degF"].iloc[0] == pytest.approx(75.0, abs=1e-6)
    assert table["water_in_load_lb"].iloc[0] == pytest.approx(8.45 * 0.575, rel=1e-6)
    assert table["moisture_percent"].iloc[0] == pytest.approx(57.5, rel=1e-9)
    si = standard_result.to_dataframe(60.0, si=True)
    assert si["load_temp_K"].iloc[0] == pytest.approx(297.0389, abs=1e-3)


def test_bulk_drying_is_none_when_there_is_no_heat() -> None:
    assert run("controls.program=air only").bulk is None


def test_same_input_same_bytes() -> None:
    a, b = run_cycle(parameters()), run_cycle(parameters())
    for name in ("time", "state", "rate", "discrete", "cause"):
        assert getattr(a.trajectory, name).tobytes() == getattr(b.trajectory, name).tobytes()
    assert a.final.tobytes() == b.final.tobytes()
    assert repr(a.outcome) == repr(b.outcome)


def test_a_long_run_is_recorded_to_its_end() -> None:
    """More rows than the first tape holds: it grows, with the cut-off out of the way of hours of trips."""
    choked = parameters("vent.open_area=10 %", "controls.time_limit=4 h", "controls.rel_tolerance=1e-7")
    r = run_cycle(choked._replace(thermal_cutoff=NEVER))
    assert len(r.trajectory.time) > 4096
    assert r.trajectory.time[-1] == r.cycle_time
    assert (r.trajectory.state[-1] == r.final).all()


def test_result_cannot_be_changed(standard_result: CycleResult) -> None:
    with pytest.raises(dataclasses.FrozenInstanceError):
        standard_result.cycle_time = 0.0  # type: ignore[misc]
