"""A second function and a second constant of a name that `samples` has too."""

from __future__ import annotations

LEVEL = 40.0


def other(a: float) -> float:
    return LEVEL - a
