"""The file of a fitted machine: what is in it, and that it loads to the very same machine."""

from __future__ import annotations

from pathlib import Path

import pytest

from dryermodel.errors import InputError
from dryermodel.field.evidence import gather
from dryermodel.inference.calibration import calibrate
from dryermodel.inference.fit_result import Calibration
from dryermodel.inference.fitted_scenario import changed, check_path, scenario_text, write_scenario
from dryermodel.scenario.model import Scenario, load_scenario

KEYS = ["burner.firing_rate", "machine.high_limit_cut_out", "room.relative_humidity", "load.initial_moisture"]
KNOWN = gather(["gas input=21000 Btu/h", "start moisture=66 %"], [])


def fit(scenario: Scenario, keys: list[str] | None = None) -> Calibration:
    return calibrate(scenario, KNOWN, keys=keys or KEYS, starts=1)


def written(found: Calibration, folder: Path) -> Scenario:
    return load_scenario(write_scenario(found, folder / "mine.toml", "1.2.3"))


@pytest.mark.parametrize(
    ("name", "settings", "faults"),
    [
        ("standard", [], []),
        ("standard", ["vent.length=14 ft", "load.dry_mass=9 lb"], ["weak_burner=manifold 3.0 in w.c."]),
        ("family_load", ["machine.exhaust_cut_out=150 degF"], ["timer_motor_dead"]),
    ],
)
def test_the_file_loads_to_the_fitted_machine(
    tmp_path: Path, name: str, settings: list[str], faults: list[str]
) -> None:
    found = fit(load_scenario(name, settings, faults))
    loaded = written(found, tmp_path)
    assert loaded.to_parameters() == found.machine.to_parameters()
    assert loaded.hash == found.machine.hash != found.scenario.hash
    assert loaded.faults == found.scenario.faults and loaded.title == found.machine.title


def test_set_points_move_along_and_values_are_those_of_the_fit(tmp_path: Path) -> None:
    found = fit(load_scenario("standard"))
    loaded = written(found, tmp_path)
    base = found.scenario
    differential = base.value("machine.high_limit_cut_out") - base.value("machine.high_limit_cut_in")
    opens, closes = (loaded.value(f"machine.high_limit_cut_{way}") for way in ("out", "in"))
    assert opens - closes == pytest.approx(differential, abs=1e-3)
    for one in found.fitted:
        assert loaded.value(one.key) == pytest.approx(one.value, rel=1e-12)


def test_every_value_says_how_it_is_known(tmp_path: Path) -> None:
    found = fit(load_scenario("standard"))
    lines = scenario_text(found, tmp_path / "mine.toml", "1.2.3").splitlines()
    rate, humid = (
        next(x for x in lines if x.startswith(key)) for key in ("firing_rate", "relative_humidity")
    )
    assert "# fitted: " in rate and " Btu/h; before: " in rate
    assert "# fitted, not determined: 38 to 62 % before and after" in humid
    assert 'extends = "standard"' in lines and not any("WARNING" in line for line in lines)


def test_a_fit_that_does_not_fit_is_marked(tmp_path: Path) -> None:
    known = gather(["static=1.4 in w.c."], [])
    found = calibrate(load_scenario("standard"), known, keys=["vent.resistance_factor"], starts=1)
    assert "# WARNING" in scenario_text(found, tmp_path / "mine.toml", "1.2.3")


def test_a_file_of_ones_own_is_extended_by_its_path(tmp_path: Path) -> None:
    (tmp_path / "base.toml").write_text('[faults]\ncoil_fails_hot = "severity 0.4"\n', encoding="utf-8")
    (tmp_path / "fits").mkdir()
    found = fit(load_scenario(tmp_path / "base.toml").with_faults({}))
    loaded = written(found, tmp_path / "fits")
    assert 'extends = "../base.toml"' in (tmp_path / "fits" / "mine.toml").read_text(encoding="utf-8")
    assert loaded.faults == {} and loaded.to_parameters() == found.machine.to_parameters()


def test_nothing_is_changed_of_a_scenario_as_it_is() -> None:
    assert changed(load_scenario("family_load")) == {}
    assert changed(load_scenario("standard", ["vent.elbows=4"])) == {"vent.elbows": 4}


def test_files_that_cannot_be_are_refused(tmp_path: Path) -> None:
    standard = load_scenario("standard")
    there = tmp_path / "there.toml"
    there.write_text("", encoding="utf-8")
    with pytest.raises(InputError, match="must end in"):
        check_path(standard, [], tmp_path / "mine.txt")
    with pytest.raises(InputError, match="already exists"):
        check_path(standard, [], there)
    with pytest.raises(InputError, match="there is no directory"):
        check_path(standard, [], tmp_path / "nowhere" / "mine.toml")
    check_path(standard, [], tmp_path / "mine.toml")


def test_pieces_that_an_option_changed_are_written_unless_their_means_are_fitted(tmp_path: Path) -> None:
    scenario = load_scenario("family_load", ["load.pieces.jeans.share=50 %"])
    with pytest.raises(InputError, match="change them in the file"):
        check_path(scenario, KEYS, tmp_path / "mine.toml")
    check_path(scenario, ["burner.firing_rate"], tmp_path / "mine.toml")
    found = fit(scenario, ["burner.firing_rate"])
    assert written(found, tmp_path).to_parameters() == found.machine.to_parameters()
