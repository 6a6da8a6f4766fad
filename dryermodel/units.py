"""People's units at the edges of the program: text to SI and back.

The only module that touches pint. The registry is built on first use from ``units.txt``, a short
list of the units this trade writes; pint's own list is ten times longer and slower to load.
"""

from __future__ import annotations

import math
import re
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from dryermodel.errors import did_you_mean
from dryermodel.unit_names import KINDS as KINDS
from dryermodel.unit_names import Kind
from dryermodel.unit_names import spelling as spell

if TYPE_CHECKING:
    import pint


_DECIMAL = r"\d{1,3}(?:,\d{3})+(?:\.\d*)?|\d+\.?\d*|\.\d+"
_QUANTITY = re.compile(rf"\s*([+-]?(?:{_DECIMAL})(?:[eE][+-]?\d+)?)(?![\d,])\s*(.*?)\s*", re.S)
_BROKEN_NUMBER = re.compile(r"\s*(?:(\d+)[ -])?(\d+)/([1-9]\d*)\s+(.*?)\s*")
_UNIT = re.compile(r"(?:1 ?/ ?)?[A-Za-z_%][\w%/*() ]{0,40}")
_SUSPECT = re.compile(r"\d{3,}|\*\*\s*(?![23]\b)|\(.*\(|\*\*.*\*\*.*\*\*")
_ENERGY = re.compile(r"Btu|Wh|therm|cal|[kM]?J(?!\w)|joule|watt_hour")


@cache
def registry() -> pint.UnitRegistry[float]:
    """Return the one unit registry of the program, built on first use."""
    import pint

    return pint.UnitRegistry(Path(__file__).with_name("units.txt"), autoconvert_offset_to_baseunit=True)


def _registered(spelling: str) -> bool:
    if not _UNIT.fullmatch(spelling) or _SUSPECT.search(spelling):
        return False
    try:
        registry().parse_units(spelling)
    except ImportError:  # a broken installation is not an unknown unit
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
    return next((s for s in (spelling, spell(spelling.lower())) if _registered(s)), None)


def _require_unit(unit: str, kind: str = "") -> str:
    spelling = _known_unit(unit)
    if spelling is None:
        near = did_you_mean(unit, {name for k in KINDS.values() for name in k.written_in})
        wanted = KINDS.get(kind)
        hint = f"; {wanted.label} is written e.g. '{wanted.example}'" if wanted else ""
        raise ValueError(f"unknown unit '{unit}'{near}{hint}")
    return spelling


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


def _split(text: str, kind: Kind) -> tuple[float, str]:
    """Split "3.5 inH2O" into number and unit; "1/2 ft3" and "3 1/2 in" are read too."""
    broken = _BROKEN_NUMBER.fullmatch(text)
    if broken:
        return float(broken[1] or 0) + float(broken[2]) / float(broken[3]), broken[4]
    match = _QUANTITY.fullmatch(text)
    if match is None:
        point = "; decimals take a point, not a comma" if re.match(r"\s*\d+,\d", text) else ""
        raise ValueError(f"'{text}' is not {kind.label}, written e.g. '{kind.example}'{point}")
    number = float(match[1].replace(",", ""))
    if not math.isfinite(number):
        raise ValueError(f"'{text}' is too large a number")
    return number, match[2]


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


def parse(text: str, kind: str) -> float:
    """Turn a written quantity into SI.

    Parameters
    ----------
    text : str
        Number and unit, such as ``"3.5 in w.c."``. Fractions take ``%`` or no unit.
    kind : str
        A key of `KINDS`. Temperatures and temperature differences are different kinds.

    Returns
    -------
    float
        Value in the kind's SI unit.

    Raises
    ------
    ValueError
        The text is not a number with a unit of that kind; the message says what is.

    >>> round(parse("3.5 in w.c.", "pressure"), 2)
    871.81
    >>> round(parse("75 degF", "temperature"), 2)
    297.04
    >>> round(parse("18 degF", "temperature difference"), 9)
    10.0
    >>> parse("20 psi", "length")
    Traceback (most recent call last):
    ValueError: is a length, e.g. '20 ft'; '20 psi' is a pressure
    """
    number, unit = _split(text, KINDS[kind])
    spelling = _require_unit(unit, kind)
    _check_kind(text.strip(), unit, spelling, kind)
    scale = _scale(spelling)
    if scale is not None:
        return _times(number, scale)
    if kind == "temperature difference":
        return number * float(registry().Quantity(1.0, "delta_" + spelling).to("kelvin").magnitude)
    return float(registry().Quantity(number, spelling).to("kelvin").magnitude)


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


def format(si: float, unit: str, digits: int = 6) -> str:
    """Return an SI value as text in a unit, to a number of significant digits.

    Parameters
    ----------
    si : float
        Value in SI base units.
    unit : str
        Unit wanted; empty for a plain number.
    digits : int
        Significant digits [1].

    Returns
    -------
    str
        Number and unit, readable by `parse`.

    >>> format(0.0020, "cm2")
    '20 cm2'
    >>> format(297.0388888888889, "degF")
    '75 degF'
    """
    return f"{convert(si, unit):.{digits}g} {unit}".rstrip()
