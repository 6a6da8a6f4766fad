"""The integrator: refinement, order of the step and of located switchings, and scipy beside it."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.integrate import RK45, solve_ivp

from dryermodel.cycle.engine import pair
from dryermodel.cycle.engine import parameters as P
from dryermodel.cycle.engine import state as Y
from dryermodel.cycle.engine.causes import (
    CAUSE_DIAL,
    CAUSE_EXHAUST_THERMOSTAT,
    CAUSE_FLAME_SENSOR,
    CAUSE_HIGH_LIMIT,
    CAUSE_MARKED_MOISTURE,
    CAUSE_THERMAL_CUTOFF,
)
from dryermodel.cycle.engine.constants import constants_of
from dryermodel.cycle.engine.equations import Drive, derivatives
from dryermodel.cycle.engine.pair import halve, step
from dryermodel.cycle.engine.stepper import error_scale, first_crossing, step_factor
from dryermodel.cycle.engine.workspace import END, Workspace, new_workspace
from dryermodel.cycle.result import CycleResult
from dryermodel.cycle.run.simulate import run_cycle
from dryermodel.scenario.model import load_scenario
from tests.cycle import oracle
from tests.cycle.cases import parameters, run, run_changed

Array = NDArray[np.float64]
NO_DRIVE = Drive(*([0.0] * len(Drive._fields)))

# refinement ---------------------------------------------------------------------------------------

REFINED: dict[str, tuple[str, ...]] = {
    "standard": (),
    "eight times the vent": ("vent.resistance_factor=8",),
    "twenty times, whole chain": ("vent.resistance_factor=20", "machine.timer_wiring=whole chain"),
    "gasket leak": ("air.gasket_leak=24 cm2",),
    "coil fails hot": ("burner.coil_opens=120 degF", "burner.coil_recloses=100 degF"),
    "small load": ("load.dry_mass=1 lb",),
    "electric": ("machine.heat=electric",),
    "leaking joint": ("vent.joint_leak=20 cm2",),
}


@pytest.mark.parametrize("overrides", REFINED.values(), ids=REFINED.keys())
def test_tenfold_tighter_moves_the_cycle_time_by_less_than_a_thousandth(overrides: tuple[str, ...]) -> None:
    coarse, fine = run(*overrides), run(*overrides, "controls.rel_tolerance=1e-6")
    assert coarse.cycle_time == pytest.approx(fine.cycle_time, rel=1e-3)
    assert coarse.final_moisture == pytest.approx(fine.final_moisture, abs=1e-5)
    assert coarse.gas_energy == pytest.approx(fine.gas_energy, rel=1e-3)
    assert coarse.burner_cycles == fine.burner_cycles


def test_error_falls_with_the_tolerance() -> None:
    """Against a run at 1e-10: each tenfold step of the tolerance takes at least a factor 3 off the error,
    down to 10 us, which is a hundred-millionth of the time; at the default of many runs it is below 2 ms."""

    def marked_at(tolerance: float) -> float:
        at = run_changed(rel_tolerance=tolerance).time_to_marked
        assert at is not None
        return at

    errors = [abs(marked_at(tolerance) - marked_at(1e-10)) for tolerance in (1e-5, 1e-6, 1e-7, 1e-8)]
    assert all(b < max(a / 3.0, 1e-5) for a, b in itertools.pairwise(errors))
    assert abs(marked_at(1e-4) - marked_at(1e-10)) < 2e-3


# the same machine on scipy --------------------------------------------------------------------------

NAMES = {
    CAUSE_EXHAUST_THERMOSTAT: "thermostat",
    CAUSE_HIGH_LIMIT: "limit",
    CAUSE_THERMAL_CUTOFF: "cut-off",
    CAUSE_MARKED_MOISTURE: "marked",
    CAUSE_FLAME_SENSOR: "sensor",
    CAUSE_DIAL: "dial",
}


def switchings(r: CycleResult) -> list[oracle.Switching]:
    """What switched, as recorded; a sensor that has cooled without having opened moves no contact."""
    tr = r.trajectory
    found = []
    for i in range(1, len(tr.time)):
        what = NAMES.get(int(tr.cause[i]))
        if what == "marked" or (what and (tr.discrete[i] != tr.discrete[i - 1]).any()):
            found.append(oracle.Switching(float(tr.time[i]), what))
    return found


def compare(p: P.Parameters, other: oracle.Run, tolerance: float, seconds: float) -> None:
    """Same switchings in the same order, each within `seconds`, and the same final state."""
    mine = run_cycle(p._replace(rel_tolerance=tolerance))
    found = switchings(mine)
    assert [e.what for e in found] == [e.what for e in other.switchings]
    assert [e.time for e in found] == pytest.approx([e.time for e in other.switchings], abs=seconds)
    assert mine.cycle_time == pytest.approx(other.end, abs=seconds)
    off = np.abs(mine.final - other.final) / oracle.SCALE
    assert off.max() < seconds / 100.0


def test_standard_cycle_against_scipy() -> None:
    """The whole cycle under solve_ivp (DOP853, rtol 1e-10) with scipy's event location, restarted at each
    of its 27 switchings: at the shipped tolerance of 1e-5 within 10 ms of 40 minutes (measured 2 ms),
    at 1e-7 within 0.2 ms (measured 0.05 ms)."""
    p = parameters()
    other = oracle.run(p)
    assert len(other.switchings) == 27
    compare(p, other, 1e-5, 1e-2)
    compare(p, other, 1e-7, 2e-4)


def test_standard_cycle_against_an_implicit_method() -> None:
    """Radau at rtol 1e-7, a stiff solver: within 10 ms as well, so no stiffness is missed."""
    compare(parameters(), oracle.run(parameters(), "Radau", 1e-7), 1e-5, 1e-2)


FAMILY = ("family_load",)
"""Stands for that scenario in place of overrides."""


@pytest.mark.parametrize(
    "overrides",
    [
        ("vent.resistance_factor=8",),
        ("vent.resistance_factor=20", "machine.timer_wiring=whole chain"),
        FAMILY,
        ("vent.joint_leak=20 cm2", "room.volume=5 m3"),
        ("machine.heat=electric",),
        ("controls.program=timed",),
    ],
    ids=lambda o: o[0],
)
def test_other_cycles_against_scipy(overrides: tuple[str, ...]) -> None:
    """High limit, other wiring, unlike pieces, room fed back, no ignition, timed: within 50 ms at 1e-5,
    5 ms at 1e-6."""
    p = load_scenario("family_load").to_parameters() if overrides == FAMILY else parameters(*overrides)
    other = oracle.run(p)
    compare(p, other, 1e-5, 5e-2)
    compare(p, other, 1e-6, 5e-3)


# order of the step ----------------------------------------------------------------------------------


def march(y0: Array, p: P.Parameters, d: Drive, h: float, n: int, rate: Callable[..., None]) -> Array:
    """Take `n` steps of `h` without error control."""
    w = new_workspace()
    w.y[:] = y0
    error_scale(p, w.scale)
    c = constants_of(p)
    for _ in range(n):
        rate(w.y, p, c, d, w.k[0])
        step(h, p, c, d, w)
        w.y[:] = w.y_new
    return w.y


def orders(errors: list[float]) -> list[float]:
    """Observed order between runs whose step is halved each time."""
    return [math.log2(a / b) for a, b in itertools.pairwise(errors)]


def oscillator(y: Any, p: Any, c: Any, d: Any, rate: Any) -> None:
    """y'' = -y in the first two places, its solution sine and cosine; all others rest."""
    rate[:] = 0.0
    rate[0], rate[1] = y[1], -y[0]


def at_phase(phase: float) -> Workspace:
    """The oscillator at a phase, with its rates, every state's tolerable error 1."""
    w = new_workspace()
    w.y[0], w.y[1] = math.sin(phase), math.cos(phase)
    w.scale[:] = 1.0
    oscillator(w.y, None, None, None, w.k[0])
    return w


def test_order_on_an_analytic_problem(monkeypatch: pytest.MonkeyPatch) -> None:
    """Fifth order (J. R. Dormand, P. J. Prince, J. Comp. Appl. Math. 6 (1980) 19): 4.8 to 5.3 observed."""
    monkeypatch.setattr(pair, "derivatives", oscillator)
    y0 = np.zeros(Y.N_STATES)
    y0[1] = 1.0
    errors = []
    for n in (10, 20, 40, 80):
        y = march(y0, parameters(), NO_DRIVE, 4.0 / n, n, oscillator)
        errors.append(math.hypot(y[0] - math.sin(4.0), y[1] - math.cos(4.0)))
    assert all(4.8 < order < 5.3 for order in orders(errors))


def test_order_on_the_real_equations() -> None:
    """At least fifth order on a minute of bulk drying and of falling rate, against DOP853 at 1e-12."""
    r = run()
    for t in (600.0, 1350.0):
        y0, d = r.trajectory.at(t), r.drive(r.trajectory.locate(t))
        exact = solve_ivp(
            oracle.right_hand_side(r.parameters, d), (0.0, 60.0), y0, method="DOP853", rtol=1e-12, atol=1e-12
        ).y[:, -1]
        errors = []
        for n in (2, 4, 8):
            y = march(y0, r.parameters, d, 60.0 / n, n, derivatives)
            errors.append(float(np.max(np.abs(y - exact)[: Y.N_DYNAMIC] / oracle.SCALE[: Y.N_DYNAMIC])))
        assert all(4.5 < order < 6.5 for order in orders(errors)), errors


def test_error_estimate_is_of_the_size_of_the_error(monkeypatch: pytest.MonkeyPatch) -> None:
    """The estimate is of the embedded fourth-order result: larger than the true error of the fifth-order
    one, and falling with the fifth power of the step."""
    monkeypatch.setattr(pair, "derivatives", oscillator)
    p = parameters()._replace(rel_tolerance=1.0)
    estimates = []
    for h in (0.4, 0.2, 0.1):
        w = at_phase(0.7)
        estimates.append(step(h, p, constants_of(p), NO_DRIVE, w))
        true = max(abs(w.y_new[0] - math.sin(0.7 + h)), abs(w.y_new[1] - math.cos(0.7 + h)))
        assert true < estimates[-1] < 1.0
    assert all(4.7 < order < 5.3 for order in orders(estimates))


def test_coefficients_are_those_that_scipy_has() -> None:
    """One step of scipy.integrate.RK45, the same pair and Shampine's interpolant: end, error, middle."""
    r = run()
    y0, d, h = r.trajectory.at(600.0), r.drive(r.trajectory.locate(600.0)), 40.0
    f = oracle.right_hand_side(r.parameters, d)
    theirs = RK45(f, 0.0, y0, t_bound=h, first_step=h, rtol=1e3, atol=1e9)
    theirs.step()
    w, c = new_workspace(), constants_of(r.parameters)
    w.y[:], w.scale[:] = y0, 1.0
    derivatives(w.y, r.parameters, c, d, w.k[0])
    step(h, r.parameters, c, d, w)
    halve(h, w)
    assert theirs.t == h
    assert w.y_new == pytest.approx(theirs.y, rel=1e-12, abs=1e-12)
    middle = theirs.dense_output()(0.5 * h)
    moved = np.abs(w.y_new - y0) + 1e-9
    assert (np.abs(w.y_mid - middle) < 1e-9 * moved).all()
    weights = np.array([-71 / 57600, 0, 71 / 16695, -71 / 1920, 17253 / 339200, -22 / 525, 1 / 40])
    assert pytest.approx(weights) == theirs.E
    worst = np.abs(h * (theirs.E @ w.k))[: Y.N_DYNAMIC].max()
    assert step(h, r.parameters, c, d, w) == pytest.approx(worst, rel=1e-9)


@pytest.mark.parametrize("h", [0.4, 0.2])
def test_rates_in_the_middle_are_of_the_quartic(monkeypatch: pytest.MonkeyPatch, h: float) -> None:
    """The polynomial of fourth degree through ends, end rates and middle, by numpy's own solution."""
    monkeypatch.setattr(pair, "derivatives", oscillator)
    w = at_phase(0.3)
    step(h, parameters(), constants_of(parameters()), NO_DRIVE, w)
    halve(h, w)
    rows = [[x**n for n in range(5)] for x in (0.0, 0.5 * h, h)]
    rows += [[n * x ** max(n - 1, 0) for n in range(5)] for x in (0.0, h)]
    told = [w.y[0], w.y_mid[0], w.y_new[0], w.k[0, 0], w.k[END, 0]]
    quartic = np.linalg.solve(np.array(rows), np.array(told))
    slope = sum(n * quartic[n] * (0.5 * h) ** (n - 1) for n in range(1, 5))
    assert w.k_mid[0] == pytest.approx(slope, rel=1e-9)
    assert abs(w.y_mid[0] - math.sin(0.3 + 0.5 * h)) < 1e-3 * h**5


def test_a_step_of_no_length_goes_nowhere() -> None:
    w, c = new_workspace(), constants_of(parameters())
    w.y[:] = run().trajectory.at(600.0)
    w.scale[:] = 1.0
    d = run().drive(run().trajectory.locate(600.0))
    derivatives(w.y, parameters(), c, d, w.k[0])
    step(0.0, parameters(), c, d, w)
    halve(0.0, w)
    assert (w.y_mid == w.y).all() and (w.y_new == w.y).all() and np.isfinite(w.k_mid).all()


def test_step_leaves_the_rates_at_its_end(monkeypatch: pytest.MonkeyPatch) -> None:
    """Free for the interpolant and for the next step."""
    monkeypatch.setattr(pair, "derivatives", oscillator)
    w = at_phase(0.0)
    step(0.3, parameters(), constants_of(parameters()), NO_DRIVE, w)
    assert w.k[END, 0] == w.y_new[1]
    assert w.k[END, 1] == -w.y_new[0]


def test_step_factor() -> None:
    """Keeps the step at the tolerance, with a safety of 0.9 and limits of 0.2 and 5."""
    assert step_factor(1.0) == pytest.approx(0.9)
    assert step_factor(0.9**5) == pytest.approx(1.0)
    assert step_factor(1e12) == 0.2
    assert step_factor(1e-12) == step_factor(0.0) == 5.0


# order of a located switching -----------------------------------------------------------------------


def crossing_time(h: float, level: float) -> float:
    """Time at which steps of `h` on the oscillator see the sine rise through `level`."""
    w, t = at_phase(0.0), 0.0
    while t < 3.0:
        oscillator(w.y, None, None, None, w.k[0])
        step(h, parameters(), constants_of(parameters()), NO_DRIVE, w)
        halve(h, w)
        points = ((w.y, w.k[0]), (w.y_mid, w.k_mid), (w.y_new, w.k[END]))
        for i, ((y, f), (y_next, f_next)) in enumerate(itertools.pairwise(points)):
            ends, slopes = (float(y[0]), float(y_next[0])), (float(f[0]), float(f_next[0]))
            theta = first_crossing(*ends, *slopes, 0.5 * h, level, True)
            if theta <= 1.0:
                return t + 0.5 * h * (i + theta)
        w.y[:] = w.y_new
        t += h
    raise AssertionError("not crossed")


def test_order_of_the_located_switching_time(monkeypatch: pytest.MonkeyPatch) -> None:
    """At least fourth, the order of the value in the middle and of the cubics on both halves."""
    monkeypatch.setattr(pair, "derivatives", oscillator)
    exact = math.asin(0.9)
    errors = [abs(crossing_time(0.2 / 2**i, 0.9) - exact) for i in range(5)]
    slope = np.polyfit(np.log([0.2 / 2**i for i in range(5)]), np.log(errors), 1)[0]
    assert slope > 3.8


def test_location_alone_is_of_fourth_order() -> None:
    """With exact ends and slopes only the cubic errs: sine through 0.9 within one step around it."""
    exact, errors = math.asin(0.9), []
    for h in (0.4, 0.2, 0.1, 0.05):
        t = exact - 0.4 * h
        theta = first_crossing(math.sin(t), math.sin(t + h), math.cos(t), math.cos(t + h), h, 0.9, True)
        errors.append(abs(t + theta * h - exact))
    assert all(3.8 < order < 4.3 for order in orders(errors))
