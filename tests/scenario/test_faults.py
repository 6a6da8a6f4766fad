"""The fault catalogue: every entry complete, every move physical, every bad word told in one line."""

from __future__ import annotations

import math
import struct

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dryermodel import units
from dryermodel.cycle.engine.parameters import NEVER, Parameters
from dryermodel.cycle.run.simulate import run_cycle
from dryermodel.errors import InputError
from dryermodel.physics.moist_air import relative_humidity
from dryermodel.scenario.fault_moves import MOVES
from dryermodel.scenario.faults import Fault, apply_faults, catalogue, find_fault
from dryermodel.scenario.model import load_scenario
from dryermodel.scenario.schema import keys as scenario_keys
from tests.numbers import numbers
from tests.scenario.faulty import STANDARD, run, severities, with_fault

KEYS = [
    "vent_blockage", "vent_flap_stuck", "vent_crushed", "lint_screen_blocked", "housing_silted",
    "blower_wheel_caked", "outlet_gasket_leak", "drum_seal_leak", "vent_joint_leak", "weak_burner",
    "wrong_orifice", "low_supply_pressure", "gas_shut_off", "venturi_dusty", "igniter_slow", "igniter_open",
    "flame_sensor_stuck_open",
    "flame_sensor_stuck_closed", "coil_fails_hot", "thermostat_drift", "thermostat_drift_high",
    "thermostat_stuck_closed", "thermostat_stuck_open", "thermostat_lint_coated", "high_limit_weak",
    "thermal_cutoff_open", "timer_motor_dead", "start_winding_stays", "hold_contact_open",
    "switch_intermittent", "drum_drags", "belt_slipping", "drum_not_turning", "overload",
    "wash_spin_poor", "low_line_voltage", "cold_makeup_air", "humid_room", "room_depressurised",
    "altitude_unadjusted",
]  # fmt: skip
GRADED = [key for key in KEYS if catalogue()[key].graded]
ON_OFF = [key for key in KEYS if not catalogue()[key].graded]
FALLS = {
    "vent_open_area", "fan_speed", "coil_open_temp", "coil_reclose_temp", "high_limit_cut_out",
    "high_limit_cut_in", "tumbling", "room_temp", "pressure", "primary_air", "line_voltage",
    "motor_stop_time",
}  # fmt: skip
"""Fields that fall as a fault gets worse; the others rise, but for the exceptions below."""
FALLS_FOR = {
    "weak_burner": {"firing_rate"},
    "low_supply_pressure": {"firing_rate"},
    "altitude_unadjusted": {"firing_rate"},
    "thermostat_drift": {"cut_out", "cut_in"},
    "cold_makeup_air": {"room_humidity_ratio"},
}


def changed(before: Parameters, after: Parameters) -> set[str]:
    return {f for f in Parameters._fields if getattr(before, f) != getattr(after, f)}


def bits(parameters: Parameters) -> bytes:
    return struct.pack(f"{len(numbers(parameters))}d", *numbers(parameters))


# The catalogue ------------------------------------------------------------------------------------


def test_catalogue_has_every_key_and_each_has_a_move() -> None:
    assert list(catalogue()) == KEYS
    assert set(MOVES) == set(KEYS)


@pytest.mark.parametrize("key", KEYS)
def test_entry_is_complete_and_ascii(key: str) -> None:
    fault = catalogue()[key]
    words = [
        fault.title, fault.place, fault.quantity, fault.at_0, fault.at_1, fault.rule, fault.effect,
        fault.customer_says, fault.confirms, fault.remedy, fault.caution, *fault.measure,
    ]  # fmt: skip
    assert all(word.strip() and word.isascii() for word in words)
    assert fault.measure and fault.moves and fault.scenario_keys
    assert set(fault.scenario_keys) <= set(scenario_keys())
    assert fault.severity in ("graded", "on/off")
    assert fault.place in ("dryer", "vent", "gas supply", "power supply", "load", "room")


@pytest.mark.parametrize("key", GRADED)
def test_half_severity_is_what_the_entry_says(key: str) -> None:
    fault = catalogue()[key]
    assert fault.amount(0.5) == pytest.approx(units.parse(fault.at_half, fault.kind), rel=1e-12)
    assert fault.amount(1.0) == pytest.approx(units.parse(fault.at_1, fault.kind), rel=1e-12)
    assert (fault.at(0.0), fault.at(0.5), fault.at(1.0)) == (fault.at_0, fault.at_half, fault.at_1)


@pytest.mark.parametrize("key", ON_OFF)
def test_on_off_fault_has_two_words(key: str) -> None:
    fault = catalogue()[key]
    assert (fault.at(0.0), fault.at(1.0)) == (fault.at_0, fault.at_1)
    assert (fault.at_half, fault.kind, fault.law, fault.unit) == ("", "", "", "")


def test_outside_the_dryer_it_is_said_that_the_dryer_is_fine() -> None:
    for fault in catalogue().values():
        assert fault.dryer_at_fault == (fault.place == "dryer")
        says_fine = "dryer is fine" in fault.remedy + fault.effect
        assert says_fine == (not fault.dryer_at_fault), fault.key


def test_cautions_belong_to_their_faults() -> None:
    """Common practice of the trade: limits are never bypassed, gas work is for the qualified."""
    for fault in catalogue().values():
        if fault.licensed:
            assert "where local rules say so" in fault.caution, fault.key
            assert fault.gas_only or fault.key == "altitude_unadjusted"
    for key in ("high_limit_weak", "thermal_cutoff_open"):
        assert "Never bypass" in catalogue()[key].caution
    for key in ("vent_blockage", "vent_joint_leak", "wrong_orifice", "room_depressurised"):
        assert "carbon monoxide" in catalogue()[key].caution


# Applying -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("key", KEYS)
def test_severity_zero_changes_no_bit(key: str) -> None:
    assert bits(apply_faults(STANDARD, {key: 0.0})) == bits(STANDARD)
    assert bits(apply_faults(STANDARD, dict.fromkeys(KEYS, 0))) == bits(STANDARD)
    assert bits(apply_faults(STANDARD, {})) == bits(STANDARD)


@pytest.mark.parametrize("key", KEYS)
def test_worst_severity_moves_just_the_fields_named(key: str) -> None:
    assert changed(STANDARD, apply_faults(STANDARD, {key: 1.0})) == set(catalogue()[key].moves)


@pytest.mark.parametrize("key", GRADED)
def test_fields_move_one_way_with_severity(key: str) -> None:
    steps = [STANDARD, *(apply_faults(STANDARD, {key: s / 8.0}) for s in range(1, 9))]
    falling = FALLS_FOR.get(key, set()) | FALLS
    for field in catalogue()[key].moves:
        values = [getattr(p, field) for p in steps]
        falls = field in falling
        ordered = sorted(values, reverse=falls)
        assert values == ordered, (field, values)
        assert len(set(values)) == len(values), field


@pytest.mark.parametrize(
    ("fault", "setting"),
    [
        ("vent_blockage=75 %", "vent.open_area=25 %"),
        ("vent_crushed=3 ft", f"vent.flex_factor={0.7 + 0.3 * 0.4375**-3}"),
        ("lint_screen_blocked=50 %", "air.screen_loss=1.12 inH2O"),
        ("housing_silted=0.4 inH2O", "air.housing_loss=0.4 inH2O"),
        ("blower_wheel_caked=70 %", "air.fan_speed=70 %"),
        ("outlet_gasket_leak=20 cm2", "air.gasket_leak=24 cm2"),
        ("drum_seal_leak=30 cm2", "air.drum_seal_leak=44 cm2"),
        ("vent_joint_leak=30 cm2", "vent.joint_leak=30 cm2"),
        ("weak_burner=50 %", "burner.firing_rate=11000 Btu/h"),
        ("weak_burner=80 %", "burner.orifice_open_area=80 %"),
        ("wrong_orifice=120 %", "burner.firing_rate=26400 Btu/h"),
        ("low_supply_pressure=50 %", "gas.supply_pressure=2.25 inH2O"),
        ("gas_shut_off", "gas.supply_pressure=0 inH2O"),
        ("venturi_dusty=60 %", "burner.primary_air=60 %"),
        ("switch_intermittent=20 min", "machine.motor_stops=20 min"),
        ("igniter_slow=30 s", "burner.igniter_warm_up=45 s"),
        ("flame_sensor_stuck_open", "burner.flame_sensor=stuck open"),
        ("flame_sensor_stuck_closed", "burner.flame_sensor=stuck closed"),
        ("thermostat_stuck_open", "machine.exhaust_thermostat=stuck open"),
        ("thermostat_stuck_closed", "machine.exhaust_thermostat=stuck closed"),
        ("thermostat_lint_coated=100 s", "machine.exhaust_lag=120 s"),
        ("thermal_cutoff_open", "machine.thermal_cutoff_state=blown"),
        ("timer_motor_dead", "machine.timer_motor=dead"),
        ("belt_slipping=60 %", "machine.tumbling=60 %"),
        ("drum_not_turning", "machine.tumbling=0 %"),
        ("overload=200 %", "load.dry_mass=16.9 lb"),
        ("wash_spin_poor=30 %", "load.initial_moisture=87.5 %"),
        ("humid_room=30 %", "room.relative_humidity=80 %"),
        ("room_depressurised=0.1 inH2O", "room.depressurisation=0.1 inH2O"),
        ("altitude_unadjusted=5000 ft", "room.altitude=5000 ft"),
    ],
)
def test_fault_is_the_same_as_the_scenario_that_says_it(fault: str, setting: str) -> None:
    """Two roads to the same parameters: the catalogue's move, and the scenario file's own key."""
    scenario = load_scenario("standard", [setting]).to_parameters()
    assert numbers(with_fault(fault)) == pytest.approx(numbers(scenario), rel=1e-12)


def test_drift_and_weak_limit_are_the_same_as_their_set_points() -> None:
    down = ["machine.exhaust_cut_out=145 degF", "machine.exhaust_cut_in=130 degF"]
    assert numbers(with_fault("thermostat_drift=10 degF")) == pytest.approx(
        numbers(load_scenario("standard", down).to_parameters()), rel=1e-12
    )
    up = ["machine.exhaust_cut_out=170 degF", "machine.exhaust_cut_in=155 degF"]
    assert numbers(with_fault("thermostat_drift_high=15 degF")) == pytest.approx(
        numbers(load_scenario("standard", up).to_parameters()), rel=1e-12
    )
    limit = ["machine.high_limit_cut_out=195 degF", "machine.high_limit_cut_in=177 degF"]
    assert numbers(with_fault("high_limit_weak=30 degF")) == pytest.approx(
        numbers(load_scenario("standard", limit).to_parameters()), rel=1e-12
    )


def test_cold_makeup_air_keeps_relative_humidity_and_the_load_warm() -> None:
    cold = with_fault("cold_makeup_air=30 degF")
    assert cold.room_temp == pytest.approx(units.parse("45 degF", "temperature"))
    rh = relative_humidity(cold.room_temp, cold.room_humidity_ratio, cold.pressure)
    assert rh == pytest.approx(0.5, rel=1e-9)
    assert cold.load_temp == STANDARD.load_temp


def test_humid_room_never_passes_its_ceiling_nor_dries_a_wetter_room() -> None:
    damp = load_scenario("standard", ["room.relative_humidity=95 %"]).to_parameters()
    foggy = load_scenario("standard", ["room.relative_humidity=100 %"]).to_parameters()
    worse = apply_faults(damp, {"humid_room": 1.0})
    assert relative_humidity(worse.room_temp, worse.room_humidity_ratio, worse.pressure) == pytest.approx(
        0.98
    )
    assert numbers(apply_faults(foggy, {"humid_room": 1.0})) == pytest.approx(numbers(foggy), rel=1e-12)


def test_vent_flap_adds_the_loss_of_a_plate_with_its_open_share() -> None:
    """I. E. Idelchik, Handbook of Hydraulic Resistance: ((1 + 0.707 sqrt(1 - o) - o)/o)^2."""
    o = 0.4
    k = ((1.0 + 0.707 * math.sqrt(1.0 - o) - o) / o) ** 2
    assert with_fault("vent_flap_stuck=40 %").vent_minor_loss - STANDARD.vent_minor_loss == pytest.approx(k)


def test_only_the_crushed_length_resists_more() -> None:
    """3 ft of 20 ft flat to a quarter of its height: 17 ft as before and 3 ft of a flat oval."""
    run = STANDARD._replace(vent_length=20.0 * 0.3048)
    crushed = apply_faults(run, severities("vent_crushed=3 ft")).vent_flex_factor
    assert crushed - 1.0 == pytest.approx((3.0 / 20.0) * (0.4375**-3 - 1.0))
    short = STANDARD._replace(vent_length=0.5)
    whole = apply_faults(short, severities("vent_crushed=3 ft")).vent_flex_factor
    assert whole == apply_faults(short, severities("vent_crushed=8 ft")).vent_flex_factor
    none = STANDARD._replace(vent_length=0.0)
    assert apply_faults(none, {"vent_crushed": 1.0}).vent_flex_factor == 1.0


def test_coil_lets_go_after_the_burn_it_stands_for() -> None:
    """First order lag from room temperature: lag ln(rise/(rise - opening rise)) is the time given."""
    p = with_fault("coil_fails_hot=4 min")
    rise = p.coil_open_temp - p.room_temp
    assert -p.coil_lag * math.log1p(-rise / p.coil_rise) == pytest.approx(240.0)
    assert p.coil_reclose_temp - p.room_temp == pytest.approx(0.5 * rise)
    first_burn = run("coil_fails_hot=4 min").trajectory.intervals(11, 1e9)[0]
    assert first_burn[1] - first_burn[0] == pytest.approx(240.0, rel=1e-3)


def test_a_coil_that_fails_only_after_days_never_fails_in_a_cycle() -> None:
    p = apply_faults(STANDARD, {"coil_fails_hot": 1e-4})
    assert p.coil_open_temp <= p.room_temp + p.coil_rise
    assert run_cycle(p).cycle_time == pytest.approx(run_cycle(STANDARD).cycle_time, rel=1e-6)


def test_igniter_open_never_warms() -> None:
    p = with_fault("igniter_open")
    assert (p.igniter_warm_up, p.igniter_resistance) == (NEVER, NEVER)


# Combining ----------------------------------------------------------------------------------------


def test_resistances_multiply_and_areas_add() -> None:
    together = apply_faults(STANDARD, {"weak_burner": 0.5, "low_supply_pressure": 0.5, "wrong_orifice": 0.5})
    expected = STANDARD.firing_rate * 0.7 * math.sqrt(0.575) * 1.3
    assert together.firing_rate == pytest.approx(expected, rel=1e-12)
    twice = apply_faults(apply_faults(STANDARD, {"outlet_gasket_leak": 0.5}), {"outlet_gasket_leak": 0.25})
    assert twice.gasket_area == pytest.approx(34e-4)


def test_stuck_contact_and_standing_drum_win_over_their_graded_cousins() -> None:
    stuck = apply_faults(STANDARD, {"thermostat_stuck_closed": 1.0, "thermostat_drift": 1.0})
    assert (stuck.cut_out, stuck.cut_in) == (NEVER, NEVER - 1.0)
    assert apply_faults(STANDARD, {"drum_not_turning": 1.0, "belt_slipping": 0.5}).tumbling == 0.0
    dead = apply_faults(STANDARD, {"igniter_open": 1.0, "igniter_slow": 1.0})
    assert dead.igniter_warm_up == NEVER


def test_cold_air_at_altitude_is_the_same_as_the_scenario() -> None:
    settings_ = ["room.altitude=5000 ft", "room.temperature=45 degF", "load.temperature=75 degF"]
    scenario = load_scenario("standard", settings_).to_parameters()
    both = apply_faults(STANDARD, severities("cold_makeup_air=30 degF", "altitude_unadjusted=5000 ft"))
    assert numbers(both) == pytest.approx(numbers(scenario), rel=1e-12)


def drawn() -> st.SearchStrategy[dict[str, float]]:
    """Draw any mixture of faults that can be together."""
    excluded = {"thermostat_stuck_open", "thermostat_drift_high", "flame_sensor_stuck_open"}
    graded = st.fixed_dictionaries({}, optional={k: st.floats(0.0, 1.0) for k in GRADED if k not in excluded})
    on_off = st.fixed_dictionaries(
        {}, optional={k: st.sampled_from((0.0, 1.0)) for k in ON_OFF if k not in excluded}
    )
    return st.tuples(graded, on_off).map(lambda both: both[0] | both[1])


@given(drawn(), st.randoms(use_true_random=False))
@settings(max_examples=80, deadline=None, derandomize=True)
def test_order_given_does_not_matter_and_all_stays_physical(faults: dict[str, float], random: object) -> None:
    shuffled = list(faults.items())
    random.shuffle(shuffled)  # type: ignore[attr-defined]
    p = apply_faults(STANDARD, faults)
    assert bits(apply_faults(STANDARD, dict(shuffled))) == bits(p)
    assert all(math.isfinite(value) for value in numbers(p))
    assert p.cut_in < p.cut_out and p.high_limit_cut_in < p.high_limit_cut_out
    assert 0.0 <= p.vent_open_area <= 1.0
    assert p.firing_rate >= 0.0 and p.motor_stop_time > 0.0
    assert min(p.pressure, p.dry_mass, p.screen_loss) > 0.0
    assert p.tumbling >= 0.0 and p.room_humidity_ratio >= 0.0


# What is refused ---------------------------------------------------------------------------------


@pytest.mark.parametrize("severity", [-1e-9, 1.0000001, math.nan, math.inf])
def test_apply_refuses_a_severity_outside_its_range(severity: float) -> None:
    with pytest.raises(InputError, match="outside the allowed 0 to 1"):
        apply_faults(STANDARD, {"vent_blockage": severity})


def test_apply_refuses_unknown_keys_even_at_zero() -> None:
    with pytest.raises(InputError, match="did you mean humid_room"):
        apply_faults(STANDARD, {"humid_rom": 0.0})


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("thermostat_stuck_closed", "thermostat_stuck_open"),
        ("thermostat_drift", "thermostat_drift_high"),
        ("flame_sensor_stuck_closed", "flame_sensor_stuck_open"),
    ],
)
def test_opposites_cannot_be_together(one: str, other: str) -> None:
    with pytest.raises(InputError, match=f"{one}: cannot be together with {other}"):
        apply_faults(STANDARD, {other: 1.0, one: 1.0})
    assert changed(STANDARD, apply_faults(STANDARD, {other: 0.0, one: 1.0}))


def test_gas_faults_have_no_meaning_on_an_electric_machine() -> None:
    electric = load_scenario("electric").to_parameters()
    for fault in catalogue().values():
        assert fault.meets(STANDARD)
        assert fault.meets(electric) == (not fault.gas_only)
        if fault.gas_only:
            with pytest.raises(InputError, match=r"no meaning when machine\.heat"):
                apply_faults(electric, {fault.key: 1.0})
    thin = apply_faults(electric, {"altitude_unadjusted": 1.0})
    assert thin.firing_rate == electric.firing_rate and thin.pressure < electric.pressure


def test_find_fault_returns_the_entry() -> None:
    fault = find_fault("overload")
    assert isinstance(fault, Fault) and fault is catalogue()["overload"]
