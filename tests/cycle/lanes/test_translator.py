"""What Python says is what every lane does: conditions, returns, loops and memory."""

from __future__ import annotations

import math
from typing import Any, NamedTuple

import numpy as np
import pytest

from dryermodel.cycle.run.lanes import elementary
from dryermodel.cycle.run.lanes.source import NotTranslatable
from tests.cycle.lanes.alone import on_lanes

rng = np.random.default_rng(11)
A, B = rng.normal(size=160), rng.normal(size=160)
A[::7], B[::5] = 0.0, 0.0
A[3::40], B[9::40] = np.inf, -np.inf
B[::5] = A[::5]


class Pair(NamedTuple):
    """Two numbers."""

    one: float
    other: float


def sums(a: float, b: float) -> float:
    return (a + 2.0 * b) * a - b / (1.0 + a * a)


def least_and_most(a: float, b: float) -> float:
    return min(a, b, 0.5) - 3.0 * max(a, b) + abs(a) + math.copysign(2.0, b) + math.sqrt(abs(b))


def by_comparison(a: float, b: float) -> float:
    value = 0.0
    if a < b:
        value += 1.0
    if a <= b:
        value += 2.0
    if a > b:
        value += 4.0
    if a >= b:
        value += 8.0
    if a == b:
        value += 16.0
    if a != b:
        value += 32.0
    if -1.0 < a < b <= 1.0:
        value += 64.0
    return value


def by_logic(a: float, b: float) -> float:
    both = a > 0.0 and b > 0.0
    either = a > 1.0 or b > 1.0
    return (1.0 if both else 2.0) + (10.0 if either else 20.0) + (100.0 if not both else 200.0)


NEVER_SO, ALWAYS_SO = 1 > 2, 1 < 2


def by_what_is_known(a: float, b: float) -> float:
    value = 1.0 if a > b and NEVER_SO else 2.0
    value += 10.0 if a > b and ALWAYS_SO else 20.0
    value += 100.0 if a > b or NEVER_SO else 200.0
    value += 1000.0 if a > b or ALWAYS_SO else 2000.0
    return value + (0.5 if NEVER_SO or b > a else 0.25)


def early_return(a: float, b: float) -> float:
    if a < 0.0:
        return -a
    if b < 0.0:
        a += 10.0
        if a > 10.5:
            return a * b
    else:
        b = 3.0
    return a + b


def costly(a: float) -> float:
    total = 0.0
    for _ in range(3):
        total = total + a
    return total


def dear_side(a: float, b: float) -> float:
    if a > b:
        c = costly(a)
        d = 1.0
    else:
        c = 2.0
        d = costly(b)
    return c - d + (costly(c) if a > 5.0 else 0.25)


def pair_of(a: float, b: float) -> Pair:
    if a > b:
        return Pair(a, 1.0)
    return Pair(b, 1.0)


def records(a: float, b: float) -> float:
    pair = pair_of(a, b)
    one, other = pair
    return one + other * pair_of(b, a).one


def root_by_halves(a: float, b: float) -> float:
    low, high, passes = 0.0, 10.0, 0
    for count in range(60):
        middle = 0.5 * (low + high)
        if middle * middle < abs(b):
            low = middle
        else:
            high = middle
        passes = passes + 1 if count % 2 == 0 else passes
        if high - low < abs(a) + 1e-9:
            break
    return high + 100.0 * passes


def loop_for_some(a: float, b: float) -> float:
    if a < b:
        return -1.0
    value = a
    for _ in range(50):
        value = 0.5 * value
        if value < b:
            break
    return value


def over_a_tuple(a: float, b: float) -> float:
    left = 0.0
    for right in (a, b, 1.0):
        if right > 0.5:
            return left + 10.0 * right
        left = right
    return 7.0


def powers(a: float, b: float) -> float:
    small = math.exp(-abs(a)) + math.log(1.0 + abs(b)) + math.expm1(-abs(b))
    return small + math.pow(2.0, 3.0) + float(abs(b) ** 1.5)


def unlike_kinds(a: float, b: float) -> float:
    side = 0
    if a > b:
        side = -1
    elif a < b:
        side = 1
    return 2 * side + (5.0 if side == -1 else 7)


EXACT = [
    sums,
    least_and_most,
    by_comparison,
    by_logic,
    by_what_is_known,
    early_return,
    dear_side,
    records,
    root_by_halves,
    loop_for_some,
    over_a_tuple,
    unlike_kinds,
]


@pytest.mark.parametrize("function", EXACT, ids=lambda f: f.__name__)
def test_each_lane_does_what_python_does(function: Any) -> None:
    found = on_lanes(function, 2)(A, B)
    right = [function(a, b) for a, b in zip(A.tolist(), B.tolist(), strict=True)]
    # A product and a sum may be rounded once: no more than that.
    np.testing.assert_allclose(found, right, rtol=1e-14, atol=1e-14)


def test_functions_without_an_instruction() -> None:
    a, b = A[np.isfinite(A) & np.isfinite(B)], B[np.isfinite(A) & np.isfinite(B)]
    right = [powers(x, y) for x, y in zip(a.tolist(), b.tolist(), strict=True)]
    np.testing.assert_allclose(on_lanes(powers, 2)(a, b), right, rtol=1e-14)


def smallest(a: float, b: float) -> float:
    return min(a, b)


def largest(a: float, b: float) -> float:
    return max(a, b)


@pytest.mark.parametrize("function", [smallest, largest, by_comparison, by_logic])
def test_nothing_but_numbers_compares_as_in_python(function: Any) -> None:
    a, b = [math.nan, 1.0, math.nan, 2.0], [1.0, math.nan, math.nan, 3.0]
    found = on_lanes(function, 2)(a, b)
    assert np.array_equal(found, [function(x, y) for x, y in zip(a, b, strict=True)], equal_nan=True)


def into_memory(a: float, b: float, row: Any) -> None:
    row[0] = a
    if a > b:
        row[1] = costly(a)
        row[0] += 5.0
        if b > 0.0:
            row[2] = b
    else:
        row[1] -= 1.0
    i = 1
    row[3] = row[i] + row[2]


def test_memory_is_written_in_the_lanes_that_say_so() -> None:
    start = rng.normal(size=(4, 8))
    found = on_lanes(into_memory, 2, memory=4)(A[8:16], B[8:16], row=start)
    for lane in range(8):
        row = start[:, lane].copy()
        into_memory(float(A[8 + lane]), float(B[8 + lane]), row)
        np.testing.assert_allclose(found[:, lane], row, rtol=1e-14)


def test_a_lane_that_is_not_a_number_harms_no_other() -> None:
    a, b = A.copy(), B.copy()
    a[::8] = np.nan
    kept = np.arange(len(a)) % 8 != 0
    for function in EXACT:
        one, other = on_lanes(function, 2)(A, B), on_lanes(function, 2)(a, b)
        assert np.array_equal(one[kept], other[kept], equal_nan=True), function.__name__


def leaves_in_the_middle(a: float) -> float:
    for _ in range(9):
        if a > 3.0:
            break
        a = a + 1.0
    return a


def goes_while(a: float) -> float:
    while a < 3.0:
        a = a + 1.0
    return a


def asks_for_text(a: float) -> float:
    return a + len(f"{a}")


def unheard_of(a: float) -> float:
    return float(a + no_such_name)  # type: ignore[name-defined]  # noqa: F821


@pytest.mark.parametrize(
    ("function", "what"),
    [
        (leaves_in_the_middle, "left by its last statement only"),
        (goes_while, "While"),
        (asks_for_text, "JoinedStr"),
        (unheard_of, "the name no_such_name"),
    ],
)
def test_what_has_no_form_is_refused_by_name(function: Any, what: str) -> None:
    with pytest.raises(NotTranslatable, match=what) as caught:
        on_lanes(function, 1)
    assert function.__name__ in str(caught.value)


def test_a_constant_is_settled_beforehand() -> None:
    found = on_lanes(with_constants, 1)([1.0, 2.0])
    assert found.tolist() == [with_constants(1.0), with_constants(2.0)]


def with_constants(a: float) -> float:
    return a + math.sqrt(2.0) + 2.0**3


def test_the_own_exponential_is_the_one_used() -> None:
    x = np.linspace(-3.0, 3.0, 16)
    assert np.array_equal(on_lanes(by_library, 1)(x), on_lanes(elementary.exp, 1)(x))


def by_library(a: float) -> float:
    return math.exp(a)
