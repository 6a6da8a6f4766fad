"""Exponentials and logarithms as plain arithmetic against the C library's, interpreted and on vectors."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest
from numpy.typing import NDArray

from dryermodel.cycle.run.lanes import elementary
from tests.cycle.lanes.alone import on_lanes, ulps

COUNT = 20_000


def arguments(name: str) -> NDArray[np.float64]:
    """Arguments over the whole range of a function, more of them where it is used."""
    rng = np.random.default_rng(7)
    if name == "log":
        return np.concatenate([10.0 ** rng.uniform(-300, 300, COUNT), rng.uniform(0.5, 2.0, COUNT)])
    wide = rng.uniform(-706.0, 709.0, COUNT) if name == "exp" else rng.uniform(-60.0, 709.0, COUNT)
    small = rng.choice([-1.0, 1.0], COUNT) * 10.0 ** rng.uniform(-300, 0, COUNT)
    return np.concatenate([wide, rng.uniform(-2.0, 2.0, COUNT), small])


BOUND = {"exp": 2.0, "expm1": 3.0, "log": 2.0}


@pytest.mark.parametrize("name", BOUND)
def test_within_a_few_units_in_the_last_place(name: str) -> None:
    x = arguments(name)
    right = np.array([getattr(math, name)(value) for value in x.tolist()])
    own: Callable[[float], float] = getattr(elementary, name)
    assert ulps(np.array([own(value) for value in x.tolist()]), right).max() < BOUND[name]
    assert ulps(on_lanes(own, 1)(x), right).max() < BOUND[name]


@pytest.mark.parametrize(
    ("name", "x", "right"),
    [
        ("exp", 0.0, 1.0),
        ("exp", -1e300, 0.0),
        ("exp", -math.inf, 0.0),
        ("exp", 709.79, math.inf),
        ("exp", math.inf, math.inf),
        ("exp", math.nan, math.nan),
        ("expm1", 0.0, 0.0),
        ("expm1", -math.inf, -1.0),
        ("expm1", math.inf, math.inf),
        ("expm1", math.nan, math.nan),
        ("log", 1.0, 0.0),
        ("log", 0.0, -math.inf),
        ("log", 5e-324, -math.inf),
        ("log", -1.0, math.nan),
        ("log", -math.inf, math.nan),
        ("log", math.inf, math.inf),
        ("log", math.nan, math.nan),
    ],
)
def test_at_the_ends_of_the_range(name: str, x: float, right: float) -> None:
    found = on_lanes(getattr(elementary, name), 1)([x])[0]
    assert np.array_equal(found, right, equal_nan=True)


def test_powers_as_the_equations_use_them() -> None:
    rng = np.random.default_rng(8)
    x, y = 10.0 ** rng.uniform(-12, 3, COUNT), rng.uniform(0.1, 3.0, COUNT)
    right = x**y
    bound = 2.0 + 2.0 * np.abs(y * np.log(x))
    assert (ulps(on_lanes(elementary.power, 2)(x, y), right) < bound).all()
    assert on_lanes(elementary.power, 2)([0.0, 1.0], [0.7, 3.0]).tolist() == [0.0, 1.0]


def test_the_parts_of_a_float_go_together() -> None:
    for one in (1.0, 0.75, 3e-300, 7e300, math.pi):
        assert elementary.mantissa(one) * 2.0 ** elementary.exponent(one) == one
    x = np.array([1.0, 0.75, 3e-300, 7e300, math.pi, 2.0, 0.5, 1e-10])
    m, e = on_lanes(parts, 1, results=2)(x)
    assert np.array_equal(np.ldexp(m, e.astype(int)), x)
    assert ((m >= 0.5) & (m < 1.0)).all()


def test_two_to_a_whole_power_and_the_nearest_whole() -> None:
    k = np.array([-1022.0, -1.0, 0.0, 1.0, 52.0, 1023.0, 10.0, -300.0])
    assert np.array_equal(on_lanes(two_to, 1)(k), 2.0**k)
    x = np.array([0.4, 0.5, 1.5, -2.5, -0.6, 1e9 + 0.3, 0.0, 7.0])
    assert np.array_equal(on_lanes(whole, 1)(x), np.round(x))


def parts(x: float) -> tuple[float, float]:
    return elementary.mantissa(x), elementary.exponent(x)


def two_to(k: float) -> float:
    return elementary.power_of_two(k)


def whole(x: float) -> float:
    return elementary.nearest_whole(x)
