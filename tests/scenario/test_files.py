"""Finding, extending, completing and writing scenario files."""

from __future__ import annotations

import math
import re
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from dryermodel.errors import InputError
from dryermodel.machine import circuit
from dryermodel.scenario import files as scenario_files
from dryermodel.scenario import load_scenario, new_scenario, scenario_hash, shipped_scenarios
from dryermodel.scenario.defaults import STATUSES
from dryermodel.scenario.interruptions import Interruption, read_interruptions
from dryermodel.scenario.model import GIVEN
from dryermodel.scenario.schema import keys, rule_of
from tests.numbers import numbers
from tests.strategies import number_and_unit

ROOT = Path(__file__).parents[2]
PAIRED = ("exhaust_cut_in", "exhaust_cut_out", "high_limit_cut_in", "high_limit_cut_out")


def _free(key: str) -> bool:
    """Return whether a key is a quantity that may be moved by itself over its whole range."""
    rule = rule_of(key)
    return rule is not None and not rule.words and rule.kind != "count" and key.split(".")[1] not in PAIRED


FREE_QUANTITIES = [key for key in keys() if _free(key)]
SHIPPED = {
    "standard",
    "old_high_cutout",
    "small_load",
    "long_vent",
    "cold_garage",
    "propane_altitude",
    "electric",
}


def write(path: Path, text: str) -> Path:
    path.write_text(text, encoding="utf-8")
    return path


def test_shipped_scenarios_are_there() -> None:
    assert set(shipped_scenarios()) >= SHIPPED


@pytest.mark.parametrize("name", sorted(SHIPPED))
def test_shipped_scenario_is_fine_and_says_what_it_is(name: str) -> None:
    scenario = load_scenario(name)
    assert scenario.name == name
    assert len(scenario.title) > 10
    assert len(scenario.description) > 60
    assert all(math.isfinite(value) for value in numbers(scenario.to_parameters()))


def test_shipped_scenarios_differ() -> None:
    assert len({load_scenario(name).hash for name in SHIPPED}) == len(SHIPPED)


def test_standard_is_all_defaults() -> None:
    assert {row.status for row in load_scenario("standard").resolved()} <= set(STATUSES)


@pytest.mark.parametrize(
    "spelling", ["standard", "standard.toml", "scenarios/standard", "scenarios/standard.toml"]
)
def test_shipped_scenario_is_found_from_any_directory(
    spelling: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    assert load_scenario(spelling).name == "standard"


def test_shipped_scenarios_are_found_inside_an_installed_package(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "shipped").mkdir()
    write(tmp_path / "shipped" / "only.toml", "[vent]\nlength = '3 ft'")
    monkeypatch.setattr(scenario_files, "_HERE", tmp_path)
    assert shipped_scenarios() == ["only"]
    assert load_scenario("only").value("vent.length") == pytest.approx(0.9144)


def test_own_file_goes_before_a_shipped_name(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    write(tmp_path / "standard.toml", "[vent]\nlength = '3 ft'")
    monkeypatch.chdir(tmp_path)
    assert load_scenario("standard").value("vent.length") == pytest.approx(0.9144)


def test_extends_beside_the_file_and_by_shipped_name(tmp_path: Path) -> None:
    (tmp_path / "deep").mkdir()
    write(tmp_path / "deep" / "base.toml", "[scenario]\nextends = 'old_high_cutout'\n[vent]\nelbows = 5")
    top = write(tmp_path / "top.toml", "[scenario]\nextends = 'deep/base.toml'\n[vent]\nlength = '1 ft'")
    scenario = load_scenario(top)
    assert scenario.value("vent.elbows") == 5
    assert scenario.value("vent.length") == pytest.approx(0.3048)
    assert scenario.value("machine.exhaust_cut_out") == pytest.approx(349.8167, abs=1e-4)


def test_title_is_the_files_own(tmp_path: Path) -> None:
    path = write(tmp_path / "mine.toml", "[scenario]\nextends = 'standard'")
    assert (load_scenario(path).title, load_scenario(path).description) == ("mine", "")


def test_electric_may_inherit_gas_values(tmp_path: Path) -> None:
    write(tmp_path / "gas.toml", "[gas]\nsupply_pressure = '9 inH2O'")
    path = write(tmp_path / "e.toml", "[scenario]\nextends = 'gas.toml'\n[machine]\nheat = 'electric'")
    assert load_scenario(path).to_parameters().firing_rate == 5400.0


def test_byte_order_mark_and_windows_line_ends(tmp_path: Path) -> None:
    path = tmp_path / "notepad.toml"
    path.write_bytes(b"\xef\xbb\xbf[vent]\r\nelbows = 4\r\n")
    assert load_scenario(path).value("vent.elbows") == 4


def test_options_go_before_files() -> None:
    scenario = load_scenario("long_vent", ["vent.length = '12 ft'", "vent.elbows=1"])
    assert scenario.value("vent.length") == pytest.approx(12 * 0.3048)
    assert load_scenario("long_vent", {"vent.length": "12 ft", "vent.elbows": 1}).hash == scenario.hash


def test_resolved_rows_tell_value_unit_and_origin(tmp_path: Path) -> None:
    path = write(tmp_path / "mine.toml", "[scenario]\nextends = 'long_vent'\n[load]\ndry_mass = '10 lb'")
    rows = {row.key: row for row in load_scenario(path, ["room.altitude=1000 ft"]).resolved()}
    assert tuple(rows) == keys()
    assert (rows["load.dry_mass"].text, rows["load.dry_mass"].si_unit) == ("10 lb", "kg")
    assert rows["load.dry_mass"].si == pytest.approx(4.5359237)
    assert (rows["load.dry_mass"].origin, rows["load.dry_mass"].status) == (path.as_posix(), GIVEN)
    assert (rows["vent.length"].origin, rows["vent.length"].status) == ("scenarios/long_vent.toml", GIVEN)
    assert (rows["room.altitude"].origin, rows["room.altitude"].status) == ("--set", GIVEN)
    assert (rows["load.cotton_fraction"].origin, rows["load.cotton_fraction"].status) == (
        "default",
        "published",
    )
    assert (rows["vent.elbows"].text, rows["vent.elbows"].si) == ("4", 4)
    assert (rows["machine.low_heat_in_auto"].text, rows["gas.heating_value"].si) == ("false", None)


def test_hash_ignores_order_spelling_title_and_file(tmp_path: Path) -> None:
    one = write(tmp_path / "a.toml", "[vent]\nlength = '20 ft'\ndiameter = '4 in'\n[load]\ndry_mass = '5 lb'")
    two = write(
        tmp_path / "b.toml",
        "[scenario]\ntitle = 'x'\n[load]\ndry_mass = '2.26796185 kg'\n"
        "[vent]\ndiameter = '101.6 mm'\nlength = '6.096 m'",
    )
    assert scenario_hash(load_scenario(one)) == scenario_hash(load_scenario(two))
    assert re.fullmatch("[0-9a-f]{64}", load_scenario(one).hash)


@pytest.mark.parametrize("setting", ["vent.length=20.001 ft", "vent.elbows=3", "machine.heat=electric"])
def test_hash_tells_values_apart(setting: str) -> None:
    assert load_scenario("standard", [setting]).hash != load_scenario("standard").hash


def test_hash_is_the_same_in_another_process() -> None:
    code = "from dryermodel.scenario import load_scenario; print(load_scenario('electric').hash)"
    done = subprocess.run(
        [sys.executable, "-X", "utf8", "-c", code], cwd=ROOT, capture_output=True, text=True, check=True
    )
    assert done.stdout.strip() == load_scenario("electric").hash


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.data())
def test_any_quantity_survives_being_written_in_si(data: st.DataObject) -> None:
    key = data.draw(st.sampled_from(FREE_QUANTITIES))
    rule = rule_of(key)
    assert rule is not None
    (low, unit), (high, _) = number_and_unit(rule.low), number_and_unit(rule.high)
    text = f"{data.draw(st.floats(low, high))!r} {unit}"
    heat = {"machine.heat": "electric"} if key == "burner.heater_power" else {}
    first = load_scenario("standard", {**heat, key: text})
    again = f"{first.value(key)!r} {'1' if not rule.si_unit() else rule.si_unit()}"
    assert load_scenario("standard", {**heat, key: again}).hash == first.hash


# ---------------------------------------------------------------------------------- interruptions


def test_interruptions_in_order_of_time(tmp_path: Path) -> None:
    path = write(
        tmp_path / "door.toml",
        "[[controls.interruptions]]\nat = '12 min'\nwhat = 'start pressed'\n"
        "[[controls.interruptions]]\nat = '600 s'\nwhat = 'door opened'\n"
        "[[controls.interruptions]]\nat = '0.19 h'\nwhat = 'Door closed'\n",
    )
    events = load_scenario(path).interruptions()
    assert [code for _, code in events] == [circuit.DOOR_OPENED, circuit.DOOR_CLOSED, circuit.START_PRESSED]
    assert [at for at, _ in events] == pytest.approx([600.0, 684.0, 720.0])


def test_interruptions_on_the_command_line() -> None:
    scenario = load_scenario("standard", ["controls.interruptions=20 min power back; 10 min power cut"])
    assert scenario.interruptions() == ((600.0, circuit.POWER_CUT), (1200.0, circuit.POWER_BACK))
    assert load_scenario("standard").interruptions() == ()


def test_interruptions_are_part_of_the_hash() -> None:
    one = load_scenario("standard", ["controls.interruptions=10 min power cut"])
    same = load_scenario("standard", ["controls.interruptions=600 s power cut"])
    assert one.hash == same.hash != load_scenario("standard").hash


def test_reading_interruptions_again_changes_nothing() -> None:
    events = (Interruption(60.0, "door opened"), Interruption(120.0, "door closed"))
    assert read_interruptions(events) == events


# ------------------------------------------------------------------------------------- new files


def test_new_file_is_fine_as_it_is(tmp_path: Path) -> None:
    path = new_scenario(tmp_path / "mine.toml")
    assert load_scenario(path).hash == load_scenario("standard").hash
    assert set(tomllib.loads(path.read_text(encoding="utf-8"))) == {
        "scenario",
        "faults",
        *(k.split(".")[0] for k in keys()),
    }


def test_new_file_with_every_comment_taken_away_is_the_default(tmp_path: Path) -> None:
    path = new_scenario(tmp_path / "mine.toml")
    text = re.sub(r"^#(?=\w+ = )", "", path.read_text(encoding="utf-8"), flags=re.M)
    text = text.replace('\nheater_power = "5400 W"', "")  # says nothing on a gas machine
    scenario = load_scenario(write(tmp_path / "bare.toml", text))
    assert scenario.hash == load_scenario("standard").hash
    given_keys = {key for key, who in scenario.given.items() if who.label != "default"}
    assert given_keys | {"burner.heater_power"} >= set(keys()) - {"extends"}


def test_new_file_names_every_range(tmp_path: Path) -> None:
    text = " ".join(
        new_scenario(tmp_path / "mine.toml").read_text(encoding="utf-8").replace("#", " ").split()
    )
    for key in keys():
        rule = rule_of(key)
        assert rule is None or rule.allowed() in text


def test_new_file_never_replaces_one(tmp_path: Path) -> None:
    path = write(tmp_path / "mine.toml", "mine")
    with pytest.raises(InputError, match="already exists"):
        new_scenario(path)
    assert path.read_text(encoding="utf-8") == "mine"
    assert list(tmp_path.iterdir()) == [path]


@pytest.mark.parametrize(
    ("name", "message"), [("mine.txt", "must end in .toml"), ("no/such/place.toml", "there is no directory")]
)
def test_new_file_in_a_place_that_cannot_be(tmp_path: Path, name: str, message: str) -> None:
    with pytest.raises(InputError, match=message):
        new_scenario(tmp_path / name)
    assert list(tmp_path.iterdir()) == []


def test_new_file_is_the_same_bytes_each_time(tmp_path: Path) -> None:
    (tmp_path / "a").mkdir()
    (tmp_path / "b").mkdir()
    one, two = new_scenario(tmp_path / "a" / "m.toml"), new_scenario(tmp_path / "b" / "m.toml")
    assert one.read_bytes() == two.read_bytes()
    assert b"\r" not in one.read_bytes()
    assert one.read_text(encoding="utf-8").isascii()
