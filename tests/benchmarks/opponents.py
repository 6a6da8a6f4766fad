"""The same cycle on general-purpose integrators, each driven as well as we know how.

All of them see the library's own right-hand side and its own settling of contacts, watch the same
thresholds and are restarted at every switching. What differs is the integrator and how events are
found. `solve_ivp` gets the interpreted right-hand side, CVODE the compiled one.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

from dryermodel.cycle.engine import loop as engine
from dryermodel.cycle.engine import parameters as P
from dryermodel.cycle.engine import state as Y
from dryermodel.cycle.engine import switching as S
from dryermodel.cycle.engine import triggers
from dryermodel.cycle.engine.causes import CAUSE_TIME_LIMIT, NO_CAUSE, THRESHOLD_CAUSES
from dryermodel.cycle.engine.constants import Constants, constants_of
from dryermodel.cycle.engine.equations import Drive, derivatives
from dryermodel.cycle.engine.parameters import Parameters
from dryermodel.cycle.run.compiled import twin
from dryermodel.cycle.run.many import as_rows
from tests.cycle.oracle import SCALE

Vector = NDArray[np.float64]

TYPICAL = SCALE
"""Size of each state's changes, for absolute tolerances."""

WATCHES = 8  # most thresholds watched at a time


class Watched(NamedTuple):
    """A threshold that ends a smooth stretch."""

    cause: int
    level: float
    rising: bool


class Leg(NamedTuple):
    """One smooth stretch: where it ended, and which watch (if any) ended it."""

    time: float
    state: Vector
    hit: int
    evaluations: int


Advance = Callable[[float, Vector, float, Drive, list[Watched]], Leg]


def drive_cycle(p: Parameters, advance: Advance) -> tuple[float, int]:
    """Run a cycle, leaving the smooth stretches to `advance`; cycle time [s] and evaluations."""
    y, s = np.zeros(Y.N_STATES), np.zeros(S.N_DISCRETE, dtype=np.int64)
    engine.initial_state(p, y, s)
    s[S.MIDWAY_PASSED] = 1
    c = constants_of(p)
    t, count = 0.0, 0
    while True:
        d = S.settle(s, y, p)
        if s[S.STRETCH] == 2:
            return t, count
        limits = {cause: triggers.threshold(cause, s, p, c) for cause in THRESHOLD_CAUSES}
        watched = [Watched(c, limit.level, limit.rising) for c, limit in limits.items() if limit.waits]
        end, end_cause = triggers.next_time_event(t, y, s, p, d, P.NEVER)
        leg = advance(t, y, end, d, watched)
        t, y, count = leg.time, leg.state, count + leg.evaluations
        cause = watched[leg.hit].cause if leg.hit >= 0 else end_cause
        if cause == CAUSE_TIME_LIMIT:
            return t, count
        triggers.switch(cause, y, s, p)


def with_solve_ivp(p: Parameters, method: str, rtol: float) -> tuple[float, int]:
    """Run on scipy's solve_ivp with the interpreted right-hand side."""
    rate, c = np.zeros(Y.N_STATES), constants_of(p)

    def advance(t: float, y: Vector, end: float, d: Drive, watched: list[Watched]) -> Leg:
        def f(_: float, state: Vector) -> Vector:
            derivatives(state, p, c, d, rate)
            return rate.copy()

        leg = solve_ivp(
            f,
            (t, end),
            y,
            method=method,
            rtol=rtol,
            atol=rtol * TYPICAL,
            events=[_threshold(w, c) for w in watched],
            first_step=min(8.0, end - t) if end > t else None,
        )
        hits = [i for i, times in enumerate(leg.t_events or []) if len(times)]
        return Leg(float(leg.t[-1]), leg.y[:, -1].copy(), hits[0] if hits else -1, leg.nfev)

    return drive_cycle(p, advance)


def _threshold(w: Watched, c: Constants) -> Callable[[float, Vector], float]:
    def distance(_: float, y: Vector) -> float:
        return float(triggers.quantity(w.cause, y, y, c).value) - w.level

    found: Any = distance
    found.terminal, found.direction = True, 1.0 if w.rising else -1.0
    return distance


@cache
def _compiled_callbacks() -> tuple[Any, Any]:
    import numba

    smooth = twin(derivatives, {}, error_model="numpy")
    constants = twin(constants_of, {}, error_model="numpy")
    watched = twin(triggers.quantity, {}, error_model="numpy")

    @numba.njit(error_model="numpy")
    def right_hand_side(t: float, y: Any, rate: Any, data: Any) -> None:
        row, drive, _, _, calls = data
        calls[0] += 1
        smooth(
            y,
            row[0],
            constants(row[0]),
            Drive(
                drive[0], drive[1], drive[2], drive[3], drive[4], drive[5],
                drive[6], drive[7], drive[8], drive[9], drive[10], drive[11],
            ),
            rate,
        )  # fmt: skip

    @numba.njit(error_model="numpy")
    def thresholds(t: float, y: Any, found: Any, data: Any) -> None:
        row, _, causes, levels, _ = data
        c = constants(row[0])
        for i in range(len(causes)):
            found[i] = watched(causes[i], y, y, c).value - levels[i] if causes[i] != NO_CAUSE else 1.0

    return right_hand_side, thresholds


def with_cvode(p: Parameters, method: str, rtol: float, linear: str = "dense") -> tuple[float, int]:
    """Run on SUNDIALS' CVODE with the compiled right-hand side and compiled event functions."""
    from sksundae.cvode import CVODE

    right_hand_side, thresholds = _compiled_callbacks()
    drive = np.zeros(len(Drive._fields))
    causes, levels = np.full(WATCHES, NO_CAUSE, dtype=np.int64), np.zeros(WATCHES)
    calls = np.zeros(1, dtype=np.int64)
    data = (as_rows([p]), drive, causes, levels, calls)

    def events(t: float, y: Vector, found: Vector, userdata: Any) -> None:
        thresholds(t, y, found, userdata)

    found: Any = events
    found.terminal, found.direction = [True] * WATCHES, [0] * WATCHES
    solver = CVODE(
        right_hand_side,
        userdata=data,
        method=method,
        rtol=rtol,
        atol=rtol * TYPICAL,
        eventsfn=events,
        num_events=WATCHES,
        linsolver=linear,
        first_step=1.0,
    )

    def advance(t: float, y: Vector, end: float, d: Drive, watched: list[Watched]) -> Leg:
        if end <= t:
            return Leg(t, y, -1, 0)
        drive[:] = d
        causes[:] = NO_CAUSE
        for i, w in enumerate(watched):
            causes[i], levels[i] = w.cause, w.level
        solver.init_step(t, y)
        now = t
        before = y
        while True:
            leg = solver.step(end, tstop=end)
            now, after = float(leg.t), np.array(leg.y)
            hit = -1
            if leg.t_events is not None and len(leg.t_events):
                hit = _which(watched, before, after, constants_of(p))
            if hit >= 0 or now >= end:
                return Leg(now, after, hit, 0)

    # Every call counts, those for the difference Jacobian too, which the solver's own count leaves out.
    return drive_cycle(p, advance)[0], int(calls[0])


def _which(watched: list[Watched], before: Vector, after: Vector, c: Constants) -> int:
    """The watched threshold that the state now stands at, in its own direction."""
    for i, w in enumerate(watched):
        was, now = (float(triggers.quantity(w.cause, y, y, c).value) for y in (before, after))
        if abs(now - w.level) <= 1e-7 * max(1.0, abs(w.level)) and (now > was) == w.rising:
            return i
    return -1
