"""The engine in JavaScript gives what the compiled one gives, on any machine."""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Any

import numpy as np
import pytest

from dryermodel.cycle.engine.outcome import OUTCOMES
from dryermodel.cycle.engine.parameters import Parameters
from dryermodel.cycle.result import Trajectory
from dryermodel.cycle.run.javascript import engine_javascript
from dryermodel.cycle.run.many import simulate_many
from dryermodel.cycle.run.simulate import run_cycle
from dryermodel.machine.circuit import DOOR_CLOSED, DOOR_OPENED, START_PRESSED
from dryermodel.scenario.faults import apply_faults, catalogue
from dryermodel.scenario.files import shipped_scenarios
from dryermodel.scenario.model import load_scenario
from dryermodel.studies.uncertainty.spread import draw
from dryermodel.studies.uncertainty.uncertain import uncertain_of
from tests.cycle.node import needs_node, run_node

AGREEMENT = 1e-9
LOOSER = {
    "balance_water": (0.0, AGREEMENT),  # what is left of sums that cancel
    "balance_energy": (0.0, AGREEMENT),
    # Where next to nothing evaporates, half way comes at no sharp moment: 1.4e-9 seen.
    "mid_drying_exhaust_temp_K": (1e-8, 0.0),
    # A threshold met exactly at a step's end, or at the next one's start.
    "evaluations": (0.02, 0.0),
    "steps": (0.02, 1.0),
    "rejected_steps": (0.02, 1.0),
}
PLAN = ((600.0, DOOR_OPENED), (660.0, DOOR_CLOSED), (670.0, START_PRESSED))
MACHINES = ("standard", "electric")
DRAWS = 64

_TELL = """
const given = JSON.parse(require("fs").readFileSync(0, "utf8"));
const tell = (x) => (Number.isNaN(x) ? "nan" : x);
const told = given.map(([p, plan]) => dryerEngine.CALL(p, plan));
console.log(JSON.stringify(told, (key, x) => (ArrayBuffer.isView(x) ? Array.from(x) : tell(x))));
"""


def in_node(cases: Sequence[tuple[Parameters, Any]], call: str = "runCycle") -> list[dict[str, Any]]:
    """Run every case in one Node process."""
    given = json.dumps([[p._asdict(), plan] for p, plan in cases])
    found: list[dict[str, Any]] = json.loads(
        run_node(engine_javascript() + _TELL.replace("CALL", call), given)
    )
    return found


def check(machines: Sequence[Parameters], plan: tuple[tuple[float, int], ...] = ()) -> None:
    """Every outcome of every machine agrees with the compiled engine's, relative to its size."""
    rows = simulate_many(machines, interruptions=plan)
    for row, told in zip(rows, in_node([(p, plan) for p in machines]), strict=True):
        assert tuple(told) == OUTCOMES
        for name in OUTCOMES:
            rel, floor = LOOSER.get(name, (AGREEMENT, 0.0))
            assert float(told[name]) == pytest.approx(row[name], rel=rel, abs=floor, nan_ok=True), name


@needs_node
@pytest.mark.parametrize("name", MACHINES)
def test_random_machines(name: str) -> None:
    """Machines from the whole of every uncertain value's range, 64 around each of two scenarios."""
    scenario = load_scenario(name)
    drawn = draw(scenario, DRAWS, seed=11, uncertain=uncertain_of(scenario))
    check(list(drawn.parameters))


@needs_node
def test_shipped_scenarios_as_they_are_and_interrupted() -> None:
    machines = [load_scenario(name).to_parameters() for name in shipped_scenarios()]
    check(machines)
    check(machines, PLAN)


@needs_node
def test_every_fault(standard_parameters: Parameters) -> None:
    coarse = standard_parameters._replace(time_limit=5400.0, rel_tolerance=1e-4)
    check([apply_faults(coarse, {key: 1.0}) for key in catalogue()])


@needs_node
def test_recording(standard_parameters: Parameters) -> None:
    """The interpreted run's recording, which is longer than the one the script starts with: every
    switching, and the state at every moment. Steps may differ by a threshold met at a step's very end."""
    p = standard_parameters._replace(rel_tolerance=1e-5)
    told = in_node([(p, PLAN)], "recordCycle")[0]["recording"]
    usual = run_cycle(p, PLAN).trajectory
    assert len(usual.time) > 256
    mine = Trajectory(*(np.array(told[name]) for name in ("time", "state", "rate", "discrete", "cause")))
    assert len(mine.time) == pytest.approx(len(usual.time), abs=10)
    here, there = mine.cause >= 0, usual.cause >= 0
    for column in ("time", "state", "rate", "discrete", "cause"):
        one, other = getattr(mine, column)[here], getattr(usual, column)[there]
        assert one.shape == other.shape
        scale = 1.0 + np.abs(other).max(axis=0)
        assert (np.abs(one - other) / scale).max() < AGREEMENT, column
    scale = 1.0 + np.abs(usual.state).max(axis=0)
    for t in np.linspace(0.0, float(usual.time[-1]), 300):
        assert (np.abs(mine.at(float(t)) - usual.at(float(t))) / scale).max() < AGREEMENT


@needs_node
@pytest.mark.parametrize(
    ("change", "said"),
    [("delete p.cut_out", "cut_out is missing"), ("p.cutout = 1", "cutout is not known")],
)
def test_a_wrong_name_is_told(standard_parameters: Parameters, change: str, said: str) -> None:
    program = f"""
    const p = {json.dumps(standard_parameters._asdict())};
    {change};
    try {{ dryerEngine.runCycle(p); }} catch (error) {{ console.log(error.message); }}
    """
    assert said in run_node(engine_javascript() + program)


@needs_node
def test_names_for_those_who_use_it() -> None:
    program = "console.log(JSON.stringify([dryerEngine.PARAMETERS, dryerEngine.OUTCOMES]))"
    assert json.loads(run_node(engine_javascript() + program)) == [list(Parameters._fields), list(OUTCOMES)]


@needs_node
def test_interruptions_in_any_order(standard_parameters: Parameters) -> None:
    forwards, backwards = in_node([(standard_parameters, PLAN), (standard_parameters, PLAN[::-1])])
    assert forwards == backwards


def test_one_plain_file_of_modest_size() -> None:
    """Less than 150 kB, ASCII, safe inside a page's script element, the same bytes every time."""
    text = engine_javascript()
    assert len(text) < 150_000
    assert text.isascii()
    assert "</" not in text
    assert "<!--" not in text
    assert text == engine_javascript()
    for word in ("import ", "export ", "require("):
        assert word not in text
