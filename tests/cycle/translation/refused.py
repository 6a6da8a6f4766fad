"""Functions that have no certain translation; the line at fault ends in ``# here:`` and what is said."""

from __future__ import annotations

import math
import textwrap
from functools import cache
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np

if TYPE_CHECKING:
    from dryermodel.cycle.engine.arrays import Matrix, Vector
    from dryermodel.machine.circuit import Contacts

WORD = "text"
VISITS: list[int] = []


class Pair(NamedTuple):
    first: float
    second: float


def two(a: float) -> tuple[float, float]:
    return a, a


def text() -> Any:
    return "text"  # here: str


def text_of_the_module() -> Any:
    return WORD  # here: str


def comprehension(a: int) -> Any:
    return [2 * i for i in range(a)]  # here: ListComp


def dictionary() -> Any:
    return {1: 2}  # here: Dict


def raising(a: float) -> float:
    if a < 0.0:
        raise ValueError  # here: Raise
    return a


def guarded(a: float) -> float:
    try:  # here: Try
        return 1.0 / a
    except ZeroDivisionError:
        return 0.0


def other_library() -> Any:
    return textwrap.dedent(WORD)  # here: ours


def method(p: Pair) -> Any:
    return p.count(1.0)  # here: not known


def unknown_field(p: Pair) -> Any:
    return p.third  # type: ignore[attr-defined]  # here: no field third


def field_by_position(p: Pair) -> Any:
    return p[0]  # here: by position


def unknown_function(a: float) -> Any:
    return math.gamma(a)  # here: math.gamma


def logarithm_to_a_base(a: float) -> Any:
    return math.log(a, 2.0)  # here: 2 arguments


def vague_condition(a: Any) -> float:
    return 1.0 if a else 2.0  # here: write a comparison


def vague_choice(a: float, b: float) -> float:
    return a or b  # here: and/or


def tuple_equality(a: float) -> bool:
    return (a, a) == (a, 1.0)  # here: equality


def identity(a: float, b: float) -> bool:
    return a is b  # here: None


def call_in_a_chain(a: float) -> bool:
    return 0.0 < sum_of(a) < 2.0  # here: a call


def sum_of(a: float) -> float:
    return a + 1.0


def unpacking_of_anything(a: Any) -> float:
    b, c = a  # here: such a tuple
    return b + c  # type: ignore[no-any-return]


def uneven(a: float) -> float:
    b, c, d = two(a)  # type: ignore[misc]  # here: such a tuple
    return b + c + d  # type: ignore[no-any-return]


def missing_argument() -> float:
    return sum_of()  # type: ignore[call-arg]  # here: argument a is missing


def too_many(a: float) -> float:
    return sum_of(a, a)  # type: ignore[call-arg]  # here: do not fit


def wrong_name(a: float) -> float:
    return sum_of(b=a)  # type: ignore[call-arg]  # here: argument b


def variable_step(a: int) -> int:
    for i in range(0, 9, a):  # here: step
        return i
    return a


def loop_with_an_end(a: int) -> int:
    for _ in range(a):  # here: else
        pass
    else:
        return 1
    return 2


def loop_over_anything(a: Any) -> float:
    for b in a:  # here: a loop over
        return float(b)
    return 0.0


def row_replaced(k: Any) -> None:
    table = np.zeros((2, 2))
    table[:] = k  # here: slice


def named_row_replaced(k: Matrix, row: Vector) -> None:
    k[0] = row  # here: row


def field_replaced(p: Pair) -> None:
    p.first = 1.0  # type: ignore[misc]  # here: field of a named tuple


def field_of_a_type_imported_for_checkers(c: Contacts) -> Any:
    return c.lid  # type: ignore[attr-defined]  # here: no field lid


def stepped(k: Any) -> Any:
    return k[::2]  # here: step


def three_dimensions() -> Any:
    return np.zeros((2, 2, 2))  # here: two dimensions


def small_floats() -> Any:
    return np.zeros(2, dtype=np.float32)  # here: float or int64


def computed_while_it_runs(a: float) -> Any:
    return np.exp(a)  # here: np.exp


def changing_list() -> int:
    VISITS.append(1)  # here: not known
    return 0


def inner(a: float) -> float:
    def twice(b: float) -> float:  # here: FunctionDef
        return 2.0 * b

    return twice(a)


def matrix_product(a: Any) -> Any:
    return a @ a  # here: MatMult


def keeping(a: float) -> float:
    global WORD  # here: Global
    return a


def idle(a: float) -> float:
    a + 1.0  # here: does nothing
    return a


@cache
def remembered(a: float) -> float:
    return a


def decorated(a: float) -> Any:
    return remembered(a)  # here: remembered


def starred(a: float, *others: float) -> float:
    return a


def any_number(a: float) -> float:
    return starred(a)  # here: not plain
