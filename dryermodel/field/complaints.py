"""What a customer says, brought to a few kinds of complaint that a simulated cycle can have.

The table is ``complaints.toml``; the words are found as for ``faults --says``.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from difflib import SequenceMatcher
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import Any, NamedTuple

from dryermodel.field.observations import Observation, read_entry
from dryermodel.scenario.fault_search import COMMON, smells_of_gas, words_of

ALIKE = 0.8
"""Share of letters in common from which on one word may be a slip of the finger for another; assumed."""


class Complaint(NamedTuple):
    """One kind of complaint."""

    words: tuple[str, ...]  # any of them is enough
    said: tuple[str, ...]  # how customers put it
    as_seen: Observation  # what it says of a cycle

    @property
    def name(self) -> str:
        """Canonical wording."""
        return self.as_seen.name


def _entry(name: str, raw: Mapping[str, Any]) -> Complaint:
    """One entry of the table: a question whose answer is that the customer said so."""
    told = {"also": (), "question": name, "normal": "no", "minutes": 0.0, "tools": (), "when": "", **raw}
    seen = read_entry(name, told)
    return Complaint(tuple(raw["words"]), tuple(raw["said"]), seen)


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


def nearest_complaint(said: str) -> Complaint | None:
    """Return the kind of complaint whose words are nearest in spelling, for words that are not understood.

    Parameters
    ----------
    said : str
        In the customer's words.

    Returns
    -------
    Complaint or None
        None where no word is like any that is known.

    >>> [c.name for c in map(nearest_complaint, ("sqeaks terribly", "qqqq")) if c]
    ['noisy drum']
    """
    asked = _plain_words(said)
    near = {name: sum(_likeness(word, known) for word in asked) for name, known in _said_words().items()}
    best = max(near, key=lambda name: near[name])
    return complaints()[best] if near[best] > 0.0 else None


def _plain_words(text: str) -> set[str]:
    return set(re.findall(r"[a-z]{4,}", re.sub(r"['\u2019]", "", text.lower()))) - COMMON


@cache
def _said_words() -> dict[str, dict[str, float]]:
    """Words of each kind of complaint, and how much each tells: one over the kinds that have it."""
    own = {c.name: set().union(*map(_plain_words, (c.name, *c.said))) for c in complaints().values()}
    having = [word for words in own.values() for word in words]
    return {name: {word: 1.0 / having.count(word) for word in words} for name, words in own.items()}


def _likeness(word: str, known: Mapping[str, float]) -> float:
    """How like a word is to the likest of some, each counted by what it tells."""
    return max((_ratio(word, other) * tells for other, tells in known.items()), default=0.0)


def _ratio(word: str, other: str) -> float:
    ratio = SequenceMatcher(None, word, other).ratio()
    return ratio if ratio >= ALIKE else 0.0
