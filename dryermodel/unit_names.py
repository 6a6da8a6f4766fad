"""The kinds of quantity a person writes down, and people's spellings of their units."""

from __future__ import annotations

import re
from functools import cache
from typing import NamedTuple


class Kind(NamedTuple):
    """A physical kind of quantity: what it is called, its SI unit, how a person writes it."""

    label: str
    si_unit: str
    example: str
    written_in: tuple[str, ...]


KINDS: dict[str, Kind] = {
    "length": Kind("a length", "m", "20 ft", ("ft", "in", "m", "cm", "mm")),
    "area": Kind("an area", "m2", "20 cm2", ("cm2", "in2", "ft2", "m2")),
    "volume": Kind("a volume", "m3", "700 ft3", ("ft3", "CCF", "m3", "L")),
    "mass": Kind("a mass", "kg", "8.45 lb", ("lb", "kg", "g", "oz")),
    "time": Kind("a time", "s", "30 s", ("s", "min", "h")),
    "rate": Kind("a rate per time", "1/s", "0.5 1/h", ("1/h", "1/min", "1/s", "ACH")),
    "temperature": Kind("a temperature", "K", "75 degF", ("degF", "degC", "K")),
    "temperature difference": Kind(
        "a temperature difference", "K", "15 delta_degF", ("delta_degF", "delta_degC", "degF", "degC", "K")
    ),
    "pressure": Kind(
        "a pressure", "Pa", "3.5 in w.c.", ("inH2O", "in w.c.", "Pa", "kPa", "psi", "inHg", "hPa")
    ),
    "power": Kind("a power", "W", "22000 Btu/h", ("Btu/h", "kBtu/h", "kW", "W")),
    "volume flow": Kind("a volume flow", "m3/s", "140 cfm", ("cfm", "ft3/min", "cfh", "m3/h", "L/s", "m3/s")),
    "mass flow": Kind("a mass flow", "kg/s", "0.15 kg/s", ("kg/s", "g/s", "lb/min")),
    "density": Kind("a density", "kg/m3", "1.2 kg/m3", ("kg/m3", "lb/ft3")),
    "specific heat": Kind("a specific heat", "J/(kg K)", "490 J/(kg K)", ("J/(kg K)", "kJ/(kg K)")),
    "conductance": Kind("a heat conductance", "W/K", "20 W/K", ("W/K", "Btu/(h delta_degF)")),
    "voltage": Kind("a voltage", "V", "120 V", ("V",)),
    "resistance": Kind("an electrical resistance", "ohm", "45 ohm", ("ohm", "kohm")),
    "heating value": Kind("a heating value", "J/m3", "1025 Btu/ft3", ("Btu/ft3", "MJ/m3", "kWh/m3")),
    "mass per energy": Kind("a mass per energy", "kg/J", "0.04 kg/MJ", ("kg/MJ", "kg/kWh")),
    "current": Kind("a current", "A", "4.5 A", ("A", "mA")),
    "speed": Kind("a speed", "m/s", "1500 fpm", ("fpm", "m/s")),
    "energy": Kind("an energy", "J", "2.5 kWh", ("kWh", "Btu", "MJ", "therm")),
    "price": Kind("a price per energy", "money/J", "1.50 USD/therm", ("USD/therm", "USD/kWh", "money/kWh")),
    "fraction": Kind("a fraction", "1", "57.5 %", ("%",)),
    "number": Kind("a plain number", "1", "0.6", ()),
}

_WATER_COLUMN = re.compile(
    r"(?:in|inch|inches|\")\.? ?(?:of )?(?:water column|water|h2o|w\.? ?[cg]\.?)(?!\w)|\biw[cg]\b", re.I
)
_POWER_WORD = re.compile(r"\b(sq|square|cu|cubic)\.? ([A-Za-z]+)", re.I)
_POWER_DIGIT = re.compile(r"\b([A-Za-z]+)\^?([23])\b")
_DEGREE = re.compile(r"\bdeg(?:ree)?s? ?(?=[fc]\b|fahrenheit\b|celsius\b)", re.I)
_WORD = re.compile(r"[A-Za-z_]\w*")
_WHOLE = {
    "air changes per hour": "1/h", "air changes/h": "1/h", "ach": "1/h", "per hour": "1/h", "per h": "1/h",
    "/h": "1/h", "btuh": "Btu/h", "kbtuh": "kBtu/h", "mbh": "kBtu/h", '"': "in", "'": "ft",
    "percent rh": "%", "% rh": "%", "%rh": "%", "rh": "%",
}  # fmt: skip

DEGREES = ("deg", "degs", "degree", "degrees")
"""Spellings that do not say of which scale the degrees are."""

UNIT_WORDS: dict[str, str] = {
    "m": "meter meters metre metres", "cm": "", "mm": "", "km": "", "um": "micron microns",
    "in": "inch inches", "ft": "foot feet", "yd": "yard yards", "mil": "mils",
    "s": "sec secs second seconds", "ms": "", "min": "mins minute minutes", "h": "hr hrs hour hours",
    "d": "day days", "Hz": "hertz",
    "kg": "kilogram kilograms kilo kilos", "g": "gram grams", "mg": "", "lb": "lbs lbm pound pounds",
    "oz": "ounce ounces", "tonne": "tonnes",
    "L": "liter liters litre litres", "mL": "", "gal": "gallon gallons",
    "ft**3": "cf cft", "CCF": "", "MCF": "", "cfm": "scfm", "cfh": "", "fpm": "", "mph": "",
    "K": "kelvin kelvins", "degC": "c celsius deg_c", "degF": "f fahrenheit deg_f",
    "delta_degC": "delta_c", "delta_degF": "delta_f",
    "N": "newton newtons", "lbf": "", "Pa": "pascal pascals", "hPa": "", "kPa": "", "MPa": "", "mPa": "",
    "bar": "", "mbar": "", "atm": "", "psi": "", "inH2O": "", "mmH2O": "", "inHg": "", "mmHg": "",
    "J": "joule joules", "kJ": "", "MJ": "", "mJ": "", "GJ": "", "cal": "calorie calories", "kcal": "",
    "Wh": "", "kWh": "", "MWh": "", "mWh": "", "Btu": "btus", "kBtu": "", "MMBtu": "",
    "therm": "therms", "W": "watt watts", "kW": "", "MW": "", "mW": "", "hp": "horsepower",
    "V": "volt volts", "kV": "", "mV": "", "MV": "", "A": "amp amps ampere amperes", "mA": "", "MA": "",
    "ohm": "ohms", "kohm": "kohms", "Mohm": "", "mohm": "",
    "money": "", "USD": "", "CAD": "", "MXN": "", "EUR": "", "GBP": "", "CHF": "", "AUD": "", "NZD": "",
    "JPY": "", "SEK": "", "NOK": "", "DKK": "", "%": "percent pct",
}  # fmt: skip
"""Every unit by the registry's name, with its other spellings; capitals make no difference.

Only where two names differ in nothing but a capital, milli and mega, must it stand as it is here.
"""


@cache
def _by_small_letters() -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for name, others in UNIT_WORDS.items():
        for word in (name, *others.split()):
            found.setdefault(word.lower(), []).append(name)
    return found


def _named(word: str) -> str:
    """Return the registry's name of one word; unknown words as they are."""
    if word == "M" or word.lower() in ("mbtu", "mbtuh"):
        raise ValueError(
            f"'{word}' is a thousand to some and a million to others; write e.g. 22000 Btu/h or 22 kBtu/h"
        )
    names = _by_small_letters().get(word.lower(), [word])
    if word in names:
        return word
    if len(names) > 1:
        milli, mega = sorted(names, reverse=True)
        raise ValueError(
            f"capitals matter in '{word}': {milli} is a thousandth and {mega} a million {milli[1:]}"
        )
    return names[0]


def spelling(unit: str) -> str:
    """Rewrite a person's spelling of a unit in the registry's own.

    >>> spelling("in w.c."), spelling("cu ft"), spelling("BTU/HR"), spelling("deg F")
    ('inH2O', 'ft**3', 'Btu/h', 'degF')

    Raises
    ------
    ValueError
        A word that could be two units.
    """
    text = unit.replace("\N{SUPERSCRIPT TWO}", "2").replace("\N{SUPERSCRIPT THREE}", "3")
    text = _WATER_COLUMN.sub("inH2O", " ".join(text.split()))
    text = _DEGREE.sub("deg_", text)
    text = _WHOLE.get(text.lower(), text)
    text = _POWER_WORD.sub(lambda m: m[2] + ("**2" if m[1].lower()[0] == "s" else "**3"), text)
    text = re.sub(r"(?<=[A-Za-z])\.(?= |/|$)", "", text)
    text = re.sub(r"\bper\b", "/", text, flags=re.I)
    text = _POWER_DIGIT.sub(r"\1**\2", text)
    return _WORD.sub(lambda word: _named(word[0]), text)
