"""Which column of a log holds what, and in which unit: guessed from names and numbers, or as told."""

from __future__ import annotations

import itertools
import re
from typing import NamedTuple

from dryermodel.errors import InputError, did_you_mean
from dryermodel.field.traces.text import MISSING, Layout, is_number, is_time, number

KINDS = {"power": "W", "current": "A", "temperature": "K"}
"""What is read from a log, with its SI unit."""

UNITS = {
    "power": {"W": 1.0, "kW": 1000.0},
    "current": {"A": 1.0, "mA": 0.001},
    "temperature": {"degF": 5.0 / 9.0, "degC": 1.0, "K": 1.0},
}
"""Units of a column, with what one of them is in SI."""

ZERO = {"degF": 459.67 * 5.0 / 9.0, "degC": 273.15}
"""Where a scale's nought lies [K]."""

_WORDS = {
    "time": r"time|date|datum|zeit|stamp|clock|elapsed|seconds?|secs?|uhr|hora|heure|t|s",
    "power": r"power|watts?|leistung|load|w|kw",
    "current": r"current|amps?|amperes?|strom|a|ma",
    "temperature": r"temp|temps|temperature|exhaust|probe|thermocouple|deg ?[cf]|degrees ?[cf]?|celsius|"
    r"fahrenheit|t\d",
}
_NOT = re.compile(
    r"apparent|reactive|factor|energy|kwh|\bwh\b|total|\bva\b|\bvar\b|volt|humid|\brh\b|%|room|ambient"
)
_UNIT_WORDS = {
    "kW": r"kw|kilowatts?", "W": r"w|watts?", "mA": r"ma|milliamps?", "A": r"a|amps?|amperes?",
    "degF": r"f|deg ?f|fahrenheit|degrees f", "degC": r"c|deg ?c|celsius|degrees c", "K": r"k|kelvin",
    "ms": r"ms|milliseconds?", "s": r"s|secs?|seconds?", "min": r"min|minutes?", "h": r"h|hours?|hrs?",
}  # fmt: skip


class Column(NamedTuple):
    """One column that is read."""

    kind: str  # a key of KINDS
    place: int  # from 0
    unit: str


class Wanted(NamedTuple):
    """What a person said about the columns; empty where it is to be guessed."""

    time: str = ""
    power: str = ""
    current: str = ""
    temperature: str = ""
    units: tuple[str, ...] = ()  # such as "power=kW"


class Columns(NamedTuple):
    """Where everything is."""

    time: tuple[int, ...]  # none, one, or a date and a time of day
    time_unit: str  # of a plain number; empty where it is not said
    read: tuple[Column, ...]
    notes: tuple[str, ...]


def columns(found: Layout, wanted: Wanted, where: str) -> Columns:
    """Find out which columns hold time, power, current and temperature.

    Parameters
    ----------
    found : Layout
        How the file is laid out.
    wanted : Wanted
        What a person said.
    where : str
        The file, for messages.

    Raises
    ------
    InputError
        A column that was named is not there, a unit is of the wrong kind, or nothing to read was found.
    """
    width = len(found.head[0])
    names = [_plainly(name) for name in found.names] or [""] * width
    said = _said_units(wanted.units)
    given = {k: _place(getattr(wanted, k), found, k) for k in ("time", *KINDS) if getattr(wanted, k)}
    time = _time_columns(found, names, given)
    taken = set(time) | {place for kind, place in given.items() if kind != "time"}
    places = {k: given[k] for k in KINDS if k in given} or _by_name(names, taken, found)
    places = places or _by_numbers(found, taken)
    if not places:
        raise InputError(
            "no column of power, current or temperature was recognised; name one, e.g. --power 2", where
        )
    read = tuple(
        Column(kind, place, said.get(kind) or _unit(kind, place, names, found))
        for kind, place in places.items()
    )
    unit = said.get("time") or _named_unit(names[time[0]], ("ms", "s", "min", "h")) if time else ""
    return Columns(time, unit, read, tuple(_told(found, time, read)))


def to_si(column: Column) -> tuple[float, float]:
    """Scale and offset that turn numbers of a column into SI.

    >>> to_si(Column("temperature", 1, "degC"))
    (1.0, 273.15)
    """
    return UNITS[column.kind][column.unit], ZERO.get(column.unit, 0.0)


def _plainly(name: str) -> str:
    """A column's name in small letters, words apart.

    >>> _plainly("Exhaust_Temp [\N{DEGREE SIGN}C]")
    'exhaust temp deg c'
    """
    text = name.replace("\N{DEGREE SIGN}", " deg ").lower()
    return " ".join(re.sub(r"[^a-z0-9%]+", " ", text).split())


def _has(words: str, name: str) -> bool:
    return bool(re.search(rf"\b({words})\b", name))


def _said_units(pairs: tuple[str, ...]) -> dict[str, str]:
    """Units a person gave, such as "power=kW"."""
    said = {}
    for pair in pairs:
        kind, _, unit = (part.strip() for part in pair.partition("="))
        known = {**{k: tuple(u) for k, u in UNITS.items()}, "time": ("s", "ms", "min", "h")}
        if kind not in known:
            raise InputError(
                f"is '{pair}'; write e.g. power=kW, for {', '.join(known)}{did_you_mean(kind, known)}",
                "--unit",
            )
        match = next(
            (u for u in known[kind] if u.lower() == unit.lower() or _has(_UNIT_WORDS[u], _plainly(unit))),
            None,
        )
        if match is None:
            raise InputError(f"is '{pair}'; {kind} is in {', '.join(known[kind])}", "--unit")
        said[kind] = match
    return said


def _place(word: str, found: Layout, kind: str) -> int:
    """Column that a person named or numbered from 1."""
    width = len(found.head[0])
    option = "--time-column" if kind == "time" else f"--{kind}"
    if word in found.names:
        return found.names.index(word)
    if word.isdigit() and 1 <= int(word) <= width:
        return int(word) - 1
    near = [i for i, name in enumerate(found.names) if _plainly(name) == _plainly(word)]
    if near:
        return near[0]
    there = f"; there are {', '.join(repr(n) for n in found.names)}" if found.names else ""
    raise InputError(f"there is no column '{word}' among 1 to {width}{there}", option)


def _cells(found: Layout, place: int) -> list[str]:
    return [row[place] for row in found.head if place < len(row) and row[place].lower() not in MISSING]


def _numbers(found: Layout, place: int) -> list[float]:
    values = (number(cell, found.decimal) for cell in _cells(found, place))
    return [value for value in values if value is not None]


def _time_columns(found: Layout, names: list[str], given: dict[str, int]) -> tuple[int, ...]:
    """One column of times, or of dates with that of times beside it; none where there is none."""
    width = len(found.head[0])
    stamps = [i for i in range(width) if _mostly_times(found, i)]
    if "time" in given:
        first = given["time"]
        return (first, first + 1) if _only_dates(found, first) and first + 1 in stamps else (first,)
    if stamps:
        return tuple(stamps[:2]) if _only_dates(found, stamps[0]) else (stamps[0],)
    places = range(width) if width > 1 else ()
    named = [i for i in places if _has(_WORDS["time"], names[i]) and _rises(_numbers(found, i), 0.3)]
    counted = [] if any(names) else [i for i in places if _rises(_numbers(found, i), 0.02)]
    return tuple((named or counted)[:1])


def _mostly_times(found: Layout, place: int) -> bool:
    cells = _cells(found, place)
    times = sum(is_time(c) and not is_number(c, found.decimal) for c in cells)
    return times > 0.5 * len(cells) > 0


def _only_dates(found: Layout, place: int) -> bool:
    return all(":" not in cell for cell in _cells(found, place)) and _mostly_times(found, place)


def _rises(values: list[float], but_for: float) -> bool:
    """Whether numbers count up, as elapsed time or the seconds of an epoch do, but for a share of them."""
    steps = [b - a for a, b in itertools.pairwise(values)]
    return len(steps) > 1 and sum(s < 0.0 for s in steps) <= but_for * len(steps) and max(values) > values[0]


def _by_name(names: list[str], taken: set[int], found: Layout) -> dict[str, int]:
    """Columns whose names say what they hold; of several the first."""
    places: dict[str, int] = {}
    for kind in ("temperature", "current", "power"):
        for i, name in enumerate(names):
            free = i not in taken and i not in places.values() and not _NOT.search(name)
            if kind not in places and free and _has(_WORDS[kind], name) and _numbers(found, i):
                places[kind] = i
    return {kind: places[kind] for kind in KINDS if kind in places}


def _by_numbers(found: Layout, taken: set[int]) -> dict[str, int]:
    """The kind that the numbers look like: watts are many or nought, amperes few, the rest degrees."""
    places: dict[str, int] = {}
    for i in range(len(found.head[0])):
        values = _numbers(found, i)
        if i in taken or not values:
            continue
        kind = _looks_like(values)
        if kind not in places:
            places[kind] = i
    return places


def _looks_like(values: list[float]) -> str:
    """Kind of quantity by size and spread.

    >>> _looks_like([0.0, 0.4, 700.0]), _looks_like([6.9, 3.1]), _looks_like([70.0, 120.0, 155.0])
    ('power', 'current', 'temperature')
    """
    low, high = min(values), max(values)
    if high > 180.0 or (low < 8.0 and high > 30.0):
        return "power"
    return "current" if high < 30.0 and low < 8.0 else "temperature"


def _named_unit(name: str, units: tuple[str, ...]) -> str:
    return next((unit for unit in units if _has(_UNIT_WORDS[unit], name)), "")


def _unit(kind: str, place: int, names: list[str], found: Layout) -> str:
    """Unit that the name gives, or the one in which the numbers make sense."""
    named = _named_unit(names[place], tuple(UNITS[kind]))
    if named:
        return named
    high = max(_numbers(found, place), default=0.0)
    if kind == "temperature":
        return (
            "K" if high > 280.0 else "degF" if high > 65.0 and min(_numbers(found, place)) > 32.0 else "degC"
        )
    if kind == "power":
        return (
            "kW"
            if high < 8.0 and any("." in c or "," in c for c in _cells(found, place)) and high > 0.1
            else "W"
        )
    return "mA" if high > 60.0 else "A"


def _told(found: Layout, time: tuple[int, ...], read: tuple[Column, ...]) -> list[str]:
    """What was taken for what."""

    def name(place: int) -> str:
        return f"column {place + 1}" + (f" ('{found.names[place]}')" if found.names else "")

    lines = [f"{c.kind} in {c.unit} from {name(c.place)}" for c in read]
    return [f"time from {' and '.join(map(name, time))}", *lines] if time else lines
