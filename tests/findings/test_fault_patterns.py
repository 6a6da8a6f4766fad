"""What sets a fault apart, in words from the numbers; and which faults the cycle cannot tell apart."""

from __future__ import annotations

import math
from functools import cache

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dryermodel.findings.fault_words import fault_amount, who
from dryermodel.findings.look_alikes import SAME_QUANTITY, alike, groups
from dryermodel.findings.patterns import Mark, Pattern, pattern
from dryermodel.findings.steps import STEPS, changes
from dryermodel.readings.single import CycleReadings, burner_stretches
from dryermodel.scenario.faults import catalogue
from dryermodel.show.data.faults import as_data
from dryermodel.show.text import faults as page
from dryermodel.show.text.fault_pages import page as fault_page
from dryermodel.studies.fault_table import Report, report, run_faults, words
from dryermodel.vocabulary import known
from tests.cycle.cases import WHOLE_CHAIN, run
from tests.numbers import numbers
from tests.plain import plain_run, plain_scenario

BARE = CycleReadings(plain_run())


@cache
def at_three_quarters(whole_chain: bool) -> Report:
    scenario = plain_scenario(WHOLE_CHAIN if whole_chain else ())
    wanted = ["thermostat_stuck_open", "thermal_cutoff_open"] if whole_chain else [
        "vent_blockage", "vent_flap_stuck", "lint_screen_blocked", "blower_wheel_caked", "outlet_gasket_leak",
        "weak_burner", "low_supply_pressure", "igniter_slow", "igniter_open", "flame_sensor_stuck_closed",
        "coil_fails_hot", "thermostat_drift", "thermostat_stuck_closed", "thermostat_stuck_open",
        "thermal_cutoff_open", "humid_room",
    ]  # fmt: skip
    return report(run_faults(scenario, 0.75, wanted))


def keys_of(fault: str, whole_chain: bool = False) -> tuple[str, ...]:
    found = at_three_quarters(whole_chain)
    return next(line.pattern.keys for line in found.lines if line.run.fault.key == fault)


def words_of(fault: str, whole_chain: bool = False) -> str:
    found = at_three_quarters(whole_chain)
    return next(words(line) for line in found.lines if line.run.fault.key == fault)


# Signature ------------------------------------------------------------------------------------------


def test_signature_of_the_healthy_machine_has_every_number() -> None:
    assert all(BARE[name] is not None for name in STEPS)
    assert BARE["ended"] and BARE["burner_cycles"] == BARE["ignition_tries"] == 7
    assert BARE["high_limit_trips"] == 0.0
    assert BARE["burner_off_mean"] == pytest.approx(60.0, abs=1e-6), (
        "flame sensor 30 s to reclose, igniter 30 s"
    )
    assert BARE["first_light"] == pytest.approx(30.0) and BARE["longest_glow"] == pytest.approx(30.0)


def test_stretches_that_something_else_ends_do_not_count() -> None:
    heat = [(30.0, 900.0), (960.0, 1000.0), (1060.0, 1200.0)]
    assert burner_stretches(heat, 900.0, 1200.0) == (40.0, 60.0), "the last burn is ended by the cool-down"
    assert burner_stretches([(0.0, 100.0), (130.0, 900.0)], 900.0, 1000.0) == (None, None)


def test_no_change_is_no_pattern() -> None:
    found = pattern(BARE, BARE, run().parameters)
    assert found.marks == () and found.words == ""
    assert set(found.changes.values()) == {0.0}


# Words ----------------------------------------------------------------------------------------------


def test_blocked_vent_reads_as_one() -> None:
    """Common practice: slow, burner cycles on its limit, high static, little air."""
    assert {"slower", "limit", "static up", "flow down"} <= set(keys_of("vent_blockage"))
    assert "trips)" in words_of("vent_blockage")


def test_low_static_tells_screen_and_wheel_from_the_vent() -> None:
    for fault in ("lint_screen_blocked", "blower_wheel_caked"):
        assert {"static down", "flow down", "limit"} <= set(keys_of(fault))


def test_gasket_leak_is_hot_load_and_cool_exhaust_in_the_same_time() -> None:
    keys = keys_of("outlet_gasket_leak")
    assert {"exhaust cooler", "load hotter"} <= set(keys)
    assert not {"slower", "faster"} & set(keys)


def test_weak_burner_is_slow_with_a_cool_exhaust_and_normal_air() -> None:
    keys = set(keys_of("weak_burner"))
    assert {"slower", "exhaust cooler", "more gas"} <= keys
    assert not {"static up", "static down", "flow up", "flow down", "limit"} & keys


def test_no_gas_faults_say_what_glows() -> None:
    assert words_of("igniter_open").startswith("never lights, no glow, does not end by itself")
    assert words_of("flame_sensor_stuck_closed").startswith("never lights although the igniter glows on")
    assert "dried by room air alone" in words_of("igniter_open")


def test_blown_cutoff_shows_differently_on_the_two_wirings() -> None:
    """Mechanism: where the whole chain shunts the timer an open cut-off lets the dial run."""
    assert "no end" in keys_of("thermal_cutoff_open")
    assert "early" in keys_of("thermal_cutoff_open", whole_chain=True)
    assert "load wet" in keys_of("thermal_cutoff_open", whole_chain=True)


def test_stuck_thermostats() -> None:
    assert words_of("thermostat_stuck_open").startswith("never lights, no glow, stops early, after 8 min")
    assert "the exhaust passes the cut-out and the heat stays on" in words_of("thermostat_stuck_closed")


def test_ignition_faults() -> None:
    assert "slow light" in keys_of("igniter_slow")
    assert "longer gaps after the cut-out" in keys_of("igniter_slow")
    assert "ignition tries in vain" in words_of("coil_fails_hot")


def test_what_does_not_show_says_what_to_measure() -> None:
    told = words_of("humid_room")
    assert told == (
        "indistinguishable from healthy in the cycle: measure room temperature and relative humidity"
    )


def test_a_measurement_that_comes_out_normal_is_not_what_to_measure() -> None:
    found = report(run_faults(plain_scenario(), 0.25, ["high_limit_weak"]))
    assert found.lines[0].pattern.marks == ()
    assert "measure temperature at the limit when it opens" in words(found.lines[0])


def test_words_change_with_the_numbers() -> None:
    """The same rules on made-up numbers, one at a time, both ways."""
    p = run().parameters
    for change, mark in [
        ({"exhaust_temp_bulk": 10.0}, "exhaust hotter"), ({"exhaust_temp_bulk": -10.0}, "exhaust cooler"),
        ({"vent_static": 50.0}, "static up"), ({"vent_static": -50.0}, "static down"),
        ({"exhaust_flow": 0.02}, "flow up"), ({"exhaust_flow": -0.02}, "flow down"),
        ({"load_temp_max": 20.0}, "load hotter"), ({"load_temp_max": -20.0}, "load cooler"),
        ({"gas_energy": 3e6}, "more gas"), ({"gas_energy": -3e6}, "less gas"),
        ({"cycle_time": 600.0}, "dry as soon but runs longer"),
        ({"cycle_time": -600.0}, "dry as soon and stops sooner"),
        ({"time_to_4pct": 600.0}, "dries slower, ends on time"),
        ({"time_to_4pct": -600.0}, "dry sooner, ends on time"),
        ({"time_to_4pct": 600.0, "cycle_time": 600.0}, "slower"),
        ({"time_to_4pct": 600.0, "cycle_time": -600.0}, "dries slower yet stops sooner"),
        ({"burner_on_mean": 60.0}, "longer burns after the cut-out"),
        ({"burner_off_mean": 60.0}, "longer gaps after"),
        ({"final_moisture": 0.02}, "load a little damper"), ({"final_moisture": 0.06}, "load damp"),
        ({"final_moisture": 0.30}, "load wet"), ({"first_light": 60.0}, "slow light"),
    ]:  # fmt: skip
        moved = {**BARE, **{name: known(BARE, name) + by for name, by in change.items()}}
        found = pattern(moved, BARE, p)
        assert len(found.keys) == 1 and found.keys[0].startswith(mark), (change, found.keys)


@given(st.sampled_from(sorted(STEPS)), st.floats(-0.99, 0.99))
def test_less_than_a_step_is_no_change(name: str, share: float) -> None:
    value = known(BARE, name)
    moved = {**BARE, name: value + share * STEPS[name](value)}
    assert abs(changes(moved, BARE)[name]) < 1.0
    assert pattern(moved, BARE, run().parameters).marks == ()


def test_a_number_that_only_one_has_is_a_change_beyond_measure() -> None:
    lacking = {**BARE, "time_to_4pct": None}
    assert changes(lacking, BARE)["time_to_4pct"] == -math.inf
    assert changes(BARE, lacking)["time_to_4pct"] == math.inf
    assert changes(lacking, lacking)["time_to_4pct"] == 0.0


# Groups ---------------------------------------------------------------------------------------------


def test_groups_of_the_standard_machine() -> None:
    found = at_three_quarters(False).alike
    assert ["vent_blockage", "vent_flap_stuck"] in found
    assert ["lint_screen_blocked", "blower_wheel_caked"] in found
    assert ["weak_burner", "low_supply_pressure"] in found
    assert ["igniter_open", "thermal_cutoff_open"] in found
    whole = at_three_quarters(True).alike
    assert ["thermostat_stuck_open", "thermal_cutoff_open"] in whole


def test_what_settles_a_group_is_told_for_each_member() -> None:
    lines = "\n".join(page.group_lines(at_three_quarters(False)))
    for keys in at_three_quarters(False).alike:
        for key in keys:
            start = catalogue()[key].confirms[:20]
            assert f"{key}: {start}" in lines


def bare_pattern(*keys: str, **moved: float) -> Pattern:
    return Pattern(tuple(Mark(key, key) for key in keys), dict.fromkeys(STEPS, 0.0) | moved)


def test_alike_by_direction_not_by_size() -> None:
    weak, strong = bare_pattern("slower", time_to_4pct=1.5), bare_pattern("slower", time_to_4pct=9.0)
    assert alike(weak, strong) and alike(strong, weak)
    assert not alike(weak, bare_pattern("faster", time_to_4pct=-1.5))
    assert not alike(weak, bare_pattern("slower", time_to_4pct=1.5, vent_static=2.0))
    assert not alike(weak, bare_pattern("slower", "limit", time_to_4pct=1.5))
    assert alike(weak, bare_pattern("slower", "limit opens", time_to_4pct=1.5))
    assert alike(weak, bare_pattern(time_to_4pct=0.6))
    assert not alike(weak, bare_pattern(time_to_4pct=0.1))


def test_those_without_marks_join_no_group() -> None:
    assert groups([("a", bare_pattern()), ("b", bare_pattern())]) == []


def test_same_quantity_puts_faults_together_whatever_their_sizes() -> None:
    for keys in SAME_QUANTITY:
        found = groups(
            [(keys[0], bare_pattern("limit", vent_static=9.0)), (keys[1], bare_pattern("x", vent_static=1.0))]
        )
        assert found == [list(keys[:2])]


def test_faults_of_one_quantity_do_give_the_same_cycle_at_some_severity() -> None:
    """36 % of the manifold pressure is 60 % of the input: the same parameters, hence the same cycle."""
    low = plain_scenario(faults=["low_supply_pressure=36 %"]).to_parameters()
    weak = plain_scenario(faults=["weak_burner=60 %"]).to_parameters()
    assert numbers(low) == pytest.approx(numbers(weak), rel=1e-12)


# The page -------------------------------------------------------------------------------------------


@pytest.mark.parametrize("si", [False, True])
def test_page_is_ascii_and_fits(si: bool) -> None:
    from dryermodel.show.text.columns import right_aligned
    from dryermodel.show.text.tables import plain_table

    found = at_three_quarters(False)
    table = plain_table(*right_aligned(page.headers(found), page.rows(found, si), 2)).splitlines()
    lines = [*page.heading(found), *table, *page.legend(si), *page.pattern_lines(found)]
    lines += [*page.group_lines(found), *page.note_lines(found, si)]
    assert all(line.isascii() for line in lines)
    assert max(map(len, lines)) <= 120
    assert "not validated" in "\n".join(lines)
    assert sum("not validated" in line for line in lines) == 1
    for fault in ("vent_blockage", "vent_flap_stuck"):
        assert any(line.startswith(fault + "*") for line in table)
    assert any(line.startswith("weak_burner ") for line in table)


def test_the_document_names_every_fault() -> None:
    from pathlib import Path

    text = (Path(__file__).parents[2] / "docs" / "faults.md").read_text(encoding="utf-8")
    assert [key for key in catalogue() if f" {key}" not in text.replace(",", "").replace("|", " ")] == []


def test_data_holds_the_same_as_the_page() -> None:
    found = at_three_quarters(False)
    data = as_data(found, "0")
    first = data["faults"][0]
    assert (first["fault"], first["amount"], first["validated"]) == ("vent_blockage", "75 %", False)
    assert first["pattern"] == words_of("vent_blockage")
    assert first["summary"]["high_limit_trips"] == found.lines[0].numbers["high_limit_trips"]
    assert data["hard_to_tell_apart"] == found.alike


def test_amounts_in_both_kinds_of_units() -> None:
    assert fault_amount(catalogue()["thermostat_drift"], 0.5) == "15 degF"
    assert fault_amount(catalogue()["thermostat_drift"], 0.5, si=True) == "8.33 degC"
    assert fault_amount(catalogue()["room_depressurised"], 0.5, si=True) == "24.9 Pa"
    assert fault_amount(catalogue()["altitude_unadjusted"], 0.5) == "5000 ft"
    assert fault_amount(catalogue()["altitude_unadjusted"], 1.0) == "10000 ft"
    assert fault_amount(catalogue()["coil_fails_hot"], 0.75) == "2.67 min"
    assert fault_amount(catalogue()["coil_fails_hot"], 0.0) == "never"


@pytest.mark.parametrize("key", list(catalogue()))
def test_every_fault_has_a_full_page(key: str) -> None:
    fault = catalogue()[key]
    text = " ".join(" ".join(fault_page(fault, full=True)).split())
    for part in (
        fault.effect,
        fault.customer_says,
        fault.confirms,
        fault.remedy,
        fault.caution,
        *fault.measure,
    ):
        assert " ".join(part.split()) in text
    assert who(fault) in text
    assert text.isascii() and max(map(len, fault_page(fault, full=True))) <= 100
    assert ("qualified person" in who(fault)) == fault.licensed


@given(key=st.sampled_from(sorted(catalogue())), severity=st.floats(0.0, 1.0), si=st.booleans())
def test_an_amount_is_told_in_plain_numbers_of_few_digits(key: str, severity: float, si: bool) -> None:
    fault = catalogue()[key]
    number = fault_amount(fault, severity if fault.graded else round(severity), si).partition(" ")[0]
    if fault.graded and number != "never" and severity > 1e-3:
        assert "e" not in number
        assert len(number.replace(".", "").lstrip("-0")) <= 3 or "." not in number
