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
from dryermodel.cli.bench import app
from dryermodel.physics import fuel
from dryermodel.readings.collar import at_collar
from dryermodel.scenario.model import load_scenario
from tests.cli.bench_runner import RUNNER, data, error, run, values

ROOT = Path(__file__).parent.parent.parent
ENVELOPE = [
    "version",
    "scenario_hash",
    "title",
    "seed",
    "rel_tolerance",
    "balance_water",
    "balance_energy",
    "status",
]
STANDARD = load_scenario("standard").to_parameters()

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
    own = ["sum", "rows", "results", "rules", "cautions"]
    assert list(content) == [*ENVELOPE, *own], "the same start as every command, then its own"
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
