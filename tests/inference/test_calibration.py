"""Fitting a machine's uncertain values: what is found, how sure, and what is refused."""

from __future__ import annotations

import math
from collections.abc import Sequence
from time import sleep
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.optimize._numdiff import approx_derivative
from scipy.special import ndtr

from dryermodel import units
from dryermodel.cycle.run.many import simulate_many
from dryermodel.errors import InputError
from dryermodel.field.evidence import Evidence, Measured, gather
from dryermodel.field.measurements import find_measurement
from dryermodel.inference.calibration import calibrate, chosen
from dryermodel.inference.fit_result import Calibration, Start
from dryermodel.inference.fitting import BENDS, MISSING, STEP, Problem
from dryermodel.inference.priors import priors_of
from dryermodel.scenario.model import Scenario, load_scenario

LOAD = ["load.dry_mass", "load.initial_moisture"]
KEYS = [*LOAD, "room.temperature", "burner.firing_rate", "vent.resistance_factor", "machine.motor_power"]
READ = [
    "dry weight", "start weight", "room temperature", "gas input", "vent static", "motor power early",
    "cycle time", "exhaust temperature",
]  # fmt: skip


def problem(names: Sequence[str], keys: Sequence[str] = KEYS, scenario: str = "standard") -> Problem:
    """A problem whose measurements are still to be made up."""
    machine = load_scenario(scenario)
    entries = [find_measurement(name) for name in names]
    blank = [Measured(entry, entry.number(), 1.0, 1.0) for entry in entries]
    return Problem(machine, blank, chosen(priors_of(machine).unknown, keys))


def truth(seed: int, size: int = len(KEYS)) -> NDArray[np.float64]:
    return np.random.default_rng(seed).standard_normal(size)


NEAR = 0.4 * truth(3)
"""A machine among the usual ones, which priors do not pull far."""


def made_up(point: NDArray[np.float64], seed: int | None, names: Sequence[str] = READ) -> Evidence:
    """What would be read on the machine at a point, off by instrument and model; exact for no seed."""
    asked = problem(names)
    exact = asked.predicted(point[None, :])[0]
    errors = np.zeros(len(names)) if seed is None else np.random.default_rng(seed).standard_normal(len(names))
    found = []
    for one, value, error in zip(asked.measured, exact, errors, strict=True):
        entry = one.measurement
        own = math.hypot(entry.accuracy, entry.relative * value)
        whole = math.hypot(own, entry.model, entry.model_relative * value)
        found.append(one._replace(value=float(value + whole * error), accuracy=own))
    return Evidence(tuple(found))


@pytest.fixture(scope="module")
def standard() -> Scenario:
    return load_scenario("standard")


@pytest.fixture(scope="module")
def fitted(standard: Scenario) -> Calibration:
    """Fitted to readings without error of a machine that is known."""
    return calibrate(standard, made_up(NEAR, None), keys=KEYS, starts=2)


def test_columns_of_the_batch_are_the_differences_of_single_runs() -> None:
    asked = problem(READ)
    point = truth(1)
    single = approx_derivative(asked.residuals, point, method="3-point", abs_step=STEP)
    assert asked.slopes(point) == pytest.approx(single, abs=1e-9)
    assert np.abs(single[: len(READ)]).max() > 0.5


def test_the_loss_has_the_slopes_it_says_and_bends_for_measurements_alone() -> None:
    asked = problem(["cycle time", "vent static"], LOAD)
    squares, h = np.array([0.3, 30.0, 0.3, 30.0]), 1e-6
    value, slope, bend = asked.loss(squares)
    up, down = asked.loss(squares + h), asked.loss(squares - h)
    assert slope == pytest.approx((up[0] - down[0]) / (2.0 * h), rel=1e-6)
    assert bend == pytest.approx((up[1] - down[1]) / (2.0 * h), rel=1e-5, abs=1e-9)
    assert value[2:] == pytest.approx(squares[2:]) and slope[2:] == pytest.approx([1.0, 1.0])
    assert value[0] == pytest.approx(0.3, rel=0.03)
    assert value[1] == pytest.approx(2.0 * BENDS**2 * (math.sqrt(1.0 + 30.0 / BENDS**2) - 1.0))


def test_readings_without_error_lead_back_to_the_machine(fitted: Calibration) -> None:
    asked = problem(READ)
    true = asked.values(NEAR[None, :])[0]
    for one, value in zip(fitted.fitted, true, strict=True):
        assert one.interval[0] <= value <= one.interval[1], one.key
        assert one.interval[0] < one.value < one.interval[1], one.key
    assert fitted.fits and all(abs(c.misses[1]) < 1.0 for c in fitted.compared)
    assert sum(c.misses[1] ** 2 for c in fitted.compared) < sum(c.misses[0] ** 2 for c in fitted.compared)


def test_intervals_hold_the_truth_about_as_often_as_they_say(standard: Scenario) -> None:
    inside = []
    for seed in range(3):
        point = truth(100 + seed)
        found = calibrate(standard, made_up(point, seed), keys=KEYS, starts=1)
        true = problem(READ).values(point[None, :])[0]
        inside += [f.interval[0] <= v <= f.interval[1] for f, v in zip(found.fitted, true, strict=True)]
    assert len(inside) == 18 and np.mean(inside) >= 0.55  # 80 % less two and a half standard deviations


def test_one_value_and_one_reading_are_weighed_by_their_errors(standard: Scenario) -> None:
    found = calibrate(standard, gather(["gas input=22000 Btu/h"], []), keys=["burner.firing_rate"], starts=1)
    (one,) = found.fitted
    unknown = one.unknown
    rise = float(unknown.ppf(ndtr(STEP)) - unknown.ppf(ndtr(-STEP))) / (2.0 * STEP)
    error = found.compared[0].scale
    parts = 0.025 * one.value, 0.01 * one.value, units.parse("200 Btu/h", "power")
    assert error == pytest.approx(math.hypot(*parts), rel=0.01)  # reader, model, and the meter's dial
    assert one.left == pytest.approx((1.0 + (rise / error) ** 2) ** -0.5, rel=1e-4)
    assert one.value == pytest.approx(unknown.mode, rel=1e-4) and one.status == "narrowed"


def test_what_no_reading_tells_of_stays_as_it_was(standard: Scenario) -> None:
    keys = ["burner.firing_rate", "room.relative_humidity"]
    found = calibrate(standard, gather(["gas input=21000 Btu/h"], []), keys=keys, starts=1)
    silent = found.fitted_of("room.relative_humidity")
    assert [f.key for f in found.undetermined] == ["room.relative_humidity"]
    assert silent.left == pytest.approx(1.0, abs=1e-6) and silent.status == "not determined"
    assert silent.interval == pytest.approx(silent.prior, rel=1e-4)


def test_a_sum_that_is_known_better_than_its_parts_is_told_as_a_pair(standard: Scenario) -> None:
    found = calibrate(standard, gather(["start weight=13 lb"], []), keys=LOAD, starts=1)
    (pair,) = found.pairs
    assert {pair.first, pair.second} == set(LOAD) and pair.correlation < -0.5


def test_a_blocked_vent_is_no_healthy_machine(standard: Scenario) -> None:
    found = calibrate(
        standard, gather(["static=1.3 in w.c.", "gas input=22000 Btu/h"], []), keys=KEYS, starts=1
    )
    assert not found.fits and found.chance < 1e-6
    assert [c.measured.name for c in found.off] == ["vent static"]
    blocked = load_scenario("standard", faults=["vent_blockage=static 1.3 in w.c."])
    same = calibrate(
        blocked, gather(["static=1.3 in w.c.", "gas input=22000 Btu/h"], []), keys=KEYS, starts=1
    )
    assert same.fits


def test_readings_that_contradict_each_other_do_not_fit(standard: Scenario) -> None:
    known = gather(["gas input=23500 Btu/h", "gas used=2000 Btu"], [])
    assert not calibrate(standard, known, keys=KEYS, starts=1).fits


def test_a_reading_that_the_machine_does_not_have_is_told() -> None:
    electric = load_scenario("electric")
    known = gather(["time to flame=30 s", "motor power=230 W"], [])
    found = calibrate(electric, known, keys=["machine.motor_power"], starts=1)
    (missing,) = found.missing
    assert missing.measured.name == "time to flame" and not found.fits
    assert found.chi_square > MISSING**2 and found.fitted_of("machine.motor_power").left < 0.5


def test_same_input_same_fit(standard: Scenario, fitted: Calibration) -> None:
    again = calibrate(standard, fitted.evidence, keys=KEYS, starts=2)
    assert again.texts == fitted.texts and np.array_equal(again.covariance, fitted.covariance)
    assert [s.cost for s in again.starts] == [s.cost for s in fitted.starts]


def test_starts_are_told_and_end_together(fitted: Calibration) -> None:
    assert len(fitted.starts) == 2 and len(fitted.agreeing) == 2
    key, apart = fitted.wandering
    assert key in KEYS and 0.0 <= apart < 1.5


def test_cycles_are_counted(standard: Scenario, monkeypatch: pytest.MonkeyPatch) -> None:
    counted = []

    def counting(rows: NDArray[np.void], **more: Any) -> NDArray[np.void]:
        counted.append(len(rows))
        return simulate_many(rows, **more)

    monkeypatch.setattr("dryermodel.inference.fitting.simulate_many", counting)
    found = calibrate(standard, gather(["gas input=21000 Btu/h"], []), keys=KEYS, starts=2)
    assert found.cycles == sum(counted)


@pytest.mark.parametrize(
    ("measured", "keys", "starts", "words"),
    [
        ([], None, 1, "nothing was measured"),
        (["static=0.5 in w.c."], ["vent.resistence_factor"], 1, "did you mean vent.resistance_factor"),
        (["static=0.5 in w.c."], ["vent.length"], 1, "none of the values that are fitted"),
        (["static=0.5 in w.c."], None, 0, "allowed 1 and above"),
    ],
)  # fmt: skip
def test_what_is_refused(
    standard: Scenario, measured: list[str], keys: list[str] | None, starts: int, words: str
) -> None:
    with pytest.raises(InputError, match=words):
        calibrate(standard, gather(measured, []), keys=keys, starts=starts)


def test_whoever_stops_it_does_not_wait_for_the_starts_that_are_left(
    standard: Scenario, monkeypatch: pytest.MonkeyPatch
) -> None:
    begun = []

    def slow(asked: Problem, start: NDArray[np.float64]) -> tuple[Start, int]:
        begun.append(start)
        sleep(0.02)
        return Start(0.0, start), 0

    def stop(done: int, of: int) -> None:
        assert (done, of) == (1, 40)
        raise KeyboardInterrupt

    monkeypatch.setattr("dryermodel.inference.calibration._fit", slow)
    monkeypatch.setattr("dryermodel.inference.calibration.cpu_count", lambda: 2)
    with pytest.raises(KeyboardInterrupt):
        calibrate(standard, gather(["gas input=21000 Btu/h"], []), keys=KEYS, starts=40, progress=stop)
    assert len(begun) < 20
