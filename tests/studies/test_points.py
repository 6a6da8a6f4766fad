"""Parameters of a point are those of a file that says the same."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dryermodel.errors import InputError
from dryermodel.scenario.model import load_scenario
from dryermodel.scenario.schema import rule_of
from dryermodel.studies.sweep.points import MANY_RUN_TOLERANCE, PointMaker
from dryermodel.studies.sweep.vary import read_vary

# Each moves something that is derived from it: humidity ratio and load temperature, pressure and
# input, fan slope, three losses, minor loss, heat of sorption, firing rate.
DERIVING = [
    ("room.temperature", "60 degF", "85 degF"),
    ("room.altitude", "0 ft", "7000 ft"),
    ("air.fan_free_delivery", "250 cfm", "350 cfm"),
    ("air.loss_flow", "120 cfm", "160 cfm"),
    ("vent.elbow_loss", "0.4", "1"),
    ("load.cotton_fraction", "10 %", "90 %"),
    ("gas.supply_pressure", "2 inH2O", "7 inH2O"),
    ("machine.drum_metal_mass", "8 kg", "15 kg"),
    ("machine.dial_normal", "1 min", "9 min"),
]


@pytest.mark.parametrize(("key", "low", "high"), DERIVING)
@pytest.mark.parametrize("name", ["standard", "propane_altitude"])
def test_derived_parameters_follow(name: str, key: str, low: str, high: str) -> None:
    v = read_vary(f"{key}={low}:{high}:2")
    make = PointMaker(load_scenario(name), [key])
    for value, text in ((v.start, low), (v.stop, high)):
        expected = load_scenario(name, {key: text}).to_parameters()
        assert make([value]) == expected._replace(rel_tolerance=MANY_RUN_TOLERANCE)
    assert make([v.start]) != make([v.stop])


@given(st.floats(1.0, 20.0), st.integers(0, 20), st.floats(-20.0, 120.0))
@settings(max_examples=40, derandomize=True, deadline=None)
def test_several_keys_at_once(mass: float, elbows: int, room: float) -> None:
    keys = ["load.dry_mass", "vent.elbows", "room.temperature"]
    texts = [f"{mass!r} kg", str(elbows), f"{room!r} degF"]
    if mass > 18.14:  # 40 lb, the end of the admissible range
        texts[0], mass = "18 kg", 18.0
    kelvin = read_vary(f"room.temperature={room!r} degF:{room!r} degF:1").start
    made = PointMaker(load_scenario("standard"), keys)([mass, elbows, kelvin])
    expected = load_scenario("standard", dict(zip(keys, texts, strict=True))).to_parameters()
    assert made == expected._replace(rel_tolerance=MANY_RUN_TOLERANCE)


def test_faults_of_the_scenario_are_in_every_point() -> None:
    scenario = load_scenario("standard", ["vent.length=30 ft"], ["weak_burner=70 %"])
    made = PointMaker(scenario, ["load.dry_mass"])([scenario.value("load.dry_mass")])
    assert made == scenario.to_parameters()._replace(rel_tolerance=MANY_RUN_TOLERANCE)
    assert made.firing_rate < load_scenario("standard").to_parameters().firing_rate


def test_varied_fault() -> None:
    make = PointMaker(load_scenario("standard", (), ["belt_slipping=severity 0.3"]), ["faults.vent_blockage"])
    for severity in (0.0, 0.4, 1.0):
        faults = ["belt_slipping=severity 0.3", f"vent_blockage=severity {severity}"]
        expected = load_scenario("standard", (), faults).to_parameters()
        assert make([severity]) == expected._replace(rel_tolerance=MANY_RUN_TOLERANCE)


def test_gas_fault_on_an_electric_machine() -> None:
    make = PointMaker(load_scenario("electric"), ["faults.weak_burner"])
    with pytest.raises(InputError, match=r"has no meaning when machine.heat = 'electric'"):
        make.check_ends([(0.0, 1.0)])


def test_faults_that_exclude_each_other_show_at_the_ends() -> None:
    make = PointMaker(load_scenario("standard"), ["faults.thermostat_drift", "faults.thermostat_drift_high"])
    with pytest.raises(InputError, match="cannot be together"):
        make.check_ends([(0.0, 1.0), (0.0, 1.0)])


def test_points_do_not_disturb_one_another() -> None:
    make = PointMaker(load_scenario("standard"), ["vent.length", "load.dry_mass"])
    before = make([3.0, 4.0])
    make([9.0, 2.0])
    assert make([3.0, 4.0]) == before


def test_tolerance_is_the_scenario_s_own_if_it_gives_one() -> None:
    own = load_scenario("standard", ["controls.rel_tolerance=1e-6"])
    assert PointMaker(own, ["vent.length"])([3.0]).rel_tolerance == 1e-6
    assert PointMaker(load_scenario("standard"), ["vent.length"])([3.0]).rel_tolerance == MANY_RUN_TOLERANCE
    assert PointMaker(own, ["controls.rel_tolerance"])([1e-4]).rel_tolerance == 1e-4


def test_what_contradicts_itself_shows_at_the_ends() -> None:
    v = read_vary("machine.exhaust_cut_out=120:170 degF:30")
    make = PointMaker(load_scenario("standard"), [v.key])
    with pytest.raises(InputError, match=r"--vary: machine.exhaust_cut_out: .*must be below.*120 degF"):
        make.check_ends([(v.start, v.stop)])


def test_what_contradicts_itself_in_two_keys_shows_at_the_ends() -> None:
    cut_out, cut_in = (
        read_vary("machine.exhaust_cut_out=145:170 degF:3"),
        read_vary("machine.exhaust_cut_in=130:150 degF:3"),
    )
    make = PointMaker(load_scenario("standard"), ["vent.length", cut_out.key, cut_in.key])
    fine = [(3.0, 9.0), (cut_out.stop, cut_out.stop), (cut_in.start, cut_in.stop)]
    make.check_ends(fine)
    with pytest.raises(InputError, match="must be below"):
        make.check_ends([(3.0, 9.0), (cut_out.start, cut_out.stop), (cut_in.start, cut_in.stop)])


def test_gas_key_on_an_electric_machine() -> None:
    make = PointMaker(load_scenario("electric"), ["burner.firing_rate"])
    with pytest.raises(InputError, match=r"has no meaning when machine.heat = 'electric'"):
        make([5000.0])


def test_thermostat_moves_with_its_differential() -> None:
    scenario = load_scenario("standard")
    make = PointMaker(
        scenario, ["machine.exhaust_cut_out"], {"machine.exhaust_cut_out": ("machine.exhaust_cut_in",)}
    )
    base = scenario.to_parameters()
    moved = make([base.cut_out + 3.0])
    assert moved.cut_out - base.cut_out == pytest.approx(3.0)
    assert moved.cut_in - base.cut_in == pytest.approx(3.0)


def test_count_keys_become_whole() -> None:
    rule = rule_of("vent.elbows")
    assert rule is not None and rule.kind == "count"
    model = PointMaker(load_scenario("standard"), ["vent.elbows"]).model([3.0])
    assert model.vent.elbows == 3 and isinstance(model.vent.elbows, int)
