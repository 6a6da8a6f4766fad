"""The tables of measurements and observations: one meaning for each name, every fault within reach."""

from __future__ import annotations

import math
from collections import Counter

import pytest

from dryermodel import units
from dryermodel.errors import InputError
from dryermodel.field.measurements import (
    ADVANCE,
    AS_WRITTEN,
    DIFFERENCES,
    USUAL_ACCURACY,
    WIDEST,
    Measurement,
    advance,
    find_measurement,
    measurements,
    plain,
)
from dryermodel.field.observations import WHEN, Observation, find_observation, observations, read_seen
from dryermodel.field.round import parts
from dryermodel.readings.rows import COLUMNS
from dryermodel.scenario.faults import catalogue
from dryermodel.vocabulary import READINGS

TAKEN = list(measurements().values())
ASKED = list(observations().values())
NAMED: list[Measurement | Observation] = [*TAKEN, *ASKED]

MEASURED_DIRECTLY = {
    "weak_burner": "gas input",
    "low_supply_pressure": "supply pressure",
    "wrong_orifice": "gas input",
    "igniter_slow": "time to flame",
    "cold_makeup_air": "room temperature",
    "humid_room": "room humidity",
    "low_line_voltage": "line voltage",
}
"""Faults that a number tells at once."""

SEEN_DIRECTLY = {"drum_not_turning": "drum turns", "flame_sensor_stuck_closed": "glow stays on"}
"""Faults that an answer about the running machine tells, though no look at a part does."""


@pytest.mark.parametrize("table", [TAKEN, ASKED], ids=["measurements", "observations"])
def test_no_spelling_stands_for_two_names(table: list[Measurement] | list[Observation]) -> None:
    spelt = Counter(word for entry in table for word in set(map(plain, (entry.name, *entry.also))))
    assert [word for word, count in spelt.items() if count > 1] == []


def test_no_spelling_is_a_measurement_and_an_answer() -> None:
    both = [{plain(word) for e in table for word in (e.name, *e.also)} for table in (TAKEN, ASKED)]
    assert both[0] & both[1] == set()


@pytest.mark.parametrize("entry", TAKEN, ids=lambda e: e.name)
def test_measurement_is_found_by_each_spelling(entry: Measurement) -> None:
    for word in (entry.name, *entry.also, entry.name.replace(" ", "_").upper(), f" {entry.name}  "):
        assert find_measurement(word) is entry


@pytest.mark.parametrize("entry", ASKED, ids=lambda e: e.name)
def test_observation_is_found_by_each_spelling(entry: Observation) -> None:
    for word in (entry.name, *entry.also, entry.name.replace(" ", "_").upper()):
        assert find_observation(word) is entry
        assert read_seen(f"{word}=no") == (entry, False)


@pytest.mark.parametrize("entry", TAKEN, ids=lambda e: e.name)
def test_measurement_has_sensible_numbers(entry: Measurement) -> None:
    assert entry.kind in units.KINDS
    assert units.parse(f"1 {entry.unit}".strip(), entry.kind) is not None
    low, high = entry.within
    assert math.isfinite(low) and math.isfinite(high) and low < high
    assert entry.accuracy + entry.relative * high > 0.0
    assert min(entry.accuracy, entry.relative, entry.model, entry.model_relative) >= 0.0
    assert entry.accuracy < 0.5 * (high - low)
    assert entry.minutes > 0.0 and entry.tools and entry.question.endswith(("?", ")"))
    assert entry.usual_state in entry.states and all(entry.states.values())


@pytest.mark.parametrize("entry", ASKED, ids=lambda e: e.name)
def test_observation_has_sensible_numbers(entry: Observation) -> None:
    assert entry.when in WHEN
    assert 0.0 < entry.yes_if_not < entry.yes_if_so < 1.0
    assert bool(entry.number) != bool(entry.finds)
    assert (entry.width > 0.0) == bool(entry.number)
    assert (0.0 < entry.half_seen < 1.0) == bool(entry.finds)
    assert entry.question.endswith("?") and entry.minutes > 0.0


@pytest.mark.parametrize("entry", ASKED, ids=lambda e: e.name)
def test_opening_the_machine_comes_with_its_caution(entry: Observation) -> None:
    if {"hand tools", "meter"} & set(entry.tools):
        assert entry.when in ("bench test", "unplugged")
        assert entry.caution


def test_gas_train_is_for_the_qualified() -> None:
    for entry in NAMED:
        assert ("gas qualification" in entry.tools) == ("qualified person where" in entry.caution)


def test_every_key_a_look_finds_is_in_the_catalogue() -> None:
    assert {key for entry in ASKED for key in entry.finds} <= set(catalogue())


def test_every_fault_of_the_catalogue_can_be_found() -> None:
    looked = {key for entry in ASKED for key in entry.finds}
    assert set(catalogue()) == looked | set(MEASURED_DIRECTLY) | set(SEEN_DIRECTLY)
    assert set(MEASURED_DIRECTLY.values()) <= set(measurements())
    assert set(SEEN_DIRECTLY.values()) <= set(observations())


def test_each_entry_stands_in_one_part_of_the_visit() -> None:
    found = [m.name for part in parts() for m in part.measurements]
    found += [o.name for part in parts() for o in part.observations]
    assert sorted(found) == sorted(e.name for e in NAMED)
    assert all(part.measurements or part.observations for part in parts())


# Readings that the table does not list --------------------------------------------------------------


def test_other_readings_are_measured_by_their_name_and_words() -> None:
    for text in ("dial_at_20min", "dial at 20 min"):
        assert find_measurement(text).number() == "dial_at_20min"
    assert find_measurement("last_cut_out_exhaust_temp").name == "cut-out temperature"
    assert find_measurement("plug_power_flame").unit == "W"


def test_every_reading_of_a_row_can_be_measured_if_it_has_a_unit_of_people() -> None:
    for name in COLUMNS:
        if READINGS[name].kind in AS_WRITTEN:
            found = find_measurement(name)
            assert name in found.states.values()
            assert units.parse(f"1 {found.unit}".strip(), found.kind) is not None
            assert found.accuracy >= 0.0 and found.within[0] < found.within[1]


def test_kinds_of_other_readings_are_covered() -> None:
    assert set(AS_WRITTEN.values()) == set(USUAL_ACCURACY) == set(WIDEST)
    for kind, (accuracy, relative) in USUAL_ACCURACY.items():
        assert units.parse(accuracy, DIFFERENCES.get(kind, kind)) > 0.0 <= relative
    for kind, ends in WIDEST.items():
        low, high = (units.parse(end, kind) for end in ends)
        assert low < high


# Messages -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "near"),
    [("vent statc", "vent static"), ("exhaust flw", "exhaust flow"), ("cycle tme", "cycle time"),
     ("manifold presure", "manifold pressure"), ("cut-outt temperature", "cut-out temperature")],
)  # fmt: skip
def test_near_misses_of_measurements_are_suggested(text: str, near: str) -> None:
    with pytest.raises(InputError, match=rf"unknown measurement \(did you mean [^?]*{near}"):
        find_measurement(text)


def test_a_far_miss_is_told_some_names() -> None:
    with pytest.raises(InputError, match="unknown measurement; such as cycle time, "):
        find_measurement("qqqq")
    with pytest.raises(InputError, match="unknown observation; such as drum turns, "):
        find_observation("qqqq")
    with pytest.raises(InputError, match=r"unknown observation \(did you mean flame seen"):
        find_observation("flam seen")


@pytest.mark.parametrize(
    ("text", "answer"),
    [("flame seen", True), ("flame seen = YES", True), ("not flame seen", False), ("no flame seen", False),
     ("no gas", True), ("no gas=no", False), ("flame seen=0", False)],
)  # fmt: skip
def test_answers_as_people_give_them(text: str, answer: bool) -> None:
    assert read_seen(text)[1] is answer


@pytest.mark.parametrize("text", ["flame seen=perhaps", "flame seen=", "no", ""])
def test_what_is_no_answer_is_refused(text: str) -> None:
    with pytest.raises(InputError):
        read_seen(text)


# The timer's advance --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "text", ["timer advance 20-40 min", "dial 20 to 40 min", "Timer Advance from 20 min to 40 min"]
)
def test_advance_names_its_interval(text: str) -> None:
    found = find_measurement(text)
    assert (found.name, found.number()) == (f"{ADVANCE} 20-40 min", "dial 20-40")


@pytest.mark.parametrize(("start", "end"), [(40, 20), (20, 20), (18, 40), (20, 65)])
def test_advance_runs_between_marks(start: int, end: int) -> None:
    with pytest.raises(InputError, match="the dial is read at 0, 5, 10"):
        advance(60.0 * start, 60.0 * end)


KEPT_TO_THEMSELVES = ("switch", "gap", "money")


def test_every_reading_of_the_vocabulary_that_can_be_measured_has_its_names() -> None:
    """By name, words and keys with units: one and the same measurement, of the reading's own kind."""
    known = 0
    for reading in READINGS.values():
        spellings = (reading.name, reading.words, reading.key, reading.si)
        try:
            found = [find_measurement(spelling) for spelling in spellings]
        except InputError:
            of_the_computation = reading.name.startswith(
                ("co2", "combustion", "gas_energy_to", "electric_energy_to")
            )
            assert reading.kind in (*KEPT_TO_THEMSELVES, "energy per water") or of_the_computation, (
                reading.name
            )
            continue
        known += 1
        assert found[0].kind == AS_WRITTEN[reading.kind], reading.name
        # Words and keys may be shared, and then stand for the measurement of the same name.
        assert found[0].name in {m.name for m in found[1:]}, reading.name
    assert known > 90


@pytest.mark.parametrize("entry", TAKEN, ids=lambda entry: entry.name)
def test_no_instrument_is_without_error_at_nought(entry: Measurement) -> None:
    assert entry.accuracy > 0.0
