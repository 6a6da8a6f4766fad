"""The summaries: fixed keys, honest nulls and labels, plain text, whole files."""

from __future__ import annotations

import json
import math
from collections.abc import Callable
from io import StringIO
from pathlib import Path

import pandas as pd
import pytest
from rich.console import Console

from dryermodel.cycle.reasons import EndReason
from dryermodel.cycle.result import CycleResult
from dryermodel.errors import InputError
from dryermodel.findings.trust import ASSUMED, COMPUTED, FITTED, LEGEND, statuses
from dryermodel.kinds import KINDS, label
from dryermodel.show.data import cycle as D
from dryermodel.show.data.numbers import clean
from dryermodel.show.text import cycle as T
from dryermodel.show.text.cycle import keyed_rows
from dryermodel.vocabulary import READINGS

Cycles = Callable[..., CycleResult]

PROMISED = {
    "end_reason", "end_reason_text", "cycle_time_min", "time_to_4pct_min",
    "moisture_at_first_cut_out", "final_moisture",
    "water_removed_kg", "burner_on_min", "burner_cycles", "timer_on_min", "high_limit_trips",
    "gas_input_Btu_per_h", "gas_energy_kWh", "electric_energy_kWh", "energy_per_water_kWh_per_kg",
    "exhaust_flow_cfm",
    "vent_static_inwc", "exhaust_temp_bulk_degF", "exhaust_temp_max_degF", "load_temp_max_degF",
    "balance_water", "balance_energy", "version", "scenario_hash", "rel_tolerance", "status",
}  # fmt: skip
CASES: list[tuple[str, ...]] = [
    (),
    ("vent.resistance_factor=8",),
    ("controls.program=air only",),
    ("machine.heat=electric",),
    ("machine.thermal_cutoff_state=blown", "controls.time_limit=20 min"),
    ("vent.open_area=0 %", "controls.time_limit=5 min"),
    ("controls.interruptions=10 min door opened",),
]


@pytest.mark.parametrize("overrides", CASES)
def test_the_promised_keys_are_there_and_the_json_is_valid(cycle: Cycles, overrides: tuple[str, ...]) -> None:
    content = D.summary_json(cycle(*overrides), "1.2.3")
    assert set(content) >= PROMISED
    text = json.dumps(content, allow_nan=False)
    assert json.loads(text) == content
    assert text == json.dumps(D.summary_json(cycle(*overrides), "1.2.3"), allow_nan=False)
    assert content["version"] == "1.2.3"
    assert len(content["scenario_hash"]) == 64


def test_numbers_of_the_standard_cycle(cycle: Cycles) -> None:
    result = cycle()
    content = D.summary_json(result, "0")
    assert content["end_reason"] == "dial_ran_out"
    assert content["cycle_time_min"] == pytest.approx(result.cycle_time / 60.0, rel=1e-8)
    assert content["time_to_4pct_min"] == pytest.approx(22.2, abs=1.0)
    assert content["timer_on_min"] == pytest.approx(8.0)  # 3 min of heat-off time and 5 of cool-down
    assert content["water_removed_kg"] == pytest.approx(result.water_removed)
    per_water = (content["gas_energy_kWh"] + content["electric_energy_kWh"]) / content["water_removed_kg"]
    assert content["energy_per_water_kWh_per_kg"] == pytest.approx(per_water)
    assert abs(content["balance_water"]) < 1e-6 and abs(content["balance_energy"]) < 1e-6
    assert content["rel_tolerance"] == 1e-5


def test_bulk_exhaust_is_in_the_range_of_the_trade(cycle: Cycles) -> None:
    """100 to 135 degF in bulk drying, well below the cut-out: common practice, no source."""
    assert 100.0 < D.summary_json(cycle(), "0")["exhaust_temp_bulk_degF"] < 135.0


def test_healthy_static_is_in_the_published_range(cycle: Cycles) -> None:
    """0.5 to 0.7 in w.c. around the 0.6 in w.c. limit of a residential dryer's service manual."""
    assert 0.5 < D.summary_json(cycle(), "0")["vent_static_inwc"] < 0.7


def test_electric_share_is_near_the_convention(cycle: Cycles) -> None:
    """About 7 % of a gas dryer's energy, ANSI/RESNET 301; within two points."""
    content = D.summary_json(cycle(), "0")
    share = content["electric_energy_kWh"] / (content["electric_energy_kWh"] + content["gas_energy_kWh"])
    assert share == pytest.approx(0.07, abs=0.02)


def test_what_there_is_not_is_null(cycle: Cycles) -> None:
    content = D.summary_json(cycle("controls.program=air only"), "0")
    for key in ("time_to_4pct_min", "exhaust_temp_bulk_degF", "first_cut_out_min"):
        assert content[key] is None, key
    assert content["gas_energy_kWh"] == 0.0
    assert content["exhaust_flow_cfm"] > 100.0  # the blower runs all the same


def test_no_water_removed_has_no_energy_per_water(cycle: Cycles) -> None:
    content = D.summary_json(cycle("load.initial_moisture=1 %", "controls.program=air only"), "0")
    assert content["water_removed_kg"] <= 0.0  # the dry load takes up water from the room
    assert content["energy_per_water_kWh_per_kg"] is None


def test_each_end_reason_has_its_own_word() -> None:
    words = {reason.slug for reason in EndReason}
    assert len(words) == len({reason.code for reason in EndReason}) == len(EndReason)
    assert all(word.isidentifier() and word.islower() for word in words)


@pytest.mark.parametrize(
    ("override", "word"),
    [
        ("burner.firing_rate=11000 Btu/h", "never_cuts_out"),
        ("controls.stop_at_moisture=4 %", "moisture_reached"),
        ("controls.interruptions=10 min door opened", "stopped"),
    ],
)
def test_end_reasons(cycle: Cycles, override: str, word: str) -> None:
    content = D.summary_json(cycle(override), "0")
    assert content["end_reason"] == word
    assert content["end_reason_text"] == cycle(override).end.value


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf, None])
def test_clean_makes_null_of_what_is_no_number(value: float | None) -> None:
    assert clean(value) is None


# status labels ----------------------------------------------------------------------------------


def test_every_status_has_a_known_label_and_a_reason(cycle: Cycles) -> None:
    content = D.summary_json(cycle(), "0")
    numbers = {key for key in PROMISED if isinstance(content[key], float | int)} - {"rel_tolerance"}
    assert set(content["status"]) == numbers
    for status in content["status"].values():
        assert status["label"] in LEGEND
        assert status["basis"].isascii() and len(status["basis"]) > 10


def test_a_healthy_vent_rests_on_the_energy_test(cycle: Cycles) -> None:
    known = statuses(cycle())
    assert known["time_to_4pct"].label == FITTED
    assert known["balance_water"].label == COMPUTED


def test_what_rests_on_the_dial_is_assumed(cycle: Cycles) -> None:
    """No published value gives the dial's travel, so nothing that it sets may be called fitted."""
    known = statuses(cycle())
    for key in ("cycle_time", "final_moisture", "water_removed", "burner_time", "timer_time"):
        assert known[key].label == ASSUMED, key
    assert "standard machine and load" in LEGEND[FITTED]


@pytest.mark.parametrize(
    "override", ["vent.resistance_factor=8", "vent.open_area=60 %", "air.screen_loss=3 inH2O"]
)
def test_times_behind_a_restriction_or_a_trip_are_assumed(cycle: Cycles, override: str) -> None:
    known = statuses(cycle(override))
    for key in ("cycle_time", "time_to_4pct", "gas_energy", "burner_time"):
        assert known[key].label == ASSUMED
        assert "not validated against measured blockage" in known[key].basis
        assert "62 %" in known[key].basis and "45 s" in known[key].basis
        assert "ignition delays" in known[key].basis
    assert known["exhaust_flow"].label == FITTED  # the air network needs no high limit


# rows to read -----------------------------------------------------------------------------------


def test_rows_have_a_unit_each_and_match_the_json(cycle: Cycles) -> None:
    content = D.summary_json(cycle(), "0")
    checked = 0
    for name, row in keyed_rows(cycle(), False)[1:]:
        entry = READINGS[name]
        if row.value != "-" and entry.key_unit == KINDS[entry.kind].trade.unit != "":
            decimals = KINDS[entry.kind].trade.decimals
            assert float(row.value) == pytest.approx(content[entry.key], abs=0.51 * 10.0**-decimals), name
            assert row.unit == label(entry.key_unit), name
            checked += 1
    assert checked > 8


def test_si_rows_have_no_trade_units(cycle: Cycles) -> None:
    units = {row.unit for _, row in keyed_rows(cycle(), True)}
    assert {"degC", "kg", "L/s", "Pa", "kWh/kg"} <= units
    assert units.isdisjoint({"degF", "lb", "cfm", "in w.c.", "kWh/lb"})


def test_missing_numbers_are_a_dash(cycle: Cycles) -> None:
    rows = {row.label: row for _, row in keyed_rows(cycle("controls.program=air only"), False)}
    assert rows["time to 4 % moisture"].value == "-"
    assert rows["exhaust, bulk drying"] == T.Row("exhaust, bulk drying", "-", "")


def test_no_label_stands_beside_a_missing_number(cycle: Cycles) -> None:
    lines = T.summary_lines(cycle("controls.program=air only"), details=True)
    for name, last in (
        ("time to 4 % moisture", "-"),
        ("exhaust, bulk drying", "-"),
        ("electricity", ASSUMED),
    ):
        assert [line.split()[-1] for line in lines if line.startswith(name)] == [last], name


@pytest.mark.parametrize("overrides", CASES)
def test_what_most_numbers_rest_on_is_said_once(cycle: Cycles, overrides: tuple[str, ...]) -> None:
    lines = T.summary_lines(cycle(*overrides))
    assert sum(ASSUMED in line.split() or f"{ASSUMED}," in line.split() for line in lines) == 1
    assert lines[-1].split()[:2] == ["no", "word:"]
    labels = {line.split()[-1] for line in lines} & set(LEGEND)
    told = {line.split(":")[0].strip() for line in lines if ":" in line}
    assert labels <= told, "every label that stands there is explained"


def test_balances_and_tolerance_are_for_who_asks(cycle: Cycles) -> None:
    usual, full = ("\n".join(T.summary_lines(cycle(), details=more)) for more in (False, True))
    for words in ("water balance closes to", "energy balance closes to", "relative tolerance", "hash"):
        assert words not in usual and words in full
    assert cycle().scenario_hash[:12] in full and cycle().scenario_hash not in full


def test_a_balance_that_is_open_is_told_in_any_case(cycle: Cycles) -> None:
    from dataclasses import replace

    leaking = replace(cycle(), outcome=replace(cycle().outcome, balance_energy=-1e-3))
    lines = T.summary_lines(leaking)
    assert [line for line in lines if line.startswith("energy balance closes to")]
    assert not [line for line in lines if line.startswith("water balance closes to")]


def test_each_caution_is_said_once_and_before_the_findings(cycle: Cycles) -> None:
    console, out = _piped()
    T.print_findings(cycle("vent.resistance_factor=8"), False, console)
    text = " ".join(out.getvalue().split())
    assert text.startswith("Caution: ")
    for words in ("Lint is fuel", "Never bypass a limit"):
        assert text.count(words) == 1 and text.index(words) < text.index("Findings")
    console, out = _piped()
    T.print_findings(cycle(), False, console)
    assert "Caution" not in out.getvalue(), "nothing is wrong with the standard machine"


@pytest.mark.parametrize(
    ("overrides", "value"),
    [((), "22000 Btu/h"), (("gas.kind=propane",), "33937 Btu/h"), (("machine.heat=electric",), "-")],
)
def test_gas_input_with_the_burner_lit(cycle: Cycles, overrides: tuple[str, ...], value: str) -> None:
    """22000 Btu/h is the plate; 1.54 is the ratio of the Wobbe indices of the two gases."""
    row = {row.label: row for _, row in keyed_rows(cycle(*overrides), False)}["gas input, burner lit"]
    assert f"{row.value} {row.unit}".strip() == value
    known = D.summary_json(cycle(*overrides), "0")["gas_input_Btu_per_h"]
    assert known is None if value == "-" else known == pytest.approx(float(row.value), abs=0.51)


def test_unlike_pieces_have_a_row_in_words_and_a_plain_load_has_none(cycle: Cycles) -> None:
    from dryermodel.findings.pieces import pieces_left
    from dryermodel.scenario.model import load_scenario
    from dryermodel.scenario.run import simulate

    r = simulate(load_scenario("family_load"))
    (line,) = [line for line in T.summary_lines(r) if line.startswith("pieces")]
    assert line.endswith(f"  {pieces_left(r)}")
    assert not [row for _, row in keyed_rows(cycle(), False) if row.label.startswith("pieces")]
    events = D.events_data(r)
    assert [e["time_min"] for e in events] == sorted(e["time_min"] for e in events)
    assert {e["changes"][0] for e in events if e["cause"] == "marked moisture"} >= {"shirts at 4 %"}


@pytest.mark.parametrize("overrides", CASES)
def test_moisture_at_the_first_cut_out_is_that_of_the_trajectory(
    cycle: Cycles, overrides: tuple[str, ...]
) -> None:
    r = cycle(*overrides)
    row = {row.label: row for _, row in keyed_rows(r, False)}["moisture at the first cut-out"]
    if r.first_cut_out is None:
        assert row.value == "-"
    else:
        assert float(row.value) == pytest.approx(100 * r.sample([r.first_cut_out])["moisture"][0], abs=0.06)


def test_an_electric_machine_has_a_heater(cycle: Cycles) -> None:
    labels = {row.label for _, row in keyed_rows(cycle("machine.heat=electric"), False)}
    assert {"heater on", "heater cycles"} <= labels
    assert "burner on" not in labels


def test_events_are_in_order_and_complete(cycle: Cycles) -> None:
    rows = T.events_table(cycle())
    times = [float(row.time_min) for row in rows]
    assert times == sorted(times)
    assert rows[0].cause == "start pressed" and "motor runs" in rows[0].what
    assert sum("burner lights" in row.what for row in rows) == cycle().burner_cycles


# printing ---------------------------------------------------------------------------------------


def _piped(width: int = 80) -> tuple[Console, StringIO]:
    out = StringIO()
    return Console(file=out, width=width), out


@pytest.mark.parametrize("overrides", CASES)
@pytest.mark.parametrize("si", [False, True])
def test_piped_text_is_plain_ascii(cycle: Cycles, overrides: tuple[str, ...], si: bool) -> None:
    console, out = _piped()
    T.print_summary(cycle(*overrides), si, console)
    T.print_findings(cycle(*overrides), si, console)
    T.print_events(cycle(*overrides), console)
    text = out.getvalue()
    assert text.isascii() and "\x1b" not in text
    assert all(line == line.rstrip() for line in text.splitlines())


def test_brackets_and_accents_in_a_title_do_no_harm(cycle: Cycles) -> None:
    from dataclasses import replace

    console, out = _piped()
    T.print_summary(replace(cycle(), title="M\u00fcller [bold]$x$[/bold]"), False, console)
    assert out.getvalue().splitlines()[0] == "M\u00fcller [bold]$x$[/bold]"


def test_findings_are_wrapped_to_the_console(cycle: Cycles) -> None:
    console, out = _piped(60)
    T.print_findings(cycle(), False, console)
    assert max(map(len, out.getvalue().splitlines())) <= 60


def test_summary_says_what_its_labels_mean(cycle: Cycles) -> None:
    console, out = _piped()
    T.print_summary(cycle(), False, console)
    assert f"fitted: {LEGEND[FITTED]}" in out.getvalue()


def test_events_beyond_the_limit_are_counted(cycle: Cycles) -> None:
    console, out = _piped()
    T.print_events(cycle(), console, limit=5)
    assert out.getvalue().rstrip().endswith(f"and {len(cycle().events) - 5} more")


# CSV --------------------------------------------------------------------------------------------


def test_csv_reads_back_and_is_the_same_twice(cycle: Cycles, tmp_path: Path) -> None:
    one, two = D.write_csv(cycle(), tmp_path / "a.csv"), D.write_csv(cycle(), tmp_path / "b.csv")
    assert one.read_bytes() == two.read_bytes()
    assert b"\r" not in one.read_bytes()
    frame = pd.read_csv(one)
    assert len(frame) == math.floor(cycle().cycle_time / 10.0) + 1
    assert frame["exhaust_temp_degF"].max() < D.summary_json(cycle(), "0")["exhaust_temp_max_degF"] + 0.01


def test_csv_in_si(cycle: Cycles, tmp_path: Path) -> None:
    header = D.write_csv(cycle(), tmp_path / "a.csv", si=True).read_text(encoding="utf-8").splitlines()[0]
    assert "exhaust_temp_K" in header and "degF" not in header


@pytest.mark.parametrize("name", ["a.txt", "a", "a.csv.gz"])
def test_csv_name_must_end_in_csv(cycle: Cycles, tmp_path: Path, name: str) -> None:
    with pytest.raises(InputError, match=r"ends in \.csv"):
        D.write_csv(cycle(), tmp_path / name)
    assert list(tmp_path.iterdir()) == []
