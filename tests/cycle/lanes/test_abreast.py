"""Machines abreast do what machines one after another do, whoever their neighbours are."""

from __future__ import annotations

import inspect
from collections.abc import Sequence
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from dryermodel.cycle.engine.outcome import OUTCOMES
from dryermodel.cycle.engine.parameters import Parameters
from dryermodel.cycle.run import many
from dryermodel.cycle.run.lanes import engine
from dryermodel.cycle.run.lanes.values import WIDTH
from dryermodel.cycle.run.many import as_rows, run_block, simulate_many
from dryermodel.machine.circuit import DOOR_CLOSED, DOOR_OPENED, POWER_BACK, POWER_CUT, START_PRESSED
from dryermodel.scenario.faults import apply_faults, catalogue
from dryermodel.scenario.files import shipped_scenarios
from dryermodel.scenario.model import load_scenario
from dryermodel.studies.uncertainty.spread import draw
from dryermodel.studies.uncertainty.uncertain import uncertain_of

COUNTS = ("end_code", "burner_cycles", "high_limit_trips", "ignition_tries", "cut_outs", "heat_on_count")
"""Equal in both."""

APART = 1e-6
"""How far readings may be apart, relative to their size or to 1e-3: rounding, carried through the cycle."""

UNCOUNTED = ("evaluations", "steps", "rejected_steps", "balance_water", "balance_energy")

Rows = NDArray[np.void]


def run(rows: Rows, plan: Sequence[tuple[float, int]] = (), abreast: bool = True) -> Rows:
    return run_block(rows, *many.in_order(plan), abreast=abreast)


def assert_alike(rows: Rows, plan: Sequence[tuple[float, int]] = ()) -> None:
    """Both engines end alike, count alike, read alike and close their balances."""
    one, other = run(rows, plan, abreast=False), run(rows, plan)
    for name in COUNTS:
        assert np.array_equal(one[name], other[name]), name
    for name in OUTCOMES:
        if name in UNCOUNTED:
            continue
        a, b = one[name], other[name]
        assert np.array_equal(np.isnan(a), np.isnan(b)), name
        assert np.nanmax(np.abs(a - b) / np.maximum(np.abs(a), 1e-3), initial=0.0) < APART, name
    for name in ("balance_water", "balance_energy"):
        assert np.abs(other[name]).max() < 1e-6, name


@pytest.fixture(scope="module")
def shipped() -> list[Parameters]:
    return [load_scenario(name).to_parameters() for name in shipped_scenarios()]


@pytest.fixture(scope="module")
def spread() -> Rows:
    """Unlike machines with three kinds of cloth."""
    scenario = load_scenario("family_load")
    return as_rows(draw(scenario, 60, seed=4, uncertain=uncertain_of(scenario)).parameters)


def test_every_scenario(shipped: list[Parameters]) -> None:
    assert_alike(as_rows(shipped))


def test_every_fault(shipped: list[Parameters]) -> None:
    base = shipped[shipped_scenarios().index("standard")]
    shares = {key: (0.3, 1.0) if fault.graded else (1.0,) for key, fault in catalogue().items()}
    faulty = [apply_faults(base, {key: share}) for key in shares for share in shares[key]]
    assert_alike(as_rows(p._replace(time_limit=min(p.time_limit, 5400.0)) for p in faulty))


def test_the_whole_of_every_uncertain_value(spread: Rows) -> None:
    assert_alike(spread)


def test_what_happens_from_outside(shipped: list[Parameters]) -> None:
    plan = (
        (300.0, DOOR_OPENED),
        (330.0, DOOR_CLOSED),
        (360.0, START_PRESSED),
        (900.0, POWER_CUT),
        (960.0, POWER_BACK),
        (970.0, START_PRESSED),
    )
    assert_alike(as_rows(shipped), plan)


def test_every_kind_of_program_and_end(shipped: list[Parameters]) -> None:
    p = shipped[0]
    assert_alike(
        as_rows(
            [
                p._replace(program=1.0),
                p._replace(program=2.0),
                p._replace(low_heat=1.0),
                p._replace(stop_moisture=0.1),
                p._replace(scorch_temp=330.0),
                p._replace(timer_works=0.0, time_limit=3000.0),
                p._replace(cutoff_intact=0.0),
                p._replace(motor_stop_time=700.0),
                p._replace(sensor_stuck=1.0, time_limit=3000.0),
                p._replace(sensor_stuck=2.0, time_limit=3000.0),
                p._replace(joint_area=2e-3, room_volume=6.0),
                p._replace(vent_back_pressure=-5.0, joint_area=1e-3),
                p._replace(vent_back_pressure=1e4),
                p._replace(fan_speed=0.0, time_limit=2000.0),
                p._replace(tumbling=0.0, time_limit=4000.0),
                p._replace(time_limit=1.0),
            ]
        )
    )


@pytest.mark.parametrize("count", [0, 1, WIDTH - 1, WIDTH, WIDTH + 1])
def test_any_number_of_machines(spread: Rows, count: int) -> None:
    out = run(spread[:count])
    assert len(out) == count
    assert out.tobytes() == run(spread)[:count].tobytes()


def test_a_result_does_not_depend_on_its_neighbours(spread: Rows) -> None:
    whole = run(spread)
    mixed = np.random.default_rng(1).permutation(len(spread))
    assert run(spread[mixed]).tobytes() == whole[mixed].tobytes()
    for i in range(0, len(spread), 7):
        assert run(spread[i : i + 1]).tobytes() == whole[i : i + 1].tobytes()


IMPOSSIBLE = [
    *((name, np.nan) for name in ("dry_mass", "fan_dead_head", "transfer_base", "cut_out", "room_temp")),
    ("firing_rate", 1e7),
    ("fan_dead_head", 0.0),
    ("dry_mass", 1e4),
    ("exhaust_lag", 1e12),
]


@pytest.mark.parametrize(("name", "value"), IMPOSSIBLE)
def test_an_impossible_machine_harms_no_other(spread: Rows, name: str, value: float) -> None:
    rows = spread[:12].copy()
    rows["time_limit"] = 1500.0
    good = run(rows)
    rows[name][3] = value
    found, kept = run(rows), np.arange(len(rows)) != 3
    assert found[kept].tobytes() == good[kept].tobytes()


def test_the_same_bytes_on_one_core_and_on_two(spread: Rows, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(many, "BLOCK", 11)
    one, two = simulate_many(spread, workers=1), simulate_many(spread, workers=2)
    assert one.tobytes() == two.tobytes() == run(spread).tobytes()


def test_an_ordinary_processor_runs_them_one_by_one(spread: Rows, monkeypatch: pytest.MonkeyPatch) -> None:
    rows = spread[:5]
    assert simulate_many(rows).tobytes() == run(rows, abreast=engine.is_worthwhile()).tobytes()
    monkeypatch.setattr(engine, "is_worthwhile", lambda: False)
    assert simulate_many(rows).tobytes() == run(rows, abreast=False).tobytes()
    assert run(rows, abreast=False).tobytes() != run(rows).tobytes()  # rounded otherwise: told apart


@pytest.mark.parametrize(
    ("features", "worthwhile"),
    [
        ({"avx2": True, "fma": True}, True),
        ({"avx2": True, "fma": False}, False),
        ({"avx2": False, "fma": True}, False),
        ({"neon": True}, False),
    ],
)
def test_what_a_processor_must_have(
    features: dict[str, bool], worthwhile: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("llvmlite.binding.get_host_cpu_features", lambda: features)
    assert engine.is_worthwhile.__wrapped__() == worthwhile


def test_the_name_of_the_machine_code_follows_its_source(monkeypatch: pytest.MonkeyPatch) -> None:
    rows, out = np.zeros(0, many.PARAMETER_ROW), many.blank_outcomes(0)
    before = engine.twinned(rows, out).more
    assert engine.twinned(rows, out).more == before
    real: Any = inspect.getsource
    monkeypatch.setattr("inspect.getsource", lambda module: real(module) + "#")
    assert engine.twinned(rows, out).more != before
