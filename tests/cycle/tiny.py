"""A function that compiles in no time, made like the engine: with a function and a constant of its own."""

from __future__ import annotations

FACTOR = 3.0


def tripled(x: float) -> float:
    """Three times and a little more."""
    return FACTOR * x + little(x)


def little(x: float, share: float = 0.25) -> float:
    return share if x > 0.0 else 0.0
