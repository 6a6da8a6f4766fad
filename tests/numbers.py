"""Parameter sets as plain rows of numbers."""

from __future__ import annotations

from dryermodel.cycle.engine.parameters import Parameters


def numbers(p: Parameters) -> list[float]:
    """Every number of a parameter set in order, those of each kind of cloth one after another."""
    return [number for value in p for number in (value if isinstance(value, tuple) else (value,))]
