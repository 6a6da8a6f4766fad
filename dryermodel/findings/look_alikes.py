"""Faults that the cycle alone does not tell apart."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from dryermodel.findings.steps import sign

if TYPE_CHECKING:
    from dryermodel.findings.patterns import Pattern

FAINTLY = 1.0 / 3.0
"""Steps that a number must move in one fault, when it moves by a whole step in the other, for the two
to look the same: severity is not known beforehand, so sizes do not tell faults apart, directions do."""

OWN_MARKS = (
    "no heat",
    "glows on",
    "glows in vain",
    "no glow",
    "no end",
    "never dry",
    "early",
    "in vain",
    "room air",
    "limit",
    "slow light",
    "tries in vain",
)
"""Beginnings of marks about flame, end and limit: only faults that share them can look the same."""

SAME_QUANTITY = (
    ("vent_blockage", "vent_flap_stuck", "vent_crushed"),
    ("weak_burner", "low_supply_pressure"),
)
"""Faults that act through one and the same quantity, the vent's loss or the gas input: whatever one does,
the other does at some severity of its own, so they look the same although equal severities may not."""


def alike(one: Pattern, other: Pattern) -> bool:
    """Return whether two patterns are hard to tell apart by the cycle alone.

    They are unless one has a mark of its own about the flame, the end or the limit, or some number
    moves in one of them and stays, or moves the other way, in the other.

    Parameters
    ----------
    one, other : Pattern
        Against the same healthy cycle.
    """
    if _own(one) != _own(other):
        return False
    return not any(_differ(a, other.changes[name]) for name, a in one.changes.items())


def _own(found: Pattern) -> set[str]:
    # One or two openings of the limit lie between none and many, and count as neither.
    return {key for key in found.keys if key.startswith(OWN_MARKS)} - {"limit opens"}


def _differ(a: float, b: float) -> bool:
    if sign(a) == 0 and sign(b) == 0:
        return False
    return a * b <= 0.0 or min(abs(a), abs(b)) < FAINTLY


def groups(patterns: Sequence[tuple[str, Pattern]]) -> list[list[str]]:
    """Sets of keys whose patterns are all alike, each with two members or more.

    Parameters
    ----------
    patterns : sequence of (str, Pattern)
        Keys and patterns; each key joins the first set to all of whose members it is alike, by its
        pattern or because both act through the same quantity. Those without marks are like the
        healthy run and join none.
    """
    sets: list[list[tuple[str, Pattern]]] = []
    for item in patterns:
        if not item[1].marks:
            continue
        home = next((s for s in sets if all(_together(item, member) for member in s)), None)
        if home is None:
            sets.append([item])
        else:
            home.append(item)
    return [[key for key, _ in members] for members in sets if len(members) > 1]


def _together(one: tuple[str, Pattern], other: tuple[str, Pattern]) -> bool:
    same = any(one[0] in keys and other[0] in keys for keys in SAME_QUANTITY)
    return same or alike(one[1], other[1])
