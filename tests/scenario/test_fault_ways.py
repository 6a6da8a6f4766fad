"""Faults given as what was measured: the machine that is found shows just that reading."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner

from dryermodel import units
from dryermodel.cli import app
from dryermodel.errors import InputError
from dryermodel.readings.collar import at_collar
from dryermodel.scenario.fault_text import read_fault
from dryermodel.scenario.fault_ways import WAYS
from dryermodel.scenario.model import Scenario, load_scenario
from dryermodel.scenario.run import simulate
from dryermodel.studies.comparison.cases import plan_comparison
from tests.numbers import numbers

INCH = 249.08891
"""[Pa] of water column at 39.2 degF, ASTM E380."""


def static_of(scenario: Scenario) -> float:
    return at_collar(scenario.to_parameters()).static / INCH


@pytest.mark.parametrize("key", ["vent_blockage", "vent_flap_stuck"])
def test_static_is_what_the_machine_then_shows(key: str) -> None:
    found = load_scenario("standard", faults=[f"{key}=static 1.1 in w.c."])
    assert static_of(found) == pytest.approx(1.1, abs=1e-6)
    assert load_scenario("standard", faults=[f"{key}=1.1 in w.c."]).faults == found.faults


def test_screen_housing_and_wheel_show_a_low_static() -> None:
    for key in ("lint_screen_blocked", "housing_silted", "blower_wheel_caked", "vent_joint_leak"):
        found = load_scenario("standard", faults=[f"{key}=static 0.42 in w.c."])
        assert static_of(found) == pytest.approx(0.42, abs=1e-6), key


def test_the_same_static_is_more_blockage_behind_a_weaker_blower() -> None:
    strong = load_scenario("standard", faults=["vent_blockage=static 0.9 in w.c."])
    weak = load_scenario("standard", faults=["vent_blockage=static 0.9 in w.c.", "blower_wheel_caked=85 %"])
    assert static_of(weak) == pytest.approx(0.9, abs=1e-6)
    assert weak.faults["vent_blockage"] > strong.faults["vent_blockage"] + 0.05


def test_pressures_of_the_gas_side() -> None:
    """Input goes with the square root of manifold pressure; the regulator starves by its drop."""
    manifold = load_scenario("standard", faults=["weak_burner=2.4 in w.c."]).to_parameters()
    supply = load_scenario("standard", faults=["low_supply_pressure=2 in w.c."]).to_parameters()
    told = [load_scenario("standard", [setting]).to_parameters().firing_rate for setting in
            ("gas.manifold_pressure=2.4 in w.c.", "gas.supply_pressure=2 in w.c.")]  # fmt: skip
    assert [manifold.firing_rate, supply.firing_rate] == pytest.approx(told, rel=1e-9)


@pytest.mark.parametrize(
    ("text", "setting"),
    [
        ("weak_burner=clocked 15000 Btu/h", "burner.firing_rate=15000 Btu/h"),
        ("wrong_orifice=28000 Btu/h", "burner.firing_rate=28000 Btu/h"),
        ("igniter_slow=lights 75 s", "burner.igniter_warm_up=75 s"),
        ("overload=14 lb", "load.dry_mass=14 lb"),
        ("wash_spin_poor=moisture 90 %", "load.initial_moisture=90 %"),
        ("humid_room=room 80 %", "room.relative_humidity=80 %"),
    ],
)
def test_a_reading_is_the_same_as_the_scenario_that_says_it(text: str, setting: str) -> None:
    found = load_scenario("standard", faults=[text]).to_parameters()
    said = load_scenario("standard", [setting]).to_parameters()
    assert numbers(found) == pytest.approx(numbers(said), rel=1e-9)


def test_set_points_voltage_and_power() -> None:
    p = load_scenario(
        "standard",
        faults=["thermostat_drift=opens 140 degF", "high_limit_weak=opens 200 degF", "drum_drags=340 W",
                "low_line_voltage=102 V", "cold_makeup_air=intake 40 degF"],
    ).to_parameters()  # fmt: skip
    in_degF = [units.convert(k, "degF") for k in (p.cut_out, p.high_limit_cut_out, p.room_temp)]
    assert in_degF == pytest.approx([140.0, 200.0, 40.0])
    assert (p.motor_power, p.line_voltage) == pytest.approx((340.0, 102.0))


@pytest.mark.parametrize("key", list(WAYS))
def test_every_way_has_an_example_that_can_be_read_and_met(key: str) -> None:
    for way in WAYS[key]:
        written = read_fault(f"{key}={way.example}")
        assert written.measured is not None and written.measured.word == way.word
        found = load_scenario("standard", faults=[f"{key}={way.example}"])
        assert 0.0 < found.faults[key] < 1.0


def test_out_of_reach_says_what_can_be_reached() -> None:
    healthy = static_of(load_scenario("standard"))
    shut = static_of(load_scenario("standard", faults=["vent_blockage=100 %"]))
    for text in ("3 in w.c.", "0.2 in w.c."):
        with pytest.raises(InputError) as caught:
            load_scenario("standard", faults=[f"vent_blockage=static {text}"])
        message = str(caught.value)
        assert f"{text} is out of its reach" in message
        assert f"{healthy:.3g} in w.c. without it and {shut:.3g} in w.c. at its worst" in message


def test_one_static_does_not_tell_two_faults(tmp_path: Path) -> None:
    path = tmp_path / "two.toml"
    path.write_text(
        "[faults]\nvent_blockage='static 1 in w.c.'\nvent_flap_stuck='static 1 in w.c.'\n", "utf-8"
    )
    with pytest.raises(InputError, match=r"line 3: faults.vent_flap_stuck: one static cannot tell this from"):
        load_scenario(path)


def test_title_and_data_carry_what_it_came_to_and_what_was_measured() -> None:
    options = ["--fault", "vent_blockage=1.1 in w.c.", "--fault", "weak_burner=severity 0.5"]
    settings = [part for key in ("length=21 ft", "elbows=3", "hood_loss=1.2", "diameter=4.1 in")
                for part in ("--set", f"vent.{key}")]  # fmt: skip
    found = json.loads(
        CliRunner().invoke(app, ["simulate", "standard", *options, *settings, "--json"]).stdout
    )
    quantity = found["fault_quantities"]["vent_blockage"]
    assert quantity.endswith(" % (static 1.1 in w.c.)")
    assert found["fault_quantities"]["weak_burner"] == "70 %"
    assert f"vent blockage {quantity}" in found["title"] and "weak burner 70 %" in found["title"]
    assert float(quantity.split()[0]) == pytest.approx(100.0 * found["faults"]["vent_blockage"], abs=0.01)


def test_a_file_s_own_fault_is_in_the_title(tmp_path: Path) -> None:
    path = tmp_path / "own.toml"
    path.write_text("[scenario]\ntitle='Mine'\n[faults]\nthermostat_stuck_open=true\n", "utf-8")
    assert simulate(load_scenario(path)).title == "Mine; with thermostat stuck open"


def test_a_what_if_keeps_the_blockage_that_was_found() -> None:
    cases = plan_comparison(["standard"], ["vent.length=40 ft"], faults=["vent_blockage=static 1 in w.c."])
    found, longer = (scenario.faults["vent_blockage"] for _, scenario in cases)
    assert longer == found
