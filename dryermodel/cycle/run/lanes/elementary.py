"""Exponentials and logarithms as plain arithmetic, for vector units that have none of their own.

Written in the engine's own restricted Python, so that they run interpreted too. Errors are stated in units
in the last place (ulp) of the result, over the whole range of floats, and tested.

References
----------
.. [1] P. T. P. Tang, "Table-driven implementation of the exponential function in IEEE floating-point
   arithmetic", ACM Trans. Math. Softw. 15 (1989) 144-157: reduction by two parts of ln 2.
.. [2] W. J. Cody, W. Waite, Software Manual for the Elementary Functions, 1980: logarithm by
   ``s = f/(2 + f)`` and its odd series.
"""

from __future__ import annotations

import math

LOG2_E = 1.4426950408889634
LN2_HIGH, LN2_LOW = 6.93147180369123816490e-01, 1.90821492927058770002e-10
"""ln 2 in two parts; the first ends in zeros, so that its product with a small whole number is exact [1]_."""

LARGEST_EXPONENT, SMALLEST_EXPONENT = 709.782712893384, -707.0
"""Arguments of `exp` above which the result is infinite, and below which it is taken as 0."""

SMALLEST_NORMAL = 2.2250738585072014e-308

SQRT_HALF = 0.7071067811865476


def nearest_whole(x: float) -> float:
    """Nearest whole number, ties to even."""
    return float(round(x))


def power_of_two(k: float) -> float:
    """2**k of a whole number `k` from -1022 to 1023."""
    return math.ldexp(1.0, int(k))


def mantissa(x: float) -> float:
    """Mantissa of a normal positive `x`, from 0.5 up to but not 1."""
    return math.frexp(x)[0]


def exponent(x: float) -> float:
    """Exponent of a normal positive `x`, a whole number: ``x = mantissa(x) * 2**exponent(x)``."""
    return float(math.frexp(x)[1])


def _reduced(x: float) -> float:
    return nearest_whole(x * LOG2_E)


def _growth(x: float, k: float) -> float:
    """``exp(x - k ln 2) - 1``, by its series [1]_: thirteen terms leave a tenth of an ulp."""
    r = (x - k * LN2_HIGH) - k * LN2_LOW
    tail = 1.0 / 6227020800.0
    tail = 1.0 / 479001600.0 + r * tail
    tail = 1.0 / 39916800.0 + r * tail
    tail = 1.0 / 3628800.0 + r * tail
    tail = 1.0 / 362880.0 + r * tail
    tail = 1.0 / 40320.0 + r * tail
    tail = 1.0 / 5040.0 + r * tail
    tail = 1.0 / 720.0 + r * tail
    tail = 1.0 / 120.0 + r * tail
    tail = 1.0 / 24.0 + r * tail
    tail = 1.0 / 6.0 + r * tail
    return r + r * r * (0.5 + r * tail)


def exp(x: float) -> float:
    """``exp(x)`` within 2 ulp; 0 below `SMALLEST_EXPONENT`.

    Examples
    --------
    >>> exp(0.0), exp(-1e9), exp(1e9)
    (1.0, 0.0, inf)
    """
    held = min(max(x, SMALLEST_EXPONENT), LARGEST_EXPONENT)
    k = _reduced(held)
    # By two factors: the power of two of the largest numbers is beyond what a float holds.
    value = (1.0 + _growth(held, k)) * power_of_two(k - 1.0) * 2.0
    value = math.inf if x > LARGEST_EXPONENT else value
    value = 0.0 if x < SMALLEST_EXPONENT else value
    return value if x == x else x


def expm1(x: float) -> float:
    """``exp(x) - 1`` within 3 ulp.

    Examples
    --------
    >>> expm1(1e-12) == math.expm1(1e-12), expm1(-1e9)
    (True, -1.0)
    """
    held = min(max(x, -50.0), LARGEST_EXPONENT)
    k = _reduced(held)
    half = power_of_two(k - 1.0)
    value = 2.0 * (half * _growth(held, k) + (half - 0.5))
    value = math.inf if x > LARGEST_EXPONENT else value
    return value if x == x else x


def log(x: float) -> float:
    """Natural logarithm within 2 ulp; of numbers below the smallest normal one it is ``-inf``, of others NaN.

    Examples
    --------
    >>> log(1.0), log(0.0), log(math.inf)
    (0.0, -inf, inf)
    """
    m, e = mantissa(x), exponent(x)
    low = m < SQRT_HALF
    m = 2.0 * m if low else m
    e = e - 1.0 if low else e
    f = m - 1.0
    s = f / (2.0 + f)
    z = s * s
    series = 0.14798198605116586
    series = 0.15313837699209373 + z * series
    series = 0.1818357216161805 + z * series
    series = 0.22222198432149784 + z * series
    series = 0.2857142874366239 + z * series
    series = 0.3999999999940942 + z * series
    series = 0.6666666666666735 + z * series
    half_square = 0.5 * f * f
    value = e * LN2_HIGH - ((half_square - (s * (half_square + z * series) + e * LN2_LOW)) - f)
    value = -math.inf if x < SMALLEST_NORMAL else value
    value = math.inf if x == math.inf else value
    value = math.nan if x < 0.0 else value
    return value if x == x else x


def power(x: float, y: float) -> float:
    """``x**y`` of a positive `x`, or 0 where `y` is positive; within ``2 + 2 abs(y log x)`` ulp.

    Examples
    --------
    >>> round(power(2.0, 0.5), 12), power(0.0, 0.7)
    (1.414213562373, 0.0)
    """
    return exp(y * log(x))
