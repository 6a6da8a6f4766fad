"""From what a person writes to the SI numbers of a cycle."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings

from dryermodel.cycle.engine import parameters as p
from dryermodel.cycle.engine.parameters import NEVER, Parameters
from dryermodel.cycle.engine.state import start_moisture
from dryermodel.physics import fuel, moist_air
from dryermodel.scenario import load_scenario
from dryermodel.scenario.convert import to_parameters
from dryermodel.scenario.files import Layer
from dryermodel.scenario.merge import merge
from tests.numbers import numbers
from tests.strategies import Raw, scenarios

BTU_PER_HOUR = 1055.05585262 / 3600.0  # [W] international table Btu (ISO 31-4:1992 annex A)
CFM = 0.3048**3 / 60.0  # [m3/s] exact
INCH_OF_WATER = 249.08891  # [Pa] NIST SP 811 app. B.8


def parameters(*settings: str) -> Parameters:
    return load_scenario("standard", settings).to_parameters()


def test_standard_is_the_regulation_test_load_in_its_room() -> None:
    # 10 CFR 430 subpart B app. D1/D2: 8.45 lb, 57.5 % (both from memory), 75 degF, 50 % RH.
    standard = parameters()
    assert standard.dry_mass == pytest.approx(3.83286, abs=1e-5)
    assert standard.piece_moisture == (0.575, 0.0, 0.0, 0.0)
    assert standard.room_temp == pytest.approx(297.0389, abs=1e-4)
    assert standard.load_temp == standard.room_temp
    assert moist_air.relative_humidity(
        standard.room_temp, standard.room_humidity_ratio, standard.pressure
    ) == pytest.approx(0.5, abs=1e-9)
    assert standard.firing_rate == pytest.approx(22000 * BTU_PER_HOUR, rel=1e-9)


def test_fan_curve_has_the_dead_head_and_the_free_delivery() -> None:
    made = parameters("air.fan_dead_head=1.5 inH2O", "air.fan_free_delivery=300 cfm")
    assert made.fan_dead_head == pytest.approx(1.5 * INCH_OF_WATER)
    assert made.fan_dead_head - made.fan_slope * (300 * CFM) ** 2 == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize(
    ("key", "field"),
    [("burner_path_loss", "burner_loss"), ("load_loss", "load_loss"), ("screen_loss", "screen_loss")],
)
def test_losses_are_met_at_the_loss_flow(key: str, field: str) -> None:
    made = parameters(f"air.{key}=0.4 inH2O", "air.loss_flow=120 cfm")
    assert getattr(made, field) * (120 * CFM) ** 2 == pytest.approx(0.4 * INCH_OF_WATER)


def test_minor_losses_add_up() -> None:
    made = parameters("vent.elbows=3", "vent.elbow_loss=0.5", "vent.hood_loss=1.2")
    assert made.vent_minor_loss == pytest.approx(2.7)


def test_firing_rate_follows_the_root_of_manifold_pressure() -> None:
    # Fixed orifice: flow goes with the square root of pressure (NFPA 54 Annex E).
    full, quarter = parameters(), parameters("gas.manifold_pressure=0.875 inH2O")
    assert quarter.firing_rate / full.firing_rate == pytest.approx(0.5)


def test_starved_regulator_lowers_the_firing_rate() -> None:
    starved = parameters("gas.supply_pressure=3 inH2O", "gas.regulator_drop=0.5 inH2O")
    assert starved.firing_rate / parameters().firing_rate == pytest.approx(math.sqrt(2.5 / 3.5))


def test_wrong_gas_changes_the_rate_by_the_wobbe_index() -> None:
    # Natural 1025 Btu/ft3 SG 0.60, propane 2500 Btu/ft3 SG 1.5: 2500/sqrt(1.5) over 1025/sqrt(0.6).
    wrong = parameters("gas.kind=propane")
    assert wrong.firing_rate / parameters().firing_rate == pytest.approx(1.5426, abs=1e-4)
    assert wrong.water_per_energy == fuel.PROPANE.water_per_energy


def test_right_gas_for_the_orifice_gives_the_plate() -> None:
    made = parameters(
        "gas.kind=propane",
        "burner.rated_gas=propane",
        "burner.rated_manifold_pressure=10 inH2O",
        "gas.manifold_pressure=10 inH2O",
        "gas.supply_pressure=11 inH2O",
    )
    assert made.firing_rate == pytest.approx(parameters().firing_rate)


def test_thin_air_lowers_the_input_by_the_root_of_pressure() -> None:
    high = parameters("room.altitude=5000 ft")
    # US Standard Atmosphere 1976 at 5000 ft: 12.228 psia.
    assert high.pressure == pytest.approx(12.228 * 6894.757, rel=1e-3)
    assert high.firing_rate / parameters().firing_rate == pytest.approx(math.sqrt(high.pressure / 101325.0))


def test_given_pressure_goes_before_the_standard_atmosphere() -> None:
    assert parameters("room.pressure=900 hPa").pressure == 90000.0
    # The shipped propane scenario has an altitude; what is said later in another way replaces it.
    inherited = load_scenario("propane_altitude", ["room.pressure=900 hPa"])
    assert inherited.to_parameters().pressure == 90000.0


def test_altitude_said_later_replaces_an_inherited_pressure(tmp_path: Path) -> None:
    (tmp_path / "base.toml").write_text("[room]\npressure = '900 hPa'", encoding="utf-8")
    top = tmp_path / "top.toml"
    top.write_text("[scenario]\nextends = 'base.toml'\n[room]\naltitude = '5000 ft'", encoding="utf-8")
    at_altitude = parameters("room.altitude=5000 ft").pressure
    assert load_scenario(top).to_parameters().pressure == at_altitude
    assert load_scenario(tmp_path / "base.toml", ["room.altitude=5000 ft"]).value("room.pressure") is None


def test_plate_said_later_replaces_an_inherited_orifice(tmp_path: Path) -> None:
    (tmp_path / "base.toml").write_text("[burner]\norifice = 'drill 11'", encoding="utf-8")
    plate = load_scenario(tmp_path / "base.toml", ["burner.firing_rate=20000 Btu/h"])
    assert plate.to_parameters().firing_rate == parameters("burner.firing_rate=20000 Btu/h").firing_rate


def test_rating_plate_from_an_orifice() -> None:
    # A commercial dryer's rating plate: one drill 11 at 3.5 in w.c. natural gas is 106000 Btu/h.
    made = parameters("burner.orifice=drill 11")
    assert made.firing_rate == pytest.approx(106000 * BTU_PER_HOUR, rel=0.002)
    assert parameters("burner.orifice=0.191 in").firing_rate == pytest.approx(made.firing_rate, rel=1e-12)


@pytest.mark.parametrize("orifice", ["none", "drill 42"])
def test_blocked_orifice_passes_its_open_share(orifice: str) -> None:
    whole = parameters(f"burner.orifice={orifice}")
    half = parameters(f"burner.orifice={orifice}", "burner.orifice_open_area=50 %")
    assert half.firing_rate == pytest.approx(0.5 * whole.firing_rate)


def test_utility_heating_value_replaces_that_of_the_kind() -> None:
    richer = parameters("gas.heating_value=1076.25 Btu/ft3")
    assert richer.firing_rate / parameters().firing_rate == pytest.approx(1.05)


def test_electric_heat_makes_no_water_and_needs_no_air() -> None:
    made = load_scenario("electric").to_parameters()
    assert (made.heat_source, made.firing_rate) == (p.ELECTRIC_HEAT, 5400.0)
    assert (made.water_per_energy, made.air_per_energy) == (0.0, 0.0)


@pytest.mark.parametrize(
    ("settings", "seconds"),
    [
        ([], 480.0),
        (["controls.dryness=less dry"], 240.0),
        (["controls.dryness=very dry"], 720.0),
        (["controls.dryness=very dry", "machine.dial_very_dry=9 min"], 540.0),
        (["controls.dryness=very dry", "controls.dial_heat=1 min"], 60.0),
        (["controls.program=timed", "controls.timed_length=30 min"], 1800.0),
        (["controls.program=air only", "controls.timed_length=20 min"], 1200.0),
    ],
)
def test_where_the_dial_starts(settings: list[str], seconds: float) -> None:
    assert parameters(*settings).dial_heat == seconds


@pytest.mark.parametrize(
    ("setting", "field", "value"),
    [
        ("controls.program=timed", "program", p.TIMED),
        ("controls.program=air only", "program", p.AIR_ONLY),
        ("machine.timer_wiring=whole chain", "timer_wiring", p.SHUNT_WHOLE_CHAIN),
        ("machine.timer_motor=dead", "timer_works", 0.0),
        ("machine.thermal_cutoff_state=blown", "cutoff_intact", 0.0),
        ("machine.thermal_cutoff=never", "thermal_cutoff", NEVER),
        ("burner.igniter_warm_up=never", "igniter_warm_up", NEVER),
        ("burner.flame_sensor=stuck closed", "sensor_stuck", 1.0),
        ("burner.flame_sensor=stuck open", "sensor_stuck", 2.0),
        ("controls.stop_at_moisture=4 %", "stop_moisture", 0.04),
        ("controls.stop_at_moisture=none", "stop_moisture", -1.0),
        ("vent.open_area=0 %", "vent_open_area", 0.0),
        ("vent.roughness=foil", "vent_roughness", 0.0021),
        ("vent.roughness=1.5 mm", "vent_roughness", 0.0015),
        ("load.temperature=32 degF", "load_temp", 273.15),
        ("load.cotton_fraction=100 %", "piece_sorption_share", (1.0, 1.0, 1.0, 1.0)),
    ],
)
def test_settings_reach_their_parameter(setting: str, field: str, value: float) -> None:
    assert getattr(parameters(setting), field) == pytest.approx(value, rel=1e-12)


def test_low_heat_where_the_wiring_has_it_or_the_clock_runs() -> None:
    assert parameters("controls.heat=low", "machine.low_heat_in_auto=true").low_heat == 1.0
    assert parameters("controls.heat=low", "controls.program=timed").low_heat == 1.0


def test_stuck_thermostat_is_a_threshold_no_temperature_crosses() -> None:
    closed = parameters("machine.exhaust_thermostat=stuck closed")
    stuck_open = parameters("machine.exhaust_thermostat=stuck open")
    assert closed.cut_in < closed.cut_out and closed.cut_in > 1e6
    assert stuck_open.cut_in < stuck_open.cut_out < 10.0


def test_every_parameter_can_be_moved_by_some_key() -> None:
    moved: set[str] = set()
    base, electric = parameters(), load_scenario("electric").to_parameters()
    moved |= {name for name in Parameters._fields if getattr(base, name) != getattr(electric, name)}
    low = parameters("controls.heat=low", "controls.program=timed")
    moved |= {name for name in Parameters._fields if getattr(base, name) != getattr(low, name)}
    for setting in MOVES.replace("\n", "; ").strip("; ").split("; "):
        changed = parameters(*setting.split(" and "))
        moved |= {name for name in Parameters._fields if getattr(base, name) != getattr(changed, name)}
    family = load_scenario("family_load").to_parameters()
    moved |= {name for name in Parameters._fields if getattr(base, name) != getattr(family, name)}
    assert moved == set(Parameters._fields)


MOVES = """\
room.temperature=60 degF; room.altitude=1000 ft; room.volume=30 m3; room.air_changes=1 1/h
machine.motor_stops=10 min; air.housing_loss=0.1 inH2O; burner.primary_air=60 %
room.depressurisation=0.02 inH2O; load.dry_mass=3 lb; load.initial_moisture=60 %
load.cotton_fraction=80 %; load.critical_moisture=30 %; load.scorches_at=350 degF
machine.cabinet_share=50 %; machine.seal_from_cabinet=50 %; machine.housing_mass=4 kg
machine.housing_conductance=20 W/K; machine.chamber_mass=2 kg; machine.chamber_conductance=20 W/K
machine.motor_power_fall=5 %; machine.exhaust_metal_share=20 %; machine.high_limit_metal_share=50 %
machine.cutoff_lag=20 s; machine.cutoff_coupling=90 %; machine.least_uptake=20 %
 gas.kind=propane; gas.air_per_energy=0.32 kg/MJ
air.fan_dead_head=1 inH2O; air.fan_free_delivery=300 cfm; air.fan_speed=80 %
air.reference_density=1.1 kg/m3; air.loss_flow=150 cfm; air.screen_loading=20 %
air.drum_seal_leak=30 cm2; air.gasket_leak=20 cm2; air.leak_coefficient=0.7; air.natural_draught=2 g/s
vent.joint_leak=5 cm2; vent.diameter=5 in; vent.length=30 ft; vent.roughness=foil; vent.flex_factor=2
vent.elbows=3; vent.open_area=50 %; vent.resistance_factor=8; vent.flap_pressure=0.1 inH2O
machine.transfer_conductance=0.2 kg/s; machine.transfer_flow=0.05 kg/s; machine.transfer_exponent=0.8
machine.lewis_factor=1; machine.reference_load=7 lb; machine.small_load_exponent=0.9
machine.overload_mass=7 kg; machine.tumbling=50 %; machine.drum_metal_mass=10 kg
machine.drum_conductance=30 W/K; machine.cabinet_conductance=6 W/K; machine.line_voltage=110 V
machine.motor_power=300 W; machine.motor_heat_share=50 %; machine.timer_resistance=3000 ohm
machine.igniter_resistance=50 ohm; machine.holding_resistance=1200 ohm; machine.assist_resistance=500 ohm
machine.main_coil_resistance=1200 ohm; machine.pull_in=50 %; burner.igniter_warm_up=45 s
burner.sensor_cool_down=45 s; burner.flame_sensor=stuck open
burner.coil_opens=200 degF and burner.coil_recloses=150 degF; burner.coil_rise=80 delta_degF
burner.coil_lag=200 s; machine.exhaust_cut_out=160 degF; machine.exhaust_cut_in=135 degF
machine.exhaust_lag=30 s; machine.bias_rise=10 delta_degF; machine.high_limit_cut_out=230 degF
machine.high_limit_cut_in=200 degF; machine.high_limit_lag=60 s; machine.high_limit_coupling=50 %
machine.thermal_cutoff=310 degF; controls.program=timed; machine.timer_wiring=whole chain
controls.dryness=very dry; machine.cool_down=4 min; machine.timer_motor=dead
machine.thermal_cutoff_state=blown; controls.time_limit=3 h; controls.stop_at_moisture=4 %
controls.marked_moisture=5 %; controls.rel_tolerance=1e-4
"""


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(scenarios())
def test_every_admissible_scenario_has_sane_parameters(raw: Raw) -> None:
    made = to_parameters(merge([Layer("drawn", raw)]).model)
    assert all(math.isfinite(value) for value in numbers(made))
    assert made.cut_in < made.cut_out
    assert made.high_limit_cut_in < made.high_limit_cut_out < made.thermal_cutoff
    assert 0.0 <= made.room_humidity_ratio < 0.2
    assert made.firing_rate >= 0.0
    assert made.dry_mass > 0.0 and start_moisture(made) > 0.0 and made.natural_draught > 0.0
    assert made.water_per_energy * moist_air.latent_heat(298.15) < 1.0  # heat of the fuel is left for the air
