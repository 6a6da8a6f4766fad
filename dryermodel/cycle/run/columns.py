"""Plain functions of floats carried out on columns of numbers: the same source, many points at once.

What makes the parameters of one cycle is arithmetic on floats. Here its functions run unchanged on
:class:`Column`, an array that stands where a float would: one pass through the code makes the parameters of
hundreds of points. Results are those of the floats to the last bit, since numpy's four operations are IEEE's
and everything else (powers, roots, exponentials) is asked of Python's own `math`, number by number.

A condition that is true at some points and false at others cannot be followed on all of them at once:
:class:`Mixed` says where it holds, and the two kinds of points are computed apart.
"""

from __future__ import annotations

import math
import operator
from collections.abc import Callable, Iterable, Sequence
from dataclasses import fields, is_dataclass, replace
from itertools import repeat
from numbers import Real
from types import CodeType, FunctionType, ModuleType
from typing import Any

import numpy as np
from numpy.typing import NDArray

from dryermodel.errors import InputError

Array = NDArray[np.float64]

_PACKAGE = __name__.partition(".")[0]

FEW = 8
"""Points that are sooner computed one by one than split once more."""

REFUSED = (InputError, ArithmeticError, TypeError, ValueError)
"""What a function may raise on columns; one by one, its points then say themselves what is wrong."""


class Mixed(Exception):
    """A condition that holds at some points only."""

    def __init__(self, holds: NDArray[np.bool_]) -> None:
        super().__init__("holds at some points only")
        self.holds = holds


class Truth:
    """A condition at many points; as a truth value it must be the same at all of them."""

    __slots__ = ("holds",)

    def __init__(self, holds: NDArray[np.bool_]) -> None:
        self.holds = holds

    def __bool__(self) -> bool:
        first = bool(self.holds[0])
        if bool((self.holds == first).all()):
            return first
        raise Mixed(self.holds)


def _binary(operation: Callable[[Any, Any], Any], swapped: bool = False) -> Any:
    def method(self: Column, other: object) -> Any:
        if not isinstance(other, Real):
            return NotImplemented
        value = _values(other)
        return Column(operation(value, self.values) if swapped else operation(self.values, value))

    return method


def _compared(operation: Callable[[Any, Any], Any]) -> Any:
    def method(self: Column, other: object) -> Any:
        if not isinstance(other, Real):
            return NotImplemented
        return Truth(operation(self.values, _values(other)))

    return method


class Column:
    """Many numbers in the place of one float.

    >>> x = Column([1.0, 4.0])
    >>> (2.0 * x + 1.0).values.tolist(), bool(x > 0.5)
    ([3.0, 9.0], True)
    """

    __slots__ = ("values",)
    __hash__ = None  # type: ignore[assignment]
    __array_ufunc__ = None  # a number of numpy's leaves the operation to the column

    def __init__(self, values: Sequence[float] | Array) -> None:
        self.values = np.asarray(values, dtype=np.float64)

    __add__, __radd__ = _binary(operator.add), _binary(operator.add, True)
    __sub__, __rsub__ = _binary(operator.sub), _binary(operator.sub, True)
    __mul__, __rmul__ = _binary(operator.mul), _binary(operator.mul, True)
    __truediv__, __rtruediv__ = _binary(operator.truediv), _binary(operator.truediv, True)
    __lt__, __le__ = _compared(operator.lt), _compared(operator.le)
    __gt__, __ge__ = _compared(operator.gt), _compared(operator.ge)
    __eq__, __ne__ = _compared(operator.eq), _compared(operator.ne)

    def __pow__(self, other: object) -> Any:
        # Python's own power: numpy multiplies where the exponent is 2.
        return _each(operator.pow, self, other)

    def __rpow__(self, other: object) -> Any:
        return _each(operator.pow, other, self)

    def __neg__(self) -> Column:
        return Column(-self.values)

    def __abs__(self) -> Column:
        return Column(np.abs(self.values))

    def __bool__(self) -> bool:
        return bool(Truth(self.values != 0.0))


Real.register(Column)


def _values(value: object) -> Any:
    return value.values if isinstance(value, Column) else value


def _each(function: Callable[..., Any], *arguments: object) -> Any:
    """Call a function of floats number by number."""
    columns = [a.values.tolist() if isinstance(a, Column) else repeat(a) for a in arguments]
    found = np.array(list(map(function, *columns)))
    return Truth(found) if found.dtype == bool else Column(found)


def _on_columns(function: Callable[..., Any]) -> Callable[..., Any]:
    def called(*arguments: Any) -> Any:
        if any(isinstance(a, Column) for a in arguments):
            return _each(function, *arguments)
        return function(*arguments)

    return called


def _picking(better: Callable[[Any, Any], Any]) -> Callable[..., Any]:
    """`min` or `max` on columns: the first of equal ones, as Python takes it."""

    def pick(*given: Any) -> Any:
        best, *others = given if len(given) > 1 else tuple(given[0])
        for other in others:
            wins = better(other, best)
            if isinstance(wins, Truth):
                best = Column(np.where(wins.holds, _values(other), _values(best)))
            else:
                best = other if wins else best
        return best

    return pick


def _as_float(value: Any) -> Any:
    return value if isinstance(value, Column) else float(value)


def _as_int(value: Any) -> Any:
    return Column(np.trunc(value.values)) if isinstance(value, Column) else int(value)


def _sum(values: Iterable[Any]) -> Any:
    """`sum`, number by number: some versions of Python add up more finely than one after another."""
    return _on_columns(lambda *parts: sum(parts))(*values)


_BUILTINS = {
    "min": _picking(operator.lt),
    "max": _picking(operator.gt),
    "sum": _sum,
    "float": _as_float,
    "int": _as_int,
}


class _Room:
    """A module of ours, or `math`, whose functions take columns."""

    def __init__(self, module: ModuleType) -> None:
        self._module = module

    def __getattr__(self, name: str) -> Any:
        value = getattr(self._module, name)
        taken = _on_columns(value) if self._module is math and callable(value) else _stand_in(value, "")
        setattr(self, name, taken)
        return taken


def _stand_in(value: Any, home: str) -> Any:
    """What a name stands for in a function of the module `home` that is carried out on columns."""
    if isinstance(value, FunctionType):
        ours = value.__module__.startswith(f"{_PACKAGE}.") or value.__module__ == home
        return on_columns(value) if ours else value
    if isinstance(value, ModuleType):
        return _Room(value) if value is math or value.__name__.startswith(f"{_PACKAGE}.") else value
    if isinstance(value, dict) and any(map(_holds_functions, value.values())):
        return {key: _stand_in(held, home) for key, held in value.items()}
    if _holds_functions(value):
        return replace(value, **{f.name: _stand_in(getattr(value, f.name), home) for f in fields(value)})
    return value


def _holds_functions(value: Any) -> bool:
    """Whether it is an object to be called that is a dataclass: what it calls may be among its fields."""
    return is_dataclass(value) and not isinstance(value, type) and callable(value)


def _names(code: CodeType) -> set[str]:
    inner = (_names(part) for part in code.co_consts if isinstance(part, CodeType))
    return set(code.co_names).union(*inner)


_MADE: dict[Callable[..., Any], Any] = {}
"""Functions on columns that this process has."""


def on_columns(function: Callable[..., Any]) -> Any:
    """Return a function that takes :class:`Column` where the given one takes a float, made of its own code.

    Parameters
    ----------
    function : callable
        A plain function; what it calls of this package or of its own module by name, in a module, or out of a
        table of such functions, takes columns as well. Methods that it calls are left as they are.

    >>> from dryermodel.physics.moist_air import saturation_pressure
    >>> [round(float(p), 1) for p in on_columns(saturation_pressure)(Column([298.15, 308.15])).values]
    [3169.2, 5627.8]
    """
    if function in _MADE:
        return _MADE[function]
    assert isinstance(function, FunctionType)
    names: dict[str, Any] = {**function.__globals__, **_BUILTINS}
    made = FunctionType(
        function.__code__, names, function.__name__, function.__defaults__, function.__closure__
    )
    made.__kwdefaults__ = function.__kwdefaults__
    _MADE[function] = made  # before what it calls, which may call it
    for name in _names(function.__code__):
        if name in function.__globals__:
            names[name] = _stand_in(function.__globals__[name], function.__module__)
    return made


def over_columns(function: Callable[..., float], *arrays: Array) -> Array:
    """Return a plain function's values at many points.

    Parameters
    ----------
    function : callable
        Of floats.
    *arrays : ndarray, shape (n,)
        One for each of its arguments.

    >>> from dryermodel.physics.moist_air import saturation_pressure
    >>> [round(float(p)) for p in over_columns(saturation_pressure, np.linspace(263.15, 298.15, 8))]
    [260, 402, 611, 872, 1228, 1705, 2339, 3169]
    """
    out = np.empty(len(arrays[0]), [("value", "f8")])
    carried = on_columns(function)
    fill(out, np.column_stack(arrays), lambda c: (carried(*c),), lambda point: (function(*point),))
    return out["value"]


def fill(
    out: NDArray[np.void],
    points: Array,
    abreast: Callable[[list[Column]], Any],
    one: Callable[[list[float]], Any],
) -> None:
    """Compute a record at many points and write it into structured rows.

    Parameters
    ----------
    out : structured ndarray, shape (n,)
        Rows to write into; their fields are the record's, in its order.
    points : ndarray, shape (n, k)
        Numbers that the record is computed from.
    abreast : callable
        The record of `k` columns: numbers, columns, and tuples of them.
    one : callable
        The record of `k` floats; where there is anything that cannot be computed abreast it is asked for
        every point in their order, so that the first that is wrong is told.
    """
    try:
        _fill(out, points, np.arange(len(points)), abreast, one)
    except REFUSED:
        for i, point in enumerate(points.tolist()):
            out[i] = tuple(one(point))


def _fill(out: NDArray[np.void], points: Array, places: NDArray[np.int64], abreast: Any, one: Any) -> None:
    if len(places) < FEW:
        for i in places.tolist():
            out[i] = tuple(one(points[i].tolist()))
        return
    try:
        # Python raises where numpy would give infinity or not a number.
        with np.errstate(divide="raise", invalid="raise", over="ignore", under="ignore"):
            record = abreast([Column(column) for column in np.ascontiguousarray(points[places].T)])
    except Mixed as found:
        _fill(out, points, places[found.holds], abreast, one)
        _fill(out, points, places[~found.holds], abreast, one)
        return
    _write(out, places, record)


def _write(out: NDArray[np.void], places: NDArray[np.int64], record: Any) -> None:
    rows = np.empty(len(places), out.dtype)
    rows[:] = np.array([_first(record)], out.dtype)
    for name, value in zip(out.dtype.names or (), record, strict=True):
        if isinstance(value, Column):
            rows[name] = value.values
        elif isinstance(value, tuple):
            for i, part in enumerate(value):
                if isinstance(part, Column):
                    rows[name][:, i] = part.values
    out[places] = rows


def _first(record: Sequence[Any]) -> tuple[Any, ...]:
    """The record at the first point."""
    firsts = (
        _first(v) if isinstance(v, tuple) else v.values[0] if isinstance(v, Column) else v for v in record
    )
    return tuple(firsts)
