"""Control of the step's length, the cubic on each half of a step, and where it passes a threshold.

References
----------
.. [1] E. Hairer, S. P. Norsett, G. Wanner, Solving Ordinary Differential Equations I, 2nd ed.,
   sec. II.4 (step-size control) and II.6 (Hermite interpolation).
.. [2] M. Dowell, P. Jarratt, "A modified regula falsi method for computing the root of an equation",
   BIT 11 (1971) 168-174.
.. [3] G. Farin, Curves and Surfaces for CAGD, 5th ed., 2002, sec. 4.3 (convex hull of a Bezier curve).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from dryermodel.cycle.engine.parameters import Parameters
from dryermodel.cycle.engine.state import (
    DIAL,
    LOAD_ENTHALPY,
    MOISTURE,
    MOST_PIECES,
    PER_PIECE,
    ROOM_HUMIDITY,
    SENSOR_WARMTH,
    TEMPERATURES,
)

if TYPE_CHECKING:
    from dryermodel.cycle.engine.arrays import Vector


def error_scale(p: Parameters, scale: Vector) -> None:
    """Size of a tolerable error of each dynamic state, into `scale`.

    The tolerance is relative to what matters: 10 K, a tenth of the dry mass in water, 10 K of load.
    """
    tol = p.rel_tolerance
    for i in range(MOST_PIECES):
        scale[LOAD_ENTHALPY + PER_PIECE * i] = tol * 2.0e4 * p.dry_mass
        scale[MOISTURE + PER_PIECE * i] = tol * 0.1
    for i in TEMPERATURES:
        scale[i] = tol * 10.0
    scale[SENSOR_WARMTH] = tol
    scale[DIAL] = tol * 60.0
    scale[ROOM_HUMIDITY] = tol * 0.01


def step_factor(error: float) -> float:
    """Factor for the next step size from a relative `error`, between 0.2 and 5 [1]_.

    Where the error is not a number no step would do: the longest takes such a run to its time limit soonest.

    Examples
    --------
    >>> step_factor(1.0), step_factor(0.0)
    (0.9, 5.0)
    """
    if not error > 1.0e-4:
        return 5.0
    return min(5.0, max(0.2, 0.9 * math.exp(-0.2 * math.log(error))))


def hermite(a: float, b: float, fa: float, fb: float, h: float, theta: float) -> float:
    """Cubic through two values and two slopes [1]_.

    Parameters
    ----------
    a, b : float
        Values at the ends.
    fa, fb : float
        Slopes at the ends, per second.
    h : float
        Length of the interval [s].
    theta : float
        Where, 0 to 1.

    Examples
    --------
    >>> hermite(0.0, 8.0, 0.0, 12.0, 2.0, 0.5)  # t**3 at t = 1
    1.0
    """
    u = 1.0 - theta
    bend = h * (u * fa - theta * fb)
    # From the nearer end, so that both ends are met and what rests keeps its value to the last bit.
    if theta <= 0.5:
        return a + theta * (theta * (3.0 - 2.0 * theta) * (b - a) + u * bend)
    return b + u * (u * (1.0 + 2.0 * theta) * (a - b) + theta * bend)


def first_crossing(a: float, b: float, fa: float, fb: float, h: float, level: float, rising: bool) -> float:
    """Where a step's cubic first passes `level` in the given direction.

    The cubic is taken piece by piece between its turning points, so a value that passes the level and
    returns within one step is caught however often it does so. It stays within its four control points [3]_:
    where these are on one side of the level there is nothing to look for.

    Parameters
    ----------
    a, b, fa, fb, h : float
        As in :func:`hermite`.
    level : float
        The threshold.
    rising : bool
        Direction of the passage.

    Returns
    -------
    float
        Position 0 to 1 in the step, or 2 when it does not pass.

    Examples
    --------
    >>> round(first_crossing(0.0, 8.0, 0.0, 12.0, 2.0, 1.0, True), 9)
    0.5
    >>> first_crossing(0.0, 8.0, 0.0, 12.0, 2.0, 9.0, True)
    2.0
    """
    sign = 1.0 if rising else -1.0
    if sign * (a - level) >= 0.0:
        return 0.0
    third = h / 3.0
    nearest = sign * max(sign * b, sign * (a + third * fa), sign * (b - third * fb))
    if sign * (nearest - level) < 0.0:
        return 2.0
    one, two = turning_points(a, b, fa, fb, h)
    left = 0.0
    for right in (one, two, 1.0):
        value = b if right == 1.0 else hermite(a, b, fa, fb, h, right)
        if sign * (value - level) >= 0.0:
            return _passage(a, b, fa, fb, h, level, sign, left, right)
        left = right
    return 2.0


def _passage(
    a: float, b: float, fa: float, fb: float, h: float, level: float, sign: float, left: float, right: float
) -> float:
    """Where the cubic passes `level` between `left` (before it) and `right` (at or beyond it).

    The Illinois variant of regula falsi [2]_, with a bisection at every fourth turn as a guard; the
    answer lies at or just beyond the level.
    """
    g_left = sign * (hermite(a, b, fa, fb, h, left) - level)
    g_right = sign * (hermite(a, b, fa, fb, h, right) - level)
    side = 0
    for count in range(200):
        middle = (left * g_right - right * g_left) / (g_right - g_left)
        if count % 4 == 3 or not left < middle < right:
            middle = 0.5 * (left + right)
        g = sign * (hermite(a, b, fa, fb, h, middle) - level)
        if g < 0.0:
            left, g_left = middle, g
            g_right = 0.5 * g_right if side == -1 else g_right
            side = -1
        else:
            right, g_right = middle, g
            g_left = 0.5 * g_left if side == 1 else g_left
            side = 1
        if g == 0.0 or right - left < 1.0e-14:
            break
    return right


def turning_points(a: float, b: float, fa: float, fb: float, h: float) -> tuple[float, float]:
    """Positions in ascending order where the slope of a step's cubic is zero; 1 where there is none.

    Examples
    --------
    >>> turning_points(0.0, 0.0, 4.0, -4.0, 1.0)
    (0.5, 1.0)
    """
    if h <= 0.0:
        return 1.0, 1.0
    mean = (b - a) / h
    square = 3.0 * (fa + fb) - 6.0 * mean
    linear = 6.0 * mean - 4.0 * fa - 2.0 * fb
    below = linear * linear - 4.0 * square * fa
    if below <= 0.0:
        return 1.0, 1.0
    # The stable pair of roots: one by the sum of like signs, the other from their product.
    root = -0.5 * (linear + math.copysign(math.sqrt(below), linear))
    one = root / square if square != 0.0 else 1.0
    two = fa / root if root != 0.0 else 1.0
    one = one if 0.0 < one < 1.0 else 1.0
    two = two if 0.0 < two < 1.0 else 1.0
    return min(one, two), max(one, two)


def hermite_slope(a: float, b: float, fa: float, fb: float, h: float, theta: float) -> float:
    """Slope of the cubic of :func:`hermite` at `theta`, per second.

    Examples
    --------
    >>> hermite_slope(0.0, 8.0, 0.0, 12.0, 2.0, 0.5)  # 3 t**2 at t = 1
    3.0
    """
    u = 1.0 - theta
    return 6.0 * theta * u * (b - a) / h + u * (1.0 - 3.0 * theta) * fa + theta * (3.0 * theta - 2.0) * fb
