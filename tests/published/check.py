"""A published value with its source, and what this model has in its place."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

CHECKED, FITTED, ELSEWHERE = "checked", "fitted", "another machine"
"""Kinds: nothing was chosen to meet it; a constant was chosen so that it is met; it was measured on a machine
that this one need not be like, so that it is a plausibility and no check."""

PUBLISHED, QUOTED, LIBRARY, MEMORY, PRACTICE = (
    "published", "published, as quoted", "reference library", "from memory", "common practice",
)  # fmt: skip
"""Status of a source: read in it, read as another source quotes it, computed, not verified, of the trade."""


class Check(NamedTuple):
    """One value.

    Attributes
    ----------
    what : str
        With its conditions.
    low, high : float
        What the source admits: its printed digits, its own tolerance or its range.
    value : float or None
        The value itself; None where the source gives a range.
    digits : int
        Decimals shown.
    unit : str
        As people write it; empty for plain numbers.
    source, status : str
        Where it stands, and how well that is known.
    model : callable
        The model's number in that unit.
    kind : str
        `CHECKED`, `FITTED` or `ELSEWHERE`.
    missed : str
        Why the model lies outside, where it does.
    """

    what: str
    low: float
    high: float
    value: float | None
    digits: int
    unit: str
    source: str
    status: str
    model: Callable[[], float]
    kind: str = CHECKED
    missed: str = ""

    @property
    def here(self) -> float:
        """The model's number."""
        return self.model()

    @property
    def met(self) -> bool:
        """Whether the model's number lies within what the source admits."""
        return self.low <= self.here <= self.high

    @property
    def error(self) -> float:
        """Difference to the value, or to the nearest end of the range: relative, of temperatures absolute."""
        nearest = self.value if self.value is not None else min(max(self.here, self.low), self.high)
        return self.here - nearest if self.unit.startswith("deg") else self.here / nearest - 1.0


def printed(value: float, digits: int) -> tuple[float, float]:
    """Range of numbers that print like a value.

    >>> printed(0.5, 1)
    (0.45, 0.55)
    """
    half = 0.5 * 10.0**-digits
    return value - half, value + half


def within(value: float, share: float) -> tuple[float, float]:
    """Range of a tolerance that is a share of the value."""
    return value * (1.0 - share), value * (1.0 + share)
