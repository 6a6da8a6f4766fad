"""Numbers as people read them: each kind of quantity in the trade's unit or in a metric one."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from dryermodel.cycle.frame import affine
from dryermodel.kinds import KINDS, Display

if TYPE_CHECKING:
    from numpy.typing import ArrayLike, NDArray


MOST_DECIMALS = 5
"""Smaller numbers than these show are nothing a technician could measure."""


def display(kind: str, si: bool) -> Display:
    """Unit in which a kind of quantity is shown.

    Parameters
    ----------
    kind : str
        A key of :data:`dryermodel.kinds.KINDS`.
    si : bool
        Metric instead of the trade's units.
    """
    return KINDS[kind].metric if si else KINDS[kind].trade


def scaled(values: ArrayLike, kind: str, si: bool) -> NDArray[np.float64]:
    """SI values as numbers in the unit shown.

    Parameters
    ----------
    values : array_like
        In the SI base unit of the kind; kelvin for temperatures and their differences.
    kind : str
        A key of :data:`dryermodel.kinds.KINDS`.
    si : bool
        Metric instead of the trade's units.

    Examples
    --------
    >>> scaled([297.0388888888889], "temperature", False).round(6)
    array([75.])
    """
    scale, offset = affine(display(kind, si).unit)
    return scale * np.asarray(values, dtype=np.float64) + offset


def number(value: float, kind: str, si: bool, decimals: int | None = None) -> str:
    """One SI value as digits in the unit shown, without the unit.

    Parameters
    ----------
    value : float
        In the SI base unit of the kind.
    kind, si
        As in :func:`scaled`.
    decimals : int, optional
        Instead of the kind's own number of decimals.

    Examples
    --------
    >>> number(149.45, "pressure", False), number(149.45, "pressure", True)
    ('0.60', '149')
    >>> number(1.0616e7, "gas energy", False), number(1.0616e7, "gas energy", True)
    ('10100', '2.95')
    """
    places = display(kind, si).decimals if decimals is None else decimals
    # Rounding first, and adding zero, keeps "-0" off the page.
    return f"{round(float(scaled(value, kind, si)), places) + 0.0:.{max(places, 0)}f}"


def text(value: float, kind: str, si: bool, decimals: int | None = None) -> str:
    """One SI value with its unit.

    Parameters
    ----------
    value : float
        In the SI base unit of the kind.
    kind, si, decimals
        As in :func:`number`.

    Examples
    --------
    >>> text(341.48333333, "temperature", False), text(341.48333333, "temperature", True)
    ('155 degF', '68 degC')
    """
    return f"{number(value, kind, si, decimals)} {display(kind, si).label}".rstrip()


def written(value: float, digits: int = 3) -> str:
    """Return a number with so many significant digits, whole digits never rounded away.

    >>> written(62068.97), written(0.60123), written(1769.9, 2), written(4.9e-9)
    ('62069', '0.601', '1770', '0')
    """
    if abs(value) < 0.5 * 10.0**-MOST_DECIMALS:
        return "0"
    decimals = max(0, digits - 1 - math.floor(math.log10(abs(value))))
    return f"{value:.{min(decimals, MOST_DECIMALS)}f}"


def printable(words: str) -> str:
    r"""Text on one line as it was typed, with a question mark for what has no shape.

    What a console's encoding lacks is for the one who prints to escape.

    Parameters
    ----------
    words : str
        Text that a person wrote, such as a scenario's title.

    Examples
    --------
    >>> printable("Caf\u00e9 dryer\n2\x1b") == "Caf\u00e9 dryer 2?"
    True
    """
    return "".join(c if c.isprintable() else "?" for c in " ".join(words.split()))
