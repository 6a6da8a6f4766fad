"""The lesson computes as the program does: parameters, circuit at every row, answers of the questions."""

from __future__ import annotations

import math
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from dryermodel.cycle.engine import switching as S
from dryermodel.cycle.result import CycleResult
from dryermodel.cycle.run.simulate import run_cycle
from dryermodel.machine.circuit import energise, voltages
from dryermodel.machine.currents import currents
from tests.cycle.node import needs_node
from tests.show.pages.lesson_node import CAME, FAMILY, as_scenario, in_lesson, lesson_data

pytestmark = needs_node

BLOCKED = {"vent_blockage": 0.75}
OWN: dict[str, dict[str, Any]] = {
    "as it came": CAME,
    "another load and room": {
        **CAME,
        "values": {
            "load.dry_mass": 5.0,
            "load.initial_moisture": 0.8,
            "room.temperature": 283.15,
            "room.relative_humidity": 0.7,
        },
    },
    "vent, gasket, burner": {
        **CAME,
        "values": {"vent_blockage": 0.6, "outlet_gasket_leak": 1.5e-3, "weak_burner": 0.8},
    },
    "cut-out alone": {**CAME, "values": {"machine.exhaust_cut_out": 345.0}},
    "cut-in and dial": {
        **CAME,
        "values": {"machine.exhaust_cut_in": 328.0, "controls.dial_heat": 720.0},
    },
    "mixed load, drier": {"values": {"load.initial_moisture": 0.4}, "mix": FAMILY, "wiring": "thermostat"},
    "four kinds": {**CAME, "mix": {"towels": 5, "jeans": 10, "comforter": 20, "bath mat": 5}},
    "whole chain": {**CAME, "wiring": "chain"},
    "straight on the line": {**CAME, "wiring": "line"},
    "straight, its dial as it came": {**CAME, "values": {"controls.dial_heat": 480.0}, "wiring": "line"},
}

_SET = """
const answer = given.question.map((own) => ({ p: setup.parameters(own), text: setup.scenario(own) }));
"""


@pytest.mark.parametrize("machine", ["standard", "towels_and_jeans", "propane_altitude"])
def test_what_is_set_is_what_the_command_line_reads(machine: str, tmp_path: Path) -> None:
    """Every parameter of the page is that of the scenario file which the page writes."""
    for name, told in zip(OWN, in_lesson(_SET, list(OWN.values()), machine), strict=True):
        usual = as_scenario(told["text"], tmp_path).to_parameters()
        assert set(told["p"]) == set(usual._fields)
        for field, value in usual._asdict().items():
            close = pytest.approx(np.asarray(value), rel=1e-8, abs=1e-300)
            assert np.asarray(told["p"][field]) == close, (name, field)


_STRETCHES = """
const { places } = given.data;
const [cycle] = dryerWork("lessons", [{ parameters: setup.parameters(given.question), places, points: 20 }]);
const answer = { ...cycle, p: cycle.parameters };
"""


CIRCUITS: dict[str, tuple[str, dict[str, Any]]] = {
    "mixed load": ("standard", {**CAME, "mix": FAMILY}),
    "blocked, thermostat": ("standard", {**CAME, "values": BLOCKED}),
    "blocked, whole chain": ("standard", {**CAME, "values": BLOCKED, "wiring": "chain"}),
    "straight": ("standard", {**CAME, "wiring": "line"}),
    "propane": ("propane_altitude", CAME),
}


@pytest.mark.parametrize(("machine", "own"), CIRCUITS.values(), ids=CIRCUITS.keys())
def test_circuit_at_every_row_of_the_recording(machine: str, own: dict[str, Any], tmp_path: Path) -> None:
    """Contacts, loads, volts and amperes of the page's stretch are the program's for each row it covers."""
    (told,) = in_lesson(_SET, [own], machine)
    shown = in_lesson(_STRETCHES, own, machine)
    result = run_cycle(as_scenario(told["text"], tmp_path).to_parameters())
    assert shown["end"] == pytest.approx(result.cycle_time, rel=1e-6)
    p, tape, k = result.parameters, result.trajectory, S.circuit(result.parameters)
    seen = {row: find(shown["stretches"], float(tape.time[row])) for row in last_rows(tape.time)}
    assert len({id(stretch) for stretch in seen.values()}) == len(shown["stretches"])
    for row, stretch in seen.items():
        c = S.contacts(tape.discrete[row], p)
        assert stretch["contacts"] == {**c._asdict()}, row
        for name, usual in (("loads", energise(c, k)), ("volts", voltages(c, k)), ("amps", currents(c, k))):
            values = usual._asdict()
            assert stretch[name] == pytest.approx(values, rel=1e-6, abs=1e-12), (row, name)


def last_rows(time: np.ndarray[Any, np.dtype[np.float64]]) -> list[int]:
    """Rows after which time goes on: of several at one instant the last."""
    return [i for i in range(len(time)) if i + 1 == len(time) or time[i + 1] > time[i]]


def find(stretches: list[dict[str, Any]], t: float) -> dict[str, Any]:
    """The stretch of the page that covers a time; times of both differ by rounding."""
    return [one for one in stretches if one["from"] <= t * (1.0 + 1e-7) + 1e-9][-1]


# questions ---------------------------------------------------------------------------------------

_JUDGED = """
const run = (own) => ({ parameters: setup.parameters(own), places: given.data.places, points: 2 });
const base = given.question;
const merged = (one) => ({
  values: { ...base.values, ...one.values }, mix: one.mix ?? base.mix, wiring: one.wiring ?? base.wiring,
});
const answer = given.data.questions.map((entry) => {
  const own = entry.runs.map(merged);
  const cycles = dryerWork("lessons", own.map(run));
  const [which, what] = entry.look;
  const at = measures.moment(cycles[which], what);
  const ends = cycles.map(({ end }) => end);
  return { id: entry.id, ...measures.judged(entry, cycles), at, ends, texts: own.map(setup.scenario) };
});
"""


def moved(r: CycleResult) -> float:
    """When the timer motor first turns [s], infinite if it never does."""
    spells = r.trajectory.intervals(S.TIMER_MOTOR, r.cycle_time)
    return spells[0][0] if spells else math.inf


def first_move(one: CycleResult) -> str:
    if math.isinf(moved(one)):
        return "never"
    return "cutOut" if one.first_cut_out and abs(moved(one) - one.first_cut_out) < 1.0 else "other"


def lit_volts(one: CycleResult) -> str:
    burning = np.flatnonzero(one.trajectory.discrete[:, S.FLAME])[0]
    c = S.contacts(one.trajectory.discrete[burning], one.parameters)
    share = voltages(c, S.circuit(one.parameters)).timer / one.parameters.line_voltage
    return "none" if share < 0.1 else "all" if share > 0.9 else "half"


def wetter(one: CycleResult, two: CycleResult) -> str:
    assert two.outcome.timer_time_s == pytest.approx(one.outcome.timer_time_s, abs=1.0)
    return "later" if moved(two) > moved(one) + 60.0 else "same"


def limited(_: CycleResult, two: CycleResult) -> str:
    tape = two.trajectory
    steps = np.diff(tape.time, append=tape.time[-1])
    open_limit = tape.discrete[:, S.HIGH_LIMIT] == 0
    closed = tape.discrete[:, S.EXHAUST_THERMOSTAT] == 1
    meanwhile = steps[open_limit & closed & (tape.discrete[:, S.TIMER_MOTOR] == 1)].sum()
    return "none" if not open_limit.any() else "runs" if meanwhile > 1.0 else "still"


def dryness(one: CycleResult, two: CycleResult) -> str:
    difference = two.final_moisture - one.final_moisture
    return "wetter" if difference > 0.02 else "drier" if difference < -0.02 else "same"


def overdried(one: CycleResult, two: CycleResult) -> str:
    if two.final_moisture > one.final_moisture + 0.02:
        return "under"
    return "over" if two.outcome.load_temp_max_K > one.outcome.load_temp_max_K + 5.0 else "same"


def pieces(one: CycleResult) -> str:
    held = max(piece.moisture_at_first_cut_out or 0.0 for piece in one.pieces)
    return "wet" if held > 0.2 else "dry" if held < 0.05 else "damp"


def wettest(one: CycleResult, two: CycleResult) -> str:
    difference = two.outcome.wettest_final_moisture - one.outcome.wettest_final_moisture
    return "damper" if difference > 0.01 else "drier" if difference < -0.01 else "same"


def ends(one: CycleResult, two: CycleResult) -> str:
    return "never" if math.isinf(moved(two)) else "slower" if two.cycle_time > one.cycle_time else "sooner"


def left(one: CycleResult) -> str:
    return "wet" if one.final_moisture > 0.1 else "dry" if one.final_moisture < 0.02 else "good"


AGAIN: dict[str, Callable[..., str]] = {
    "firstMove": first_move, "volts": lit_volts, "wetter": wetter, "limited": limited, "dryness": dryness,
    "overdried": overdried, "pieces": pieces, "wettest": wettest, "ends": ends, "left": left,
}  # fmt: skip


@pytest.fixture(scope="module")
def judged() -> list[dict[str, Any]]:
    """Every question asked of the machine as it came."""
    told: list[dict[str, Any]] = in_lesson(_JUDGED, CAME)
    return told


def test_every_answer_is_what_the_program_computes(judged: list[dict[str, Any]], tmp_path: Path) -> None:
    """Worked out a second time, in Python, from the scenario files of the question's runs."""
    entries = lesson_data()["questions"]
    done: dict[str, CycleResult] = {}
    assert len(judged) == len(entries) >= 8
    for entry, told in zip(entries, judged, strict=True):
        for text in told["texts"]:
            if text not in done:
                done[text] = run_cycle(as_scenario(text, tmp_path).to_parameters())
        runs = [done[text] for text in told["texts"]]
        assert told["outcome"] == AGAIN[entry["measure"]](*runs), entry["id"]
        assert told["outcome"] in dict(entry["choices"]), entry["id"]
        assert told["ends"] == pytest.approx([run.cycle_time for run in runs], rel=1e-6)
        assert 0.0 <= told["at"] <= told["ends"][entry["look"][0]]


def test_explanations_quote_numbers_and_leave_no_gap(judged: list[dict[str, Any]]) -> None:
    for told in judged:
        assert "{" not in told["text"], told["id"]
        assert any(letter.isdigit() for letter in told["text"]), told["id"]


def test_answers_follow_the_machine_and_not_the_page() -> None:
    """Other settings, other answers: wet shirts alone, a dial long enough for timed drying."""
    own = {**CAME, "values": {"weak_burner": 0.45, "controls.dial_heat": 2400.0}}
    told = {one["id"]: one["outcome"] for one in in_lesson(_JUDGED, own)}
    assert told["first-move"] == "never"
    assert told["wetter"] == "other"
    shirts = {one["id"]: one["outcome"] for one in in_lesson(_JUDGED, {**CAME, "mix": {"test cloth": 1}})}
    assert (shirts["damp"], shirts["first-move"]) == ("wet", "cutOut")


_EVERY_GAP = """
const run = (own) => ({ parameters: setup.parameters(own), places: given.data.places, points: 2 });
const cycles = dryerWork("lessons", [given.question, { ...given.question, wiring: "chain" }].map(run));
const answer = given.data.questions.flatMap((entry) => Object.keys(entry.why).map((outcome) => {
  const all = { ...entry.why };
  for (const key of Object.keys(all)) all[key] = entry.why[outcome];
  return measures.judged({ ...entry, why: all }, cycles).text;
}));
"""


def test_no_explanation_asks_for_a_number_that_is_not_there() -> None:
    told = in_lesson(_EVERY_GAP, {**CAME, "values": BLOCKED})
    assert len(told) > 30
    assert [text for text in told if "{" in text] == []
