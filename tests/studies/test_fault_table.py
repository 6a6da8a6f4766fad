"""Each fault alone on one machine: nothing at severity 0, and the way physics says above it."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dryermodel.cycle.engine.equations import flows
from dryermodel.cycle.engine.parameters import NEVER, TIMED, Parameters
from dryermodel.cycle.engine.state import start_moisture
from dryermodel.cycle.result import CycleResult
from dryermodel.cycle.run.simulate import run_cycle
from dryermodel.errors import InputError
from dryermodel.physics.moist_air import moist_density
from dryermodel.scenario.convert import firing_rate
from dryermodel.scenario.faults import apply_faults, catalogue
from dryermodel.scenario.model import load_scenario
from dryermodel.studies.fault_table import chosen_faults, run_faults
from tests.cycle.cases import INH2O, on_whole_chain, parameters

KEYS = list(catalogue())
HEALTHY: dict[bool, CycleResult] = {}


def healthy(whole_chain: bool) -> CycleResult:
    if whole_chain not in HEALTHY:
        p = on_whole_chain(parameters()) if whole_chain else parameters()
        HEALTHY[whole_chain] = run_cycle(p)
    return HEALTHY[whole_chain]


# Severity 0 -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("key", KEYS)
def test_a_fault_of_severity_zero_is_the_healthy_run_bit_for_bit(key: str) -> None:
    whole_chain = KEYS.index(key) % 2 == 1
    base = healthy(whole_chain)
    same = run_cycle(apply_faults(base.parameters, {key: 0.0}))
    assert same.final.tobytes() == base.final.tobytes()
    assert repr(same.outcome) == repr(base.outcome)
    assert same.trajectory.state.tobytes() == base.trajectory.state.tobytes()
    assert same.cycle_time == base.cycle_time and same.end is base.end


def test_the_smallest_severity_is_not_the_healthy_run() -> None:
    """So that the test above does not pass because nothing is applied at all."""
    base = healthy(False)
    for key in ("vent_blockage", "weak_burner", "outlet_gasket_leak"):
        moved = run_cycle(apply_faults(base.parameters, {key: 1e-3}))
        assert not np.array_equal(moved.final, base.final)


# The study ------------------------------------------------------------------------------------------


def test_study_runs_what_is_asked_for_beside_the_healthy_machine() -> None:
    scenario = load_scenario("standard", faults=["belt_slipping=60 %"])
    told: list[tuple[int, int]] = []
    table = run_faults(
        scenario, 0.25, ["weak_burner, thermostat_stuck_open"], lambda n, of: told.append((n, of))
    )
    assert [run.fault.key for run in table.runs] == ["weak_burner", "thermostat_stuck_open"]
    assert [run.severity for run in table.runs] == [0.25, 1.0]
    assert table.own_faults == ("belt_slipping",)
    assert table.healthy.final.tobytes() == healthy(False).final.tobytes()
    assert told == [(1, 3), (2, 3), (3, 3)]
    direct = run_cycle(apply_faults(parameters(), {"weak_burner": 0.25}))
    assert table.runs[0].result.final.tobytes() == direct.final.tobytes()


def test_gas_faults_are_left_out_on_an_electric_machine() -> None:
    table = run_faults(load_scenario("electric"), only=["igniter_open", "humid_room"])
    assert [run.fault.key for run in table.runs] == ["humid_room"]
    assert table.without_meaning == ("igniter_open",)


@pytest.mark.parametrize("severity", [0.0, -0.5, 1.01, math.nan, math.inf])
def test_severity_outside_its_range(severity: float) -> None:
    with pytest.raises(InputError, match=r"--severity: is .*, outside the allowed 0 .* to 1"):
        run_faults(load_scenario("standard"), severity)


def test_unknown_fault_is_told_with_the_nearest() -> None:
    with pytest.raises(InputError, match=r"--only: weak_burnr: unknown fault \(did you mean weak_burner"):
        chosen_faults(["vent_blockage", "weak_burnr"])


# What must hold on any machine ----------------------------------------------------------------------


@st.composite
def machines(draw: st.DrawFn) -> Parameters:
    """Draw a machine, vent and room around the standard one, each field within its usual range."""
    p = parameters()
    return p._replace(
        room_temp=draw(st.floats(270.0, 308.0)),
        room_humidity_ratio=draw(st.floats(0.001, 0.012)),
        pressure=draw(st.floats(75e3, 103e3)),
        fan_dead_head=p.fan_dead_head * draw(st.floats(0.6, 1.6)),
        fan_slope=p.fan_slope * draw(st.floats(0.5, 2.0)),
        fan_speed=draw(st.floats(0.6, 1.0)),
        burner_loss=p.burner_loss * draw(st.floats(0.5, 2.0)),
        load_loss=p.load_loss * draw(st.floats(0.3, 2.0)),
        screen_loss=p.screen_loss * draw(st.floats(0.3, 5.0)),
        drum_seal_area=draw(st.floats(0.0, 60e-4)),
        gasket_area=draw(st.floats(0.0, 40e-4)),
        vent_length=draw(st.floats(1.0, 20.0)),
        vent_minor_loss=draw(st.floats(0.5, 8.0)),
        vent_flex_factor=draw(st.floats(1.0, 3.0)),
        vent_open_area=draw(st.floats(0.3, 1.0)),
        firing_rate=p.firing_rate * draw(st.floats(0.6, 1.2)),
        dry_mass=draw(st.floats(1.5, 6.0)),
    )


def air(p: Parameters) -> tuple[float, float]:
    """Static pressure at the collar [Pa] and mass flow of the blower [kg/s], machine running cold."""
    density = moist_density(p.room_temp, p.room_humidity_ratio, p.pressure)
    found = flows(p, 1.0, start_moisture(p), density, density)
    return found.collar_pressure, found.total


pairs = st.tuples(st.floats(0.0, 0.95), st.floats(0.0, 0.95)).filter(lambda ab: abs(ab[0] - ab[1]) > 0.02)


@given(machines(), pairs)
@settings(max_examples=150, deadline=None, derandomize=True)
def test_static_rises_and_flow_falls_with_every_fault_of_the_vent(
    p: Parameters, severities: tuple[float, float]
) -> None:
    less, more = sorted(severities)
    # A run shorter than the crushed length is crushed as a whole, and no more than that.
    p = p._replace(vent_length=max(p.vent_length, 8.0 * 0.3048))
    for key in ("vent_blockage", "vent_flap_stuck", "vent_crushed"):
        one, other = (air(apply_faults(p, {key: s})) for s in (less, more))
        assert other[0] > one[0], key
        assert other[1] < one[1], key


@given(machines(), pairs)
@settings(max_examples=150, deadline=None, derandomize=True)
def test_flow_and_static_fall_with_a_blocked_screen_and_a_weak_wheel(
    p: Parameters, severities: tuple[float, float]
) -> None:
    less, more = sorted(severities)
    for key in ("lint_screen_blocked", "housing_silted", "blower_wheel_caked"):
        one, other = (air(apply_faults(p, {key: s})) for s in (less, more))
        assert other[0] < one[0], key
        assert other[1] < one[1], key


@given(machines(), pairs)
@settings(max_examples=100, deadline=None, derandomize=True)
def test_leaks_before_the_blower_raise_its_flow_and_starve_the_burner(
    p: Parameters, severities: tuple[float, float]
) -> None:
    less, more = sorted(severities)
    density = moist_density(p.room_temp, p.room_humidity_ratio, p.pressure)
    for key in ("outlet_gasket_leak", "drum_seal_leak"):
        one, other = (
            flows(apply_faults(p, {key: s}), 1.0, start_moisture(p), density, density) for s in (less, more)
        )
        assert other.total > one.total, key
        assert other.burner < one.burner, key


@given(
    st.tuples(st.floats(0.5, 12.0), st.floats(0.5, 12.0)).filter(lambda ab: abs(ab[0] - ab[1]) > 0.1),
    st.floats(4.0, 14.0),
    st.floats(0.0, 8000.0),
)
@settings(max_examples=60, deadline=None, derandomize=True)
def test_input_rises_with_manifold_pressure_until_the_supply_holds_it(
    setting: tuple[float, float], supply: float, altitude: float
) -> None:
    """Square root of what the regulator can hold: supply less its drop."""
    base = load_scenario("standard").model

    def rate(inches: float) -> float:
        gas = base.gas.model_copy(
            update={"manifold_pressure": inches * INH2O, "supply_pressure": supply * INH2O}
        )
        room = base.room.model_copy(update={"altitude": altitude * 0.3048})
        return firing_rate(base.model_copy(update={"gas": gas, "room": room}))

    less, more = sorted(setting)
    held = supply - base.gas.regulator_drop / INH2O
    expected = math.sqrt(min(more, held) / min(less, held))
    assert rate(more) / rate(less) == pytest.approx(expected, rel=1e-9)
    assert (rate(more) > rate(less)) == (less < held)


@given(machines(), st.tuples(st.floats(0.0, 0.9), st.floats(0.0, 0.9)))
@settings(max_examples=12, deadline=None, derandomize=True)
def test_a_weaker_burner_takes_longer_to_dry(p: Parameters, severities: tuple[float, float]) -> None:
    """On the clock and with the thermostats out of the way, so that only the input matters."""
    less, more = sorted(severities)
    timed = p._replace(
        program=TIMED, dial_heat=14400.0, cut_out=NEVER, cut_in=NEVER - 1.0, high_limit_cut_out=NEVER,
        high_limit_cut_in=NEVER - 1.0, thermal_cutoff=NEVER, stop_moisture=0.06, rel_tolerance=1e-4,
    )  # fmt: skip
    one, other = (run_cycle(apply_faults(timed, {"weak_burner": s})).cycle_time for s in (less, more))
    assert other >= one * (1.0 - 1e-6)
    if more - less > 0.05:
        assert other > one * 1.005
