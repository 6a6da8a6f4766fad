"""CVODE at its best: the whole cycle compiled, the library called from machine code, no Python in between.

The shared library is the one that scikit-sundae brings along. Adams' formulas with fixed-point
iteration need no Jacobian.
"""

from __future__ import annotations

import ctypes
from collections.abc import Callable
from functools import cache
from importlib import import_module
from importlib.util import find_spec
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np

from dryermodel.cycle.engine.parameters import Parameters
from dryermodel.cycle.engine.state import N_STATES
from dryermodel.cycle.engine.switching import N_DISCRETE
from dryermodel.cycle.run.many import as_rows
from tests.benchmarks.machine import DATA, FIRST_STEP, OPTIONS, WATCHES, compiled_machine, compiler, jit
from tests.benchmarks.opponents import TYPICAL

ADAMS, ROOT_RETURN, NORMAL = 1, 2, 1

HANDLE, REAL, INT, LONG, ANY = ctypes.c_size_t, ctypes.c_double, ctypes.c_int, ctypes.c_long, ctypes.c_void_p

CALLS: dict[str, tuple[type[Any] | None, tuple[type[Any], ...]]] = {
    "CVodeReInit": (INT, (HANDLE, REAL, HANDLE)),
    "CVodeSetInitStep": (INT, (HANDLE, REAL)),
    "CVodeSetStopTime": (INT, (HANDLE, REAL)),
    "CVodeSetRootDirection": (INT, (HANDLE, ANY)),
    "CVode": (INT, (HANDLE, REAL, HANDLE, ANY, INT)),
    "CVodeGetRootInfo": (INT, (HANDLE, ANY)),
}
"""Functions that are called from compiled code: result and arguments."""


class Cvode(NamedTuple):
    """A solver ready for any number of cycles."""

    memory: int
    vector: int  # the state, as the library has it
    y: Any  # the same memory as an array
    data: Any  # one row of DATA
    kept_alive: Any


def library_file(part: str) -> Path | None:
    """A shared library of those that scikit-sundae brings along; None where its package has other files."""
    spec = find_spec("sksundae")
    if spec is None or spec.origin is None:
        return None
    folder = Path(spec.origin).parents[1] / "scikit_sundae.libs"
    return next(iter(sorted(folder.glob(f"libsundials_{part}-*.so*"))), None)


@cache
def library(part: str) -> ctypes.CDLL:
    """One of those libraries, loaded."""
    import_module("sksundae.cvode")  # loads what the libraries need themselves
    return ctypes.CDLL(str(library_file(part)))


@cache
def call(name: str) -> Any:
    """A function of CVODE that numba can call."""
    function = getattr(library("cvode"), name)
    function.restype, function.argtypes = CALLS[name][0], list(CALLS[name][1])
    return function


def c_function(signature: Any) -> Callable[[Callable[..., int]], Any]:
    """Compile a function that C can call."""
    made: Callable[[Callable[..., int]], Any] = compiler().cfunc(signature, **OPTIONS)
    return made


@cache
def callbacks() -> tuple[Any, Any]:
    """Right-hand side and thresholds as C functions."""
    numba = compiler()
    types = numba.types
    machine = compiled_machine()
    rates, distances = machine.rates, machine.distances
    pointer = library("nvecserial").N_VGetArrayPointer_Serial
    pointer.restype, pointer.argtypes = ctypes.POINTER(REAL), [HANDLE]
    whole = types.CPointer(numba.from_dtype(DATA))

    @c_function(types.int32(types.float64, types.uintp, types.uintp, whole))
    def right_hand_side(t: float, y: Any, rate: Any, data: Any) -> int:
        row = numba.carray(data, 1)[0]
        rates(row, numba.carray(pointer(y), N_STATES), numba.carray(pointer(rate), N_STATES))
        return 0

    @c_function(types.int32(types.float64, types.uintp, types.CPointer(types.float64), whole))
    def thresholds(t: float, y: Any, found: Any, data: Any) -> int:
        row = numba.carray(data, 1)[0]
        distances(row, numba.carray(pointer(y), N_STATES), numba.carray(found, WATCHES))
        return 0

    return right_hand_side, thresholds


def new_solver(rtol: float) -> Cvode:
    """A solver with Adams' formulas and fixed-point iteration."""
    core, cvode, vectors = library("core"), library("cvode"), library("nvecserial")
    context = HANDLE()
    core.SUNContext_Create(INT(0), ctypes.byref(context))
    y, scale, data = np.zeros(N_STATES), rtol * TYPICAL, np.zeros(1, DATA)
    vectors.N_VMake_Serial.restype = HANDLE
    vectors.N_VMake_Serial.argtypes = [ctypes.c_int64, ANY, HANDLE]
    vector = vectors.N_VMake_Serial(N_STATES, y.ctypes.data, context)
    tolerances = vectors.N_VMake_Serial(N_STATES, scale.ctypes.data, context)
    cvode.CVodeCreate.restype, cvode.CVodeCreate.argtypes = HANDLE, [INT, HANDLE]
    memory = cvode.CVodeCreate(ADAMS, context)
    right_hand_side, thresholds = callbacks()
    _check(cvode.CVodeInit, HANDLE(memory), ANY(right_hand_side.address), REAL(0.0), HANDLE(vector))
    _check(cvode.CVodeSVtolerances, HANDLE(memory), REAL(rtol), HANDLE(tolerances))
    _check(cvode.CVodeSetUserData, HANDLE(memory), ANY(data.ctypes.data))
    _check(cvode.CVodeRootInit, HANDLE(memory), INT(WATCHES), ANY(thresholds.address))
    cvode.SUNNonlinSol_FixedPoint.restype = HANDLE
    cvode.SUNNonlinSol_FixedPoint.argtypes = [HANDLE, INT, HANDLE]
    iteration = cvode.SUNNonlinSol_FixedPoint(vector, 0, context)
    _check(cvode.CVodeSetNonlinearSolver, HANDLE(memory), HANDLE(iteration))
    _check(cvode.CVodeSetMaxNumSteps, HANDLE(memory), LONG(100_000))
    return Cvode(memory, vector, y, data, (scale, context, tolerances, iteration))


def _check(function: Any, *arguments: Any) -> None:
    code = function(*arguments)
    if code != 0:
        raise RuntimeError(f"{function.__name__} gave {code}")


@cache
def compiled_cycles() -> Any:
    """Run a cycle for each parameter row; the compiled counterpart of ``Bench.cycle``."""
    start, begin, _, _, finish = compiled_machine()
    reinit, set_first, set_stop = call("CVodeReInit"), call("CVodeSetInitStep"), call("CVodeSetStopTime")
    directions, advance, root_info = call("CVodeSetRootDirection"), call("CVode"), call("CVodeGetRootInfo")

    @jit
    def cycles(rows: Any, memory: int, vector: int, y: Any, data: Any, out: Any) -> None:
        s, now, hits = np.zeros(N_DISCRETE, np.int64), np.zeros(1), np.zeros(WATCHES, np.int32)
        row = data[0]
        for n in range(len(rows)):
            row.p = rows[n]
            row.calls = 0
            start(row, y, s)
            t, goes_on = 0.0, True
            while goes_on and begin(row, t, y, s):
                hit = -1
                if row.due_time > t:
                    reinit(memory, t, vector)
                    set_first(memory, min(FIRST_STEP, row.due_time - t))
                    set_stop(memory, row.due_time)
                    directions(memory, row.ways.ctypes)
                    code = advance(memory, row.due_time, vector, now.ctypes, NORMAL)
                    if code < 0:
                        break
                    t = now[0]
                    if code == ROOT_RETURN:
                        root_info(memory, hits.ctypes)
                        for i in range(WATCHES):
                            if hits[i] != 0:
                                hit = i
                                break
                goes_on = finish(row, hit, y, s)
            out[n, 0], out[n, 1] = t, row.calls

    return cycles


def with_compiled_cvode(machines: list[Parameters], rtol: float) -> Any:
    """Cycle time [s] and right-hand sides of each machine, shape (n, 2)."""
    solver, out = new_solver(rtol), np.zeros((len(machines), 2))
    compiled_cycles()(as_rows(machines), solver.memory, solver.vector, solver.y, solver.data, out)
    return out
