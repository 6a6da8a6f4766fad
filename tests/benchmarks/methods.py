"""Other integration methods in the library's own engine, to see whether a better one was missed.

Each method replaces the step (and what depends on it) when the engine is twinned for numba; located
switchings, contacts and equations stay the same. Heun 2(1) and Dormand-Prince 5(4) differ from the
library's Bogacki-Shampine 3(2) in order and evaluations a step; `exponential` is Bogacki-Shampine for
what feeds back and the exact answer of a lag for the sensing elements, which merely follow.

References
----------
.. [1] E. Hairer, S. P. Norsett, G. Wanner, Solving Ordinary Differential Equations I, 2nd ed.,
   secs. II.4 and II.5.
.. [2] M. Hochbruck, A. Ostermann, "Exponential integrators", Acta Numerica 19 (2010) 209-286.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import cache
from typing import Any, NamedTuple

import numpy as np

from dryermodel.cycle.engine import stepper, triggers
from dryermodel.cycle.engine.causes import NO_CAUSE, THRESHOLD_CAUSES
from dryermodel.cycle.engine.equations import derivatives
from dryermodel.cycle.engine.state import (
    COIL_TEMP,
    EXHAUST_ELEMENT,
    HIGH_LIMIT_ELEMENT,
    LOAD_ENTHALPY,
    METAL_TEMP,
    MOISTURE,
    MOST_PIECES,
    N_DYNAMIC,
    N_STATES,
    PER_PIECE,
    ROOM_HUMIDITY,
)
from dryermodel.cycle.engine.stepper import hermite
from dryermodel.cycle.engine.triggers import quantity, threshold
from dryermodel.cycle.run.compiled import twin
from dryermodel.cycle.run.rows import run_rows

MIDDLE = 0.75
LEAST_SHARE = 0.02


def heun_step(h: float, p: Any, c: Any, d: Any, w: Any) -> float:
    """Heun's second-order step with Euler's as the error estimate: two evaluations."""
    y, k, y_new, work, scale = w.y, w.k, w.y_new, w.trial, w.scale
    for i in range(N_DYNAMIC):
        work[i] = y[i] + h * k[0, i]
    derivatives(work, p, c, d, k[1])
    for i in range(N_STATES):
        y_new[i] = y[i] + 0.5 * h * (k[0, i] + k[1, i])
    derivatives(y_new, p, c, d, k[3])
    worst = 0.0
    for i in range(N_DYNAMIC):
        worst = max(worst, abs(0.5 * h * (k[1, i] - k[0, i])) / scale[i])
    return worst


def heun_factor(error: float) -> float:
    """Step-size factor of a first-order error estimate."""
    return 4.0 if error <= 1e-4 else min(4.0, max(0.2, 0.9 / math.sqrt(error)))


def dormand_prince_step(h: float, p: Any, c: Any, d: Any, w: Any) -> float:
    """Dormand and Prince's fifth-order step: six evaluations."""
    y, k, y_new, work, scale = w.y, w.k, w.y_new, w.trial, w.scale
    s = np.empty((7, N_STATES))
    s[0, :] = k[0, :]
    for i in range(N_DYNAMIC):
        work[i] = y[i] + h * s[0, i] / 5
    derivatives(work, p, c, d, s[1])
    for i in range(N_DYNAMIC):
        work[i] = y[i] + h * (3 / 40 * s[0, i] + 9 / 40 * s[1, i])
    derivatives(work, p, c, d, s[2])
    for i in range(N_DYNAMIC):
        work[i] = y[i] + h * (44 / 45 * s[0, i] - 56 / 15 * s[1, i] + 32 / 9 * s[2, i])
    derivatives(work, p, c, d, s[3])
    for i in range(N_DYNAMIC):
        work[i] = y[i] + h * (
            19372 / 6561 * s[0, i] - 25360 / 2187 * s[1, i] + 64448 / 6561 * s[2, i] - 212 / 729 * s[3, i]
        )
    derivatives(work, p, c, d, s[4])
    for i in range(N_DYNAMIC):
        work[i] = y[i] + h * (
            9017 / 3168 * s[0, i] - 355 / 33 * s[1, i] + 46732 / 5247 * s[2, i] + 49 / 176 * s[3, i]
            - 5103 / 18656 * s[4, i]
        )  # fmt: skip
    derivatives(work, p, c, d, s[5])
    for i in range(N_STATES):
        y_new[i] = y[i] + h * (
            35 / 384 * s[0, i] + 500 / 1113 * s[2, i] + 125 / 192 * s[3, i]
            - 2187 / 6784 * s[4, i] + 11 / 84 * s[5, i]
        )  # fmt: skip
    derivatives(y_new, p, c, d, k[3])
    worst = 0.0
    for i in range(N_DYNAMIC):
        error = (
            71 / 57600 * s[0, i] - 71 / 16695 * s[2, i] + 71 / 1920 * s[3, i]
            - 17253 / 339200 * s[4, i] + 22 / 525 * s[5, i] - 1 / 40 * k[3, i]
        )  # fmt: skip
        worst = max(worst, abs(h * error) / scale[i])
    return worst


def dormand_prince_factor(error: float) -> float:
    """Step-size factor of a fourth-order error estimate."""
    return 4.0 if error <= 1e-8 else min(4.0, max(0.2, 0.9 * error**-0.2))


def lag_of(state: int, p: Any) -> float:
    """Time constant of a state that merely follows its surroundings; 0 for all others."""
    if state == EXHAUST_ELEMENT:
        return p.exhaust_lag  # type: ignore[no-any-return]
    if state == HIGH_LIMIT_ELEMENT:
        return p.high_limit_lag  # type: ignore[no-any-return]
    if state == COIL_TEMP:
        return p.coil_lag  # type: ignore[no-any-return]
    return 0.0


def follow(
    value: float, start: float, middle: float, end: float, length: float, lag: float, theta: float
) -> float:
    """Exact first-order lag of surroundings that run as a quadratic through 0, 3/4 and 1 of the step [2]_."""
    c = (end - start - (middle - start) / MIDDLE) / (1.0 - MIDDLE)
    b = end - start + c * -1.0
    r = lag / length
    settled = start - r * (b - 2.0 * r * c)
    return settled + theta * (b + c * (theta - 2.0 * r)) + (value - settled) * math.exp(-theta / r)


def exponential_scale(p: Any, scale: Any) -> None:
    """As the library's, but what follows does not limit the step."""
    for i in range(N_DYNAMIC):
        scale[i] = 1e30
    for i in range(MOST_PIECES):
        scale[LOAD_ENTHALPY + PER_PIECE * i] = p.rel_tolerance * 2.0e4 * p.dry_mass
        scale[MOISTURE + PER_PIECE * i] = p.rel_tolerance * 0.1
    scale[METAL_TEMP] = p.rel_tolerance * 10.0
    scale[ROOM_HUMIDITY] = p.rel_tolerance * 0.01


def exponential_step(h: float, p: Any, c: Any, d: Any, w: Any) -> float:
    """Bogacki-Shampine for what feeds back, exact lags for what follows; ``k[2]`` keeps their middle."""
    y, k, y_new, work, scale = w.y, w.k, w.y_new, w.trial, w.scale
    for i in range(N_DYNAMIC):
        work[i] = y[i] + 0.5 * h * k[0, i]
    derivatives(work, p, c, d, k[1])
    for i in range(N_DYNAMIC):
        work[i] = y[i] + MIDDLE * h * k[1, i]
    derivatives(work, p, c, d, k[2])
    for i in range(N_STATES):
        y_new[i] = y[i] + h * (2.0 * k[0, i] + 3.0 * k[1, i] + 4.0 * k[2, i]) / 9.0
    derivatives(y_new, p, c, d, k[3])
    worst = 0.0
    for i in (LOAD_ENTHALPY, MOISTURE, METAL_TEMP, ROOM_HUMIDITY):
        error = -5.0 * k[0, i] / 72.0 + k[1, i] / 12.0 + k[2, i] / 9.0 - k[3, i] / 8.0
        worst = max(worst, abs(h * error) / scale[i])
    for i in (EXHAUST_ELEMENT, HIGH_LIMIT_ELEMENT, COIL_TEMP):
        lag = lag_of(i, p)
        if h >= LEAST_SHARE * lag:
            start, middle = y[i] + lag * k[0, i], work[i] + lag * k[2, i]
            end = y_new[i] + lag * k[3, i]
            y_new[i] = follow(y[i], start, middle, end, h, lag, 1.0)
            k[3, i] = (end - y_new[i]) / lag
            k[2, i] = middle
    return worst


def value_within(i: int, y: Any, y_new: Any, k: Any, h: float, p: Any, theta: float) -> float:
    """State `i` at position `theta` of an exponential step."""
    lag = lag_of(i, p)
    if h < LEAST_SHARE * lag or lag == 0.0:
        return hermite(y[i], y_new[i], k[0, i], k[3, i], h, theta)
    return follow(y[i], y[i] + lag * k[0, i], k[2, i], y_new[i] + lag * k[3, i], h, lag, theta)


def value_of(cause: int, w: Any, h: float, p: Any, c: Any, theta: float) -> float:
    """What a cause watches, at position `theta` of an exponential step."""
    for i in range(N_DYNAMIC):
        w.trial[i] = value_within(i, w.y, w.y_new, w.k, h, p, theta)
    return quantity(cause, w.trial, w.trial, c).value


def exponential_crossing(w: Any, h: float, p: Any, c: Any) -> tuple[float, int]:
    """First threshold passed within an exponential step, by bisection on the exact path."""
    theta, which = 2.0, NO_CAUSE
    for cause in THRESHOLD_CAUSES:
        limit = threshold(cause, w.s, p, c)
        if not limit.waits:
            continue
        sign = 1.0 if limit.rising else -1.0
        if sign * (quantity(cause, w.y_new, w.y_new, c).value - limit.level) < 0.0:
            continue
        left, right = 0.0, 1.0
        for _ in range(40):
            middle = 0.5 * (left + right)
            if sign * (value_of(cause, w, h, p, c, middle) - limit.level) < 0.0:
                left = middle
            else:
                right = middle
        if right < theta:
            theta, which = right, cause
    return theta, which


class Method(NamedTuple):
    """An integration method: evaluations a step and what it replaces."""

    name: str
    evaluations: int
    replaces: tuple[tuple[Callable[..., Any], Callable[..., Any]], ...]


METHODS = (
    Method("Bogacki-Shampine 3(2)", 3, ()),
    Method("Heun 2(1)", 2, ((stepper.step, heun_step), (stepper.step_factor, heun_factor))),
    Method(
        "Dormand-Prince 5(4)",
        6,
        ((stepper.step, dormand_prince_step), (stepper.step_factor, dormand_prince_factor)),
    ),
    Method(
        "exponential lags, 3(2)",
        3,
        (
            (stepper.step, exponential_step),
            (stepper.error_scale, exponential_scale),
            (triggers.earliest_crossing, exponential_crossing),
        ),
    ),
)


@cache
def engine_with(method: Method) -> Any:
    """Return the compiled row runner with the method in place."""
    made: dict[Any, Any] = {}
    options = {"error_model": "numpy", "nogil": True}
    for old, new in method.replaces:
        made[old] = twin(new, made, **options)
    return twin(run_rows, made, **options)
