"""The section [faults] of a file, and the same faults given as options."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dryermodel.errors import InputError
from dryermodel.scenario.faults import apply_faults, catalogue
from dryermodel.scenario.model import load_scenario
from dryermodel.scenario.run import simulate
from dryermodel.scenario.template import new_scenario
from dryermodel.studies.sweep.points import PointMaker
from tests.numbers import numbers

STANDARD = load_scenario("standard")
GRADED = [key for key, fault in catalogue().items() if fault.graded]


def write(path: Path, faults: str, extends: str = "standard") -> Path:
    path.write_text(f"[scenario]\nextends = '{extends}'\n[faults]\n{faults}\n", encoding="utf-8")
    return path


def test_section_equals_the_options(tmp_path: Path) -> None:
    text = (
        "vent_blockage = '75 %'\noutlet_gasket_leak = 'severity 0.5'\nigniter_slow = '90 s'\n"
        "thermal_cutoff_open = false"
    )
    written = load_scenario(write(tmp_path / "sick.toml", text))
    by_fault = load_scenario(
        "standard",
        faults=["igniter_slow=severity 1", "vent_blockage=severity 0.75", "outlet_gasket_leak=20 cm2"],
    )
    by_set = load_scenario(
        "standard",
        ["faults.vent_blockage=75 %", "faults.outlet_gasket_leak=20 cm2", "faults.igniter_slow=90 s"],
    )
    assert written.faults == {"vent_blockage": 0.75, "outlet_gasket_leak": 0.5, "igniter_slow": 1.0}
    assert written.to_parameters() == by_fault.to_parameters() == by_set.to_parameters()
    assert written.hash == by_fault.hash == by_set.hash != STANDARD.hash


def test_cycle_of_a_section_is_that_of_the_options(tmp_path: Path) -> None:
    written = load_scenario(
        write(tmp_path / "sick.toml", "outlet_gasket_leak = '20 cm2'\nweak_burner = '80 %'")
    )
    option = load_scenario("standard", faults=["weak_burner=80 %", "outlet_gasket_leak=20 cm2"])
    one, other = simulate(written), simulate(option)
    assert one.final.tobytes() == other.final.tobytes()
    assert one.trajectory.time.tobytes() == other.trajectory.time.tobytes()


def test_new_file_offers_every_fault_at_none(tmp_path: Path) -> None:
    text = new_scenario(tmp_path / "mine.toml").read_text(encoding="utf-8")
    section = text[text.index("[faults]") :]
    for key, fault in catalogue().items():
        assert f'\n#{key} = "{fault.at_0}"\n' in section
        assert f"{fault.at_0} to {fault.at_1} (assumed)" in section
    bare = tmp_path / "bare.toml"
    bare.write_text(section.replace("\n#", "\n").replace("\n ", "\n# "), encoding="utf-8")
    assert load_scenario(bare).hash == STANDARD.hash


def test_title_of_the_result_tells_the_faults() -> None:
    result = simulate(load_scenario("standard", faults=["thermostat_stuck_open"]))
    assert "thermostat stuck open" in result.title


def test_parameters_are_those_of_the_catalogue_s_moves() -> None:
    found = load_scenario("standard", faults=["weak_burner=80 %", "humid_room=20 %"])
    expected = apply_faults(STANDARD.to_parameters(), {"weak_burner": 1.0 / 3.0, "humid_room": 0.5})
    assert numbers(found.to_parameters()) == pytest.approx(numbers(expected), rel=1e-12)


def test_an_option_replaces_the_severity_of_the_file(tmp_path: Path) -> None:
    path = write(tmp_path / "sick.toml", "vent_blockage = '90 %'\nweak_burner = 'severity 0.2'")
    found = load_scenario(path, faults=["vent_blockage=10 %"])
    assert found.faults == {"vent_blockage": 0.1, "weak_burner": 0.2}
    assert load_scenario(path, ["faults.weak_burner=none"]).faults == {"vent_blockage": 0.9}


def test_a_file_inherits_and_may_mend(tmp_path: Path) -> None:
    write(tmp_path / "sick.toml", "vent_blockage = '90 %'\nweak_burner = 'severity 0.2'")
    child = load_scenario(write(tmp_path / "child.toml", "weak_burner = '100 %'", "sick.toml"))
    assert child.faults == {"vent_blockage": 0.9}


def test_severity_zero_is_no_fault(tmp_path: Path) -> None:
    text = "\n".join(f"{key} = 'none'" for key in catalogue())
    found = load_scenario(write(tmp_path / "well.toml", text))
    assert found.faults == {} and found.hash == STANDARD.hash
    assert found.to_parameters() == STANDARD.to_parameters()


def test_with_faults_puts_others_in_place_and_leaves_the_first_as_it_was() -> None:
    sick = load_scenario("standard", faults=["vent_blockage=50 %"])
    other = sick.with_faults({"weak_burner": 0.5, "humid_room": 0.0})
    assert other.faults == {"weak_burner": 0.5} and sick.faults == {"vent_blockage": 0.5}
    assert sick.with_faults({}).to_parameters() == STANDARD.to_parameters()
    assert sick.with_faults({}).hash == STANDARD.hash
    assert other.hash == load_scenario("standard", faults=["weak_burner=70 %"]).hash


def test_sweeps_keep_the_faults() -> None:
    """A point of a study replaces values of the scenario, not what is wrong with the machine."""
    sick = load_scenario("standard", faults=["vent_blockage=50 %"])
    point = PointMaker(sick, ["load.dry_mass"])([3.0])
    assert (point.vent_open_area, point.dry_mass) == (0.5, 3.0)


def test_rows_tell_faults_with_their_quantity(tmp_path: Path) -> None:
    path = write(tmp_path / "sick.toml", "vent_blockage = 'severity 0.75'")
    row = load_scenario(path).resolved()[-1]
    assert (row.key, row.text, row.si, row.status) == ("faults.vent_blockage", "75 %", 0.75, "given")
    assert row.origin == path.as_posix() and "range assumed" in row.about


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("vent_blokage = 0.5", "faults.vent_blokage: unknown fault (did you mean vent_blockage?)"),
        ("vent_blockage = 0.5", "0.5 has no unit and could mean two things: write 'vent_blockage=50 %'"),
        ("vent_blockage = 'severity 1.5'", "severity is 1.5, outside the allowed 0 to 1, that is 0 %"),
        ("vent_blockage = '120 %'", "faults.vent_blockage: is 120 %, outside the allowed 0 % to 100 %"),
        ("vent_blockage = '3 lb'", "is a fraction, e.g. '57.5 %'; '3 lb' is a mass"),
        ("vent_blockage = true", "is true, which does not say how bad: 'vent_blockage=50 %'"),
        ("vent_blockage = [1]", "faults.vent_blockage: is text in quotes: 'vent_blockage=50 %'"),
        ("outlet_gasket_leak = '20 ft'", "is an area, e.g. '20 cm2'; '20 ft' is a length"),
        ("igniter_open = 0.5", "faults.igniter_open: severity is 0.5; it is on/off: 0 (whole) or 1 (open)"),
        ("igniter_open = 'bent'", "faults.igniter_open: is 'bent'; choose 'whole' or 'open'"),
        ("igniter_open = [1]", "faults.igniter_open: is true or false"),
        ("vent_blockage = nan", "faults.vent_blockage: 'nan' is not a fraction"),
    ],
)  # fmt: skip
def test_messages_name_file_line_and_key(tmp_path: Path, line: str, said: str) -> None:
    path = write(tmp_path / "sick.toml", line)
    with pytest.raises(InputError) as problem:
        load_scenario(path)
    assert str(problem.value).startswith(f"{path.as_posix()}, line 4: faults.")
    assert said in str(problem.value)


def test_faults_that_cannot_be_are_told_where_they_were_set(tmp_path: Path) -> None:
    path = write(tmp_path / "sick.toml", "thermostat_stuck_open = true")
    with pytest.raises(InputError, match=r"cannot be together with thermostat_stuck_open"):
        load_scenario(path, faults=["thermostat_stuck_closed"])
    electric = write(tmp_path / "heater.toml", "igniter_open = true", "electric")
    with pytest.raises(InputError, match=r"heater.toml, line 4: faults.igniter_open: has no meaning when"):
        load_scenario(electric)
    with pytest.raises(InputError, match="--fault: vent_blockage: is given twice"):
        load_scenario("standard", faults=["vent_blockage=40 %", "vent_blockage=50 %"])


@given(st.sampled_from(GRADED), st.floats(0.01, 1.0))
@settings(max_examples=60, deadline=None)
def test_severity_and_its_quantity_are_the_same_fault(key: str, severity: float) -> None:
    fault = catalogue()[key]
    from dryermodel import units

    text = units.format(fault.amount(severity), fault.unit, 15)
    written = load_scenario("standard", faults=[f"{key}={text}"])
    assert written.faults[key] == pytest.approx(severity, rel=1e-9)
