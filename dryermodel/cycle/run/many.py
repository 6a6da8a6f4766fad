"""Many cycles: the same engine, compiled, on all cores, with flat memory.

Where the processor has wide vectors, eight machines run abreast on each core
(:mod:`dryermodel.cycle.run.lanes`); else one after another.

Blocks of cycles are handed to any :class:`concurrent.futures.Executor`. The default is a pool of
threads, which run side by side because the compiled engine needs no interpreter; an executor that
reaches other processes or other machines works as well, since a block is a plain function of plain
arrays.
"""

from __future__ import annotations

from collections.abc import Callable, Generator, Iterable, Iterator, Sequence
from concurrent.futures import Executor, Future, ThreadPoolExecutor
from dataclasses import astuple
from operator import itemgetter
from os import cpu_count
from threading import Lock
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from dryermodel.cycle.engine.outcome import OUTCOMES, Outcome
from dryermodel.cycle.engine.parameters import Parameters
from dryermodel.cycle.engine.state import MOST_PIECES
from dryermodel.cycle.run.rows import run_rows, scratch

if TYPE_CHECKING:
    from dryermodel.cycle.run.compiled import Twinned

BLOCK = 500
"""Cycles handed out at a time: a fraction of a second of work."""

PARAMETER_ROW = np.dtype(
    [
        (name, "f8", (MOST_PIECES,)) if name.startswith("piece_") else (name, "f8")
        for name in Parameters._fields
    ]
)
"""One parameter set as a row of a structured array."""

_ENGINES: dict[str, Callable[..., Any]] = {}
"""Compiled engines that this process has: `RECORDING`, `ABREAST`."""

RECORDING, ABREAST = "recording", "abreast"
"""The engine that runs cycles one by one and can record them, and the one that runs several abreast."""

_ONE_AT_A_TIME = Lock()

OUTCOME_ROW = np.dtype([(name, "f8") for name in OUTCOMES])
"""One outcome as a row of a structured array."""


def blank_outcomes(n: int) -> NDArray[np.void]:
    """Rows for `n` runs to write into."""
    rows = np.empty(n, OUTCOME_ROW)
    rows[:] = np.array(astuple(Outcome()), OUTCOME_ROW)
    return rows


def run_block(
    rows: NDArray[np.void], when: NDArray[Any], what: NDArray[Any], abreast: bool | None = None
) -> NDArray[np.void]:
    """Run a block of cycles on the compiled engine; what an executor is given.

    Parameters
    ----------
    rows : structured ndarray of PARAMETER_ROW, shape (n,)
        Parameter sets.
    when, what : ndarray, shape (k,)
        Interruptions of every cycle: times [s] and codes.
    abreast : bool, optional
        Whether machines run abreast; by default where the processor is made for it.

    Returns
    -------
    structured ndarray of OUTCOME_ROW, shape (n,)
    """
    from dryermodel.cycle.run.lanes.engine import is_worthwhile, run

    out = blank_outcomes(len(rows))
    # Rows of another layout would be another type to numba: a compilation of its own.
    rows = np.require(rows, PARAMETER_ROW, ["C_CONTIGUOUS", "ALIGNED", "WRITEABLE"])
    if is_worthwhile() if abreast is None else abreast:
        run(prepare(ABREAST), rows, when, what, out)
    else:
        prepare()(rows, when, what, *scratch(0), out)
    return out


def prepare(which: str = RECORDING, announce: Callable[[str], None] | None = None) -> Any:
    """Return a compiled engine, compiling it if need be.

    Parameters
    ----------
    which : str
        `RECORDING` for :func:`~dryermodel.cycle.run.rows.run_rows`, `ABREAST` for
        :func:`~dryermodel.cycle.run.lanes.rows.run_abreast`.
    announce : callable, optional
        Told before a compilation, which takes noticeable time; by default a line on stderr.
    """
    from dryermodel.cycle.run.compiled import compiled

    with _ONE_AT_A_TIME:
        if which not in _ENGINES:
            _ENGINES[which] = compiled(_engine(which), announce)
    return _ENGINES[which]


def prepare_many(announce: Callable[[str], None] | None = None) -> None:
    """Compile the engine of many cycles if need be; arguments as for :func:`prepare`."""
    from dryermodel.cycle.run.lanes.engine import is_worthwhile

    prepare(ABREAST if is_worthwhile() else RECORDING, announce)


def at_hand() -> bool:
    """Whether the engine that can record is in this process, or can be loaded without compiling."""
    from dryermodel.cycle.run.compiled import is_kept

    return RECORDING in _ENGINES or is_kept(_engine(RECORDING))


def _engine(which: str) -> Twinned:
    from dryermodel.cycle.run.compiled import Twinned
    from dryermodel.cycle.run.lanes.engine import twinned

    rows, out = np.zeros(0, PARAMETER_ROW), blank_outcomes(0)
    if which == ABREAST:
        return twinned(rows, out)
    return Twinned(run_rows, (rows, np.zeros(0), np.zeros(0, dtype=np.int64), *scratch(0), out))


def parameters_of(row: np.void) -> Parameters:
    """Return a row of parameters as the engine's own record."""
    fields: Any = row.item()
    values: Any = (tuple(map(float, v)) if np.ndim(v) else float(v) for v in fields)
    return Parameters(*values)


Machines = Iterable[Parameters] | NDArray[np.void] | Iterable[NDArray[np.void]]
"""Cycles to run: a record of parameters each, or rows of them, all at once or in blocks."""


def as_rows(parameters: Iterable[Parameters]) -> NDArray[np.void]:
    """Return parameter sets as one structured array."""
    return np.array([tuple(p) for p in parameters], dtype=PARAMETER_ROW)


def simulate_many(
    parameters: Machines,
    *,
    interruptions: Sequence[tuple[float, int]] = (),
    executor: Executor | None = None,
    workers: int | None = None,
) -> NDArray[np.void]:
    """Simulate many cycles and keep the outcome of each.

    Parameters
    ----------
    parameters : iterable of Parameters, or structured ndarray of PARAMETER_ROW, or iterable of such
        One cycle each. A generator is consumed block by block; blocks of rows are run as they come.
    interruptions : sequence of (float, int)
        The same for all cycles: time [s] and code.
    executor : concurrent.futures.Executor, optional
        Where blocks run. It is not shut down. By default a pool of threads, one a core.
    workers : int, optional
        Number of threads of the default pool, positive.

    Returns
    -------
    structured ndarray of OUTCOME_ROW, shape (n,)
        In the order of `parameters`.

    Examples
    --------
    >>> from dryermodel import load_scenario
    >>> p = load_scenario("standard").to_parameters()
    >>> out = simulate_many([p, p._replace(vent_resistance_factor=8.0)])
    >>> [int(n) for n in out["high_limit_trips"]][0]
    0
    """
    blocks = list(
        simulate_blocks(parameters, interruptions=interruptions, executor=executor, workers=workers)
    )
    return np.concatenate(blocks) if blocks else np.zeros(0, OUTCOME_ROW)


def in_order(interruptions: Sequence[tuple[float, int]]) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    """Times [s], ascending, and codes of interruptions; those of one time stay in the order given.

    Examples
    --------
    >>> when, what = in_order([(9.0, 1), (5.0, 4), (5.0, 2)])
    >>> when.tolist(), what.tolist()
    ([5.0, 5.0, 9.0], [4, 2, 1])
    """
    planned = sorted(interruptions, key=itemgetter(0))
    return np.array([t for t, _ in planned], dtype=float), np.array([c for _, c in planned], dtype=np.int64)


def simulate_blocks(
    parameters: Machines,
    *,
    interruptions: Sequence[tuple[float, int]] = (),
    executor: Executor | None = None,
    workers: int | None = None,
) -> Generator[NDArray[np.void], None, None]:
    """Like :func:`simulate_many`, block by block as they are done, in order.

    At most a few blocks are in flight, so memory stays flat however many cycles there are.
    """
    prepare_many()
    when, what = in_order(interruptions)
    count = workers or cpu_count() or 1
    pool = executor or ThreadPoolExecutor(count)
    try:
        waiting: list[Future[NDArray[np.void]]] = []
        for rows in _blocks(parameters):
            waiting.append(pool.submit(run_block, rows, when, what))
            if len(waiting) > 2 * count:
                yield waiting.pop(0).result()
        for done in waiting:
            yield done.result()
    finally:
        if executor is None:
            pool.shutdown(cancel_futures=True)


def _blocks(parameters: Machines) -> Iterator[NDArray[np.void]]:
    if isinstance(parameters, np.ndarray):
        for start in range(0, len(parameters), BLOCK):
            yield parameters[start : start + BLOCK]
        return
    batch: list[Parameters] = []
    for p in parameters:
        if isinstance(p, np.ndarray):
            yield p
            continue
        batch.append(p)
        if len(batch) == BLOCK:
            yield as_rows(batch)
            batch = []
    if batch:
        yield as_rows(batch)
