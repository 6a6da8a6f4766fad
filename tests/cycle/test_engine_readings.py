"""What the engine reads on the way, column by column, against the recording of the same run."""

from __future__ import annotations

import math
from dataclasses import asdict
from functools import cache
from itertools import pairwise
from typing import Any

import numpy as np
import pytest

from dryermodel.cycle.engine import loop, pair
from dryermodel.cycle.engine import state as Y
from dryermodel.cycle.engine.equations import derivatives
from dryermodel.cycle.engine.outcome import OUTCOMES
from dryermodel.cycle.engine.strokes import KEPT, early_and_late, keep
from dryermodel.cycle.result import CycleResult
from dryermodel.cycle.run.many import simulate_many
from dryermodel.cycle.run.simulate import run_cycle
from dryermodel.machine.circuit import DOOR_CLOSED, DOOR_OPENED, START_PRESSED
from dryermodel.scenario.model import load_scenario
from tests.cycle.cases import parameters
from tests.cycle.derived import Readings

OF_THE_COMPUTATION = ("balance_water", "balance_energy", "evaluations", "steps", "rejected_steps")
BROKEN_GLOW = ((8.0, DOOR_OPENED), (10.0, DOOR_CLOSED), (10.0, START_PRESSED))
QUICK: dict[str, Any] = {"sensor_cool_down": 8.0, "igniter_warm_up": 12.0}

CASES = {
    "standard": (parameters(), ()),
    "long gaps": (
        parameters("machine.exhaust_cut_in=125 degF")._replace(**QUICK, dial_heat=900.0),
        BROKEN_GLOW,
    ),
    "low heat": (parameters("controls.heat=low", "machine.low_heat_in_auto=true")._replace(**QUICK), ()),
    "trips": (parameters("vent.resistance_factor=12")._replace(**QUICK), ()),
    "trips, then cycles": (
        parameters("machine.exhaust_cut_in=125 degF")._replace(
            **QUICK, high_limit_cut_out=355.0, high_limit_cut_in=340.0
        ),
        (),
    ),
    "cut-off blows": (
        parameters()._replace(
            **QUICK,
            high_limit_coupling=0.8,
            thermal_cutoff=365.0,
            high_limit_cut_out=400.0,
            time_limit=5400.0,
        ),
        (),
    ),
    "electric": (parameters("machine.heat=electric")._replace(dial_heat=600.0, motor_power=300.0), ()),
    "unlike pieces": (load_scenario("family_load").to_parameters(), ()),
    "timed, ends hot": (parameters("controls.program=timed")._replace(time_limit=900.0), ()),
    "timed, over an hour": (parameters("controls.program=timed", "controls.timed_length=70 min"), ()),
    "no gas": (parameters()._replace(firing_rate=0.0, time_limit=1800.0), ()),
    "nothing happens": (parameters()._replace(time_limit=10.0), ()),
}


@pytest.fixture
def motor_that_eases(monkeypatch: pytest.MonkeyPatch) -> None:
    """The motor's power falls with the water, so that early and late differ."""

    def eased(y, p, c, d, rate):  # type: ignore[no-untyped-def]
        derivatives(y, p, c, d, rate)
        if d.motor > 0.0:
            rate[Y.ELECTRIC_ENERGY] += 100.0 * float(y[Y.MOISTURE])

    monkeypatch.setattr(loop, "derivatives", eased)
    monkeypatch.setattr(pair, "derivatives", eased)


@cache
def run(case: str) -> CycleResult:
    p, plan = CASES[case]
    return run_cycle(p, plan)


@cache
def derived(case: str) -> dict[str, float]:
    return Readings(run(case)).all()


@pytest.mark.parametrize("case", CASES)
@pytest.mark.usefixtures("motor_that_eases")
def test_every_column_is_what_the_recording_says(case: str) -> None:
    told, found = asdict(run(case).outcome), derived(case)
    assert set(found) == set(OUTCOMES) - set(OF_THE_COMPUTATION)
    for name, value in found.items():
        assert told[name] == pytest.approx(value, rel=1e-9, abs=1e-9, nan_ok=True), name


@pytest.mark.usefixtures("motor_that_eases")
def test_no_column_could_be_taken_for_its_neighbour() -> None:
    """For each pair of neighbours there is a run in which both are numbers and differ by far."""
    columns = [name for name in OUTCOMES if name not in OF_THE_COMPUTATION]
    for one, other in pairwise(columns):
        pairs = [(derived(case)[one], derived(case)[other]) for case in CASES]
        assert any(abs(a - b) > 1e-6 * max(abs(a), abs(b)) for a, b in pairs), f"{one} and {other}"


@pytest.mark.parametrize("name", [n for n in OUTCOMES if n not in OF_THE_COMPUTATION])
@pytest.mark.usefixtures("motor_that_eases")
def test_every_column_is_more_than_a_constant(name: str) -> None:
    """A column filled with nothing, or with any one number, would be seen."""
    values = {derived(case)[name] for case in CASES if math.isfinite(derived(case)[name])}
    assert len(values) > 1 or (values and any(math.isnan(derived(case)[name]) for case in CASES))


@pytest.mark.usefixtures("motor_that_eases")
def test_cases_reach_what_they_are_named_for() -> None:
    assert derived("trips")["high_limit_trips"] > 1
    assert derived("cut-off blows")["thermal_cutoff_opened_s"] > 0.0
    assert derived("long gaps")["heat_off_late_s"] > derived("long gaps")["heat_off_early_s"] > 8.0
    assert derived("long gaps")["ignition_delay_first_s"] < derived("long gaps")["ignition_delay_longest_s"]
    assert derived("no gas")["ignition_tries"] > derived("no gas")["burner_cycles"] == 0.0


@pytest.mark.usefixtures("motor_that_eases")
def test_flame_out_is_when_the_exhaust_is_hottest() -> None:
    """Within half a kelvin of the hottest sampled moment, so the column serves as the exhaust's maximum."""
    for case in ("standard", "trips", "electric"):
        hottest = float(run(case).series["exhaust_temp_K"].max())
        assert run(case).outcome.flame_out_exhaust_temp_max_K == pytest.approx(hottest, abs=0.5)


def test_many_runs_read_the_same() -> None:
    p, plan = CASES["long gaps"]
    row = simulate_many([p], interruptions=plan)[0]
    told = asdict(run_cycle(p, plan).outcome)
    for name in OUTCOMES:
        if not name.startswith("balance"):
            assert row[name] == pytest.approx(told[name], rel=1e-9, abs=1e-9, nan_ok=True), name


# strokes ------------------------------------------------------------------------------------------


@pytest.mark.parametrize("n", [0, 1, 2, 5, 8, KEPT, 2 * KEPT, 2 * KEPT + 1, 3 * KEPT])
def test_early_and_late_halves(n: int) -> None:
    """First and last half, rounded up; of very many the last KEPT and the rest."""
    lengths = [10.0 + 0.5 * i + (i % 3) for i in range(n)]
    ring, count = np.zeros(KEPT + 1), 0.0
    for length in lengths:
        count = keep(length, count, ring)
    found = early_and_late(count, ring)
    half = math.ceil(n / 2)
    late = lengths[n - min(half, KEPT) :]
    early = lengths[: n - min(n // 2, KEPT)]
    for told, expected in ((found.early, early), (found.late, late)):
        assert told == pytest.approx(np.mean(expected) if expected else math.nan, nan_ok=True)
