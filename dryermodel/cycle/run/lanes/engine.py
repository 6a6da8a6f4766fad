"""The compiled engine that runs machines abreast, where the processor has what it takes."""

from __future__ import annotations

import hashlib
import inspect
from collections.abc import Callable
from functools import cache
from types import ModuleType
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from dryermodel.cycle.run.reach import fingerprint

if TYPE_CHECKING:
    from dryermodel.cycle.run.compiled import Twinned

WHOLE = (
    (
        "dryermodel.physics.",
        "dryermodel.cycle.engine.",
        "dryermodel.machine.",
        "dryermodel.cycle.run.lanes.rows",
    ),
    ("usual_root", "read_air", "constants_of", "press_start", "run_abreast", "switched", "begin_cycle"),
)
"""What is compiled into its callers, and what of that is not. With the smooth part on vectors, passing
records among the functions of the discrete part would cost a fifth of the whole."""

NEEDED = ("avx2", "fma")
"""What a processor must have: vectors of four floats and products with a sum. Measured with these, and with
vectors of eight; with less the gain is small."""


@cache
def is_worthwhile() -> bool:
    """Whether this processor runs machines abreast faster than one after another."""
    import llvmlite.binding

    features = llvmlite.binding.get_host_cpu_features()
    return all(features.get(name, False) for name in NEEDED)


def numbers_of(rows: NDArray[np.void]) -> NDArray[np.float64]:
    """Parameter rows as plain numbers, in the same memory."""
    return rows.view(np.float64).reshape(len(rows), rows.dtype.itemsize // 8)


def twinned(rows: NDArray[np.void], out: NDArray[np.void]) -> Twinned:
    """What to compile, with no rows to run and none to write."""
    from dryermodel.cycle.run.compiled import Inlining, Twinned
    from dryermodel.cycle.run.lanes.rows import run_abreast, scratch

    nothing = np.zeros(0), np.zeros(0, dtype=np.int64)
    arguments = (rows, numbers_of(rows), *nothing, scratch(), out)
    return Twinned(run_abreast, arguments, _made_of(), Inlining(*WHOLE))


def _made_of() -> str:
    """Short hash of what the vector code is made of and by."""
    from dryermodel.cycle.engine.equations import derivatives
    from dryermodel.cycle.engine.loop import stride
    from dryermodel.cycle.run.lanes import (
        elementary,
        expressions,
        kernels,
        memory,
        source,
        translator,
        values,
    )

    modules: tuple[ModuleType, ...] = (elementary, expressions, kernels, memory, source, translator, values)
    digest = hashlib.sha256()
    for part in (fingerprint(derivatives), fingerprint(stride), *map(inspect.getsource, modules)):
        digest.update(part.encode())
    return digest.hexdigest()[:16]


def run(
    engine: Callable[..., Any], rows: NDArray[np.void], when: Any, what: Any, out: NDArray[np.void]
) -> None:
    """Run a block of cycles on the compiled :func:`~dryermodel.cycle.run.lanes.rows.run_abreast`."""
    from dryermodel.cycle.run.lanes.rows import scratch

    engine(rows, numbers_of(rows), when, what, scratch(), out)
