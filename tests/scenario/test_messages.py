"""Bad input: one line that says where, what, and what is allowed with its unit."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from dryermodel.errors import InputError
from dryermodel.scenario import load_scenario


def complaint(tmp_path: Path, text: str, settings: list[str] | None = None) -> str:
    """Return the one line that a file with this text is refused with."""
    path = tmp_path / "mine.toml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(InputError) as problem:
        load_scenario(path, settings or [])
    line = str(problem.value)
    assert "\n" not in line
    assert line.isascii()
    return line.replace(path.as_posix(), "mine.toml")


@pytest.mark.parametrize(
    ("text", "line"),
    [
        # unknown names
        (
            "[vent]\nlenght = '20 ft'",
            "mine.toml, line 2: vent.lenght: unknown key (did you mean vent.length?)",
        ),
        ("[machine]\nopen_area = '5 %'", "unknown key (did you mean vent.open_area?)"),
        ("[vents]\nlength = '20 ft'", "mine.toml: vents: unknown section (did you mean vent?)"),
        ("vent = 3", "mine.toml: vent: is a section, written [vent] on a line of its own"),
        ("[scenario]\ntitel = 'x'", "scenario.titel: unknown key (did you mean title?)"),
        ("[scenario]\ntitle = 3", "scenario.title: is text in quotes"),
        # units
        ("[vent]\nlength = '20 psi'", "vent.length: is a length, e.g. '20 ft'; '20 psi' is a pressure"),
        ("[vent]\nlength = '20'", "vent.length: '20' has no unit; it is a length, written e.g. '20 ft'"),
        ("[vent]\nlength = 20", "vent.length: '20' has no unit; it is a length, written e.g. '20 ft'"),
        ("[vent]\nlength = '20 fet'", "vent.length: unknown unit 'fet' (did you mean ft"),
        ("[vent]\nlength = true", "vent.length: is text in quotes with a unit; allowed 0 ft to 200 ft"),
        ("[vent]\nlength = []", "vent.length: is text in quotes with a unit; allowed 0 ft to 200 ft"),
        ("[room]\ntemperature = '5 delta_degF'", "room.temperature: is a temperature, e.g. '75 degF'"),
        # ranges
        ("[vent]\nlength = '300 ft'", "vent.length: is '300 ft', outside the allowed 0 ft to 200 ft"),
        ("[gas]\nsupply_pressure = '-1 inH2O'", "is '-1 inH2O', outside the allowed 0 in w.c. to 60 in w.c."),
        (
            "[load]\ninitial_moisture = '57.5'",
            "outside the allowed 1 % to 200 % (for 57.5 percent write '57.5 %')",
        ),
        ("[room]\nrelative_humidity = '50'", "(for 50 percent write '50 %')"),
        (
            "[vent]\nelbows = 2.0",
            "vent.elbows: is '2.0'; it is a plain whole number, 0 to 20, without quotes or unit",
        ),
        (
            "[vent]\nelbows = '2'",
            "vent.elbows: is '2'; it is a plain whole number, 0 to 20, without quotes or unit",
        ),
        ("[vent]\nelbows = 21", "vent.elbows: is 21, outside the allowed 0 to 20"),
        ("[burner]\norifice = 'drill 99'", "burner.orifice: drill number must be from 1 to 80"),
        # words
        ("[vent]\nroughness = 'rigit'", "'rigit' is not understood; allowed 0 mm to 2.5 mm, or 'rigid'"),
        (
            "[machine]\nheat = 'gass'",
            "machine.heat: is 'gass'; choose 'gas' or 'electric' (did you mean gas?)",
        ),
        ("[machine]\nheat = 3", "machine.heat: is '3'; choose 'gas' or 'electric'"),
        ("[machine]\nlow_heat_in_auto = 'yes'", "is 'yes'; it is true or false, without quotes"),
        # combinations
        (
            "[machine]\nexhaust_cut_in = '140 degF'\nexhaust_cut_out = '130 degF'",
            "mine.toml, line 2: machine.exhaust_cut_in: machine.exhaust_cut_in (140 degF) must be below "
            "machine.exhaust_cut_out (130 degF)",
        ),
        (
            "[machine]\nexhaust_cut_in = '153.5 degF'",
            "exhaust_cut_in (153.5 degF) must be below machine.exhaust_cut_out (155 degF) by 2 degF or more",
        ),
        (
            "[machine]\nhigh_limit_cut_in = '224 degF'",
            "machine.high_limit_cut_out (225 degF) by 2 degF or more",
        ),
        (
            "[burner]\ncoil_opens = '200 degF'\ncoil_recloses = '199 degF'",
            "burner.coil_opens (200 degF) by 2 degF or more",
        ),
        (
            "[controls]\nstop_at_moisture = '57.5 %'",
            "controls.stop_at_moisture (57.5 %) must be below load.initial_moisture (57.5 %)",
        ),
        (
            "[room]\npressure = '900 hPa'\naltitude = '10 ft'",
            "room.altitude has no effect beside room.pressure; give one of the two",
        ),
        (
            "[burner]\nfiring_rate = '20000 Btu/h'\norifice = 'drill 42'",
            "burner.firing_rate has no effect beside burner.orifice; give one of the two",
        ),
        ("[machine]\nhigh_limit_cut_in = '230 degF'", "machine.high_limit_cut_in (230 degF) must be below"),
        ("[machine]\nthermal_cutoff = '220 degF'", "machine.high_limit_cut_out (225 degF) must be below"),
        ("[burner]\ncoil_opens = '200 degF'", "burner.coil_recloses (never) must be below burner.coil_opens"),
        ("[controls]\nheat = 'low'", "controls.heat = 'low' in auto needs machine.low_heat_in_auto = true"),
        ("[gas]\nkind = 'custom'", "gas.heating_value must be given when gas.kind = 'custom'"),
        ("[burner]\nheater_power = '5 kW'", "burner.heater_power: has no meaning when machine.heat = 'gas'"),
        (
            "[machine]\nheat = 'electric'\n[gas]\nkind = 'propane'",
            "line 4: gas.kind: has no meaning when machine.heat = 'electric'",
        ),
        (
            "[scenario]\nextends = 'electric'\n[gas]\nkind = 'propane'",
            "has no meaning when machine.heat = 'electric'",
        ),
        # interruptions
        ("[controls]\ninterruptions = 3", 'is a list such as [{at = "10 min", what = "door opened"}]'),
        ("[controls]\ninterruptions = [{at = '9 min'}]", "has exactly the two keys at and what"),
        (
            "[controls]\ninterruptions = [{at = '9 min', what = 'door open'}]",
            "'door open' is not one of 'door opened', 'door closed', 'start pressed', 'power cut', "
            "'power back' (did you mean door opened",
        ),
        ("[controls]\ninterruptions = [{at = '9', what = 'door opened'}]", "'9' has no unit; it is a time"),
        (
            "[controls]\ninterruptions = [{at = '9 d', what = 'door opened'}]",
            "outside the allowed 0 s to 24 h",
        ),
        (
            "[controls]\ninterruptions = [{at = '9 min', what = 'door closed'}]",
            "'door closed' at 540 s cannot be: 'door opened' must come before it",
        ),
    ],
)
def test_file_is_refused_in_one_line(tmp_path: Path, text: str, line: str) -> None:
    assert line in complaint(tmp_path, text)


def test_broken_toml_gives_file_line_and_column(tmp_path: Path) -> None:
    line = complaint(tmp_path, "[vent]\nlength = 20 ft\n")
    assert line.startswith("mine.toml: is not valid TOML")
    assert "line 2, column" in line


@pytest.mark.parametrize(
    ("text", "mended"),
    [
        ("[burner]\nfiring_rate = 22000 Btu/h", 'put the value in quotes: firing_rate = "22000 Btu/h"'),
        ("[vent]\n\nlength = 20 ft  # duct", 'put the value in quotes: length = "20 ft"'),
        ("[vent]\nlength = 20ft", 'put the value in quotes: length = "20ft"'),
        ("[load]\ninitial_moisture = 57.5 %", 'put the value in quotes: initial_moisture = "57.5 %"'),
        ("[vent]\nroughness = rigid", 'put the value in quotes: roughness = "rigid"'),
        ("[vent]\nlength = 1/2 ft", 'put the value in quotes: length = "1/2 ft"'),
        ('[vent]\ndiameter = 4"', "put the value in quotes: diameter = '4\"'"),
        ('[vent]\ndiameter = "4""', "in single quotes: diameter = '4\"'"),
        ("[machine]\nlow_heat_in_auto = True", "in small letters: low_heat_in_auto = true"),
        (
            "[controls]\ninterruptions = [{ at = 10 min, what = 'door opened' }]",
            'put the value in quotes: at = "10 min"',
        ),
    ],
)
def test_a_value_without_quotes_is_told_to_be_put_in_them(tmp_path: Path, text: str, mended: str) -> None:
    line = complaint(tmp_path, text)
    assert line.startswith("mine.toml: is not valid TOML")
    assert line.endswith(mended)
    assert f"line {len(text.splitlines())}, column" in line


@pytest.mark.parametrize(
    "text", ["[vent", "[vent]\nlength", "[vent]\nelbows = 2 3 =", '[vent]\nlength = "20 ft']
)
def test_other_slips_are_not_blamed_on_quotes(tmp_path: Path, text: str) -> None:
    line = complaint(tmp_path, text)
    assert "is not valid TOML" in line
    assert "quotes: " not in line.partition("column")[2] or text.endswith("=")


def test_text_that_is_not_utf8(tmp_path: Path) -> None:
    path = tmp_path / "latin.toml"
    path.write_bytes(b'[scenario]\ntitle = "caf\xe9"\n')
    with pytest.raises(InputError, match="is not UTF-8 text"):
        load_scenario(path)


def test_missing_file_gives_the_nearest_names(tmp_path: Path) -> None:
    (tmp_path / "my_dryer.toml").write_text("", encoding="utf-8")
    with pytest.raises(InputError, match=r"no scenario file .*my_drier.toml.*did you mean my_dryer.toml"):
        load_scenario(tmp_path / "my_drier.toml")
    with pytest.raises(InputError, match="did you mean standard"):
        load_scenario("standrad")


def test_a_directory_is_no_scenario(tmp_path: Path) -> None:
    with pytest.raises(InputError, match=r"is a directory; a scenario file in it is wanted"):
        load_scenario(tmp_path)
    with pytest.raises(InputError, match=r"is a directory"):
        load_scenario(tmp_path.as_posix() + "/.")


@pytest.mark.parametrize("name", ["standard.csv", "scenarios/standard.txt", "standard."])
def test_another_ending_is_not_taken_for_a_shipped_scenario(
    name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    with pytest.raises(InputError, match=r"no scenario file .*did you mean standard"):
        load_scenario(name)


@pytest.mark.parametrize("name", ["a" * 300, "a" * 300 + ".toml", "a/" * 3000 + "b", "a\0b"])
def test_a_name_the_system_cannot_have_is_a_missing_file(name: str, tmp_path: Path) -> None:
    with pytest.raises(InputError, match="no scenario file"):
        load_scenario(name)
    line = complaint(tmp_path, f"[scenario]\nextends = {json.dumps(name)}")
    assert "scenario.extends: no scenario file" in line


@pytest.mark.parametrize(
    ("value", "line"),
    [
        ("9" * 5000, "mine.toml: holds a number of too many digits"),
        ("0x" + "f" * 5000, "vent.elbows: is something very long, outside the allowed 0 to 20"),
        ("9" * 400, "vent.elbows: is 9999"),
        ("[" * 2000 + "]" * 2000, "mine.toml: has lists or tables too deep in each other"),
        ("[" * 100 + "]" * 100, "vent.elbows: is '[[[["),
    ],
    ids=["digits", "hexadecimal", "long", "deep", "deepish"],
)
def test_absurd_values_are_told_in_one_short_line(tmp_path: Path, value: str, line: str) -> None:
    told = complaint(tmp_path, f"[vent]\nelbows = {value}")
    assert line in told
    assert len(told) < 300


def test_absurd_severity(tmp_path: Path) -> None:
    told = complaint(tmp_path, f"[faults]\nvent_blockage = 0x{'f' * 5000}")
    assert "faults.vent_blockage: 'something very long' is not a fraction" in told


def test_a_line_break_in_a_key_does_not_break_the_message(tmp_path: Path) -> None:
    assert "vent.a b: unknown key" in complaint(tmp_path, '[vent]\n"a\\nb" = 3')
    assert "vents c: unknown section" in complaint(tmp_path, '["vents\\nc"]\nb = 3')


def test_extends_of_a_missing_file_names_who_asks(tmp_path: Path) -> None:
    line = complaint(tmp_path, "[scenario]\nextends = 'standrad'")
    assert line.startswith(
        "mine.toml, line 2: scenario.extends: no scenario file 'standrad' (did you mean standard"
    )


def test_extends_in_a_circle(tmp_path: Path) -> None:
    (tmp_path / "a.toml").write_text("[scenario]\nextends = 'b.toml'", encoding="utf-8")
    (tmp_path / "b.toml").write_text("[scenario]\nextends = 'a.toml'", encoding="utf-8")
    with pytest.raises(InputError, match=r"extends in a circle: a\.toml -> b\.toml -> a\.toml$"):
        load_scenario(tmp_path / "a.toml")


def test_extending_itself_is_a_circle(tmp_path: Path) -> None:
    assert "mine.toml -> mine.toml" in complaint(tmp_path, "[scenario]\nextends = 'mine.toml'")


def test_error_of_a_parent_names_the_parent(tmp_path: Path) -> None:
    (tmp_path / "parent.toml").write_text("[vent]\nlength = '300 ft'", encoding="utf-8")
    line = complaint(tmp_path, "[scenario]\nextends = 'parent.toml'")
    assert "parent.toml, line 2: vent.length" in line


@pytest.mark.parametrize(
    ("setting", "line"),
    [
        ("vent.lenght=20 ft", "--set: vent.lenght: unknown key (did you mean vent.length?)"),
        ("nonsense=3", "--set: nonsense: unknown key"),
        ("a.b.c=3", "--set: a.b.c: unknown key"),
        ("=3", "--set: unknown key"),
        ("vent.length", "--set: 'vent.length' is not section.key=value"),
        ("vent.length=20", "--set: vent.length: '20' has no unit"),
        ("vent.elbows=two", "--set: vent.elbows: is 'two'; it is a plain whole number, 0 to 20"),
        ("vent.elbows=\N{SUPERSCRIPT TWO}", "it is a plain whole number, 0 to 20"),
        ("vent.elbows=" + "9" * 5000, "it is a plain whole number, 0 to 20"),
        ("vent.elbows=" + "9" * 15, "is 999999999999999, outside the allowed 0 to 20"),
        ("vent.elbows=-1", "--set: vent.elbows: is -1, outside the allowed 0 to 20"),
        (
            "machine.low_heat_in_auto=maybe",
            "--set: machine.low_heat_in_auto: is 'maybe'; it is true or false",
        ),
        ("controls.interruptions=10 min lunch", "'10 min lunch' does not end in one of 'door opened'"),
        ("scenario.extends=standard", "--set: scenario.extends: unknown key"),
    ],
)
def test_bad_option(setting: str, line: str) -> None:
    with pytest.raises(InputError) as problem:
        load_scenario("standard", [setting])
    assert line in str(problem.value)


def test_error_carries_where_and_key() -> None:
    with pytest.raises(InputError) as problem:
        load_scenario("standard", {"vent.length": "300 ft"})
    assert (problem.value.where, problem.value.key) == ("--set", "vent.length")
