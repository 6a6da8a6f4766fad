"""``dryermodel bench``: published rows come out, bad input is told in one line, JSON is JSON."""

from __future__ import annotations

import os
import re
import shlex
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dryermodel import units
from dryermodel.bench import gas as gas_sums
from dryermodel.bench import makeup as makeup_sums
from dryermodel.bench import vent as vent_sums
from dryermodel.bench.vent_measured import blocked_share_for, resistance_for, straight_run_for
from dryermodel.cli.bench import app
from dryermodel.physics import fuel
from dryermodel.physics.bench import Fittings
from dryermodel.readings.collar import at_collar
from dryermodel.scenario.model import load_scenario
from dryermodel.show.text.bench import as_text
from tests.cli.bench_runner import RUNNER, data, error, run, values

ROOT = Path(__file__).parent.parent.parent
STANDARD = load_scenario("standard").to_parameters()
FOUR_INCHES = 0.1016

EVERY_COMMAND = [
    ["gas-clock", "0.5 ft3", "84 s", "--plate", "22000 Btu/h", "--gas-temperature", "40 degF"],
    ["gas-clock", "1 ft3", "80 s", "--altitude", "5000 ft", "--plate", "22000 Btu/h"],
    ["orifice", "--drill", "42"],
    ["orifice", "--diameter", "2.4 mm", "--gas", "propane"],
    ["orifice", "--rate", "22000 Btu/h"],
    ["altitude", "5000 ft", "22000 Btu/h"],
    ["vent"],
    ["vent", "--straight", "30 ft", "--elbow-90", "2", "--radius-6in-90", "1", "--static", "0.8 inH2O"],
    ["vent", "--open-area", "0 %", "--material", "foil"],
    ["moisture", "13.3 lb", "--dry", "8.45 lb"],
    ["moisture", "13.3 lb", "--conditioned", "8.7 lb"],
    ["makeup-air", "150 cfm", "100 in2", "--closet"],
    ["thermostat", "155 degF", "--low-heat", "--measured", "138 degF"],
    ["cost", "--gas-used", "8 kBtu", "--electricity-used", "0.2 kWh", "--gas-price", "$1.50/therm"],
]

# Every command ------------------------------------------------------------------------------------


@pytest.mark.parametrize("arguments", EVERY_COMMAND, ids=" ".join)
def test_text_is_ascii_with_rules_and_cautions(arguments: list[str]) -> None:
    text = run(*arguments)
    assert text.isascii() and text == run(*arguments)
    assert re.search(r"^rule: .+ \[[a-z, ]+\]$", text, re.M)
    if arguments[0] not in ("moisture", "cost"):
        assert "\ncaution: " in text


@pytest.mark.parametrize("arguments", EVERY_COMMAND, ids=" ".join)
def test_json_is_only_json(arguments: list[str]) -> None:
    content = data(*arguments)
    assert content["sum"] == arguments[0]
    assert list(content) == ["sum", "title", "rows", "results", "rules", "cautions"]
    assert all(set(rule) == {"text", "status"} for rule in content["rules"])
    keys = [row["key"] for row in content["rows"]]
    assert len(keys) == len(set(keys))


@pytest.mark.parametrize("arguments", EVERY_COMMAND, ids=" ".join)
def test_si_shows_the_same_quantities(arguments: list[str]) -> None:
    """Both tables parse back to the same SI numbers."""
    trade, si = data(*arguments), data(*arguments, "--si")
    for row, same in zip(trade["rows"], si["rows"], strict=True):
        assert row["key"] == same["key"]
        if isinstance(row["value"], str) or not row["unit"] or row["unit"] == "$":
            assert row == same
            continue
        kind = units.kind_of(row["unit"])
        if kind == "temperature":
            kind = "temperature difference" if row["key"] in DIFFERENCES else "temperature"
        a, b = (units.parse(f"{r['value']!r} {r['unit']}", kind) for r in (row, same))
        assert a == pytest.approx(b, rel=1e-7, abs=1e-9)
    text = run(*arguments, "--si")
    table = "\n".join(line for line in text.splitlines() if line.startswith("  "))
    assert not re.search(r"Btu|cfm|in w\.c\.$|degF| lb$| ft$", table, re.M)


DIFFERENCES = {"bias_rise", "tolerance", "deviation"}

# gas-clock ----------------------------------------------------------------------------------------


def test_clocking_row_of_an_hvac_trade_lesson() -> None:
    """HVAC trade lesson on clocking a meter: 0.5 ft3, 29 s, 1000 Btu/ft3 is 62,000 Btu/h (rounded)."""
    found = values("gas-clock", "0.5 ft3", "29 s", "--heating-value", "1000 Btu/ft3")
    assert found["firing_rate"] == pytest.approx(62_000.0, rel=2e-3)
    assert found["firing_rate"] == pytest.approx(3600.0 / 29.0 * 0.5 * 1000.0, rel=1e-8)


def test_clocking_row_of_a_plumbing_lesson() -> None:
    """UK plumbing lesson, imperial gas rate: 1 ft3, 80 s, 1040 Btu/ft3 is 46,800 Btu/h."""
    found = values("gas-clock", "1 ft3", "80 s", "--heating-value", "1040 Btu/ft3")
    assert found["firing_rate"] == pytest.approx(46_800.0, rel=1e-8)


def test_turns_divide_the_time_and_sharpen_the_reading() -> None:
    one = values("gas-clock", "0.5 ft3", "84 s")
    four = values("gas-clock", "0.5 ft3", "336 s", "--turns", "4")
    assert four["firing_rate"] == pytest.approx(one["firing_rate"])
    assert four["reading_error"] == pytest.approx(one["reading_error"] / 4.0)


@pytest.mark.parametrize(
    ("seconds", "said"),
    [
        ("80 s", "within 5 %"),
        ("79 s", "6.2 % over: regulator set too high"),
        ("84 s", "within 5 %"),
        ("89 s", "5.8 % under: orifice too small or part blocked"),
    ],
)
def test_plate_within_five_percent(seconds: str, said: str) -> None:
    """Half a foot at 1025 Btu/ft3 against 22,000 Btu/h: 83.9 s is dead on, 79.9 to 88.3 s within 5 %."""
    results = data("gas-clock", "0.5 ft3", seconds, "--plate", "22000 Btu/h")["results"]
    assert results[0].startswith(said)


def test_altitude_derates_the_plate_and_corrects_the_volume() -> None:
    found = data("gas-clock", "0.5 ft3", "84 s", "--altitude", "5000 ft", "--plate", "22000 Btu/h")
    rows = {row["key"]: row["value"] for row in found["rows"]}
    assert rows["plate_derated"] == pytest.approx(17_600.0, rel=1e-6)
    assert rows["volume_factor"] == pytest.approx((84307.0 + 7.0 * 249.08891) / 101560.0, rel=1e-4)
    assert "sea-level orifice was never changed" in found["results"][0]


def test_a_compensated_meter_keeps_its_volume_and_the_plate_is_still_derated() -> None:
    arguments = ["gas-clock", "0.5 ft3", "105 s", "--altitude", "5000 ft", "--plate", "22000 Btu/h"]
    found = data(*arguments, "--compensated-meter")
    rows = {row["key"]: row["value"] for row in found["rows"]}
    assert "volume_factor" not in rows
    assert rows["firing_rate"] == pytest.approx(3600.0 / 105.0 * 0.5 * 1025.0, rel=1e-8)
    assert rows["plate_derated"] == pytest.approx(17_600.0, rel=1e-6)
    assert found["results"][0].startswith("within 5 %")
    assert any("meter shows standard volume" in rule["text"] for rule in found["rules"])
    assert values(*arguments)["firing_rate"] < 0.9 * rows["firing_rate"]


def test_propane_over_its_plate_points_at_the_natural_gas_orifice() -> None:
    over = ["0.5 ft3", "150 s", "--plate", "22000 Btu/h"]
    assert "natural-gas orifice" in data("gas-clock", *over, "--gas", "propane")["results"][0]
    assert "propane" not in data("gas-clock", "0.5 ft3", "60 s", "--plate", "22000 Btu/h")["results"][0]


def test_short_reading_is_called_short() -> None:
    assert "time more turns" in run("gas-clock", "0.5 ft3", "15 s")
    assert "time more turns" not in run("gas-clock", "0.5 ft3", "25 s")


# orifice ------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("drill", "pressure", "gas", "gravity", "flow"),
    [
        (80, "3.5 inH2O", "natural", "0.60", 0.516),
        (72, "3.5 inH2O", "natural", "0.60", 1.770),
        (65, "3.5 inH2O", "natural", "0.60", 3.469),
        (65, "11 inH2O", "propane", "1.50", 3.889),
        (62, "10 inH2O", "propane", "1.50", 4.371),
    ],
)
def test_orifice_table(drill: int, pressure: str, gas: str, gravity: str, flow: float) -> None:
    """Block E Fuel Gas Systems app. 2, BCcampus 2023: reproduced within 0.12 %."""
    arguments = ["--drill", str(drill), "--pressure", pressure, "--gas", gas, "--gravity", gravity]
    assert values("orifice", *arguments)["gas_flow"] == pytest.approx(flow, rel=1.2e-3)


def test_orifice_of_a_commercial_rating_plate() -> None:
    """A commercial dryer's rating plate: one drill 11, 3.5 in w.c., natural 1025 Btu/ft3, 106,000 Btu/h."""
    assert values("orifice", "--drill", "11")["firing_rate"] == pytest.approx(106_000.0, rel=2e-3)


@given(st.integers(2, 79))
@settings(max_examples=30, deadline=None, derandomize=True)
def test_orifice_forwards_and_backwards(drill: int) -> None:
    supply = gas_sums.Supply(3.5 * 249.08891, 1025.0 * 37258.9458, 0.6)
    diameter = fuel.drill_diameter(drill)
    back = gas_sums.orifice_for(gas_sums.orifice_rate(diameter, supply), supply)
    assert back.value("diameter") == pytest.approx(diameter, rel=1e-9)
    assert back.value("drill") == drill
    neighbours = [float(back.value(f"rate_drill_{n}")) for n in (drill - 1, drill, drill + 1)]
    assert neighbours == sorted(neighbours, reverse=True)


def test_orifice_between_drills_says_so() -> None:
    results = data("orifice", "--rate", "245000 Btu/h")["results"]
    assert results == ["drill no. 1 passes 38.4 % less: no number drill is within 5 %"]


# altitude -----------------------------------------------------------------------------------------


def test_altitude_shows_rule_and_physics_as_different_things() -> None:
    """NFPA 54 (2015) as quoted: 0.80 at 5000 ft. Physics: sqrt(84307/101325) = 0.912."""
    found = data("altitude", "5000 ft", "22000 Btu/h")
    rows = {row["key"]: row["value"] for row in found["rows"]}
    assert rows["code_rule_input"] == pytest.approx(17_600.0, rel=1e-6)
    assert rows["unadjusted_input"] == pytest.approx(22_000.0 * (84307.0 / 101325.0) ** 0.5, rel=1e-4)
    assert rows["suggested_orifice"] < rows["sea_level_orifice"]
    drill = int(rows["suggested_drill"])
    assert fuel.DRILL_INCHES[drill - 1] <= rows["suggested_orifice"]
    assert fuel.DRILL_INCHES[drill - 2] > rows["suggested_orifice"]
    assert any("different things" in result for result in found["results"])


def test_no_change_at_2000_ft() -> None:
    rows = values("altitude", "2000 ft", "22000 Btu/h")
    assert rows["code_rule_input"] == 22_000.0
    assert rows["suggested_orifice"] == rows["sea_level_orifice"]
    assert "no change" in data("altitude", "2000 ft", "22000 Btu/h")["results"][0]


@pytest.mark.parametrize("before", [[], ["--"]])
def test_an_elevation_below_the_sea_is_no_option(before: list[str]) -> None:
    rows = values("altitude", "-200 ft", "22000 Btu/h")
    assert rows["elevation"] == pytest.approx(-200.0)
    assert rows["suggested_orifice"] == rows["sea_level_orifice"]
    assert "  -200 ft\n" in run("altitude", *before, "-200 ft", "22000 Btu/h")


def test_a_mistyped_option_is_still_one() -> None:
    result = RUNNER.invoke(app, ["altitude", "-200 ft", "22000 Btu/h", "--gass", "natural"])
    assert result.exit_code == 2 and "--gass" in result.stderr


# vent ---------------------------------------------------------------------------------------------


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
def test_pressures_add_up_with_a_leak_a_flap_or_a_restriction(
    change: dict[str, float], factor: float
) -> None:
    pieces = vent_sums.VentPieces(
        6.0, Fittings(mitred_90=2), 2.3, FOUR_INCHES, 9e-5, resistance_factor=factor
    )
    result = vent_sums.vent(STANDARD._replace(**change), pieces)
    keys = {row.key for row in result.rows} & {"friction", "minor", "back_pressure"}
    parts = sum(float(result.value(key)) for key in keys)
    assert parts == pytest.approx(float(result.value("static")), rel=2e-3)


def test_no_pieces_means_the_scenarios_vent() -> None:
    whole = values("vent")
    assert whole == values("vent", "--straight", "20 ft", "--elbow-90", "2")
    assert whole["static"] == pytest.approx(0.60, abs=0.02)
    assert values("vent", "--scenario", "long_vent")["static"] > whole["static"]


def test_healthy_static_is_in_the_published_span() -> None:
    """Service manuals' limits 0.6 to 0.75 in w.c.; a healthy 20 ft with two elbows 0.5 to 0.7."""
    assert 0.5 <= values("vent")["static"] <= 0.7


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
        ("0.6 inH2O", "as expected for this vent"),
        ("0.3 inH2O", "lower than this vent gives on this blower"),
        ("0 inH2O", "no static at all"),
        ("2 inH2O", "more than this blower makes against a closed vent"),
    ],
)
def test_what_a_measured_static_means(static: str, said: str) -> None:
    assert said in data("vent", "--static", static)["results"][-1]


def test_a_low_static_on_a_short_run_is_what_it_should_be() -> None:
    """What 20 ft and two elbows cannot show, 5 ft and none do: the same blower, the same 0.3 in w.c."""
    long_run = data("vent", "--static", "0.3 inH2O")
    told = long_run["results"][-1]
    assert "weak blower" in told and "unless the run is shorter than described" in told
    run_ft = next(row["value"] for row in long_run["rows"] if row["key"] == "equal_run")
    assert 1.0 < run_ft < 10.0
    short = data("vent", "--straight", f"{run_ft} ft", "--static", "0.3 inH2O")
    assert short["results"][-1] == "as expected for this vent on this blower"
    assert "hood alone gives more" in data("vent", "--static", "0.1 inH2O")["results"][-1]


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
    path.write_text("[faults]\nblower_wheel_caked = '80 %'\nvent_flap_stuck = '50 %'\n", "utf-8")
    found = {row["key"]: row["value"] for row in data("vent", "--scenario", path.as_posix())["rows"]}
    machine = load_scenario(path).to_parameters()
    assert found["static"] == pytest.approx(at_collar(machine).static / 249.08891, rel=1e-4)
    assert found["static"] != pytest.approx(data("vent")["rows"][-2]["value"], rel=0.05)
    assert "blower wheel caked 80 %" in found["faults"] and "vent flap stuck 50 %" in found["faults"]


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


# makeup-air ---------------------------------------------------------------------------------------


def test_makeup_air_rules_and_orifice_law() -> None:
    """UFC 3-410-02N 200 cfm; UMC 504.3.1 as quoted 100 in2; 0.6 A sqrt(2 dp/rho) by hand."""
    found = data("makeup-air", "200 cfm", "100 in2", "--closet", "--si")
    rows = {row["key"]: row["value"] for row in found["rows"]}
    density = at_collar(STANDARD).density
    speed = rows["exhaust_with_opening"] * 1e-3 / (0.6 * 0.064516)
    assert rows["exhaust_with_opening"] == pytest.approx(200.0 * 0.4719474432, rel=0.01)
    assert rows["pressure_drop"] == pytest.approx(0.5 * density * speed**2, rel=1e-6)
    assert found["results"][:2] == [
        "200 cfm rule: make-up air is not required by it",
        "closet opening meets 100 in2",
    ]


def test_starved_room_costs_flow() -> None:
    found = data("makeup-air", "201 cfm", "20 in2", "--closet")
    rows = {row["key"]: row["value"] for row in found["rows"]}
    assert rows["flow_with_opening"] < 0.9 * rows["flow_open"]
    assert found["results"] == [
        "200 cfm rule: make-up air is required",
        "closet opening is below 100 in2",
        "room pulled down by more than 5 Pa: enlarge the opening",
    ]


@given(st.floats(1.0, 5000.0), st.floats(1.0, 10000.0))
@settings(max_examples=40, deadline=None, derandomize=True)
def test_blower_and_opening_agree_below_the_dead_head(cfm: float, square_inches: float) -> None:
    """The blower's flow against the opening's pressure is the flow that makes that pressure."""
    exhaust = units.parse(f"{cfm!r} cfm", "volume flow")
    opening = units.parse(f"{square_inches!r} in2", "area")
    point = makeup_sums.operating_point(STANDARD, makeup_sums.MakeupAir(exhaust, opening, False))
    starved = STANDARD._replace(house_depressurisation=STANDARD.house_depressurisation + point.drop)
    assert at_collar(starved).flow == pytest.approx(point.flow, rel=1e-6, abs=1e-9)
    assert point.exhaust / exhaust == pytest.approx(point.flow / point.flow_open)
    dead_head = at_collar(STANDARD._replace(vent_resistance_factor=1e6)).static
    assert 0.0 <= point.drop <= dead_head * (1.0 + 1e-6)
    assert 0.0 < point.flow <= point.flow_open


def test_a_tiny_opening_leaves_some_flow() -> None:
    rows = values("makeup-air", "150 cfm", "1 in2")
    assert 1.2 < rows["pressure_drop"] < 1.6
    assert 0.0 < rows["flow_with_opening"] < 0.2 * rows["flow_open"]
    assert rows["flow_loss"] == pytest.approx(100.0 * (1.0 - rows["flow_with_opening"] / rows["flow_open"]))


# Bad input ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["gas-clock", "0.5", "29 s"], "DIAL: '0.5' has no unit; it is a volume"),
        (["gas-clock", "0.5 ft3", "29 psi"], "TIME: is a time, e.g. '30 s'; '29 psi' is a pressure"),
        (["gas-clock", "0.5 ft3", "0 s"], "TIME: is 0 s, outside the allowed 1 s to 1 h"),
        (["gas-clock", "0.5 ft3", "29 s", "--turns", "0"], "--turns: is 0, outside the allowed 1 to 1000"),
        (["gas-clock", "0.5 ft3", "29 s", "--gas", "propan"], "--gas: is 'propan'; choose 'natural' or"),
        (["orifice"], "orifice: give one of --drill, --diameter or --rate"),
        (["orifice", "--drill", "42", "--rate", "1 kW"], "give one of"),
        (["orifice", "--drill", "81"], "--drill: is 81, outside the allowed 1 to 80"),
        (["orifice", "--drill", "42", "--gravity", "9"], "--gravity: is 9, outside the allowed 0.07 to 3"),
        (["altitude", "99999 ft", "22000 Btu/h"], "ELEVATION: is 99999 ft, outside the allowed -1500 ft to"),
        (["vent", "--material", "foli"], "--material: is 'foli'; choose 'rigid' or 'flexible' or 'foil'"),
        (["vent", "--elbow-90", "-1"], "--elbow-90: is -1, outside the allowed 0 to 20"),
        (["vent", "--scenario", "standrd"], "did you mean standard?"),
        (["vent", "--open-area", "120 %"], "--open-area: is 120 %, outside the allowed 0 % to 100 %"),
        (["vent", "--flex-factor", "nan"], "--flex-factor: is nan, outside the allowed 1 to 20"),
        (["moisture", "13 lb"], "moisture: give one of --dry or --conditioned"),
        (["moisture", "5 lb", "--dry", "8 lb"], "WET: is 5 lb, below the bone-dry weight"),
        (["moisture", "9 lb", "--dry", "8 lb", "--regain", "5 %"], "--regain: goes with --conditioned"),
        (["makeup-air", "150 cfm", "0 in2"], "OPENING: is 0 in2, outside the allowed 1 in2 to"),
        (["thermostat", "155 degF", "--bias-power", "4 W"], "give both --bias-power and --bias-rated-power"),
        (["thermostat", "155 degF", "--bias-rise", "9 degF"], "--bias-rise: has no effect without"),
        (["cost"], "cost: give --gas-used, --electricity-used or both"),
        (["cost", "--gas-used", "3 furlong"], "--gas-used: unknown unit 'furlong'"),
        (["cost", "--gas-used", "1 kWh", "--gas-price", "3"], "not a price per energy with its currency"),
        (["cost", "--gas-used", "1 kWh", "--gas-price", "$3/psi"], "is an energy, e.g. '2.5 kWh'; '1 psi'"),
        (
            ["cost", "--gas-used", "1 kWh", "--gas-price", "1 EUR/kWh", "--electricity-price", "1 USD/kWh"],
            "--electricity-price: is in USD, the gas price in EUR",
        ),
        (["altitude", "-2000 ft", "22000 Btu/h"], "ELEVATION: is -2000 ft, outside the allowed -1500 ft to"),
        (["gas-clock", "-0.5 ft3", "29 s"], "DIAL: is -0.5 ft3, outside the allowed"),
        (
            ["gas-clock", "0.5 ft3", "29 s", "--compensated-meter", "--gas-temperature", "40 degF"],
            "--gas-temperature: has no use with --compensated-meter",
        ),
    ],
    ids=lambda value: " ".join(value) if isinstance(value, list) else "",
)  # fmt: skip
def test_bad_input_is_one_clear_line(arguments: list[str], said: str) -> None:
    assert said in error(*arguments)


def test_help_of_every_command_is_ascii() -> None:
    for command in ("", *sorted({arguments[0] for arguments in EVERY_COMMAND})):
        text = run(*filter(None, [command]), "--help")
        assert text.isascii() and "Usage" in text


def test_simple_sums_load_nothing_heavy() -> None:
    program = (
        "import sys\nfrom dryermodel.cli.bench import app\n"
        "assert not {'pint', 'numpy', 'scipy', 'pydantic'} & set(sys.modules)\n"
        "app(['gas-clock', '0.5 ft3', '29 s'], standalone_mode=False)\n"
        "assert not {'pandas', 'matplotlib', 'numba'} & set(sys.modules)\n"
    )
    env = {**os.environ, "PYTHONPATH": str(ROOT)}
    done = subprocess.run([sys.executable, "-c", program], cwd=ROOT, env=env, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr


def test_every_command_of_the_guide_runs() -> None:
    guide = (ROOT / "docs" / "bench-sums.md").read_text(encoding="utf-8")
    lines = [line.strip() for line in guide.splitlines() if line.startswith("    dryermodel bench ")]
    assert {shlex.split(line)[2] for line in lines} == {arguments[0] for arguments in EVERY_COMMAND}
    for line in lines:
        assert run(*shlex.split(line)[2:])
