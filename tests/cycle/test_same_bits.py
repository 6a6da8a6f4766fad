"""The interpreted and the compiled engine give the same bits: it makes no difference which one ran."""

from __future__ import annotations

import ast
from typing import Any

import numpy as np
import pytest

from dryermodel.cycle.engine.parameters import Parameters
from dryermodel.cycle.result import CycleResult
from dryermodel.cycle.run import simulate
from dryermodel.cycle.run.reach import reachable
from dryermodel.cycle.run.rows import run_rows
from dryermodel.cycle.run.simulate import Run, compiled, interpreted, run_cycle
from dryermodel.cycle.run.translation.sources import tree_of
from dryermodel.machine.circuit import DOOR_CLOSED, DOOR_OPENED, START_PRESSED
from dryermodel.scenario.faults import apply_faults, catalogue
from dryermodel.scenario.files import shipped_scenarios
from dryermodel.scenario.model import load_scenario
from dryermodel.studies.uncertainty.spread import draw
from dryermodel.studies.uncertainty.uncertain import uncertain_of

NOTHING = ()
PLAN = ((600.0, DOOR_OPENED), (660.0, DOOR_CLOSED), (670.0, START_PRESSED))


def bits(run: Run) -> list[bytes]:
    """Everything that a run leaves behind."""
    used = int(run.tape.used[0])
    numbers = np.array([getattr(run.outcome, name) for name in run.outcome.__slots__], dtype=np.float64)
    kept = run.workspace.y, run.workspace.s, numbers, *(column[:used] for column in run.tape[:5])
    return [np.ascontiguousarray(part).tobytes() for part in kept]


def check(p: Parameters, plan: tuple[tuple[float, int], ...] = NOTHING) -> None:
    when = np.array([t for t, _ in plan], dtype=np.float64)
    what = np.array([code for _, code in plan], dtype=np.int64)
    mine = interpreted(p, when, what, 100_000)
    assert mine is not None
    assert bits(mine) == bits(compiled(p, when, what))


@pytest.mark.parametrize("name", shipped_scenarios())
def test_shipped_scenarios(name: str) -> None:
    check(load_scenario(name).to_parameters())


def test_interrupted(standard_parameters: Parameters) -> None:
    check(standard_parameters, PLAN)


@pytest.mark.parametrize("key", list(catalogue()))
def test_every_fault(standard_parameters: Parameters, key: str) -> None:
    coarse = standard_parameters._replace(time_limit=3600.0, rel_tolerance=1e-4)
    check(apply_faults(coarse, {key: 1.0}))


@pytest.mark.parametrize("name", ["standard", "electric"])
def test_random_machines(name: str) -> None:
    scenario = load_scenario(name)
    for p in draw(scenario, 16, seed=5, uncertain=uncertain_of(scenario)).parameters:
        check(p._replace(rel_tolerance=1e-4))


class Handed:
    """Counts what is handed over to the compiled engine."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch, at_hand: bool) -> None:
        self.over = 0
        self.tried: list[int] = []
        monkeypatch.setattr(simulate, "compiled", self.compiled)
        monkeypatch.setattr(simulate, "interpreted", self.interpreted)
        monkeypatch.setattr(simulate, "at_hand", lambda: at_hand)

    def compiled(self, *arguments: Any) -> Run:
        self.over += 1
        return compiled(*arguments)

    def interpreted(self, p: Parameters, when: Any, what: Any, most: int) -> Run | None:
        self.tried.append(most)
        return interpreted(p, when, what, most)


@pytest.mark.parametrize(
    ("long", "very_long", "at_hand", "tried", "over"),
    [
        (4096, 32_768, True, [4096], 0),
        (50, 4096, True, [50], 1),
        (50, 4096, False, [50, 4096], 0),
        (50, 100, False, [50, 100], 1),
    ],
    ids=["ordinary", "long", "long, none at hand", "very long, none at hand"],
)
def test_a_long_run_is_handed_over_and_nobody_can_tell(
    standard_result: CycleResult,
    monkeypatch: pytest.MonkeyPatch,
    long: int,
    very_long: int,
    at_hand: bool,
    tried: list[int],
    over: int,
) -> None:
    monkeypatch.setattr(simulate, "LONG", long)
    monkeypatch.setattr(simulate, "VERY_LONG", very_long)
    handed = Handed(monkeypatch, at_hand)
    mine = run_cycle(standard_result.parameters)
    assert (handed.tried, handed.over) == (tried, over)
    assert repr(mine.outcome) == repr(standard_result.outcome)
    for column in ("time", "state", "rate", "discrete", "cause"):
        one, other = (getattr(r.trajectory, column) for r in (mine, standard_result))
        assert one.tobytes() == other.tobytes()
        assert one.dtype == other.dtype


def test_whole_powers_are_products() -> None:
    """``x ** 2`` is a library's power when interpreted and a product when compiled: not always the same."""
    for function in reachable(run_rows):
        for node in ast.walk(tree_of(function)):
            if isinstance(node, ast.BinOp) and isinstance(node.op, ast.Pow):
                exponent = getattr(node.right, "value", 0.1)
                assert isinstance(exponent, float) and exponent % 0.5, (
                    f"{function.__module__}.{function.__name__}:{node.lineno}"
                )
