"""The same cycle on general-purpose integrators, each driven as well as we know how.

All of them get the same compiled right-hand side, thresholds and contacts (:mod:`tests.benchmarks.machine`),
a first step of our own size after each switching, and are restarted there, as the cycle asks for.
"""

from __future__ import annotations

from functools import cache
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

from dryermodel.cycle.engine import state as Y
from dryermodel.cycle.engine.parameters import Parameters
from tests.benchmarks.machine import FIRST_STEP, WATCHES, Bench
from tests.cycle.oracle import SCALE

Vector = NDArray[np.float64]


TYPICAL = SCALE
"""Size of each state's changes, for absolute tolerances."""


@cache
def bench() -> Bench:
    """The one bench; each contestant brings its integrator."""
    return Bench()


class Rates:
    """The right-hand side as Python sees it."""

    def __init__(self, b: Bench) -> None:
        self.call, self.data, self.rate = b.rates, b.data, np.zeros(Y.N_STATES)

    def __call__(self, t: float, y: Vector) -> Vector:
        """Rates, in an array of their own: scipy keeps them."""
        self.call(self.data, y, self.rate)
        return self.rate.copy()


def _thresholds(b: Bench) -> tuple[list[int], list[Any]]:
    """Which thresholds are waited for, and scipy's function of each."""
    causes, ways = b.data["causes"][0], b.data["ways"][0]
    waiting = [i for i in range(WATCHES) if causes[i] >= 0]
    return waiting, [_threshold(b, i, float(ways[i])) for i in waiting]


def _threshold(b: Bench, i: int, way: float) -> Any:
    found = np.zeros(WATCHES)

    def distance(_: float, y: Vector) -> float:
        b.distances(b.data, y, found)
        return float(found[i])

    event: Any = distance
    event.terminal, event.direction = True, way
    return event


def with_solve_ivp(p: Parameters, method: str, rtol: float) -> tuple[float, int]:
    """Cycle time [s] and right-hand sides with scipy's `solve_ivp`."""
    b = bench()
    rates = Rates(b)

    def advance(t: float, end: float) -> tuple[float, int]:
        waiting, events = _thresholds(b)
        leg = solve_ivp(
            rates,
            (t, end),
            b.y,
            method=method,
            rtol=rtol,
            atol=rtol * TYPICAL,
            events=events,
            first_step=min(FIRST_STEP, end - t),
        )
        b.y[:] = leg.y[:, -1]
        hits = [i for i, times in zip(waiting, leg.t_events or [], strict=True) if len(times)]
        return float(leg.t[-1]), hits[0] if hits else -1

    return b.cycle(p, advance)


def with_cyrk(p: Parameters, method: str, rtol: float) -> tuple[float, int]:
    """The same with CyRK's solver, whose loop is compiled; functions are called back in Python."""
    from CyRK import pysolve_ivp

    b = bench()

    def rates(rate: Vector, t: float, y: Vector) -> None:
        b.rates(b.data, y, rate)

    def advance(t: float, end: float) -> tuple[float, int]:
        waiting, events = _thresholds(b)
        leg = pysolve_ivp(
            rates,
            (t, end),
            b.y.copy(),
            method=method,
            rtol=rtol,
            atol=rtol * TYPICAL,
            events=events,
            first_step=min(FIRST_STEP, 0.5 * (end - t)),  # at most half is allowed
            pass_dy_as_arg=True,
        )
        b.y[:] = leg.y[:, -1]
        hits = [i for i, times in zip(waiting, leg.t_events or [], strict=True) if len(times)]
        return float(leg.t[-1]), hits[0] if hits else -1

    return b.cycle(p, advance)


@cache
def _cvode(method: str, rtol: float) -> tuple[Any, Vector]:
    from sksundae.cvode import CVODE

    b, distance = bench(), np.zeros(WATCHES)

    def rates(t: float, y: Vector, rate: Vector) -> None:
        b.rates(b.data, y, rate)

    def events(t: float, y: Vector, found: Vector) -> None:
        b.distances(b.data, y, found)

    watched: Any = events
    watched.terminal, watched.direction = [True] * WATCHES, [0] * WATCHES
    solver = CVODE(
        rates,
        method=method,
        rtol=rtol,
        atol=rtol * TYPICAL,
        eventsfn=watched,
        num_events=WATCHES,
        linsolver="dense",
        first_step=FIRST_STEP / 4.0,
    )
    return solver, distance


def with_cvode(p: Parameters, method: str, rtol: float) -> tuple[float, int]:
    """SUNDIALS' CVODE through scikit-sundae, one solver object reinitialised at each switching."""
    b = bench()
    solver, distance = _cvode(method, rtol)

    def advance(t: float, end: float) -> tuple[float, int]:
        levels = np.maximum(1.0, np.abs(b.data["levels"][0]))
        before = np.zeros(WATCHES)
        b.distances(b.data, b.y, before)
        solver.init_step(t, b.y)
        while True:
            leg = solver.step(end, tstop=end)
            b.y[:] = leg.y
            b.distances(b.data, b.y, distance)
            near = (np.abs(distance) <= 1e-7 * levels) & (b.data["causes"][0] >= 0)
            met = np.flatnonzero(near & ((distance - before) * b.data["ways"][0] > 0.0))
            stopped = leg.t_events is not None and len(leg.t_events) > 0
            if (stopped and len(met)) or float(leg.t) >= end:
                return float(leg.t), int(met[0]) if stopped and len(met) else -1

    return b.cycle(p, advance)
