"""What the outlet collars of many machines show: the sums of one, compiled for many."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, Any

import numpy as np

from dryermodel.cycle.run.many import PARAMETER_ROW, parameters_of
from dryermodel.readings.collar import Collar, at_collar

if TYPE_CHECKING:
    from numpy.typing import NDArray

MANY = 300
"""Machines from which on the sums are compiled: 2 s once, against 0.1 ms a machine."""

_COMPILED: list[Any] = []
"""The compiled sums that this process has."""


def collar_rows(rows: NDArray[np.void], out: NDArray[np.float64]) -> None:
    """Write what the collar of each machine shows into its row of `out`, compiled like the engine.

    Parameters
    ----------
    rows : structured ndarray of PARAMETER_ROW, shape (n,)
        Machines; in the compiled form a row has the fields of `Parameters`.
    out : ndarray, shape (n, 4)
        As :class:`~dryermodel.readings.collar.Collar`.
    """
    for i in range(len(rows)):
        shown = at_collar(rows[i])
        out[i, 0] = shown.static
        out[i, 1] = shown.flow
        out[i, 2] = shown.duct_flow
        out[i, 3] = shown.density


def at_collars(rows: NDArray[np.void]) -> NDArray[np.float64]:
    """Return :func:`~dryermodel.readings.collar.at_collar` of many machines.

    Parameters
    ----------
    rows : structured ndarray of PARAMETER_ROW, shape (n,)
        Machines.

    Returns
    -------
    ndarray, shape (4, n)
        Fields of :class:`~dryermodel.readings.collar.Collar` [SI].
    """
    out = np.empty((len(rows), len(Collar._fields)))
    if len(rows) < MANY:
        for i, row in enumerate(rows):
            out[i] = at_collar(parameters_of(row))
    else:
        _compiled()(np.require(rows, PARAMETER_ROW, ["C_CONTIGUOUS", "ALIGNED", "WRITEABLE"]), out)
    return out.T


def _compiled() -> Any:
    from dryermodel.cycle.run.compiled import Twinned, compiled

    if not _COMPILED:
        nothing = np.zeros(0, PARAMETER_ROW), np.zeros((0, len(Collar._fields)))
        _COMPILED.append(compiled(Twinned(collar_rows, nothing), _announce))
    return _COMPILED[0]


def _announce(line: str) -> None:
    print(
        "dryermodel: compiling the sums at the outlet collar, once (about 2 s) ...",
        file=sys.stderr,
        flush=True,
    )
