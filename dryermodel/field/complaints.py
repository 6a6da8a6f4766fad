"""What a customer says, brought to a few kinds of complaint that a simulated cycle can have.

The table is ``complaints.toml``; the words are found as for ``faults --says``.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import Any, NamedTuple

from dryermodel.field.observations import Observation, read_entry
from dryermodel.scenario.fault_search import smells_of_gas, words_of


class Complaint(NamedTuple):
    """One kind of complaint."""

    words: tuple[str, ...]  # any of them is enough
    as_seen: Observation  # what it says of a cycle

    @property
    def name(self) -> str:
        """Canonical wording."""
        return self.as_seen.name


def _entry(name: str, raw: Mapping[str, Any]) -> Complaint:
    """One entry of the table: a question whose answer is that the customer said so."""
    told = {"also": (), "question": name, "normal": "no", "minutes": 0.0, "tools": (), "when": "", **raw}
    seen = read_entry(name, told)
    return Complaint(tuple(raw["words"]), seen)


@cache
def complaints() -> Mapping[str, Complaint]:
    """Return every kind of complaint by its wording.

    >>> complaints()["takes too long"].words
    ('slow',)
    """
    text = Path(__file__).with_name("complaints.toml").read_text(encoding="utf-8")
    return MappingProxyType({name: _entry(name, raw) for name, raw in tomllib.loads(text).items()})


def complained_of(said: str) -> list[Complaint]:
    """Return the kinds of complaint in a customer's words.

    >>> [c.name for c in complained_of("takes two runs to dry and the jeans come out damp")]
    ['takes too long', 'clothes damp at the end']
    >>> complained_of("")
    []

    A smell of gas is a danger and no complaint of a cycle: it says nothing of belts and flames.

    >>> complained_of("it smells of gas")
    []
    """
    words = set(words_of(said)) - ({"smell"} if smells_of_gas(said) else set())
    return [c for c in complaints().values() if words & set(c.words)]
