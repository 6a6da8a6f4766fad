"""Numbers for programs: rounded, null where there is none, in the unit that their key names."""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Any

from dryermodel.cycle.frame import affine
from dryermodel.vocabulary import READINGS, Reading, Readings

DIGITS = 9
"""Significant digits kept; the integrator's tolerance promises fewer."""


def clean(value: float | None) -> float | None:
    """A number for JSON: rounded to `DIGITS` significant digits, None if it is no number.

    Examples
    --------
    >>> clean(0.1 + 0.2), clean(float("nan")), clean(None)
    (0.3, None, None)
    """
    if value is None or not math.isfinite(value):
        return None
    return float(f"{value:.{DIGITS}g}") + 0.0


def in_unit(entry: Reading, value: float | None) -> float | None:
    """A SI value in the unit of the entry's key.

    Examples
    --------
    >>> in_unit(READINGS["cycle_time"], 90.0)
    1.5
    """
    if value is None:
        return None
    scale, offset = affine(entry.key_unit) if entry.key_unit else (1.0, 0.0)
    return clean(scale * value + offset)


def number(entry: Reading, value: float | None) -> float | int | bool | None:
    """The same, whole for a count and true or false for a switch.

    Examples
    --------
    >>> number(READINGS["burner_cycles"], 7.0), number(READINGS["ended"], 1.0)
    (7, True)
    """
    if value is not None and entry.kind in ("count", "switch"):
        return round(value) if entry.kind == "count" else bool(value)
    return in_unit(entry, value)


def keyed(readings: Readings, names: Iterable[str]) -> dict[str, Any]:
    """Readings under their keys.

    Parameters
    ----------
    readings : Readings
        Of one cycle.
    names : iterable of str
        In the vocabulary; their order is kept.
    """
    return {READINGS[name].key: number(READINGS[name], readings[name]) for name in names}
