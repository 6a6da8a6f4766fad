"""What can be measured on a visit: names as people write them, instruments and their accuracy.

The table is ``measurements.toml``; every other reading of the vocabulary may be given as well, by its
name or its words, with the accuracy of its kind.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping, Sequence
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import Any, NamedTuple

from dryermodel import units, written
from dryermodel.errors import InputError, nearest, shortened
from dryermodel.kinds import KINDS
from dryermodel.readings.rows import COLUMNS
from dryermodel.vocabulary import MARKS, READINGS, Reading

DIFFERENCES = {"temperature": "temperature difference"}
"""Kinds whose spread is another kind."""

AS_WRITTEN = {
    "temperature": "temperature", "mass": "mass", "flow": "volume flow", "pressure": "pressure",
    "power": "power", "electric power": "power", "current": "current", "energy": "energy",
    "gas energy": "energy", "time": "time", "stretch": "time", "share": "fraction", "moisture": "fraction",
    "count": "number",
}  # fmt: skip
"""Kind of a reading in the vocabulary, and the kind of what a person writes down."""

USUAL_ACCURACY: Mapping[str, tuple[str, float]] = MappingProxyType({
    "temperature": ("3 delta_degF", 0.0), "mass": ("0.15 lb", 0.01), "volume flow": ("3 cfm", 0.08),
    "pressure": ("0.02 inH2O", 0.02), "power": ("4 W", 0.02), "current": ("0.1 A", 0.02),
    "energy": ("0.005 kWh", 0.03), "time": ("5 s", 0.05), "fraction": ("2 %", 0.1), "number": ("0.7", 0.1),
})  # fmt: skip
"""Absolute and relative accuracy of readings that the table does not list, by kind; assumed."""

WIDEST: Mapping[str, tuple[str, str]] = MappingProxyType({
    "temperature": ("-40 degF", "1500 degF"), "mass": ("0 lb", "200 lb"),
    "volume flow": ("0 cfm", "1000 cfm"),
    "pressure": ("0 inH2O", "60 inH2O"), "power": ("0 W", "300 kW"), "current": ("0 A", "60 A"),
    "energy": ("0 kWh", "200 kWh"), "time": ("0 s", "24 h"), "fraction": ("0 %", "300 %"),
    "number": ("0", "100000"),
})  # fmt: skip
"""Least and greatest of readings that the table does not list, by kind."""

NEAREST: Mapping[str, str] = MappingProxyType({
    "vent_static": "vent static", "exhaust_flow": "exhaust flow", "exhaust_temp_bulk": "exhaust temperature",
    "exhaust_temp_max": "peak exhaust temperature", "time_to_4pct": "time to dry", "gas_input": "gas input",
    "burner_on_mean": "burner on late", "burner_off_mean": "burner off late",
})  # fmt: skip
"""Readings that only a single run has, and the measurement that stands for them among many runs."""

ADVANCE = "timer advance"
"""The one measurement that is taken between two minutes of the clock."""


class Measurement(NamedTuple):
    """One thing that can be measured.

    Attributes
    ----------
    name : str
        Canonical spelling.
    also : tuple of str
        Other spellings.
    kind : str
        Of quantity, as `units` knows it.
    question : str
        How it is asked for.
    states : mapping of str to str
        State of the machine in which it may be taken, the usual one first, and the number it then is.
    accuracy, relative : float
        Standard deviation of instrument and reader: absolute [SI] and as a share of the value [1].
    model, model_relative : float
        The same for the model's own error on this number.
    tools : tuple of str
        Needed.
    minutes : float
        Of work.
    within : (float, float)
        Least and greatest that an instrument could show [SI].
    unit : str
        In which people read it, as `units` spells it; empty for plain numbers.
    caution : str
        Before it is taken; empty for most.
    words : mapping of str to str
        Words that may be said in place of a quantity, and what they stand for.
    """

    name: str
    also: tuple[str, ...]
    kind: str
    question: str
    states: Mapping[str, str]
    accuracy: float
    relative: float
    model: float
    model_relative: float
    tools: tuple[str, ...]
    minutes: float
    within: tuple[float, float]
    unit: str
    caution: str = ""
    words: Mapping[str, str] = MappingProxyType({})

    @property
    def usual_state(self) -> str:
        """State it is taken in unless another is named."""
        return next(iter(self.states))

    def number(self, state: str = "") -> str:
        """Name of the model's number for a state; the usual one for none."""
        return self.states[state or self.usual_state]


def _spread(kind: str, text: str) -> float:
    return units.parse(text, DIFFERENCES.get(kind, kind))


def _entry(name: str, raw: Mapping[str, Any]) -> Measurement:
    kind, model = raw["kind"], raw["model"]
    apart = isinstance(model, str)
    return Measurement(
        name,
        tuple(raw["also"]),
        kind,
        raw["question"],
        MappingProxyType({state: number for state, number in raw["states"].items() if number}),
        _spread(kind, raw["accuracy"]),
        float(raw["relative"]),
        _spread(kind, model) if apart else 0.0,
        0.0 if apart else float(model),
        tuple(raw["tools"]),
        float(raw["minutes"]),
        _range(kind, raw["within"]),
        _unit(raw["accuracy"]),
        raw.get("caution", ""),
        MappingProxyType(raw.get("words", {})),
    )


def _unit(text: str) -> str:
    """Return the unit of a quantity; of a difference of temperatures that of the temperature."""
    found = written.piece(text)
    return found.unit.removeprefix("delta_") if found else ""


def _range(kind: str, ends: Sequence[str]) -> tuple[float, float]:
    low, high = (units.parse(end, kind) for end in ends)
    return low, high


@cache
def measurements() -> Mapping[str, Measurement]:
    """Return every measurement of the table by its canonical name, in its order.

    >>> measurements()["vent static"].usual_state
    'steady drying'
    """
    text = Path(__file__).with_name("measurements.toml").read_text(encoding="utf-8")
    return MappingProxyType({name: _entry(name, raw) for name, raw in tomllib.loads(text).items()})


def plain(name: str) -> str:
    """Return a name in the form in which names are compared.

    >>> plain("Cut-out  temperature"), plain("cut_out_temperature")
    ('cut out temperature', 'cut out temperature')
    """
    return " ".join(re.findall(r"[a-z0-9%]+", name.lower()))


@cache
def _spellings() -> dict[str, str]:
    """Plain spelling, and the canonical name it stands for; the table's own names win."""
    found: dict[str, str] = {}
    for entry in measurements().values():
        found.setdefault(plain(entry.name), entry.name)
    for entry in measurements().values():
        for other in entry.also:
            found.setdefault(plain(other), entry.name)
    homes = {reading.name: reading.name for reading in _others()}
    homes |= {number: name for number, name in _numbers().items() if number in READINGS}
    homes |= NEAREST
    for number, home in homes.items():
        reading = READINGS[number]
        for spelling in (reading.name, reading.words, reading.key, reading.si):
            found.setdefault(plain(spelling), home)
    return found


def _numbers() -> dict[str, str]:
    """Number of the model, and the measurement whose usual one it is."""
    return {entry.number(): entry.name for entry in measurements().values()}


def _others() -> list[Reading]:
    """Readings of many runs that the table does not list and that someone may have measured."""
    taken = set(_numbers())
    return [READINGS[n] for n in (*COLUMNS, "energy") if n not in taken and READINGS[n].kind in AS_WRITTEN]


def _other(name: str) -> Measurement:
    reading = READINGS[name]
    kind = AS_WRITTEN[reading.kind]
    accuracy, relative = USUAL_ACCURACY[kind]
    return Measurement(
        name, (reading.words,), kind, f"{reading.words} ({reading.about})?", {"whole cycle": name},
        _spread(kind, accuracy), relative, 0.0, 0.1 if kind != "temperature" else 0.0, (), 5.0,
        _range(kind, WIDEST[kind]), KINDS[reading.kind].trade.unit,
    )  # fmt: skip


ADVANCE_OVER = re.compile(r"^(?P<name>.*?)(?:from )?(?P<start>\d+) ?(?:min)? ?(?:-|to) ?(?P<end>\d+) ?min$")


def find_measurement(text: str, where: str = "--measured") -> Measurement:
    """Return what a name stands for, or raise InputError with the nearest names.

    Parameters
    ----------
    text : str
        Canonical spelling, an alias, or the name or words of a reading; ``timer advance 20-40 min``
        names an interval.
    where : str
        How the message begins.

    Raises
    ------
    InputError
        Unknown name.

    >>> find_measurement("static").name, find_measurement("heat_off_late").name
    ('vent static', 'burner off late')
    >>> find_measurement("timer advance 20-40 min").number()
    'dial 20-40'
    """
    found = ADVANCE_OVER.match(text.strip().lower())
    if found and _spellings().get(plain(found["name"])) == ADVANCE:
        return advance(60.0 * int(found["start"]), 60.0 * int(found["end"]), where)
    name = _spellings().get(plain(text))
    if name is None:
        near = nearest(plain(text), _spellings(), 3)
        hint = ", ".join(dict.fromkeys(_spellings()[spelling] for spelling in near))
        known = f" (did you mean {hint}?)" if hint else f"; such as {', '.join(list(measurements())[:6])}"
        raise InputError(f"'{shortened(text)}': unknown measurement{known}", where)
    return measurements()[name] if name in measurements() else _other(name)


def advance(start: float, end: float, where: str = "--measured") -> Measurement:
    """Return the timer's advance between two times of the clock [s].

    Raises
    ------
    InputError
        Not whole steps of five minutes up to an hour, in order.
    """
    minutes = [round(t / 60.0) for t in (start, end)]
    marks = (0, *MARKS)
    if minutes[0] not in marks or minutes[1] not in marks or not minutes[0] < minutes[1]:
        raise InputError(
            f"from {start / 60.0:g} to {end / 60.0:g} min: the dial is read at 0, 5, 10 ... "
            f"{max(MARKS)} min, the first before the second",
            where,
            ADVANCE,
        )
    entry = measurements()[ADVANCE]
    name = f"{ADVANCE} {minutes[0]}-{minutes[1]} min"
    return entry._replace(name=name, states={"cycling": f"dial {minutes[0]}-{minutes[1]}"})
