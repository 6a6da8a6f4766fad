"""The default of every key, read from the one readable file ``defaults.toml``."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import Any, NamedTuple

STATUSES = ("published", "common practice", "assumed", "fitted")


class Default(NamedTuple):
    """One entry of ``defaults.toml``."""

    value: Any
    about: str
    source: str
    status: str
    named: Mapping[str, str]


def _entry(raw: Mapping[str, Any]) -> Default:
    named = MappingProxyType(dict(raw.get("named", {})))
    return Default(raw["value"], raw["about"], raw["source"], raw["status"], named)


@cache
def defaults() -> Mapping[str, Default]:
    """Return the default of every key by its dotted name, in the order of the file.

    >>> defaults()["vent.length"].value
    '10 ft'
    """
    text = Path(__file__).with_name("defaults.toml").read_text(encoding="utf-8")
    raw = tomllib.loads(text)
    return MappingProxyType(
        {
            f"{section}.{name}": _entry(entry)
            for section, entries in raw.items()
            for name, entry in entries.items()
        }
    )


def named_values(key: str) -> Mapping[str, str]:
    """Return the words that stand for a quantity of this key, with that quantity.

    >>> named_values("vent.roughness")["rigid"]
    '0.09 mm'
    """
    entry = defaults().get(key)
    return entry.named if entry else MappingProxyType({})
