"""How people write quantities, for the page: the patterns, words and units of the command line as data."""

from __future__ import annotations

import re
from typing import Any

from dryermodel import unit_names, units, written

KINDS = (
    "time", "temperature", "temperature difference", "mass", "volume flow", "pressure", "power", "current",
    "energy", "voltage", "speed", "fraction", "volume", "length", "area", "heating value", "number",
)  # fmt: skip
"""Kinds that the page asks for."""

COMPOUND = (
    "ft3/min", "ft3/h", "m3/h", "m3/min", "m3/s", "L/s", "L/min", "Btu/h", "kBtu/h", "Btu/min", "m/s", "ft/s",
    "ft/min", "km/h", "cm2", "in2", "ft2", "m2", "mm2", "ft3", "in3", "m3", "Btu/ft3", "MJ/m3", "kWh/m3",
    "therm/h", "1000 Btu/h", "%", "",
)  # fmt: skip
"""Units of several words, beside every unit of one word."""


def quantities() -> dict[str, Any]:
    """Return what `dryermodel.written` and `dryermodel.unit_names` read numbers and units by."""
    patterns = {
        "fraction": written._FRACTION, "plain": written._PLAIN, "thousand": written._THOUSAND,
        "piece": written._PIECE, "between": written._BETWEEN, "clock": written._CLOCK,
        "water": unit_names._WATER_COLUMN, "power": unit_names._POWER_WORD,
        "squared": unit_names._POWER_DIGIT,
        "degree": unit_names._DEGREE, "word": unit_names._WORD,
    }  # fmt: skip
    return {
        "marks": {chr(code): text for code, text in written._MARKS.items()},
        "patterns": {name: pattern_data(pattern) for name, pattern in patterns.items()},
        "whole": dict(unit_names._WHOLE),
        "degrees": list(unit_names.DEGREES),
        "words": unit_names._by_small_letters(),
        "several": list(units._IN_SEVERAL_UNITS),
        "longest": units.LONGEST,
        "kinds": {
            kind: {"label": units.KINDS[kind].label, "example": units.KINDS[kind].example} for kind in KINDS
        },
        "spellings": {kind: spellings(kind) for kind in KINDS},
    }


def pattern_data(pattern: re.Pattern[str]) -> list[str]:
    """Return a pattern as JavaScript writes it, and its flags.

    >>> pattern_data(re.compile("(?P<a>b)", re.I))
    ['(?<a>b)', 'i']
    """
    return [pattern.pattern.replace("(?P<", "(?<"), "i" if pattern.flags & re.IGNORECASE else ""]


def spellings(kind: str) -> dict[str, list[float]]:
    """Return by spelling of the registry factor and zero that take a number of that kind to SI.

    >>> spellings("mass")["lb"]
    [0.45359237, 0.0]
    """
    found = {}
    for name in (*unit_names.UNIT_WORDS, *COMPOUND):
        spelling = unit_names.spelling(name)
        try:
            zero = units.parse(f"0 {spelling}".strip(), kind)
            found[spelling.replace(" ", "")] = [
                (units.parse(f"1000 {spelling}".strip(), kind) - zero) / 1000.0, zero
            ]  # fmt: skip
        except ValueError:
            continue
    return found
