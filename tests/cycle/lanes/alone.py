"""A single function carried out on vectors, compiled by itself, for tests of how that is done."""

from __future__ import annotations

import ctypes
from collections.abc import Callable
from typing import Any

import llvmlite.binding as llvm
import numpy as np
from llvmlite import ir
from numpy.typing import NDArray

from dryermodel.cycle.run.lanes.memory import Rows
from dryermodel.cycle.run.lanes.translator import Walker
from dryermodel.cycle.run.lanes.values import FLOAT, WIDTH

_KEPT: list[Any] = []
"""Compilers whose code is in use."""

Abreast = Callable[..., NDArray[np.float64]]


def on_lanes(function: Callable[..., Any], arguments: int, results: int = 1, memory: int = 0) -> Abreast:
    """The vector form of `function` of so many floats, which returns a float or a tuple of them.

    With `memory`, its last argument is a row of so many numbers, which it may read and write, and what is
    returned are those.
    """
    module = ir.Module()
    entry = ir.Function(module, ir.FunctionType(ir.VoidType(), [FLOAT.as_pointer()] * 3), "entry")
    for arg in entry.args:
        arg.add_attribute("noalias")
    builder = ir.IRBuilder(entry.append_basic_block())
    walker = Walker(builder, {})
    given, got, row = entry.args
    args: list[Any] = [walker.read(Rows(given, (), i)) for i in range(arguments)]
    if memory:
        args.append(Rows(row, (memory,)))
    value = walker.call(function, args)
    if not memory:
        for i, part in enumerate(value if results > 1 else (value,)):
            walker.write(Rows(got, (), i), part)
    builder.ret_void()
    address = _address(module)
    call = ctypes.CFUNCTYPE(None, *[ctypes.c_void_p] * 3)(address)

    def run(*values: Any, row: Any = None) -> NDArray[np.float64]:
        columns = [
            np.resize(np.asarray(value, dtype=float), -(-np.size(value) // WIDTH) * WIDTH) for value in values
        ]
        out: list[NDArray[np.float64]] = []
        for start in range(0, len(columns[0]), WIDTH):
            a = np.ascontiguousarray([column[start : start + WIDTH] for column in columns])
            held = np.zeros((max(memory, 1), WIDTH)) if row is None else np.array(row, dtype=float)
            found = np.full((results, WIDTH), -7.0)
            call(a.ctypes.data, found.ctypes.data, held.ctypes.data)
            out.append(held if memory else found)
        numbers = np.concatenate(out, axis=1)[:, : np.size(values[0])]
        return numbers if results > 1 or memory else numbers[0]

    return run


def _address(module: ir.Module) -> int:
    llvm.initialize_native_target()
    llvm.initialize_native_asmprinter()
    parsed = llvm.parse_assembly(str(module))
    parsed.verify()
    machine = llvm.Target.from_default_triple().create_target_machine(
        cpu=llvm.get_host_cpu_name(), features=llvm.get_host_cpu_features().flatten(), opt=2
    )
    engine = llvm.create_mcjit_compiler(parsed, machine)
    engine.finalize_object()
    _KEPT.append(engine)
    return int(engine.get_function_address("entry"))


def ulps(found: NDArray[np.float64], right: NDArray[np.float64]) -> NDArray[np.float64]:
    """Error in units in the last place of what is right."""
    return np.abs(found - right) / np.spacing(np.maximum(np.abs(right), np.finfo(float).tiny))
