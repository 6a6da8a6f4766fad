"""People's units at the edges of the program: text to SI and back.

The only module that touches pint. The registry is built on first use from ``units.txt``, a short
list of the units this trade writes; pint's own list is ten times longer and slower to load.
"""

from __future__ import annotations

import math
import re
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from dryermodel.errors import nearest, shortened
from dryermodel.unit_names import DEGREES, UNIT_WORDS, Kind
from dryermodel.unit_names import KINDS as KINDS
from dryermodel.unit_names import spelling as spell
from dryermodel.written import Piece, clock, piece, pieces, typed_plainly

if TYPE_CHECKING:
    import pint


_UNIT = re.compile(r"(?:1 ?/ ?)?[A-Za-z_%][\w%/*() ]{0,40}")
_SUSPECT = re.compile(r"\d{3,}|\*\*\s*(?![23]\b)|\(.*\(|\*\*.*\*\*.*\*\*")
_WORDS = re.compile(r"[A-Za-z_]\w*")
LONGEST = 200
"""Letters of a quantity as a person writes it; more of them are none."""

_IN_SEVERAL_UNITS = ("length", "mass", "time")
_ENERGY = re.compile(r"Btu|Wh|therm|cal|[kM]?J(?!\w)|joule|watt_hour")


@cache
def registry() -> pint.UnitRegistry[float]:
    """Return the one unit registry of the program, built on first use."""
    import pint

    return pint.UnitRegistry(Path(__file__).with_name("units.txt"), autoconvert_offset_to_baseunit=True)


def _registered(spelling: str) -> bool:
    if not _UNIT.fullmatch(spelling) or _SUSPECT.search(spelling):
        return False
    if not UNIT_WORDS.keys() >= set(_WORDS.findall(spelling)):
        return False
    known = registry()
    try:
        known.parse_units(spelling)
    except ImportError:  # a broken installation is not an unknown unit; nor is a registry that does not start
        raise
    except Exception:  # pint raises a dozen unrelated types on odd text
        return False
    return True


@cache
def _known_unit(unit: str) -> str | None:
    """Return the registry's spelling of a unit, empty for none, or None if it is unknown."""
    spelling = spell(unit)
    if spelling in ("", "1"):
        return ""
    return spelling if _registered(spelling) else None


def _as_typed(unit: str, text: str) -> str:
    """Return the end of a text that `typed_plainly` makes a unit of; the unit if there is none."""
    ends = (text[i:].strip() for i in range(len(text)))
    return next((end for end in ends if typed_plainly(end) == unit), unit)


def _require_unit(unit: str, kind: str = "", text: str = "") -> str:
    """Return the registry's spelling of a unit, or say of which text it is an unknown part."""
    spelling = _known_unit(unit)
    if spelling is None:
        near = _near_units(unit)
        wanted = KINDS.get(kind)
        hint = f"; {wanted.label} is written e.g. '{wanted.example}'" if wanted else ""
        raise ValueError(f"unknown unit '{_as_typed(unit, text)}'{near}{hint}")
    return spelling


def _near_units(unit: str) -> str:
    """Return the units that look like an unknown one, as the trade writes them, to be put behind it."""
    names = nearest(unit, {name for kind in KINDS.values() for name in kind.written_in})
    told = ", ".join(dict.fromkeys("in w.c." if name == "inH2O" else name for name in names))
    return f" (did you mean {told}?)" if told else ""


@cache
def _dimension(spelling: str) -> tuple[str, bool]:
    """Return the dimension of a unit; energy per volume has that of pressure and is told apart."""
    if not spelling:
        return "dimensionless", False
    dimension = str(registry().get_dimensionality(registry().parse_units(spelling)))
    per_volume = dimension == str(registry().get_dimensionality("pascal")) and bool(_ENERGY.search(spelling))
    return dimension, per_volume


@cache
def _scale(spelling: str) -> float | None:
    """Return the factor to SI base units, or None for a temperature with an offset."""
    if not spelling:
        return 1.0
    if spelling in ("degF", "degC", "fahrenheit", "celsius"):
        return None
    return float(registry().Quantity(1.0, spelling).to_base_units().magnitude)


def _times(number: float, scale: float) -> float:
    """Multiply, or divide by a whole inverse, which rounds once: 57.5 % is then 0.575."""
    inverse = round(1.0 / scale) if scale < 1.0 else 0
    return (
        number / inverse if inverse and math.isclose(inverse * scale, 1.0, rel_tol=1e-15) else number * scale
    )


@cache
def _kind_dimension(kind: str) -> tuple[str, bool]:
    return _dimension(_require_unit(KINDS[kind].si_unit))


def kind_of(unit: str) -> str:
    """Return the name of the kind a unit measures, or an empty string.

    >>> kind_of("psi"), kind_of("Btu/ft3"), kind_of("delta_degF")
    ('pressure', 'heating value', 'temperature difference')
    """
    spelling = _require_unit(unit)
    if spelling.startswith("delta_"):
        return "temperature difference"
    return next((kind for kind in KINDS if _kind_dimension(kind) == _dimension(spelling)), "")


class Reading(NamedTuple):
    """One meaning of a written quantity: its value in SI, and the same written beyond doubt."""

    si: float
    plainly: str


def _piece(text: str, typed: str, kind: Kind) -> Piece:
    """Split "3.5 inH2O" into number and unit, or say how the kind is written."""
    found = piece(typed)
    if found is None or found.unit[:1] in (".", ","):
        point = "; decimals take a point, not a comma" if re.match(r"\s*\d+,\d", text) else ""
        raise ValueError(f"'{text}' is not {kind.label}, written e.g. '{kind.example}'{point}")
    return found


def _check_kind(text: str, unit: str, spelling: str, kind: str) -> None:
    """Raise ValueError unless the unit measures the kind wanted."""
    wanted = KINDS[kind]
    if _dimension(spelling) == _kind_dimension(kind) and not (
        kind == "temperature" and spelling.startswith("delta_")
    ):
        return
    if not spelling:
        raise ValueError(f"'{text}' has no unit; it is {wanted.label}, written e.g. '{wanted.example}'")
    found = kind_of(unit)
    is_what = f"'{text}' is {KINDS[found].label}" if found else f"'{unit}' measures something else"
    raise ValueError(f"is {wanted.label}, e.g. '{wanted.example}'; {is_what}")


def _single(text: str, number: float, unit: str, kind: str) -> float:
    """Return a number with one unit in SI."""
    spelling = _require_unit(unit, kind, text)
    _check_kind(text, unit, spelling, kind)
    scale = _scale(spelling)
    if scale is not None:
        return _times(number, scale)
    if kind == "temperature difference":
        return number * float(registry().Quantity(1.0, "delta_" + spelling).to("kelvin").magnitude)
    return float(registry().Quantity(number, spelling).to("kelvin").magnitude)


def _several(text: str, sign: float, parts: list[Piece], kind: str) -> float:
    """Return a quantity written in several units, such as 13 lb 5 oz, in SI.

    All but the last number are whole, and each is less than one of the unit before it; anything
    else is a slip of the finger.
    """
    if kind not in _IN_SEVERAL_UNITS:
        raise ValueError(f"'{text}' is not {KINDS[kind].label}, written e.g. '{KINDS[kind].example}'")
    values = [_single(text, part.number, part.unit, kind) for part in parts]
    ones = [_single(text, 1.0, part.unit, kind) for part in parts]
    for one, smaller in zip(ones, values[1:], strict=False):
        if smaller >= one * (1.0 - 1e-12):
            raise ValueError(f"'{text}' is not clear: the larger unit comes first, then less than one of it")
    if not all(part.number.is_integer() for part in parts[:-1]):
        raise ValueError(f"'{text}' is not clear: only the last number may have a fraction")
    return sign * math.fsum(values)


def _readings(text: str, kind: str) -> list[Reading]:
    """Return what a text can mean, the likeliest first."""
    typed = typed_plainly(text)
    times = clock(typed) if kind == "time" else None
    if times is not None:
        return _clock_readings(typed, times.seconds, times.hours_first)
    several = pieces(typed)
    if several is not None and all(_known_unit(part.unit) for part in several[1]):
        return [Reading(_several(text, *several, kind), text)]
    number, unit = _piece(text, typed, KINDS[kind])
    if unit.lower() in DEGREES and kind.startswith("temperature"):
        return [
            Reading(_single(text, number, scale, kind), f"{number:g} {scale}") for scale in ("degF", "degC")
        ]
    return [Reading(_single(text, number, unit, kind), text)]


def _clock_readings(typed: str, seconds: float, hours_first: float | None) -> list[Reading]:
    first, _, last = typed.partition(":")
    readings = [Reading(seconds, f"{first} min {last} s")]
    return readings if hours_first is None else [*readings, Reading(hours_first, f"{first} h {last} min")]


def parse(text: str, kind: str, within: tuple[float, float] | None = None) -> float:
    """Turn a written quantity into SI.

    Parameters
    ----------
    text : str
        Number and unit, such as ``"3.5 in w.c."``, ``"1 1/2 ft"`` or ``"13 lb 5 oz"``. Fractions
        take ``%`` or no unit.
    kind : str
        A key of `KINDS`. Temperatures and temperature differences are different kinds.
    within : (float, float), optional
        Least and greatest admissible value [SI]. It decides where a text has two readings: degrees
        of no scale are Fahrenheit, and ``1:12`` minutes and seconds, if that is admissible and the
        other reading is not.

    Returns
    -------
    float
        Value in the kind's SI unit. It may lie outside `within`.

    Raises
    ------
    ValueError
        The text is not a number with a unit of that kind, or has two admissible readings; the
        message says what is.

    >>> round(parse("3.5 in w.c.", "pressure"), 2)
    871.81
    >>> round(parse("75 degF", "temperature"), 2)
    297.04
    >>> round(parse("18 degF", "temperature difference"), 9)
    10.0
    >>> parse("20 psi", "length")
    Traceback (most recent call last):
    ValueError: is a length, e.g. '20 ft'; '20 psi' is a pressure
    >>> parse("1:12", "time", (0.0, 3600.0))
    72.0
    >>> parse("1:12", "time", (0.0, 86400.0))
    Traceback (most recent call last):
    ValueError: '1:12' could be 1 min 12 s or 1 h 12 min; write which
    """
    text = text.strip()
    if len(text) > LONGEST:
        told = KINDS[kind]
        raise ValueError(f"'{shortened(text)}' is not {told.label}, written e.g. '{told.example}'")
    first, *others = _readings(text, kind)
    low, high = within or (-math.inf, math.inf)
    if others and (any(low <= other.si <= high for other in others) or not low <= first.si <= high):
        meanings = " or ".join(reading.plainly for reading in (first, *others))
        raise ValueError(f"'{text}' could be {meanings}; write which")
    return first.si


def convert(si: float, unit: str) -> float:
    """Return an SI value as a number in a unit.

    Parameters
    ----------
    si : float
        Value in SI base units; kelvin for both kinds of temperature.
    unit : str
        Unit wanted; ``delta_degF`` for a temperature difference.

    Returns
    -------
    float
        The number that goes before the unit.

    >>> round(convert(297.0388888888889, "degF"), 9)
    75.0
    >>> convert(0.5, "%")
    50.0
    """
    spelling = _require_unit(unit)
    scale = _scale(spelling)
    if scale is None:
        return float(registry().Quantity(si, "kelvin").to(spelling).magnitude)
    return si / scale


def digits(number: float, significant: int = 6) -> str:
    """Return a number to so many significant digits, without padding; no whole digit is rounded away.

    Parameters
    ----------
    number : float
        What is shown.
    significant : int
        Digits wanted [1].

    >>> digits(10000.0, 4), digits(12345.6, 3), digits(8.0 / 3.0, 3), digits(2.0e-5)
    ('10000', '12346', '2.67', '2e-05')
    """
    text = f"{number:.{significant}g}"
    return f"{number:.0f}" if "e+" in text and math.isfinite(number) else text


def format(si: float, unit: str, significant: int = 6) -> str:
    """Return an SI value as text in a unit, to a number of significant digits.

    Parameters
    ----------
    si : float
        Value in SI base units.
    unit : str
        Unit wanted; empty for a plain number.
    significant : int
        Digits [1]; whole digits are never rounded away.

    Returns
    -------
    str
        Number and unit, readable by `parse`.

    >>> format(0.0020, "cm2")
    '20 cm2'
    >>> format(297.0388888888889, "degF")
    '75 degF'
    """
    return f"{digits(convert(si, unit), significant)} {unit}".rstrip()
