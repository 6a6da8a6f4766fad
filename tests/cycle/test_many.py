"""Many cycles on the compiled engine: the same numbers as the interpreted one, in order, anywhere."""

from __future__ import annotations

import subprocess
import sys
from concurrent.futures import Executor, Future, ThreadPoolExecutor
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from dryermodel.cycle.engine.parameters import Parameters
from dryermodel.cycle.run import many
from dryermodel.cycle.run.many import OUTCOME_ROW, as_rows, run_block, simulate_blocks, simulate_many
from dryermodel.cycle.run.simulate import run_cycle
from dryermodel.machine.circuit import DOOR_CLOSED, DOOR_OPENED, START_PRESSED
from dryermodel.scenario.faults import apply_faults, catalogue
from dryermodel.scenario.files import shipped_scenarios
from dryermodel.scenario.model import load_scenario


def same(p: Parameters, row: Any, interruptions: tuple[tuple[float, int], ...] = ()) -> None:
    """Every outcome of a compiled run equals the interpreted run's to 1e-9."""
    r = run_cycle(p, interruptions)
    pairs = {
        "cycle_time_s": r.cycle_time,
        "time_to_marked_s": np.nan if r.time_to_marked is None else r.time_to_marked,
        "final_moisture": r.final_moisture,
        "water_removed_kg": r.water_removed,
        "gas_energy_J": r.gas_energy,
        "electric_energy_J": r.electric_energy,
        "burner_time_s": r.burner_time,
        "timer_time_s": r.timer_time,
        "burner_cycles": r.burner_cycles,
        "high_limit_trips": r.high_limit_trips,
    }
    for name, value in pairs.items():
        assert row[name] == pytest.approx(value, rel=1e-9, abs=1e-9, nan_ok=True), name
    assert abs(row["balance_water"]) < 1e-6
    assert abs(row["balance_energy"]) < 1e-6


@pytest.mark.parametrize("name", shipped_scenarios())
def test_compiled_equals_interpreted(name: str) -> None:
    p = load_scenario(name).to_parameters()
    same(p, simulate_many([p])[0])


@pytest.mark.parametrize("key", list(catalogue()))
def test_compiled_equals_interpreted_with_every_fault(key: str, standard_parameters: Parameters) -> None:
    p = apply_faults(standard_parameters, {key: 1.0})._replace(time_limit=3600.0, rel_tolerance=1e-4)
    same(p, simulate_many([p])[0])


def test_interruptions_apply_to_every_cycle(standard_parameters: Parameters) -> None:
    plan = ((600.0, DOOR_OPENED), (660.0, DOOR_CLOSED), (670.0, START_PRESSED))
    out = simulate_many([standard_parameters] * 2, interruptions=plan)
    same(standard_parameters, out[1], plan)
    assert out[0].tobytes() == out[1].tobytes()


def test_order_is_kept_over_many_blocks(
    standard_parameters: Parameters, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(many, "BLOCK", 3)
    coarse = standard_parameters._replace(rel_tolerance=1e-3)
    loads = [coarse._replace(piece_moisture=(0.3 + 0.02 * i, 0.0, 0.0, 0.0)) for i in range(20)]
    for workers in (1, 2):
        out = simulate_many(iter(loads), workers=workers)
        assert (np.diff(out["time_to_marked_s"]) > 0.0).all()
        assert out.tobytes() == simulate_many(as_rows(loads), workers=workers).tobytes()


def test_any_executor_serves_and_is_left_running(standard_parameters: Parameters) -> None:
    class Counting(Executor):
        def __init__(self) -> None:
            self.blocks = 0

        def submit(self, fn: Any, /, *args: Any, **kwargs: Any) -> Future[Any]:
            self.blocks += 1
            done: Future[Any] = Future()
            done.set_result(fn(*args, **kwargs))
            return done

    own = Counting()
    expected = simulate_many([standard_parameters] * 2)
    assert simulate_many([standard_parameters] * 2, executor=own).tobytes() == expected.tobytes()
    assert own.blocks == 1
    with ThreadPoolExecutor(1) as pool:
        assert simulate_many([standard_parameters] * 2, executor=pool).tobytes() == expected.tobytes()
        assert pool.submit(lambda: 1).result() == 1


def test_what_an_executor_is_given_travels() -> None:
    import pickle

    assert pickle.loads(pickle.dumps(run_block)) is run_block


def test_nothing_in_nothing_out() -> None:
    out = simulate_many([])
    assert out.dtype == OUTCOME_ROW
    assert len(out) == 0


def test_blocks_come_one_by_one(standard_parameters: Parameters) -> None:
    drawn = 0

    def endless() -> Any:
        nonlocal drawn
        while True:
            drawn += 1
            yield standard_parameters._replace(time_limit=30.0, rel_tolerance=1e-3)

    blocks = simulate_blocks(endless(), workers=1)
    assert len(next(blocks)) == many.BLOCK
    assert drawn <= 5 * many.BLOCK
    blocks.close()


def test_first_use_says_so_and_the_second_does_not(tmp_path: Path) -> None:
    program = "from dryermodel.cycle.run.many import prepare; prepare()"
    root = Path(__file__).parents[2]
    heard = []
    for _ in range(2):
        done = subprocess.run(
            [sys.executable, "-c", program],
            capture_output=True,
            text=True,
            check=True,
            env={**_environment(), "DRYERMODEL_CACHE": str(tmp_path), "PYTHONPATH": str(root)},
        )
        assert done.stdout == ""
        heard.append(done.stderr)
    assert "compiling the engine" in heard[0]
    assert heard[1] == ""
    assert len(list(tmp_path.iterdir())) == 1


@pytest.mark.parametrize("layout", ["every other row", "read-only"])
def test_rows_of_any_layout_need_no_compilation_of_their_own(
    standard_parameters: Parameters, layout: str
) -> None:
    engine = many.prepare()
    rows = as_rows([standard_parameters._replace(time_limit=60.0)] * 4)
    usual = simulate_many(rows)
    if layout == "every other row":
        rows, usual = rows[::2], usual[::2]
    else:
        rows.flags.writeable = False
    assert simulate_many(rows).tobytes() == usual.tobytes()
    assert len(engine.signatures) == 1


def _environment() -> dict[str, str]:
    import os

    return dict(os.environ)
