"""Burns that the high limit ended, told from those that the thermostat ended.

On a wet load only the limit, or a thermostat that opens far too early, ends a burn. The limit's gaps are of
one length and the thermostat's of another, since one cools sheet metal by the burner and the other a disc in
the exhaust; where both come in one run, the gaps change their length from one to the next.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

RATIO = 1.35
"""Gaps of limit and thermostat differ at least by this [1]; in the model by 1.5 to 4."""

APART = 3.0
"""A thermostat in the exhaust opens at exhaust temperatures that are less far apart than this [K],
assumed."""


def turn(gaps: list[float]) -> int | None:
    """How many gaps come before their length changes for good; None if it does not.

    Parameters
    ----------
    gaps : list of float
        Lengths [s], in order.

    Examples
    --------
    >>> turn([33.0, 33.0, 34.0, 140.0, 131.0, 130.0]), turn([60.0, 66.0, 72.0, 80.0])
    (3, None)
    """
    logs = np.log(np.maximum(np.array(gaps, dtype=np.float64), 1.0))
    if len(logs) < 2:
        return None
    best = min(range(1, len(logs)), key=lambda k: _scatter(logs, k))
    leap = abs(float(logs[best:].mean() - logs[:best].mean()))
    spread = math.sqrt(_scatter(logs, best) / len(logs))
    step = abs(float(logs[best] - logs[best - 1]))
    return best if min(leap, step) > max(math.log(RATIO), 2.5 * spread) else None


def _scatter(logs: NDArray[np.float64], k: int) -> float:
    """Sum of squares about the means before and from place `k` on."""
    return float(np.var(logs[:k]) * k + np.var(logs[k:]) * (len(logs) - k))


def trips(
    wet: tuple[bool, ...], gaps: list[float], cut_outs: tuple[float, ...], fewest: int = 1
) -> tuple[float, float, int] | None:
    """Trips of the high limit, their uncertainty, and how many burns at first are its own.

    Parameters
    ----------
    wet : tuple of bool
        Whether each burn ended on a wet load.
    gaps : list of float
        Lengths of the gaps between the burns [s].
    cut_outs : tuple of float
        Exhaust temperature at the end of each burn [K]; empty where it is not known.
    fewest : int
        Burns that the exhaust's temperature must show at least to be believed.

    Returns
    -------
    tuple or None
        None where the burns do not tell.

    Examples
    --------
    >>> trips((True, True, False, False), [33.0, 33.0, 131.0], ())[0]
    2.0
    >>> trips((False, False, False), [34.0, 62.0], (337.0, 345.0, 345.0))[0]
    1.0
    >>> trips((False, False), [88.0], ()) is None
    True
    """
    count, change = sum(wet), turn(gaps)
    if change is not None and change >= count - 1:
        cooler = bool(cut_outs) and max(cut_outs[:change]) + APART < min(cut_outs[change:-1] or cut_outs[-1:])
        if wet[0] or (cooler and change >= fewest and gaps[change - 1] < gaps[change]):
            return float(change), _doubt(change), change
    hot = [x for x, w in zip(cut_outs, wet, strict=False) if w]
    if count > 1 and hot and max(hot) - min(hot) >= APART:
        # Later ones may have been ended by either.
        rest = len(wet) - count
        return count + 0.5 * rest, math.hypot(1.0, rest / math.sqrt(12.0)), len(wet)
    return None


def _doubt(count: int) -> float:
    """Uncertainty of a count: a limit that opens with the flame already out leaves no mark."""
    return math.hypot(1.0, 0.15 * count)
