"""The engine's smooth part for all lanes: vector code that numba links into what calls it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any, NamedTuple

import numpy as np
from llvmlite import ir
from numba.core import types
from numba.extending import intrinsic

from dryermodel.cycle.engine.causes import NO_CAUSE
from dryermodel.cycle.engine.constants import Constants
from dryermodel.cycle.engine.equations import Drive, derivatives
from dryermodel.cycle.engine.loop import stride
from dryermodel.cycle.engine.parameters import Parameters
from dryermodel.cycle.engine.state import N_STATES
from dryermodel.cycle.engine.switching import N_DISCRETE
from dryermodel.cycle.engine.tally import is_full, record
from dryermodel.cycle.engine.triggers import Due
from dryermodel.cycle.engine.workspace import STAGES, Workspace
from dryermodel.cycle.run.lanes.memory import Fields, Rows, aligned, parts_of, size_of
from dryermodel.cycle.run.lanes.translator import Walker
from dryermodel.cycle.run.lanes.values import FLOAT, WHOLE, WIDTH

COUNTED = ("evaluations", "steps", "rejected_steps", "load_temp_max_K", "exhaust_element_max_K")
"""What steps add to or raise in an outcome."""

RUNS, CAUSE, DUE_CAUSE = 0, 1, 2
"""Rows of `Abreast.turns`."""


class Abreast(NamedTuple):
    """Arrays of machines abreast: what one machine has as a number is a row of them, one in each lane."""

    y: Any  # (N_STATES, WIDTH)
    k: Any  # (STAGES, N_STATES, WIDTH)
    y_new: Any  # (N_STATES, WIDTH)
    y_mid: Any  # (N_STATES, WIDTH)
    k_mid: Any  # (N_STATES, WIDTH)
    trial: Any  # (N_STATES, WIDTH)
    scale: Any  # (N_STATES, WIDTH)
    clock: Any  # (2, WIDTH)
    first: Any  # (N_STATES, WIDTH) rates just after a switching
    p: Any  # (numbers of Parameters, WIDTH)
    c: Any  # (numbers of Constants, WIDTH)
    d: Any  # (numbers of Drive, WIDTH)
    due: Any  # (1, WIDTH) [s] time of the next switching that depends on time alone
    counted: Any  # (len(COUNTED), WIDTH)
    s: Any  # (N_DISCRETE, WIDTH) whole numbers
    turns: Any  # (3, WIDTH) whole numbers: whether a lane runs, cause it stopped for, cause of what is due


SHAPES: dict[str, tuple[int, ...]] = {
    "y": (N_STATES,),
    "k": (STAGES, N_STATES),
    "y_new": (N_STATES,),
    "y_mid": (N_STATES,),
    "k_mid": (N_STATES,),
    "trial": (N_STATES,),
    "scale": (N_STATES,),
    "clock": (2,),
    "first": (N_STATES,),
    "p": (size_of(Parameters),),
    "c": (size_of(Constants),),
    "d": (size_of(Drive),),
    "due": (1,),
    "counted": (len(COUNTED),),
    "s": (N_DISCRETE,),
    "turns": (3,),
}
"""Shape of each array, without the lanes."""

WHOLE_NUMBERS = ("s", "turns")


def new_abreast() -> Abreast:
    """Room for machines abreast."""
    return Abreast(
        *(
            aligned(*SHAPES[name], WIDTH, dtype=np.int64 if name in WHOLE_NUMBERS else np.float64)
            for name in Abreast._fields
        )
    )


# vector functions ------------------------------------------------------------------------------------


def _declared(module: ir.Module, name: str, kinds: list[Any]) -> tuple[ir.Function, bool]:
    """A function of this module by name, and whether it is new."""
    full = f"dryermodel.{name}.abreast"
    if full in module.globals:
        return module.globals[full], False
    function = ir.Function(module, ir.FunctionType(ir.VoidType(), kinds), full)
    function.linkage = "internal"
    function.attributes.add("noinline")
    function.attributes.add("nounwind")
    for arg in function.args:
        arg.add_attribute("noalias")
    return function, True


@contextmanager
def _body(function: ir.Function) -> Iterator[ir.IRBuilder]:
    builder = ir.IRBuilder(function.append_basic_block("entry"))
    yield builder
    builder.ret_void()


def _rates(module: ir.Module) -> ir.Function:
    """The right-hand side: state, parameters, constants, drive, and where the rates go."""
    function, new = _declared(module, "rates", [FLOAT.as_pointer()] * 5)
    if new:
        y, p, c, d, rate = function.args
        with _body(function) as builder:
            Walker(builder, {}).call(
                derivatives,
                (
                    Rows(y, (N_STATES,)),
                    Fields(Parameters, p),
                    Fields(Constants, c),
                    Fields(Drive, d),
                    Rows(rate, (N_STATES,)),
                ),
            )
    return function


def _call_rates(walker: Walker, y: Rows, p: Fields, c: Fields, d: Fields, rate: Rows) -> None:
    starts = [y.pointer(walker.at), p.start, c.start, d.start, rate.pointer(walker.at)]
    walker.at.call(_rates(walker.at.module), starts)


def _nothing(walker: Walker, *args: Any) -> bool:
    """No tape is kept abreast: recording does nothing, and it is never full."""
    return False


def _stride(module: ir.Module) -> ir.Function:
    """One step of each lane that runs."""
    kinds = [(WHOLE if name in WHOLE_NUMBERS else FLOAT).as_pointer() for name in Abreast._fields]
    function, new = _declared(module, "stride", kinds)
    if new:
        with _body(function) as builder:
            _write_stride(builder, dict(zip(Abreast._fields, function.args, strict=True)))
    return function


def _write_stride(builder: ir.IRBuilder, start: dict[str, ir.Value]) -> None:
    apart: dict[Any, Callable[..., Any]] = {derivatives: _call_rates, record: _nothing, is_full: _nothing}
    walker = Walker(builder, apart)
    rows = {name: Rows(start[name], SHAPES[name]) for name in Abreast._fields}
    turns = [rows["turns"].part(i) for i in range(3)]
    walker.mask = walker.do.binary("!=", walker.read(turns[RUNS]), 0)
    due = Due(walker.read(rows["due"].part(0)), walker.read(turns[DUE_CAUSE]))
    kept: dict[str, Any] = {name: rows.get(name) for name in Workspace._fields}
    w = Workspace(**kept)
    records = (Fields(Parameters, start["p"]), Fields(Constants, start["c"]), Fields(Drive, start["d"]))
    out = _Counted(start["counted"])
    cause = walker.call(stride, (due, *records, w, out, None))
    walker.write(turns[CAUSE], walker.do.choose(walker.mask, cause, NO_CAUSE))


class _Counted(Fields):
    """The numbers of an outcome that steps change."""

    def __init__(self, start: ir.Value) -> None:
        super().__init__(None, start)

    def part(self, name: str) -> Rows:
        return Rows(self.start, (), COUNTED.index(name))


# what numba sees -------------------------------------------------------------------------------------


def _kernel(build: Callable[[ir.Module], ir.Function], arrays: tuple[str, ...]) -> Any:
    """Something that compiled code calls with an :class:`Abreast`."""

    def declare(typing: Any, abreast: Any) -> Any:
        def write(context: Any, builder: Any, signature: Any, args: Any) -> Any:
            (kind,) = signature.args
            starts = []
            for name in arrays:
                i = Abreast._fields.index(name)
                value = builder.extract_value(args[0], i)
                starts.append(context.make_array(kind.types[i])(context, builder, value=value).data)
            builder.call(build(builder.module), starts)
            return context.get_dummy_value()

        return types.void(abreast), write

    return intrinsic(declare)


rates_after_switchings = _kernel(_rates, ("y", "p", "c", "d", "first"))
"""Rates of every lane at its state, into `first`."""

stride_abreast = _kernel(_stride, Abreast._fields)
"""One step of every lane that runs."""


def _numbers(context: Any, builder: Any, kind: Any, value: Any) -> Iterator[Any]:
    if hasattr(kind, "types"):
        for i, part in enumerate(kind.types):
            yield from _numbers(context, builder, part, builder.extract_value(value, i))
    else:
        yield context.cast(builder, value, kind, types.float64)


def _built(context: Any, builder: Any, kind: Any, numbers: Iterator[Any]) -> Any:
    if hasattr(kind, "types"):
        parts = [_built(context, builder, part, numbers) for part in kind.types]
        return context.make_tuple(builder, kind, parts)
    return next(numbers)


def _places(context: Any, builder: Any, kind: Any, array: Any, lane: Any) -> Iterator[Any]:
    start = context.make_array(kind)(context, builder, value=array).data
    row = 0
    while True:
        yield builder.gep(start, [builder.add(lane, lane.type(row * WIDTH))])
        row += 1


def _put_record(typing: Any, array: Any, lane: Any, record: Any) -> Any:

    def write(context: Any, builder: Any, signature: Any, args: Any) -> Any:
        kind, _, record = signature.args
        places = _places(context, builder, kind, args[0], args[1])
        for number, place in zip(_numbers(context, builder, record, args[2]), places, strict=False):
            builder.store(number, place)
        return context.get_dummy_value()

    return types.void(array, types.intp, record), write


put_record: Any = intrinsic(_put_record)
"""Write a record of floats into one lane of an array, a number a row."""


def _type_of(kind: Any) -> Any:
    """What numba calls a record of nested named tuples of floats."""
    if not hasattr(kind, "_fields"):
        return types.float64
    base: Any = types.BaseTuple
    return base.from_types([_type_of(part) for part in parts_of(kind).values()], kind)


def _reader(kind: Any) -> Any:
    """Something that reads a record of a kind from one lane of an array."""

    def declare(typing: Any, array: Any, lane: Any) -> Any:
        def read(context: Any, builder: Any, signature: Any, args: Any) -> Any:
            places = _places(context, builder, signature.args[0], args[0], args[1])
            return _built(context, builder, signature.return_type, (builder.load(place) for place in places))

        return _type_of(kind)(array, types.intp), read

    return intrinsic(declare)


constants_at = _reader(Constants)
"""Constants of the machine in one lane, from `Abreast.c`."""

drive_at = _reader(Drive)
"""Drive of the machine in one lane, from `Abreast.d`."""


def _lent(context: Any, builder: Any, kind: Any, value: Any) -> Any:
    if hasattr(kind, "types"):
        values = [builder.extract_value(value, i) for i in range(len(kind.types))]
        parts = [_lent(context, builder, *pair) for pair in zip(kind.types, values, strict=True)]
        return context.make_tuple(builder, kind, parts)
    array = context.make_array(kind)(context, builder, value=value)
    array.meminfo = context.get_constant_null(types.voidptr)
    array.parent = context.get_constant_null(types.pyobject)
    return array._getvalue()


def _declare_lent(typing: Any, arrays: Any) -> Any:
    def write(context: Any, builder: Any, signature: Any, args: Any) -> Any:
        return _lent(context, builder, signature.args[0], args[0])

    return arrays(arrays), write


lent: Any = intrinsic(_declare_lent)
"""The same arrays, without counting who uses them: counting costs more than most of what is done with them.

Whoever calls the compiled code holds them until it returns.
"""
