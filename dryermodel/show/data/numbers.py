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


def number(entry: Reading, value: float | None) -> float | int | bool | None:
    """A SI value as it stands under the entry's key: in its unit, whole for a count, true or false.

    Examples
    --------
    >>> number(READINGS["cycle_time"], 90.0), number(READINGS["burner_cycles"], 7.0)
    (1.5, 7)
    """
    if value is None or not math.isfinite(value):
        return None
    if entry.kind == "count":
        return round(value)
    if entry.kind == "switch":
        return bool(value)
    scale, offset = affine(entry.key_unit) if entry.key_unit else (1.0, 0.0)
    return clean(scale * value + offset)


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
