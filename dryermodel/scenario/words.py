"""Other words for the ones the schema has: the trade's own, and other spellings of a key."""

from __future__ import annotations

from collections.abc import Iterable
from types import MappingProxyType

_SAME = {
    "propane": ("lp", "lpg", "lp gas", "lp-gas", "liquid propane", "liquefied petroleum gas"),
    "natural": ("natural gas", "nat gas", "ng"),
    "air only": ("air fluff", "fluff", "air"),
    "louvered": ("louver", "louvers", "louvre", "louvred", "louvered hood"),
}
_BY_WORD = MappingProxyType({other: word for word, others in _SAME.items() for other in others})

KEY_SPELLINGS = MappingProxyType(
    {"air.natural_draught": "air.natural_draft", "room.depressurisation": "room.depressurization"}
)
"""Keys with the other spelling each may have."""

_BY_SPELLING = MappingProxyType({other: key for key, other in KEY_SPELLINGS.items()})


def known_word(word: str, choices: Iterable[str]) -> str:
    """Return the choice a word stands for; a word that stands for none comes back as it is.

    >>> known_word("LP", ("natural", "propane")), known_word("Gas", ("gas", "electric"))
    ('propane', 'gas')
    >>> known_word("Air Fluff", ("auto", "timed", "air only"))
    'air only'
    """
    small = " ".join(word.lower().split())
    by_small = {choice.lower(): choice for choice in choices}
    return by_small.get(small) or by_small.get(_BY_WORD.get(small, ""), word)


def known_key(key: str) -> str:
    """Return the schema's spelling of a dotted key.

    >>> known_key("air.natural_draft"), known_key("vent.length")
    ('air.natural_draught', 'vent.length')
    """
    return _BY_SPELLING.get(key, key)
