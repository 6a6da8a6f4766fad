"""What can be seen, heard or found on a visit and is answered by yes or no, with people's error rates.

The table is ``observations.toml``.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import Any, NamedTuple

from dryermodel.errors import InputError, nearest, shortened
from dryermodel.field.measurements import plain


class Observation(NamedTuple):
    """One question that is answered by yes or no.

    Attributes
    ----------
    name : str
        Canonical spelling; it says what "yes" means.
    also : tuple of str
        Other spellings.
    question : str
        How it is asked.
    number : str
        Number of the model that decides it; empty where a look at a part does.
    threshold, width : float
        Where that number makes "yes" as likely as not, and over how much.
    rising : bool
        Whether "yes" is for numbers above the threshold.
    finds : tuple of str
        Keys of the faults that a look or a test of a part shows.
    half_seen : float
        Severity [1] at which half of the lookers see it.
    yes_if_so, yes_if_not : float
        How often "yes" is answered when it is so, and when it is not [1].
    normal : bool
        The answer on a healthy machine.
    minutes : float
        Of work.
    tools : tuple of str
        Needed.
    caution : str
        Empty for most.
    when : str
        A key of `WHEN`.
    """

    name: str
    also: tuple[str, ...]
    question: str
    number: str
    threshold: float
    width: float
    rising: bool
    finds: tuple[str, ...]
    half_seen: float
    yes_if_so: float
    yes_if_not: float
    normal: bool
    minutes: float
    tools: tuple[str, ...]
    caution: str
    when: str


WHEN: Mapping[str, str] = MappingProxyType({
    "before start": "machine at rest, nothing opened",
    "running": "machine running, panels on",
    "end": "when it has stopped",
    "bench test": "a panel off, running without heat, hands clear",
    "unplugged": "unplugged, gas cock shut",
})  # fmt: skip
"""When a look is taken, in the order of safe work, and what that means for the machine."""


def read_entry(name: str, raw: Mapping[str, Any]) -> Observation:
    """Return an entry of a table as it stands in the file."""
    return Observation(
        name,
        tuple(raw["also"]),
        raw["question"],
        raw.get("number", ""),
        float(raw.get("at_least", raw.get("at_most", 0.0))),
        float(raw.get("width", 0.0)),
        "at_least" in raw,
        tuple(raw.get("finds", ())),
        float(raw.get("half_seen", 0.0)),
        float(raw["yes_if_so"]),
        float(raw["yes_if_not"]),
        raw["normal"] == "yes",
        float(raw["minutes"]),
        tuple(raw["tools"]),
        raw.get("caution", ""),
        raw["when"],
    )


@cache
def observations() -> Mapping[str, Observation]:
    """Return every question by its canonical name, in the order of the table.

    >>> observations()["flame seen"].question
    'Does the burner light?'
    """
    text = Path(__file__).with_name("observations.toml").read_text(encoding="utf-8")
    return MappingProxyType({name: read_entry(name, raw) for name, raw in tomllib.loads(text).items()})


@cache
def _spellings() -> dict[str, str]:
    found = {plain(name): name for name in observations()}
    for entry in observations().values():
        for other in entry.also:
            found.setdefault(plain(other), entry.name)
    return found


def find_observation(text: str, where: str = "--seen") -> Observation:
    """Return what a name stands for, or raise InputError with the nearest names.

    >>> find_observation("thermal fuse open").name
    'thermal cut-off open'
    """
    name = _spellings().get(plain(text))
    if name is None:
        near = nearest(plain(text), _spellings(), 3)
        hint = ", ".join(dict.fromkeys(_spellings()[spelling] for spelling in near))
        known = f" (did you mean {hint}?)" if hint else f"; such as {', '.join(list(observations())[:6])}"
        raise InputError(f"'{shortened(text)}': unknown observation{known}", where)
    return observations()[name]


def is_observation(text: str) -> bool:
    """Return whether a name is that of a question.

    >>> is_observation("Drum turning"), is_observation("vent static")
    (True, False)
    """
    return plain(text) in _spellings()


YES = frozenset({"yes", "y", "true", "1", "ja", "on"})
NO = frozenset({"no", "n", "false", "0", "off", "not"})


def read_seen(text: str, where: str = "--seen") -> tuple[Observation, bool]:
    """Return what was seen and whether it was: ``flame seen``, ``flame seen=no`` or ``no flame seen``.

    Raises
    ------
    InputError
        Unknown name, or an answer that is neither yes nor no.

    >>> [(o.name, yes) for o, yes in map(read_seen, ("drum turns", "flame seen=no", "not flame seen"))]
    [('drum turns', True), ('flame seen', False), ('flame seen', False)]
    """
    name, equals, answer = text.partition("=")
    if equals:
        said = answer.strip().lower()
        if said not in YES | NO:
            raise InputError(f"'{text}': the answer must be yes or no", where)
        return find_observation(name, where), said in YES
    first, _, rest = text.strip().partition(" ")
    if first.lower() in NO and plain(text) not in _spellings():
        return find_observation(rest, where), False
    return find_observation(text, where), True
