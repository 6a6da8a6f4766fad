"""``dryermodel bench vent``: the code's length, the static to expect, what a measured static means."""

from __future__ import annotations

import shlex
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dryermodel.bench import vent as vent_sums
from dryermodel.bench.vent_measured import blocked_share_for, resistance_for, straight_run_for
from dryermodel.physics.bench import Fittings
from dryermodel.readings.collar import at_collar
from dryermodel.scenario.model import load_scenario
from dryermodel.show.text.bench import as_text
from tests.cli.bench_runner import data, run, values

STANDARD = load_scenario("standard").to_parameters()
FOUR_INCHES = 0.1016


def test_code_length_of_a_worked_vent() -> None:
    """IRC M1502 table as quoted: 35 - 2 x 5 - 2.5 - 1.75 = 20.75 ft of straight duct."""
    pieces = ["--elbow-90", "2", "--elbow-45", "1", "--radius-6in-90", "1"]
    within = data("vent", "--straight", "20.75 ft", *pieces)
    rows = {row["key"]: row["value"] for row in within["rows"]}
    assert rows["code_deduction"] == pytest.approx(14.25)
    assert rows["code_length"] == pytest.approx(35.0)
    assert "within the code length" in within["results"]
    assert "longer than the code length" in data("vent", "--straight", "20.8 ft", *pieces)["results"]


def test_pressures_add_up_to_the_static() -> None:
    rows = values("vent", "--straight", "25 ft", "--elbow-90", "3", "--open-area", "60 %")
    parts = rows["friction"] + rows["minor"] + rows["blockage"]
    assert parts == pytest.approx(rows["static"], rel=2e-3)
    assert rows["friction"] == pytest.approx(rows["friction_per_100ft"] * 0.25)


@pytest.mark.parametrize(
    "change", [{"joint_area": 1e-3}, {"vent_back_pressure": 20.0}, {"house_depressurisation": 5.0}]
)
@pytest.mark.parametrize("factor", [1.0, 3.0])
def test_pressures_add_up_with_a_leak_a_flap_or_a_restriction(change: dict[str, Any], factor: float) -> None:
    pieces = vent_sums.VentPieces(
        6.0, Fittings(mitred_90=2), 2.3, FOUR_INCHES, 9e-5, resistance_factor=factor
    )
    result = vent_sums.vent(STANDARD._replace(**change), pieces)
    keys = {row.key for row in result.rows} & {"friction", "minor", "back_pressure"}
    parts = sum(float(result.value(key)) for key in keys)
    assert parts == pytest.approx(float(result.value("static")), rel=2e-3)


def test_no_pieces_means_the_scenarios_vent() -> None:
    whole = values("vent")
    assert whole == values("vent", "--straight", "10 ft", "--elbow-90", "2")
    assert values("vent", "--scenario", "long_vent")["static"] > whole["static"]


def test_healthy_static_is_in_the_published_span() -> None:
    """Service manuals' limits 0.6 to 0.75 in w.c.; a healthy 20 ft with two elbows 0.5 to 0.7, here 0.60."""
    assert 0.5 <= values("vent", "--straight", "20 ft", "--elbow-90", "2")["static"] <= 0.7


def test_the_default_vent_is_not_at_a_limit() -> None:
    """A usual house's vent is within code and manual, and its expected static is what is judged against."""
    told = data("vent")["results"]
    assert told == ["within the code length", "expected static is within the service-manual limit"]
    assert "at the" in data("vent", "--straight", "20 ft", "--elbow-90", "2")["results"][-1]


@pytest.mark.parametrize("factor", [0.5, 1.0, 2.0, 8.0, 50.0])
def test_resistance_is_found_back_from_its_static(factor: float) -> None:
    static = at_collar(STANDARD._replace(vent_resistance_factor=factor)).static
    assert resistance_for(STANDARD, static) == pytest.approx(factor, rel=1e-6)


@pytest.mark.parametrize("blocked", [0.2, 0.5, 0.75, 0.95])
def test_blockage_is_found_back_from_its_static(blocked: float) -> None:
    static = at_collar(STANDARD._replace(vent_open_area=1.0 - blocked)).static
    assert blocked_share_for(STANDARD, static) == pytest.approx(blocked, abs=1e-5)


def test_measured_static_is_read_and_marked_not_validated() -> None:
    high = data("vent", "--static", "1 inH2O")
    assert any("times the resistance of the vent" in result for result in high["results"])
    assert any("not validated" in rule["text"] for rule in high["rules"])
    rows = {row["key"]: row["value"] for row in high["rows"]}
    assert rows["resistance_factor"] > 2.0
    assert 50.0 < rows["blocked_share"] < 80.0
    assert rows["measured_flow"] < rows["flow"]


@pytest.mark.parametrize(
    ("static", "said"),
    [
        ("0.53 inH2O", "as expected for this vent"),
        ("0.6 inH2O", "1.2 times the resistance of the vent as described"),
        ("0.3 inH2O", "lower than this vent gives on this blower"),
        ("0 inH2O", "no static at all"),
        ("2 inH2O", "more than this blower makes against a closed vent"),
    ],
)
def test_what_a_measured_static_means(static: str, said: str) -> None:
    assert said in data("vent", "--static", static)["results"][-1]


def test_a_low_static_on_a_short_run_is_what_it_should_be() -> None:
    """What 10 ft and two elbows cannot show, 4 ft and none do: the same blower, the same 0.3 in w.c."""
    long_run = data("vent", "--static", "0.3 inH2O")
    told = long_run["results"][-1]
    assert "weak blower" in told and "unless the run is shorter than described" in told
    run_ft = next(row["value"] for row in long_run["rows"] if row["key"] == "equal_run")
    assert 1.0 < run_ft < 10.0
    short = data("vent", "--straight", f"{run_ft} ft", "--static", "0.3 inH2O")
    assert short["results"][-1] == "as expected for this vent on this blower"
    assert "hood alone gives more" in data("vent", "--static", "0.1 inH2O")["results"][-1]


def test_the_hood_by_its_kind() -> None:
    louvered, flap = data("vent", "--hood", "louvered"), data("vent", "--hood", "flap")
    assert louvered["rows"] == data("vent", "--hood", "1.5")["rows"]
    assert flap["rows"] == data("vent", "--hood", "1.1")["rows"] != louvered["rows"]


def test_straight_run_is_found_back_from_its_static() -> None:
    bare = STANDARD._replace(vent_minor_loss=1.1, vent_length=9.0)
    found = straight_run_for(STANDARD, 1.1, at_collar(bare).static)
    assert found == pytest.approx(9.0, rel=1e-6)


@pytest.mark.parametrize(
    "options",
    [
        (),
        ("--straight", "12 ft", "--elbow-90", "1", "--radius-6in-45", "1", "--material", "foil"),
        ("--diameter", "3.5 in", "--hood", "1.5", "--open-area", "90 %", "--flex-factor", "1.5"),
        ("--diameter", '3 1/2"', "--straight", "5' 6\N{RIGHT DOUBLE QUOTATION MARK}", "--hood", "Louver"),
        ("--scenario", "long_vent"),
    ],
)
def test_the_line_to_paste_is_a_machine_that_shows_the_static(options: tuple[str, ...]) -> None:
    told = next(
        row for row in data("vent", *options, "--static", "1.1 inH2O")["rows"] if row["key"] == "simulate"
    )
    words = shlex.split(str(told["value"]))
    assert words[:2] == ["dryermodel", "simulate"]
    pairs = list(zip(words[3::2], words[4::2], strict=True))
    scenario = load_scenario(
        words[2], [v for o, v in pairs if o == "--set"], [v for o, v in pairs if o == "--fault"]
    )
    assert at_collar(scenario.to_parameters()).static / 249.08891 == pytest.approx(1.1, abs=0.01)


def test_the_faults_of_the_scenario_are_counted_in(tmp_path: Path) -> None:
    path = tmp_path / "weak.toml"
    path.write_text("[faults]\nblower_wheel_caked = '70 %'\nvent_flap_stuck = '50 %'\n", "utf-8")
    found = {row["key"]: row["value"] for row in data("vent", "--scenario", path.as_posix())["rows"]}
    machine = load_scenario(path).to_parameters()
    assert found["static"] == pytest.approx(at_collar(machine).static / 249.08891, rel=1e-4)
    assert found["static"] != pytest.approx(data("vent")["rows"][-2]["value"], rel=0.05)
    assert "blower wheel caked 70 %" in found["faults"] and "vent flap stuck 50 %" in found["faults"]


def test_a_blockage_of_the_scenario_s_own_is_found_back_as_it_is(tmp_path: Path) -> None:
    path = tmp_path / "own.toml"
    path.write_text("[faults]\nvent_blockage = '50 %'\nlint_screen_blocked = '30 %'\n", "utf-8")
    expected = at_collar(load_scenario(path, faults=["vent_blockage=70 %"]).to_parameters()).static
    found = data("vent", "--scenario", path.as_posix(), "--static", f"{expected} Pa")
    assert next(r["value"] for r in found["rows"] if r["key"] == "blocked_share") == pytest.approx(
        70.0, abs=0.1
    )


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (("--straight", "9 ft", "--material", "foil"), "this long is no transition piece"),
        (("--straight", "9 ft", "--material", "flexible"), "this long is no transition piece"),
        (("--straight", "8 ft", "--material", "flexible"), "only as one short transition piece"),
    ],
)
def test_flexible_duct_is_for_one_transition_piece(options: tuple[str, ...], said: str) -> None:
    """IRC M1502.4.3: a single length of at most 8 ft (from memory)."""
    found = data("vent", *options)
    assert any(said in text for text in found["results"])
    assert any("M1502.4.3" in rule["text"] for rule in found["rules"])


def test_rigid_duct_is_not_told_off() -> None:
    found = data("vent", "--straight", "30 ft", "--material", "rigid")
    assert not any("transition" in text for text in [*found["results"], *(r["text"] for r in found["rules"])])


def test_a_hand_held_manometer_cannot_tell_the_limit() -> None:
    assert "measured static is at the service-manual limit" in run("vent", "--static", "0.61 inH2O")
    assert "measured static is above the service-manual limit" in run("vent", "--static", "0.7 inH2O")


@given(st.floats(0.0, 150.0), st.integers(0, 10), st.floats(0.0, 1.0), st.floats(1.0, 20.0))
@settings(max_examples=60, deadline=None, derandomize=True)
def test_every_vent_has_an_answer(straight: float, elbows: int, opening: float, flex: float) -> None:
    fittings = Fittings(mitred_90=elbows)
    pieces = vent_sums.VentPieces(straight, fittings, 0.6 * elbows + 0.3, FOUR_INCHES, 9e-5, flex, opening)
    result = vent_sums.vent(STANDARD, pieces, 200.0)
    assert 0.0 <= float(result.value("static")) < 1.6 * 249.08891
    assert float(result.value("flow")) >= 0.0
    assert as_text(result).isascii() and "nan" not in as_text(result)
