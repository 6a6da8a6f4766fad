"""Numbers as people type them: fractions, feet and inches, stopwatch times, printers' marks.

Text in, numbers and unit texts out; what the units mean is no business of this module.
"""

from __future__ import annotations

import math
import re
import unicodedata
from typing import NamedTuple

_MARKS = str.maketrans(
    {
        "\N{LEFT DOUBLE QUOTATION MARK}": '"',
        "\N{RIGHT DOUBLE QUOTATION MARK}": '"',
        "\N{DOUBLE LOW-9 QUOTATION MARK}": '"',
        "\N{DOUBLE PRIME}": '"',
        "\N{LEFT SINGLE QUOTATION MARK}": "'",
        "\N{RIGHT SINGLE QUOTATION MARK}": "'",
        "\N{PRIME}": "'",
        "\N{MINUS SIGN}": "-",
        "\N{EN DASH}": "-",
        "\N{NON-BREAKING HYPHEN}": "-",
        "\N{FRACTION SLASH}": "/",
        "\N{DEGREE SIGN}": "deg",
        "\N{MASCULINE ORDINAL INDICATOR}": "deg",
        "\N{DEGREE FAHRENHEIT}": "degF",
        "\N{DEGREE CELSIUS}": "degC",
        "\N{MICRO SIGN}": "u",
        "\N{GREEK SMALL LETTER MU}": "u",
        "\N{GREEK CAPITAL LETTER OMEGA}": "ohm",
        "\N{OHM SIGN}": "ohm",
        "\N{MIDDLE DOT}": " ",
        "\N{DOT OPERATOR}": " ",
    }
)
_DECIMAL = r"(?:[0-9]{1,3}(?:,[0-9]{3})+(?:\.[0-9]*)?|[0-9]+\.?[0-9]*|\.[0-9]+)"
_BROKEN = r"(?:(?P<whole>[0-9]+)(?:\s+|-))?(?P<top>[0-9]+)\s?/\s?(?P<bottom>[0-9]+)"
_SIGN = r"(?P<sign>[+-]?)\s*"
_FRACTION = re.compile(rf"{_SIGN}{_BROKEN}(?![\d,./])")
_PLAIN = re.compile(rf"{_SIGN}(?P<decimal>{_DECIMAL}(?:[eE][+-]?[0-9]+)?)(?![\d,])")
_THOUSAND = re.compile(r"[kK]\s+(?=\w)")
_PIECE = re.compile(rf"(?P<number>(?:[0-9]+\s+)?[0-9]+/[0-9]+|{_DECIMAL})\s*(?P<unit>[A-Za-z]+\.?|[\"'])")
_BETWEEN = re.compile(r"\s*(?:,|and\b)?\s*")
_CLOCK = re.compile(r"(?:([0-9]+):)?([0-9]+):([0-9]+(?:\.[0-9]*)?)(?:\s*(h|hours?|hrs?|min|minutes?))?", re.I)


class Piece(NamedTuple):
    """A number and the unit typed after it."""

    number: float
    unit: str


def typed_plainly(text: str) -> str:
    r"""Return text with printers' quotes, fractions, dashes and signs as a keyboard has them.

    >>> typed_plainly("3\N{VULGAR FRACTION ONE HALF}\N{RIGHT DOUBLE QUOTATION MARK}")
    '3 1/2"'
    """
    return "".join(map(_without_fraction, text)).translate(_MARKS).replace("''", '"').strip()


def _without_fraction(character: str) -> str:
    shape = unicodedata.decomposition(character)
    return f" {unicodedata.normalize('NFKC', character)}" if shape.startswith("<fraction>") else character


def unquoted(text: str) -> str:
    """Return text without the pair of quotes around it; an inch mark at its end stays.

    >>> unquoted("'4 in'"), unquoted('4"')
    ('4 in', '4"')
    """
    text = text.strip()
    paired = len(text) > 1 and text[0] == text[-1] and text[0] in "\"'"
    return text[1:-1].strip() if paired else text


def without_marks(text: str) -> str:
    """Return text with ``ft`` and ``in`` for the marks of feet and inches, fit to stand in quotes.

    >>> without_marks("5' 6\N{RIGHT DOUBLE QUOTATION MARK}")
    '5 ft 6 in'
    """
    return typed_plainly(text).replace("'", " ft").replace('"', " in")


def piece(text: str) -> Piece | None:
    """Return the number a text begins with and what follows it; None if it begins with none.

    A fraction may follow a whole number, and a ``k`` on its own after the number is a thousand.

    >>> piece("1 1/2 ft"), piece("22k Btu/h")
    (Piece(number=1.5, unit='ft'), Piece(number=22000.0, unit='Btu/h'))

    Raises
    ------
    ValueError
        The number is no number: a fraction over nothing, or one too large to hold.
    """
    broken = _FRACTION.match(text)
    match = broken or _PLAIN.match(text)
    if match is None:
        return None
    number = _fraction(broken) if broken else float(match["decimal"].replace(",", ""))
    unit = text[match.end() :].strip()
    thousand = _THOUSAND.match(unit)
    if thousand:
        number, unit = number * 1000.0, unit[thousand.end() :]
    if not math.isfinite(number):
        raise ValueError(f"'{text}' is too large a number")
    return Piece(-number if match["sign"] == "-" else number, unit)


def _fraction(match: re.Match[str]) -> float:
    whole, top, bottom = (float(match[name] or 0) for name in ("whole", "top", "bottom"))
    if bottom == 0.0 or (match["whole"] and top >= bottom):
        raise ValueError(f"'{match[0].strip()}' is no fraction, written e.g. '1 1/2'")
    return whole + top / bottom


def pieces(text: str) -> tuple[float, list[Piece]] | None:
    """Return the sign and the pieces of a quantity in two or more units; None if it is not one.

    >>> pieces("13 lb 5 oz")
    (1.0, [Piece(number=13.0, unit='lb'), Piece(number=5.0, unit='oz')])
    """
    sign = -1.0 if text.startswith("-") else 1.0
    rest, found = text.removeprefix("-").removeprefix("+").strip(), list[Piece]()
    while rest:
        match = _PIECE.match(rest)
        number = piece(match["number"]) if match else None
        if match is None or number is None:
            return None
        found.append(Piece(number.number, match["unit"].removesuffix(".")))
        rest = rest[match.end() :]
        rest = rest[_BETWEEN.match(rest).end() :] if rest else ""  # type: ignore[union-attr]
    return (sign, found) if len(found) > 1 else None


class Clock(NamedTuple):
    """Two or three numbers with colons between, as seconds; `hours_first` is another reading."""

    seconds: float
    hours_first: float | None


def clock(text: str) -> Clock | None:
    """Return a time written with colons, in seconds; None if it is not one.

    Of two numbers the first are minutes, as on a stopwatch, unless ``h`` stands after them; without
    a unit they could be hours and minutes as well, and that reading is given beside it.

    >>> clock("1:12")
    Clock(seconds=72.0, hours_first=4320.0)
    >>> clock("1:12:30"), clock("1:12 h").seconds
    (Clock(seconds=4350.0, hours_first=None), 4320.0)
    """
    match = _CLOCK.fullmatch(text)
    if match is None:
        return None
    hours, first, last, unit = match.groups()
    if not _two_digits(last) or (hours is not None and not _two_digits(first)):
        raise ValueError(f"'{text}' is no time: after a colon stand two digits, 00 to 59, as in '1:05'")
    in_hours = (unit or "").lower().startswith("h")
    seconds = float(first) * 60.0 + float(last)
    if hours is not None:
        if unit and not in_hours:
            raise ValueError(f"'{text}' is no time in minutes; write hours, minutes and seconds alone")
        return Clock(float(hours) * 3600.0 + seconds, None)
    return Clock(seconds * 60.0 if in_hours else seconds, None if unit else seconds * 60.0)


def _two_digits(text: str) -> bool:
    return re.fullmatch(r"[0-5][0-9](?:\.[0-9]*)?", text) is not None
