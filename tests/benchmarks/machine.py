"""The machine as every opponent gets it: all but the integration, compiled, on plain arrays.

A stretch is begun (contacts settled, thresholds and the next switching in time looked up), some
integrator carries the state to its end, and the switching is carried out. None of that is timed
differently for one opponent than for another.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import cache
from importlib import import_module
from typing import Any, NamedTuple, TypeVar

import numpy as np

from dryermodel.cycle.engine import loop, switching, triggers
from dryermodel.cycle.engine import state as Y
from dryermodel.cycle.engine.causes import CAUSE_TIME_LIMIT, NO_CAUSE, THRESHOLD_CAUSES
from dryermodel.cycle.engine.constants import constants_of
from dryermodel.cycle.engine.equations import Drive, derivatives
from dryermodel.cycle.engine.parameters import NEVER, Parameters
from dryermodel.cycle.engine.switching import MIDWAY_PASSED, N_DISCRETE, STRETCH
from dryermodel.cycle.run.compiled import twin
from dryermodel.cycle.run.many import PARAMETER_ROW
from dryermodel.machine.timer import OFF
from dryermodel.scenario.model import load_scenario

F = TypeVar("F", bound=Callable[..., Any])
OPTIONS: dict[str, Any] = {"error_model": "numpy"}
WATCHES = len(THRESHOLD_CAUSES)
FIRST_STEP = 8.0


def compiler() -> Any:
    """Numba; its own annotations know neither records nor functions of C."""
    return import_module("numba")


def jit(function: F) -> F:
    """Compile a function, as the engine is compiled."""
    twinned: F = compiler().njit(**OPTIONS)(function)
    return twinned


@cache
def example() -> Any:
    """Constants of some machine: how many numbers they are, and in what records."""
    return constants_of(load_scenario("standard").to_parameters())


def _paths(value: Any, path: str) -> Iterator[str]:
    if hasattr(value, "_fields"):
        for name in value._fields:
            yield from _paths(getattr(value, name), f"{path}.{name}")
    else:
        yield path


def _built(value: Any, index: Iterator[int]) -> str:
    if hasattr(value, "_fields"):
        return f"{type(value).__name__}({', '.join(_built(part, index) for part in value)})"
    return f"a[{next(index)}]"


def _records(value: Any) -> dict[str, type[Any]]:
    found: dict[str, type[Any]] = {}
    if hasattr(value, "_fields"):
        found[type(value).__name__] = type(value)
        for part in value:
            found |= _records(part)
    return found


def carriers(value: Any) -> tuple[Callable[[Any, Any], None], Callable[[Any], Any], int]:
    """Functions that write nested records into an array and make them again; how many numbers they are.

    >>> from dryermodel.machine.timer import CamContacts
    >>> write, made, count = carriers(CamContacts(1.0, 2.0, 3.0))
    >>> made([4.0, 5.0, 6.0]), count
    (CamContacts(main=4.0, heat=5.0, direct=6.0), 3)
    """
    paths = list(_paths(value, "v"))
    lines = "\n".join(f"    a[{i}] = {path}" for i, path in enumerate(paths))
    names: dict[str, Any] = _records(value)
    exec(
        f"def write(v, a):\n{lines}\ndef made(a):\n    return {_built(value, iter(range(len(paths))))}", names
    )
    return names["write"], names["made"], len(paths)


def compiled_carriers(value: Any) -> tuple[Any, Any]:
    """The two functions, compiled."""
    write, made, _ = carriers(value)
    return jit(write), jit(made)


DATA = np.dtype(
    [
        ("p", PARAMETER_ROW),
        ("constants", "f8", (carriers(example())[2],)),
        ("drive", "f8", (len(Drive._fields),)),
        ("causes", "i8", (WATCHES,)),
        ("levels", "f8", (WATCHES,)),
        ("ways", "i4", (WATCHES,)),
        ("calls", "i8"),
        ("due_time", "f8"),
        ("due_cause", "i8"),
    ]
)
"""What stays the same during a stretch, and the count of right-hand sides called."""


class Compiled(NamedTuple):
    """The machine's parts for numba; `row` is a record of DATA."""

    start: Any  # (row, y, s): the press of the start button
    begin: Any  # (row, t, y, s) -> whether the cycle goes on; fills in the stretch that begins
    rates: Any  # (row, y, rate)
    distances: Any  # (row, y, found): of each threshold, 1 where nothing is waited for
    finish: Any  # (row, hit, y, s) -> whether the cycle goes on; carries out the switching


@cache
def compiled_machine() -> Compiled:
    """Compile the parts."""
    made: dict[Any, Any] = {}
    initial, settle, constants, smooth, threshold, watched, next_time_event, switch = (
        twin(function, made, **OPTIONS)
        for function in (
            loop.initial_state,
            switching.settle,
            constants_of,
            derivatives,
            triggers.threshold,
            triggers.quantity,
            triggers.next_time_event,
            triggers.switch,
        )
    )
    write_c, made_c = compiled_carriers(example())
    write_d, made_d = compiled_carriers(Drive(*[0.0] * len(Drive._fields)))
    causes = THRESHOLD_CAUSES

    @jit
    def start(row: Any, y: Any, s: Any) -> None:
        initial(row.p, y, s)
        s[MIDWAY_PASSED] = 1
        write_c(constants(row.p), row.constants)

    @jit
    def begin(row: Any, t: float, y: Any, s: Any) -> bool:
        d = settle(s, y, row.p)
        write_d(d, row.drive)
        c = made_c(row.constants)
        for i in range(WATCHES):
            limit = threshold(causes[i], s, row.p, c)
            row.causes[i] = causes[i] if limit.waits else NO_CAUSE
            row.levels[i] = limit.level
            row.ways[i] = 1 if limit.rising else -1
        due = next_time_event(t, y, s, row.p, d, NEVER)
        row.due_time = due.time
        row.due_cause = due.cause
        return bool(s[STRETCH] != OFF)

    @jit
    def rates(row: Any, y: Any, rate: Any) -> None:
        row.calls += 1
        smooth(y, row.p, made_c(row.constants), made_d(row.drive), rate)

    @jit
    def distances(row: Any, y: Any, found: Any) -> None:
        c = made_c(row.constants)
        for i in range(WATCHES):
            waits = row.causes[i] != NO_CAUSE
            found[i] = watched(row.causes[i], y, y, c).value - row.levels[i] if waits else 1.0

    @jit
    def finish(row: Any, hit: int, y: Any, s: Any) -> bool:
        cause = row.causes[hit] if hit >= 0 else row.due_cause
        switch(cause, y, s, row.p)
        return bool(cause != CAUSE_TIME_LIMIT)

    return Compiled(start, begin, rates, distances, finish)


class Bench:
    """One machine on the bench of an integrator that is driven from Python.

    Numba's way from Python into compiled code is taken with arrays, the quickest it has.
    """

    def __init__(self) -> None:
        self.data = np.zeros(1, DATA)
        self.y, self.s = np.zeros(Y.N_STATES), np.zeros(N_DISCRETE, dtype=np.int64)
        parts = compiled_machine()

        @jit
        def start(data: Any, y: Any, s: Any) -> None:
            parts_start(data[0], y, s)

        @jit
        def begin(data: Any, t: float, y: Any, s: Any) -> bool:
            return parts_begin(data[0], t, y, s)  # type: ignore[no-any-return]

        @jit
        def rates(data: Any, y: Any, rate: Any) -> None:
            parts_rates(data[0], y, rate)

        @jit
        def distances(data: Any, y: Any, found: Any) -> None:
            parts_distances(data[0], y, found)

        @jit
        def finish(data: Any, hit: int, y: Any, s: Any) -> bool:
            return parts_finish(data[0], hit, y, s)  # type: ignore[no-any-return]

        parts_start, parts_begin, parts_rates, parts_distances, parts_finish = parts
        self.start, self.begin, self.rates = start, begin, rates
        self.distances, self.finish = distances, finish

    def cycle(self, p: Parameters, advance: Callable[[float, float], tuple[float, int]]) -> tuple[float, int]:
        """Cycle time [s] and calls of the right-hand side.

        `advance` carries ``self.y`` from one time towards another; it returns how far it came and which
        threshold ended it, or -1.
        """
        self.data["p"][0] = tuple(p)
        self.data["calls"] = 0
        self.start(self.data, self.y, self.s)
        t = 0.0
        while self.begin(self.data, t, self.y, self.s):
            due, hit = float(self.data["due_time"][0]), -1
            if due > t:
                t, hit = advance(t, due)
            if not self.finish(self.data, hit, self.y, self.s):
                break
        return t, int(self.data["calls"][0])
