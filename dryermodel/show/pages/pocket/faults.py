"""The fault catalogue for the page: words, severities and moves, and the finding of faults by words."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from dryermodel.scenario import fault_search
from dryermodel.scenario.fault_moves import MOVES, Adds, Follows, Move, Multiplies, Sets
from dryermodel.scenario.faults import Fault, _ends, catalogue
from dryermodel.show.pages.shared.units import unit_data

WORDS = (
    "key", "title", "place", "quantity", "at_0", "at_1", "law", "effect", "customer_says", "measure",
    "confirms", "remedy", "caution", "danger", "licensed", "dryer_at_fault", "gas_only", "graded",
)  # fmt: skip
"""What the page tells of a fault."""


def faults() -> list[dict[str, Any]]:
    """Return every fault in the order of the catalogue, with how it moves the parameters."""
    return [_fault(fault) for fault in catalogue().values()]


def _fault(fault: Fault) -> dict[str, Any]:
    found: dict[str, Any] = {name: getattr(fault, name) for name in WORDS}
    found["order"] = list(MOVES).index(fault.key)
    found["move"] = move_data(MOVES[fault.key])
    if fault.graded:
        found["ends"] = _ends(fault.key)
        found["unit"] = {**unit_data(fault.unit), "label": _unit_said(fault.unit)}
    return found


def _unit_said(unit: str) -> str:
    """Return a unit as severities are printed."""
    return unit.replace("delta_deg", "deg").replace("inH2O", "in w.c.")


def move_data(move: Move) -> dict[str, Any]:
    """Return a move as data: a product, a sum, fixed values, or the name of a translated function.

    >>> move_data(MOVES["overload"])
    {'how': 'multiplies', 'fields': ['dry_mass']}
    """
    if isinstance(move, Multiplies):
        return {"how": "multiplies", "fields": [move.field]}
    if isinstance(move, Adds):
        return {"how": "adds", "fields": list(move.fields), "sign": move.sign}
    if isinstance(move, Sets):
        return {"how": "sets", "values": dict(move.values)}
    assert isinstance(move, Follows)
    return {"how": "follows", "rule": move.rule.__name__}


def rules() -> list[Callable[..., Any]]:
    """Return the functions that moves follow, for the translation."""
    found = (move.rule for move in MOVES.values() if isinstance(move, Follows))
    return list(dict.fromkeys(found))


def words() -> dict[str, Any]:
    """Return what finding faults by words needs: ways of saying the same, common words, weights, rarity."""
    index = fault_search._index()
    known = sorted({word for own in index.values() for word in own})
    return {
        "same": [[word, ways] for word, ways in fault_search.SAME_MEANING],
        "common": sorted(fault_search.COMMON),
        "index": dict(index),
        "rarity": {word: fault_search._rarity(word) for word in known},
        "clear": fault_search.CLEAR,
    }
