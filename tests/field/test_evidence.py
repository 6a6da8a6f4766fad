"""Evidence from a command line: quantities as people write them, accuracy and state, and what cannot be."""

from __future__ import annotations

import math
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dryermodel import units
from dryermodel.errors import InputError
from dryermodel.field.clocked import heating_value_of
from dryermodel.field.evidence import gather, read_measured, said, taken, told
from dryermodel.field.measurements import ADVANCE, find_measurement, measurements
from dryermodel.field.safety import find_danger
from dryermodel.field.visit import visit_of
from dryermodel.scenario.model import load_scenario

IN_WC = 249.08891


@pytest.mark.parametrize(
    ("text", "number", "value"),
    [
        ("vent static=0.9 in w.c.", "mid_drying_static", 0.9 * IN_WC),
        ('static = 0.9"wc', "mid_drying_static", 0.9 * IN_WC),
        ("static=224 Pa @ running empty", "collar_static", 224.0),
        ("cycle time=1 h 12 min", "cycle_time", 4320.0),
        ("time to flame=0:35", "ignition_delay_mean", 35.0),
        ("cut out=150 degF", "last_cut_out_exhaust_temp", 338.70555556),
        ("room temp=75 deg", "room_temp", 297.03888889),
        ("burner cycles=6", "burner_cycles", 6.0),
        ("timer advance 20-40 min=3 1/2 min", "dial 20-40", 210.0),
    ],
)
def test_measured_as_people_write_it(text: str, number: str, value: float) -> None:
    found = read_measured(text)
    assert found.number == number
    assert found.value == pytest.approx(value, rel=1e-8)


def test_accuracy_of_the_table_grows_with_the_value() -> None:
    entry = measurements()["exhaust flow"]
    found = taken(entry, 0.05)
    assert found.accuracy == pytest.approx(math.hypot(entry.accuracy, 0.08 * 0.05), rel=1e-12)
    assert taken(entry, 0.05, "", 0.001).accuracy == 0.001


@pytest.mark.parametrize("sign", ["+-", "\N{PLUS-MINUS SIGN}"])
def test_accuracy_of_a_temperature_is_a_difference(sign: str) -> None:
    assert read_measured(f"cut-out=150 degF {sign} 9 degF").accuracy == pytest.approx(5.0, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "told_words"),
    [
        ("vent static 0.9 in w.c.", "write name=value"),
        ("vent static=", "has no value"),
        ("vent static=0.9", "has no unit"),
        ("vent static=0.9 lb", "is a pressure"),
        ("vent static=0.9 in w.c. +- 0 Pa", "accuracy must be above nought"),
        ("vent static=0.9 in w.c. +- x", "is not a pressure"),
        ("vent static=0.9 in w.c. @ upside down", "taken in steady drying or running empty or heat off"),
        ("vent static=-1 in w.c.", "cannot be: 0 in w.c. to 10 in w.c."),
        ("vent static=90 in w.c.", "cannot be: 0 in w.c. to 10 in w.c."),
        ("room humidity=140 %", "cannot be: 0 % to 100 %"),
        ("cycle time=2:05", "could be 2 min 05 s or 2 h 05 min"),
        ("cut-out=150 deg", None),
        (f"{ADVANCE}=4 min", "from which minute to which"),
        ("nonsense=4 min", "unknown measurement"),
    ],
)
def test_what_cannot_be_read_is_refused(text: str, told_words: str | None) -> None:
    if told_words is None:  # 150 degC is within reach of a thermometer in the exhaust as well
        told_words = "could be 150 degF or 150 degC"
    with pytest.raises(InputError) as problem:
        read_measured(text)
    assert told_words in problem.value.message
    assert problem.value.where == "--measured"


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf, -1e-9, 1e9])
def test_no_value_beyond_an_instrument(value: float) -> None:
    with pytest.raises(InputError, match="cannot be"):
        taken(measurements()["vent static"], value)


def test_a_thing_given_twice_is_refused_unless_in_another_state() -> None:
    with pytest.raises(InputError, match="vent static: given twice"):
        gather(["static=0.9 in w.c.", "vent static=0.8 in w.c."], [])
    with pytest.raises(InputError, match="flame seen: given twice"):
        gather([], ["flame", "flame seen=no"])
    both = gather(["static=0.9 in w.c.", "static=1 in w.c. @ running empty"], ["flame"], "  slow\n")
    assert [m.number for m in both.measured] == ["mid_drying_static", "collar_static"]
    assert (both.seen[0].name, both.seen[0].yes, both.complaint) == ("flame seen", True, "slow")


@given(st.sampled_from(sorted(measurements())), st.floats(0.0, 1.0))
def test_what_is_told_is_read_again(name: str, share: float) -> None:
    if name == ADVANCE:
        name = f"{ADVANCE} 20-40 min"
    entry = find_measurement(name)
    low, high = entry.within
    one = taken(entry, low + share * (high - low))
    again = read_measured(f"{name}={said(one.value, entry.unit, 9)}")
    assert again.number == one.number
    assert again.value == pytest.approx(one.value, rel=1e-7, abs=1e-7)
    assert told(one).startswith(entry.name)


def test_said_in_the_trades_units() -> None:
    assert said(0.9 * IN_WC, "inH2O") == "0.9 in w.c."
    assert said(units.parse("22000 Btu/h", "power"), "Btu/h") == "22000 Btu/h"
    assert said(5.0 / 9.0, "delta_degF", 2) == "1 degF"


@pytest.mark.parametrize("words", ["Smell of gas", "exhaust_in_the_room=yes", "limit trips=y"])
def test_a_danger_told_as_seen_is_no_evidence_and_comes_first(words: str) -> None:
    met = gather([], ["drum turns", words])
    assert [s.name for s in met.seen] == ["drum turns"]
    assert met.dangers == (find_danger(words.partition("=")[0]).advice,)
    assert gather([], ["smell of gas=no"]).dangers == ()
    with pytest.raises(InputError, match="yes or no"):
        gather([], ["smell of gas=perhaps so"])


def test_a_run_that_ends_when_the_button_is_let_go_can_be_told() -> None:
    assert read_measured("cycle time=3 s").value == 3.0


@pytest.mark.parametrize(
    ("said_so", "dial", "seconds", "turns"),
    [("1/2 ft3 in 82 s", "1/2 ft3", "82 s", 1), ("2 cu ft in 5:40, 1 turn", "2 ft3", "340 s", 1)]
    + [("1/2 ft3 in 164 s, 2 turns", "1/2 ft3", "164 s", 2)],
)
def test_a_clocked_meter_is_the_same_on_the_command_line_and_in_a_file(
    said_so: str, dial: str, seconds: str, turns: int
) -> None:
    gas = heating_value_of(load_scenario("propane_altitude"))
    (typed,) = gather([f"gas clocking={said_so}"], [], heating_value=gas).measured
    text = f'scenario = "propane_altitude"\n[[measurement]]\ndial = "{dial}"\nseconds = "{seconds}"\n'
    (held,) = visit_of(f"{text}turns = {turns}\n", Path("x.toml")).evidence().measured
    assert typed == held
    cubic_feet = float(Fraction(dial.split()[0])) * turns
    assert typed.value == pytest.approx(gas * cubic_feet * 0.3048**3 / float(seconds.split()[0]), rel=1e-12)


@pytest.mark.parametrize("given_value", ["60 s", "1/2 ft3", "fast", "1/2 ft3 in 0 s", "90000 ft3 in 9 s"])
def test_a_clocked_meter_without_dial_or_seconds_is_told_what_it_needs(given_value: str) -> None:
    wanted = "size of the test dial and the time of its turns: 'gas input=1/2 ft3 in 82 s'"
    with pytest.raises(InputError, match=wanted):
        gather([f"gas clocking={given_value}"], [], heating_value=4e7)
    with pytest.raises(InputError, match='dial = "1/2 ft3" and seconds = "82 s" in place'):
        visit_of(f'[[measurement]]\nname = "gas input"\nvalue = "{given_value}"\n', Path("x.toml"))
