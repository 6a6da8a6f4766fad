"""Small functions whose translation could go wrong, each with the arguments to try."""

from __future__ import annotations

import math
from math import copysign as sign_of
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np

from tests.cycle.translation import namesakes
from tests.cycle.translation.namesakes import LEVEL as OTHER_LEVEL
from tests.cycle.translation.namesakes import other as namesake

if TYPE_CHECKING:
    from dryermodel.cycle.engine.arrays import Matrix, Vector

NAN, INF = float("nan"), float("inf")
NUMBERS = (0.0, -0.0, 1.0, -1.0, 2.5, -2.5, 7.0, -7.25, 1e-300, 1e300, INF, -INF, NAN)
PAIRS = tuple((a, b) for a in NUMBERS for b in NUMBERS)
WHOLE = (0, 1, -1, 2, -2, 3, 7, -7, 12, -13)
WHOLE_PAIRS = tuple((a, b) for a in WHOLE for b in WHOLE)
NOT_BY_ZERO = tuple((a, b) for a, b in PAIRS if b != 0.0 and not math.isinf(a))
FLAGS = tuple((a, b) for a in (True, False) for b in (True, False))

LEVEL = 3.0
TABLE = ((1.0, 2.0), (3.0, -4.0))
MINUS_NOTHING = -0.0
delete = 5  # a word of JavaScript


class Pair(NamedTuple):
    first: float
    default: float = 2.0  # a word of JavaScript as a field
    full: bool = False


class Workspace(NamedTuple):
    y: Vector
    k: Matrix
    full: bool = False


def sums(a: float, b: float) -> float:
    return a + b * a - b


def division(a: float, b: float) -> float:
    return a / b


def floor_division(a: float, b: float) -> float:
    return a // b


def whole_division(a: int, b: int) -> int:
    return a // b


def remainder(a: float, b: float) -> float:
    return a % b


def whole_remainder(a: int, b: int) -> int:
    return a % b


def whole_product(a: int, b: int) -> float:
    return math.copysign(1.0, a * b)


def whole_negation(a: int) -> float:
    return math.copysign(1.0, -a)


def zero_written_out(a: float) -> float:
    return math.copysign(a, -0) + math.copysign(10.0, -0.0) + math.copysign(100.0, MINUS_NOTHING)


def larger(a: float, b: float) -> float:
    return max(a, b)


def smaller_of_three(a: float, b: float) -> float:
    return min(a, b, 2.0)


def towards_zero(a: float) -> int:
    return int(a)


def sign_of_truncated(a: float) -> float:
    return math.copysign(1.0, int(a)) + math.copysign(10.0, math.ceil(a)) + math.floor(a)


def with_sign(a: float, b: float) -> float:
    return sign_of(a, b)


def squares(a: float) -> float:
    return a**2 + a**4


def power_of_one(a: float) -> float:
    return math.pow(1.0, a) + (-1.0) ** 2


def logarithms(a: float) -> float:
    return math.log10(a) + math.expm1(a) + math.log1p(a) + math.sqrt(a) + float(a**1.7)


def sorts_of_number(a: float) -> bool:
    return math.isnan(a) or math.isinf(a) or not math.isfinite(a * 10.0)


def between(a: float, b: float) -> bool:
    return -2.0 < a <= b < 8.0


def unequal(a: float, b: float) -> bool:
    return a != b and not (a == b or a > b)


def truth_of_number(a: float) -> int:
    return 1 if a else 2


def truth_of_whole(a: int, b: int) -> bool:
    return bool(a) and not b


def flags_as_numbers(a: bool, b: bool) -> float:
    return a + 2 * b + 0.5 * (a == 1) + 0.25 * (b is None)


def bits(a: int, b: int) -> int:
    found = a & b | 4 ^ a
    found |= 1 << 3
    return found + (~b >> 1)


def one_of(a: int, b: int) -> bool:
    return a in (1, b, 7) and b not in (2, 3)


def swapped(a: float, b: float) -> float:
    a, b = b, a
    a, c = a - b, a
    return a / 2.0 + c


def assigned_at_once(a: float, b: float) -> float:
    x = y = a - b
    x += 1.0
    return x - 3.0 * y


def exchanged(a: float, b: float) -> float:
    k = np.zeros(3)
    i = 1
    k[i], i = a, 2
    k[i], k[0] = b, k[1]
    return float(k[0] - 2.0 * k[1] + 3.0 * k[2])


def loop_variable_afterwards(a: int) -> int:
    i = -100
    if i > 0:
        pass
    for i in range(a):
        i *= 2
    return i


def loop_over_changed_bounds(a: int) -> int:
    found = 0
    for _ in range(a):
        a -= 1
        found += a
    return found


def counted(a: int, b: int) -> int:
    found = 0
    for i in range(a, b):
        if i == 2:
            continue
        if i > 5:
            break
        for j in range(b, a - 3, -2):
            found += i * j
    for k in (a, b, 7):
        found = found * 3 + k
    return found


def until(a: float) -> int:
    turns = 0
    while True:
        a *= 0.5
        turns += 1
        if not a > 0.25 or turns > 2000:
            return turns


def several(a: float, b: float) -> tuple[float, bool, int]:
    return a + b, a > b, 3


def unpacked(a: float, b: float) -> float:
    total, above, count = several(a, b)
    ends = (a, 3.0 * b)
    return total * count if above else ends[1]


def kept(a: float, b: float) -> float:
    pair = Pair(default=b, first=a)
    other = Pair(a)
    return pair.first - 2.0 * pair.default + other.default if not pair.full else 0.0


def optional(a: float, b: float = 2.0, c: float = -1.0) -> float:
    return a + 10.0 * b + 100.0 * c


def by_name(a: float) -> float:
    return optional(a) + optional(a, c=4.0, b=3.0) + optional(c=1.0, a=a)


def nothing(a: float) -> float | None:
    return None if a > 0.0 else a


def none_or_number(a: float) -> float:
    found = nothing(a)
    return 1.0 if found is None else 2.0 if found is not None else 3.0


def views(a: float, b: float) -> float:
    table = np.zeros((4, 3))
    row, rows, some = table[1], table[1:3], table[2][1:]
    row[0] = a
    rows[1, 2] = b
    some[0] = 5.0
    table[1, -1] = 7.0
    seen = table[1, 0] + 10.0 * table[2, 2] + 100.0 * table[2, 1] + 1000.0 * row[2]
    return float(seen) + len(some) + len(rows)


class Counter:
    """What a run writes into: fields that change."""

    hits: float = 0.0
    last: float = 0.0


def noted(counter: Counter, a: float) -> None:
    counter.hits += 1.0
    counter.last = a - counter.last


def views_of_a_workspace(a: float, b: float) -> float:
    w = Workspace(np.zeros(3), np.zeros((2, 3)))
    w.y[1], y = a, w.y
    y[1] += b
    w.k[0, 2] = 4.0
    return float(w.y[1]) if w.full else float(y[1] - w.k[0, 2])


def flags_of_array(a: int, b: int) -> int:
    s = np.zeros(2, dtype=np.int64)
    s[0], s[1] = a, b > 1
    s[1] += 2
    return int(s[0]) * 10 + int(s[1])


def words(new: float, var: float) -> float:
    function, Math, let = new, var, delete
    return function - 2.0 * Math + let


def switch(a: float) -> float:
    return a + 1.0


def hidden(LEVEL: float, b: float) -> float:
    switch = LEVEL * 2.0
    return switch + b


def other(a: float) -> float:
    return 100.0 * a


def both_namesakes(a: float, b: float) -> float:
    return other(a) + namesake(b) + LEVEL + OTHER_LEVEL + namesakes.LEVEL + switch(a)


def named_like_what_is_called(a: float, b: float) -> float:
    other = a - 1.0
    return other + namesake(b)


def from_tables(a: int, b: int) -> float:
    return TABLE[a][b] + TABLE[0][1] - math.pi + math.inf * TABLE[1][0]


def countdown(a: int) -> int:
    return 0 if a <= 0 else a + countdown(a - 1)


def silent(a: float, k: Any) -> None:
    """Write into an array; /* this is no comment */."""
    if a > 0.0:
        k[0] = a
        return
    k[0] = -1.0


def told_by_silent(a: float) -> float:
    k = np.zeros(1)
    silent(a, k)
    return float(k[0])


ONE = tuple((a,) for a in NUMBERS)
FINITE = tuple((a,) for a in NUMBERS if math.isfinite(a))
COUNTS = tuple((a,) for a in (0, 1, 2, 5, -3))
INDICES = ((0, 0), (0, 1), (1, 0), (1, 1))
ORDINARY = ((1.0, 2.0), (-3.5, 0.25), (0.0, 7.0))

SAMPLES: tuple[tuple[Any, Any], ...] = (
    (sums, PAIRS),
    (division, NOT_BY_ZERO),
    (floor_division, NOT_BY_ZERO),
    (whole_division, [(a, b) for a, b in WHOLE_PAIRS if b]),
    (remainder, NOT_BY_ZERO),
    (whole_remainder, [(a, b) for a, b in WHOLE_PAIRS if b]),
    (whole_product, WHOLE_PAIRS),
    (whole_negation, [(a,) for a in WHOLE]),
    (zero_written_out, ONE),
    (larger, PAIRS),
    (smaller_of_three, PAIRS),
    (towards_zero, [*FINITE[:8], (-0.5,), (0.5,)]),
    (sign_of_truncated, [*FINITE[:8], (-0.5,), (0.5,)]),
    (with_sign, PAIRS),
    (squares, FINITE[:8]),
    (power_of_one, ONE),
    (sorts_of_number, ONE),
    (between, PAIRS),
    (unequal, PAIRS),
    (truth_of_number, ONE),
    (truth_of_whole, WHOLE_PAIRS),
    (flags_as_numbers, FLAGS),
    (bits, WHOLE_PAIRS),
    (one_of, WHOLE_PAIRS),
    (swapped, ORDINARY),
    (assigned_at_once, ORDINARY),
    (exchanged, ORDINARY),
    (loop_variable_afterwards, COUNTS),
    (loop_over_changed_bounds, COUNTS),
    (counted, WHOLE_PAIRS),
    (until, ONE),
    (unpacked, ORDINARY),
    (kept, ORDINARY),
    (by_name, ONE),
    (none_or_number, ONE),
    (views, ORDINARY),
    (views_of_a_workspace, ORDINARY),
    (flags_of_array, WHOLE_PAIRS),
    (words, ORDINARY),
    (hidden, ORDINARY),
    (both_namesakes, ORDINARY),
    (named_like_what_is_called, ORDINARY),
    (from_tables, INDICES),
    (countdown, COUNTS),
    (told_by_silent, ONE),
)
"""Functions whose results must be the same bits."""

LIBRARY = ((logarithms, tuple((0.01 * 1.7**i,) for i in range(20))),)
"""Functions that call what each language's library rounds in its own way."""
