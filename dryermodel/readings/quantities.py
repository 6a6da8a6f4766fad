"""Numbers as people read them: each kind of quantity in the trade's unit or in a metric one."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from dryermodel.cycle.frame import affine

if TYPE_CHECKING:
    from numpy.typing import ArrayLike, NDArray


class Display(NamedTuple):
    """A unit as the units library spells it, as it is printed, and with how many decimals."""

    unit: str
    label: str
    decimals: int


KINDS: dict[str, tuple[Display, Display]] = {
    "temperature": (Display("degF", "degF", 0), Display("degC", "degC", 0)),
    "temperature difference": (Display("delta_degF", "degF", 0), Display("delta_degC", "degC", 0)),
    "mass": (Display("lb", "lb", 2), Display("kg", "kg", 2)),
    "flow": (Display("cfm", "cfm", 0), Display("L/s", "L/s", 0)),
    "pressure": (Display("inH2O", "in w.c.", 2), Display("Pa", "Pa", 0)),
    "power": (Display("Btu/h", "Btu/h", 0), Display("kW", "kW", 2)),
    "energy": (Display("kWh", "kWh", 2), Display("kWh", "kWh", 2)),
    "energy per water": (Display("kWh/lb", "kWh/lb", 2), Display("kWh/kg", "kWh/kg", 2)),
    "time": (Display("min", "min", 1), Display("min", "min", 1)),
    "share": (Display("%", "%", 0), Display("%", "%", 0)),
    "moisture": (Display("%", "%", 1), Display("%", "%", 1)),
    "ratio": (Display("", "", 1), Display("", "", 1)),
}
"""Kind, in the trade's units and in metric ones. Time stays in minutes, energy in kWh, for both."""


def display(kind: str, si: bool) -> Display:
    """Unit in which a kind of quantity is shown.

    Parameters
    ----------
    kind : str
        A key of `KINDS`.
    si : bool
        Metric instead of the trade's units.
    """
    return KINDS[kind][1 if si else 0]


def scaled(values: ArrayLike, kind: str, si: bool) -> NDArray[np.float64]:
    """SI values as numbers in the unit shown.

    Parameters
    ----------
    values : array_like
        In the SI base unit of the kind; kelvin for temperatures and their differences.
    kind : str
        A key of `KINDS`.
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
    """
    places = display(kind, si).decimals if decimals is None else decimals
    # Rounding first, and adding zero, keeps "-0" off the page.
    return f"{round(float(scaled(value, kind, si)), places) + 0.0:.{places}f}"


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


def printable(words: str) -> str:
    r"""Text with every character a legacy console lacks replaced, and line breaks as spaces.

    Parameters
    ----------
    words : str
        Text that a person wrote, such as a scenario's title.

    Examples
    --------
    >>> printable("Caf\u00e9 dryer\n2")
    'Cafe dryer 2'
    """
    import unicodedata

    plain = unicodedata.normalize("NFKD", " ".join(words.split()))
    kept = "".join(c for c in plain if not unicodedata.combining(c))
    visible = "".join(c if c.isprintable() else "?" for c in kept)
    return visible.encode("ascii", "replace").decode("ascii")
