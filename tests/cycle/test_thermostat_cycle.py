"""The engine on machines so simple that their cycle has a closed form.

An electric heater, a load that exchanges nothing and a drum without metal: the exhaust then has two
temperatures, heater on and heater off, and the thermostat's element swings between its thresholds
on pure exponentials.
"""

from __future__ import annotations

import math
from typing import Any, NamedTuple

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dryermodel.cycle.engine.causes import CAUSE_COIL, CAUSE_EXHAUST_THERMOSTAT, CAUSE_HIGH_LIMIT
from dryermodel.cycle.engine.parameters import ELECTRIC_HEAT, NEVER, TIMED, Parameters
from dryermodel.cycle.result import CycleResult
from dryermodel.cycle.run.simulate import run_cycle
from dryermodel.physics.moist_air import moist_specific_heat
from tests.cycle.cases import parameters
from tests.plain import plain_scenario

LENGTH = 900.0  # s


def bare_machine(**fields: Any) -> Parameters:
    """No transfer to load and metal, no lint, no mark on the way; a tight integrator."""
    return plain_scenario(["machine.heat=electric"]).to_parameters()._replace(
        heat_source=ELECTRIC_HEAT,
        firing_rate=3000.0,
        transfer_base=1e-15,
        drum_conductance=0.0,
        cabinet_conductance=0.0,
        screen_loading=0.0,
        high_limit_cut_out=NEVER,
        high_limit_cut_in=NEVER - 1.0,
        thermal_cutoff=NEVER,
        dial_heat=1.0e5,
        time_limit=LENGTH,
        rel_tolerance=1e-7,
    )._replace(**fields)  # fmt: skip


class Plateaus(NamedTuple):
    """Two temperatures [K], heater on and off."""

    hot: float
    cold: float


def exhaust_plateaus(p: Parameters, r: CycleResult) -> Plateaus:
    """From an energy balance by hand: power into the exhaust flow, all of it sensible."""
    a = r.air(1.0)
    capacity = a.flows.exhaust * moist_specific_heat(p.room_humidity_ratio)
    cold = p.room_temp + a.cabinet.side_heat / capacity
    return Plateaus(cold + p.firing_rate / capacity, cold)


def times_of(r: CycleResult, cause: int) -> list[float]:
    tr = r.trajectory
    return [float(t) for t, c in zip(tr.time, tr.cause, strict=True) if c == cause]


def swing(lag: float, towards: float, start: float, end: float) -> float:
    """Seconds for an element of this lag from `start` to `end` in air at `towards`."""
    return lag * math.log((towards - start) / (towards - end))


def expected_times(
    first: float, lag: float, at: Plateaus, high: float, low: float, until: float
) -> list[float]:
    """Openings and closings in turn: first from `first` to the upper threshold, then to and fro."""
    t, found = swing(lag, at.hot, first, high), []
    while t < until:
        found.append(t)
        t += swing(lag, at.cold, high, low) if len(found) % 2 else swing(lag, at.hot, low, high)
    return found


def test_exhaust_thermostat_cycle_in_closed_form() -> None:
    """t_on = lag ln((T_hot - low)/(T_hot - high)), t_off = lag ln((high - T_cold)/(low - T_cold)).

    Over 15 minutes every switching within 1 ms, a ten-thousandth of a swing.
    """
    p = bare_machine(cut_out=330.0, cut_in=322.0, exhaust_lag=25.0)
    r = run_cycle(p)
    at = exhaust_plateaus(p, r)
    assert at.hot > 332.0
    assert at.cold < 320.0
    expected = expected_times(p.room_temp, 25.0, at, 330.0, 322.0, LENGTH)
    assert len(expected) > 10
    assert times_of(r, CAUSE_EXHAUST_THERMOSTAT) == pytest.approx(expected, abs=1e-3)


def test_at_the_shipped_tolerance_the_same_within_twenty_milliseconds() -> None:
    p = bare_machine(cut_out=330.0, cut_in=322.0, exhaust_lag=25.0, rel_tolerance=1e-5)
    r = run_cycle(p)
    expected = expected_times(p.room_temp, 25.0, exhaust_plateaus(p, r), 330.0, 322.0, LENGTH)
    assert times_of(r, CAUSE_EXHAUST_THERMOSTAT) == pytest.approx(expected, abs=2e-2)


def test_auto_timer_runs_for_the_off_times_only() -> None:
    """The dial's travel is the sum of the closed-form off times."""
    p = bare_machine(cut_out=330.0, cut_in=322.0, exhaust_lag=25.0)
    r = run_cycle(p)
    at = exhaust_plateaus(p, r)
    times = [*expected_times(p.room_temp, 25.0, at, 330.0, 322.0, LENGTH), LENGTH]
    off = sum(b - a for a, b in zip(times[::2], times[1::2], strict=False))
    assert r.timer_time == pytest.approx(off, abs=2e-3)
    assert r.burner_time == pytest.approx(LENGTH - off, abs=2e-3)


def test_dial_runs_out_in_closed_form() -> None:
    """Three minutes of heat-off time, then the cool-down: the end of the cycle worked out by hand."""
    p = bare_machine(
        cut_out=330.0,
        cut_in=322.0,
        exhaust_lag=25.0,
        dial_heat=180.0,
        dial_cool_down=300.0,
        time_limit=7200.0,
    )
    r = run_cycle(p)
    at = exhaust_plateaus(p, r)
    on, off = swing(25.0, at.hot, 322.0, 330.0), swing(25.0, at.cold, 330.0, 322.0)
    whole, rest = divmod(180.0, off)
    end = swing(25.0, at.hot, p.room_temp, 330.0) + whole * (off + on) + rest + 300.0
    assert r.cycle_time == pytest.approx(end, abs=1e-3)
    assert r.burner_cycles == int(whole) + 1


def test_high_limit_cycle_in_closed_form() -> None:
    """The same on the burner's sheet metal: target room + coupling * (burner air - room)."""
    p = bare_machine(high_limit_cut_out=318.0, high_limit_cut_in=309.0, high_limit_lag=45.0, cut_out=NEVER)
    r = run_cycle(p)
    a = r.air(1.0)
    capacity = a.flows.burner * moist_specific_heat(p.room_humidity_ratio)
    cold = p.high_limit_coupling * a.cabinet.side_heat / capacity
    hot = cold + p.high_limit_coupling * p.firing_rate / capacity
    at = Plateaus(p.room_temp + hot, p.room_temp + cold)
    expected = expected_times(p.room_temp, 45.0, at, 318.0, 309.0, LENGTH)
    assert len(expected) > 5
    assert times_of(r, CAUSE_HIGH_LIMIT) == pytest.approx(expected, abs=1e-3)
    assert r.high_limit_trips == (len(expected) + 1) // 2


@settings(max_examples=12, deadline=None, derandomize=True)
@given(st.floats(6.0, 90.0), st.floats(0.25, 0.75), st.floats(0.02, 0.2))
def test_any_lag_and_differential(lag: float, middle: float, half: float) -> None:
    """Thresholds anywhere between the plateaus, lags from quick to lint-coated: 5 ms at 1e-6."""
    probe = bare_machine(time_limit=10.0)
    at = exhaust_plateaus(probe, run_cycle(probe))
    low, high = (at.cold + (middle + sign * half) * (at.hot - at.cold) for sign in (-1.0, 1.0))
    p = bare_machine(
        cut_out=high, cut_in=low, exhaust_lag=lag, time_limit=400.0, program=TIMED, rel_tolerance=1e-6
    )
    expected = expected_times(p.room_temp, lag, at, high, low, 400.0)
    found = times_of(run_cycle(p), CAUSE_EXHAUST_THERMOSTAT)
    assert found == pytest.approx(expected[: len(found)], abs=5e-3)
    assert abs(len(found) - len(expected)) <= 1, "one at the very end may fall either side"


def test_main_coil_that_fails_hot_in_closed_form() -> None:
    """Gas: the coil warms on its own exponential from the moment it is energised, goes open at its
    threshold, cools, and conducts again; the first opening is by hand."""
    p = parameters("burner.coil_opens=120 degF", "burner.coil_recloses=100 degF")._replace(rel_tolerance=1e-7)
    r = run_cycle(p)
    opened, reclosed = times_of(r, CAUSE_COIL)[:2]
    target = p.room_temp + p.coil_rise
    first = p.igniter_warm_up + swing(p.coil_lag, target, p.room_temp, p.coil_open_temp)
    assert opened == pytest.approx(first, abs=1e-3)
    rest = swing(p.coil_lag, p.room_temp, p.coil_open_temp, p.coil_reclose_temp)
    assert reclosed == pytest.approx(first + rest, abs=1e-3)
