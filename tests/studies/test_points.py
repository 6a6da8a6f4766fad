"""Parameters of a point are those of a file that says the same."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dryermodel.cycle.run import columns
from dryermodel.cycle.run.many import as_rows
from dryermodel.errors import InputError
from dryermodel.scenario.faults import catalogue
from dryermodel.scenario.model import load_scenario
from dryermodel.scenario.schema import rule_of
from dryermodel.studies.sweep.points import PointMaker
from dryermodel.studies.sweep.vary import read_vary
from dryermodel.studies.uncertainty.uncertain import uncertain_of

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
        assert make([value]) == expected
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
    assert made == expected


def test_faults_of_the_scenario_are_in_every_point() -> None:
    scenario = load_scenario("standard", ["vent.length=30 ft"], ["weak_burner=70 %"])
    made = PointMaker(scenario, ["load.dry_mass"])([scenario.value("load.dry_mass")])
    assert made == scenario.to_parameters()
    assert made.firing_rate < load_scenario("standard").to_parameters().firing_rate


def test_varied_fault() -> None:
    make = PointMaker(load_scenario("standard", (), ["belt_slipping=severity 0.3"]), ["faults.vent_blockage"])
    for severity in (0.0, 0.4, 1.0):
        faults = ["belt_slipping=severity 0.3", f"vent_blockage=severity {severity}"]
        expected = load_scenario("standard", (), faults).to_parameters()
        assert make([severity]) == expected


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


def test_tolerance_is_that_of_a_single_run() -> None:
    own = load_scenario("standard", ["controls.rel_tolerance=1e-6"])
    assert PointMaker(own, ["vent.length"])([3.0]).rel_tolerance == 1e-6
    usual = PointMaker(load_scenario("standard"), ["vent.length"])
    assert usual([3.0]).rel_tolerance == usual.tolerance == 1e-5
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


@pytest.fixture
def strictly_abreast(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let nothing fall back to point by point for what columns cannot do."""
    monkeypatch.setattr(columns, "REFUSED", ())


@pytest.mark.usefixtures("strictly_abreast")
@pytest.mark.parametrize("name", ["standard", "family_load", "electric", "cold_garage", "propane_altitude"])
def test_rows_of_many_points_are_those_of_each_to_the_last_bit(name: str) -> None:
    """Everything that is uncertain at once, at random."""
    uncertain = uncertain_of(load_scenario(name))
    shares = np.random.default_rng(11).random((120, len(uncertain)))
    points = np.column_stack([u.ppf(shares[:, i]) for i, u in enumerate(uncertain)])
    moving = {u.key: u.moves_with for u in uncertain}
    make = PointMaker(load_scenario(name), [u.key for u in uncertain], moving)
    assert make.rows(points).tobytes() == as_rows(map(make, points.tolist())).tobytes()


@pytest.mark.usefixtures("strictly_abreast")
def test_rows_with_every_fault_from_none_to_the_worst() -> None:
    generator = np.random.default_rng(12)
    for key, fault in catalogue().items():
        if fault.graded:
            keys = ["room.temperature", "load.dry_mass", f"faults.{key}", "faults.vent_blockage"]
            make = PointMaker(load_scenario("cold_garage"), keys if key != "vent_blockage" else keys[:3])
            points = generator.uniform([265.0, 1.0, -0.5, 0.0], [300.0, 6.0, 1.0, 1.0], (40, 4))
            points = np.maximum(points, 0.0)[:, : len(make.keys)]
            assert make.rows(points).tobytes() == as_rows(map(make, points.tolist())).tobytes(), key


@pytest.mark.usefixtures("strictly_abreast")
def test_rows_of_pieces_counts_and_the_tolerance() -> None:
    keys = ["load.pieces.jeans.share", "load.pieces.shirts.exposure", "vent.elbows", "controls.rel_tolerance"]
    make = PointMaker(load_scenario("family_load"), keys)
    points = np.random.default_rng(13).uniform([0.1, 0.5, 0.0, 1e-6], [0.6, 2.0, 9.9, 1e-4], (30, 4))
    assert make.rows(points).tobytes() == as_rows(map(make, points.tolist())).tobytes()
    assert make.rows(points[:0]).shape == (0,)


def test_rows_say_of_the_first_point_what_each_says() -> None:
    keys = ["machine.exhaust_cut_in", "machine.exhaust_cut_out"]
    make = PointMaker(load_scenario("standard"), keys)
    points = np.column_stack([np.linspace(320.0, 340.0, 30), np.full(30, 333.0)])
    with pytest.raises(InputError) as each:
        list(map(make, points.tolist()))
    with pytest.raises(InputError) as together:
        make.rows(points)
    assert str(together.value) == str(each.value)
