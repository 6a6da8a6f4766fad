"""The recording grows with the run: nothing is computed twice, nothing is lost, nothing is moved."""

from __future__ import annotations

import numpy as np
import pytest

from dryermodel.cycle.engine import loop, pair
from dryermodel.cycle.engine.parameters import Parameters
from dryermodel.cycle.engine.state import (
    N_STATES,
)
from dryermodel.cycle.engine.switching import N_DISCRETE
from dryermodel.cycle.engine.tally import UNLIMITED, is_full, longer_tape, may_grow, new_tape, record
from dryermodel.cycle.result import CycleResult
from dryermodel.cycle.run import simulate
from dryermodel.cycle.run.many import as_rows, run_block
from dryermodel.cycle.run.simulate import run_cycle

NO_TIMES, NO_CODES = np.zeros(0, dtype=np.float64), np.zeros(0, dtype=np.int64)


@pytest.mark.parametrize("rows", [1, 7, 64])
def test_a_tape_that_grows_holds_the_same_recording(
    standard_result: CycleResult, monkeypatch: pytest.MonkeyPatch, rows: int
) -> None:
    monkeypatch.setattr(simulate, "LONG", rows)
    grown = simulate.interpreted(standard_result.parameters, NO_TIMES, NO_CODES, UNLIMITED)
    assert grown is not None
    for column in ("time", "state", "rate", "discrete", "cause"):
        mine, usual = getattr(grown.tape, column), getattr(standard_result.trajectory, column)
        assert mine[: len(usual)].tobytes() == usual.tobytes(), column
    assert grown.tape.used[0] == len(standard_result.trajectory.time)
    assert repr(grown.outcome) == repr(standard_result.outcome)


def test_a_long_run_is_computed_once(
    standard_parameters: Parameters, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As many steps are taken as the run counts, however often the tape grew."""
    taken = 0
    usual = pair.step

    def counting(*arguments: object) -> float:
        nonlocal taken
        taken += 1
        return usual(*arguments)  # type: ignore[arg-type]

    monkeypatch.setattr(simulate, "LONG", 2)
    monkeypatch.setattr(loop, "step", counting)
    coarse = standard_parameters._replace(rel_tolerance=1e-3)
    result = simulate.interpreted(coarse, NO_TIMES, NO_CODES, UNLIMITED)
    assert result is not None
    assert taken == result.outcome.steps + result.outcome.rejected_steps > 50


@pytest.mark.parametrize("start", [5, 4096])
def test_a_tape_of_just_enough_rows_is_enough_and_one_row_less_is_not(
    standard_result: CycleResult, monkeypatch: pytest.MonkeyPatch, start: int
) -> None:
    monkeypatch.setattr(simulate, "LONG", start)
    p, needed = standard_result.parameters, len(standard_result.trajectory.time)
    assert simulate.interpreted(p, NO_TIMES, NO_CODES, needed) is not None
    assert simulate.interpreted(p, NO_TIMES, NO_CODES, needed - 1) is None


def test_growth_copies_every_column_and_doubles_the_room() -> None:
    tape = new_tape(2)
    s, y = np.arange(N_DISCRETE, dtype=np.int64), 0.5 + np.arange(N_STATES, dtype=np.float64)
    for row in range(2):
        assert not is_full(tape)
        record(tape, 10.0 + row, y + row, -y * row, s + row, 5 - row)
    assert is_full(tape)
    assert is_full(longer_tape(tape), 3) and not is_full(longer_tape(tape), 2)
    longer = longer_tape(tape)
    assert len(longer.time) == 4
    assert longer.most[0] == UNLIMITED
    assert longer.used[0] == 2
    for mine, before in zip(longer[:5], tape[:5], strict=True):
        assert (mine[:2] == before).all()
        assert (mine[2:] == 0).all()


def test_a_tape_grows_to_its_limit_and_no_further() -> None:
    tape = new_tape(2, 3)
    assert may_grow(tape)
    longer = longer_tape(tape)
    assert len(longer.time) == 3
    assert not may_grow(longer)


def test_no_rows_no_recording(standard_parameters: Parameters) -> None:
    tape = new_tape(0)
    y = np.zeros(N_STATES)
    record(tape, 0.0, y, y, np.zeros(N_DISCRETE, dtype=np.int64), 0)
    assert not is_full(tape)
    assert tape.used[0] == 0
    nothing = np.zeros(0)
    out = run_block(as_rows([standard_parameters]), nothing, nothing.astype(np.int64), abreast=False)
    assert out["cycle_time_s"][0] == run_cycle(standard_parameters).cycle_time
