"""How a key of the scenario is declared: its kind of quantity, its admissible range, its words."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any, NamedTuple

from pydantic import Field

from dryermodel import units
from dryermodel.cycle.engine.parameters import NEVER
from dryermodel.errors import did_you_mean, shortened
from dryermodel.physics.fuel import drill_diameter
from dryermodel.scenario.words import known_word
from dryermodel.unit_names import KINDS

_WHOLE = re.compile(r"[+-]?[0-9]{1,18}")


class Rule(NamedTuple):
    """What a written value must be: a quantity of one kind within a range, or one of a few words."""

    kind: str
    low: str
    high: str
    words: tuple[str, ...] = ()

    def bounds(self) -> tuple[float, float]:
        """Return the admissible range in SI."""
        return read_si(self.kind, self.low), read_si(self.kind, self.high)

    def allowed(self) -> str:
        """Return the admissible values as text.

        >>> Rule("length", "0 ft", "200 ft", ("none",)).allowed()
        "0 ft to 200 ft, or 'none'"
        """
        words = "".join(f", or '{word}'" for word in self.words)
        return f"{self.low} to {self.high}{words}".replace("inH2O", "in w.c.")

    def si_unit(self) -> str:
        """Return the SI unit its values are held in; empty for a count or plain number."""
        if self.kind in ("count", "fraction", "number"):
            return ""
        return KINDS["length" if self.kind == "orifice" else self.kind].si_unit


def read_si(kind: str, text: str, within: tuple[float, float] | None = None) -> float:
    """Return a written quantity in SI; the kind "orifice" also takes a drill number.

    Parameters
    ----------
    kind : str
        A key of `KINDS`, or "orifice".
    text : str
        As a person wrote it.
    within : (float, float), optional
        Admissible range [SI]; it settles what a text of two readings means, see `units.parse`.

    >>> round(read_si("orifice", "drill 42") * 1000, 3)
    2.375
    """
    if kind != "orifice":
        return units.parse(text, kind, within)
    drill = re.fullmatch(r"(?:drill|no\.?|#)\s*(\d{1,4})", text.strip().lower())
    return drill_diameter(int(drill[1])) if drill else units.parse(text, "length", within)


def quantity(kind: str, low: str, high: str, words: tuple[str, ...] = ()) -> Any:
    """Declare a key that holds a quantity, written as text with its unit."""
    return Field(json_schema_extra={"rule": Rule(kind, low, high, words)})  # type: ignore[dict-item]


def count(low: int, high: int) -> Any:
    """Declare a key that holds a plain whole number."""
    return Field(json_schema_extra={"rule": Rule("count", str(low), str(high))})  # type: ignore[dict-item]


def read(rule: Rule, value: object, named: Mapping[str, str]) -> float | int | None:
    """Turn a written value into SI by its rule; raise ValueError that says what is allowed.

    Parameters
    ----------
    rule : Rule
        What is admissible.
    value : object
        As it came from the file: text, or a plain number where that is enough.
    named : mapping of word to quantity
        What words such as ``rigid`` stand for.
    """
    if rule.kind == "count":
        return _read_count(rule, value)
    if isinstance(value, bool) or not isinstance(value, str | int | float):
        raise ValueError(f"is text in quotes with a unit; allowed {rule.allowed()}")
    text = (shortened(value) if isinstance(value, int) else str(value)).strip()
    word = known_word(text, rule.words)
    if word in rule.words:
        return _read_word(rule, word, named)
    if rule.words and text[:1].isalpha() and rule.kind != "orifice":
        raise ValueError(
            f"'{text}' is not understood; allowed {rule.allowed()}{did_you_mean(text, rule.words)}"
        )
    return _within(rule, text)


def is_whole_number(text: str) -> bool:
    """Return whether text is a whole number in plain digits, short enough to be read as one.

    >>> is_whole_number("-12"), is_whole_number("1.5"), is_whole_number("9" * 5000)
    (True, False, False)
    """
    return _WHOLE.fullmatch(text) is not None


def _read_count(rule: Rule, value: object) -> int:
    if isinstance(value, bool) or not isinstance(value, int):
        raise ValueError(
            f"is '{shortened(value)}'; it is a plain whole number, {rule.allowed()}, without quotes or unit"
        )
    if not int(rule.low) <= value <= int(rule.high):
        raise ValueError(f"is {shortened(value)}, outside the allowed {rule.allowed()}")
    return value


def _read_word(rule: Rule, word: str, named: Mapping[str, str]) -> float | None:
    """Return what a word stands for: a named quantity, never, or nothing of its own."""
    if word in named:
        return read_si(rule.kind, named[word])
    return NEVER if word == "never" else None


def _within(rule: Rule, text: str) -> float:
    """Return the quantity in SI if it is in range; the ends may be off by a rounding of the unit."""
    low, high = rule.bounds()
    si = read_si(rule.kind, text, (low, high))
    slack = 1e-12 * max(abs(low), abs(high))
    if not low - slack <= si <= high + slack:
        percent = f" (for {text} percent write '{text} %')" if _forgot_percent(rule, text, si) else ""
        raise ValueError(f"is '{text}', outside the allowed {rule.allowed()}{percent}")
    return min(max(si, low), high)


def _forgot_percent(rule: Rule, text: str, si: float) -> bool:
    low, high = rule.bounds()
    return rule.kind == "fraction" and not text.endswith("%") and low <= si / 100.0 <= high
