"""One vocabulary: every number has an entry, one name, and is got the same way from one run or many."""

from __future__ import annotations

import ast
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

import dryermodel
from dryermodel.cycle.engine.outcome import OUTCOMES
from dryermodel.cycle.result import CycleResult
from dryermodel.cycle.run.many import simulate_many
from dryermodel.findings.steps import STEPS
from dryermodel.findings.trust import statuses
from dryermodel.kinds import KINDS, label, suffix, with_unit
from dryermodel.readings.rows import COLUMNS, DERIVED, column, row_readings
from dryermodel.readings.single import TAKEN, CycleReadings
from dryermodel.scenario.model import load_scenario
from dryermodel.scenario.run import simulate
from dryermodel.show.text import cycle as text
from dryermodel.show.text.faults import COLUMNS as FAULT_COLUMNS
from dryermodel.studies.comparison.figures import NAMES as COMPARED
from dryermodel.studies.sweep.outcomes import NAMES as SWEPT
from dryermodel.units import convert
from dryermodel.vocabulary import READINGS, SERIES, SUMMARY, known

Cycles = Callable[..., CycleResult]

CASES: list[tuple[str, ...]] = [
    (),
    ("vent.resistance_factor=8",),
    ("controls.program=timed", "controls.timed_length=20 min"),
    ("machine.heat=electric",),
    ("controls.program=air only",),
    ("controls.interruptions=10 min door opened",),
    ("controls.stop_at_moisture=4 %",),
]
MONEY = {name for name in READINGS if name.startswith(("cost", "co2"))}


# The table ----------------------------------------------------------------------------------------


def test_every_column_of_a_row_has_an_entry() -> None:
    """A new column in the engine's rows needs a line in the vocabulary, under its own name and SI unit."""
    assert set(OUTCOMES) <= {reading.si for reading in READINGS.values()}


def test_every_entry_is_got_from_somewhere() -> None:
    assert set(READINGS) == set(TAKEN) | set(COLUMNS) | set(DERIVED) | MONEY
    assert set(COLUMNS) | set(DERIVED) <= set(TAKEN)


def test_names_and_keys_are_unlike() -> None:
    for outlet in ("si", "key", "figure_key", "column"):
        names = [getattr(reading, outlet) for reading in READINGS.values() if reading.name != "time_to_4pct"]
        assert len(names) == len(set(names)), outlet


@pytest.mark.parametrize("reading", READINGS.values(), ids=lambda r: r.name)
def test_every_entry_says_what_it_is(reading: object) -> None:
    assert isinstance(reading, tuple)
    entry = READINGS[reading[0]]
    assert entry.kind in KINDS
    assert entry.name.isidentifier() and entry.name == entry.name.lower()
    assert len(entry.words) > 2 and len(entry.about) > 2 and (entry.words + entry.about).isascii()
    assert "_" not in entry.words, "words are for people"


def test_sampled_quantities_are_the_table_in_its_order(cycle: Cycles) -> None:
    assert list(cycle().sample([0.0])) == [quantity.si for quantity in SERIES]


@pytest.mark.parametrize("kind", KINDS)
def test_units_of_a_kind_measure_the_same_thing(kind: str) -> None:
    """An SI value of 1 is 1 in the SI unit: the table's SI unit is the base of the units library."""
    entry = KINDS[kind]
    if entry.si_unit:
        assert convert(1.0, entry.si_unit) == pytest.approx(1.0)
    for shown in (entry.trade, entry.metric):
        assert label(shown.unit) == shown.label and suffix(shown.unit).isascii()


def test_names_with_their_units() -> None:
    assert with_unit("exhaust_flow", "L/s") == "exhaust_flow_L_per_s"
    assert READINGS["vent_static"].key == "vent_static_inwc" and READINGS["vent_static"].key_unit == "inH2O"
    assert READINGS["energy_per_water"].key_unit == "kWh/kg", "the longest unit that ends the key"
    assert READINGS["final_moisture"].key_unit == "", "a share, as ever"


# One name on the whole way ------------------------------------------------------------------------


def test_whoever_lists_readings_lists_names_of_the_vocabulary(cycle: Cycles) -> None:
    lists = [SUMMARY, text.NAMES, FAULT_COLUMNS.values(), COMPARED, SWEPT, STEPS, statuses(cycle())]
    for names in lists:
        assert set(names) <= set(READINGS)


def test_no_source_file_writes_a_key_with_a_unit_that_the_table_makes() -> None:
    """Keys for programs are made by the table alone: a second list of them could differ from it."""
    keys = {r.key for r in READINGS.values() if r.key_unit and r.key != r.si}
    root = Path(dryermodel.__file__).parent
    for file in sorted(root.rglob("*.py")):
        if file.name == "vocabulary.py":
            continue
        tree = ast.parse(file.read_text(encoding="utf-8"))
        said = {node.value for node in ast.walk(tree) if isinstance(node, ast.Constant)}
        assert not keys & {word for word in said if isinstance(word, str)}, file


# One run and many ---------------------------------------------------------------------------------


@pytest.mark.parametrize("overrides", CASES)
def test_one_run_reads_what_a_row_of_many_reads(cycle: Cycles, overrides: tuple[str, ...]) -> None:
    single = cycle(*overrides)
    events = load_scenario("standard", overrides).interruptions()
    row = row_readings(simulate_many([single.parameters], interruptions=events)[0])
    taken = CycleReadings(single)
    for name, value in row.items():
        assert taken[name] == (None if value is None else pytest.approx(value, rel=1e-9, abs=1e-12)), name


def test_many_rows_are_read_at_once(cycle: Cycles) -> None:
    p = cycle().parameters
    rows = simulate_many([p, p._replace(piece_moisture=(0.01, 0.0, 0.0, 0.0))])
    assert column(rows, "energy").tolist() == (rows["gas_energy_J"] + rows["electric_energy_J"]).tolist()
    per_water = column(rows, "energy_per_water")
    assert per_water[0] == pytest.approx(CycleReadings(cycle())["energy_per_water"])
    assert np.isnan(column(rows, "mid_drying_flow")).tolist()[0] is False
    with pytest.raises(KeyError):
        column(rows, "exhaust_flou")


def test_readings_of_a_cycle_are_a_mapping_over_all_its_names(cycle: Cycles) -> None:
    found = CycleReadings(cycle())
    assert list(found) == list(TAKEN) and len(found) == len(TAKEN)
    assert dict(found)["cycle_time"] == cycle().cycle_time
    with pytest.raises(KeyError):
        found["cost_load"]


def test_a_reading_that_every_cycle_has_is_a_number(cycle: Cycles) -> None:
    wet = CycleReadings(cycle("controls.program=air only"))
    assert known(wet, "cycle_time") > 0.0
    with pytest.raises(ValueError, match="time to 4 % moisture"):
        known(wet, "time_to_4pct")


def test_a_glow_without_a_flame_is_no_light() -> None:
    """The flame sensor stuck closed: the igniter glows on, the gas never opens."""
    scenario = load_scenario("standard", ["controls.time_limit=10 min"], ["flame_sensor_stuck_closed"])
    found = CycleReadings(simulate(scenario))
    assert found["first_light"] is None and known(found, "longest_glow") == pytest.approx(600.0)
    assert found["burner_on_mean"] is None and found["burner_off_mean"] is None
    assert found["ended"] == 0.0 and known(found, "ignition_tries") == 1.0


def test_flow_and_static_are_those_of_the_sampled_course(cycle: Cycles) -> None:
    """A healthy machine's flow and static hardly move in bulk drying: any moment of it is near the median."""
    found, moment = CycleReadings(cycle()), cycle().sample([600.0])
    assert known(found, "exhaust_flow") == pytest.approx(moment["exhaust_flow_m3_per_s"][0], rel=0.02)
    assert known(found, "vent_static") == pytest.approx(moment["vent_static_Pa"][0], rel=0.03)
    assert known(found, "exhaust_temp_bulk") == pytest.approx(moment["exhaust_temp_K"][0], abs=5.0)
