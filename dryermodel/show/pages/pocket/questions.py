"""What the page asks on a visit: the tune-up, measurements, observations, complaints and dangers."""

from __future__ import annotations

from typing import Any

from dryermodel import units
from dryermodel.field.complaints import complaints
from dryermodel.field.measurements import ADVANCE, Measurement, measurements, plain
from dryermodel.field.observations import WHEN, Observation, observations
from dryermodel.field.safety import DANGERS, RULES
from dryermodel.field.tune_up import LICENSED, STAGES, STANDING, tune_up
from dryermodel.kinds import label
from dryermodel.show.pages.shared.units import unit_data

WRITTEN: dict[str, tuple[str, ...]] = {
    "time": ("min", "minutes", "s", "sec", "seconds", "h", "hours"),
    "temperature": ("degF", "F", "degC", "C", "K"),
    "mass": ("lb", "lbs", "kg", "g", "oz"),
    "volume flow": ("cfm", "ft3/min", "L/s", "m3/h", "m3/s"),
    "pressure": ("inH2O", "in w.c.", "inwc", "Pa", "mbar", "kPa", "psi"),
    "power": ("Btu/h", "BTU/hr", "kW", "W", "kBtu/h"),
    "current": ("A", "amps"),
    "energy": ("kWh", "Btu", "kBtu", "therm", "MJ", "J"),
    "voltage": ("V", "volts"),
    "speed": ("fpm", "ft/min", "m/s"),
    "fraction": ("%", "percent"),
    "volume": ("ft3", "cu ft", "L", "m3"),
    "length": ("ft", "feet", "in", "inch", "m", "cm", "mm"),
    "area": ("in2", "sq in", "cm2", "ft2", "m2"),
    "heating value": ("Btu/ft3", "MJ/m3"),
    "number": ("",),
}
"""Spellings of units that the page reads beside those that it shows, by kind."""

METRIC: dict[str, str] = {
    "temperature": "degC", "mass": "kg", "volume flow": "L/s", "pressure": "Pa", "speed": "m/s",
}  # fmt: skip
"""Unit of a kind for those who asked for SI; others keep the table's."""


def spellings() -> dict[str, dict[str, list[float]]]:
    """Return by kind and spelling, in small letters, factor and zero that take a number to SI."""
    found: dict[str, dict[str, list[float]]] = {}
    for kind, names in WRITTEN.items():
        own = found.setdefault(kind, {})
        for name in names:
            zero = units.parse(f"0 {name}".strip(), kind)
            own[name.lower()] = [(units.parse(f"1000 {name}".strip(), kind) - zero) / 1000.0, zero]
    return found


def questions() -> dict[str, Any]:
    """Return everything that the page asks for and what it says beside it."""
    return {
        "tuneUp": [step._asdict() for step in tune_up()],
        "stages": dict(STAGES),
        "standing": STANDING,
        "licensedWords": LICENSED,
        "dangers": [danger._asdict() for danger in DANGERS],
        "rules": list(RULES),
        "measurements": [_measurement(m) for m in measurements().values() if m.name != ADVANCE],
        "observations": [_observation(o) for o in observations().values()],
        "complaints": [{"words": list(c.words), **_observation(c.as_seen)} for c in complaints().values()],
        "when": dict(WHEN),
        "spellings": spellings(),
    }


def _measurement(m: Measurement) -> dict[str, Any]:
    metric = METRIC.get(m.kind, m.unit)
    return {
        "name": m.name,
        "spelled": sorted({plain(text) for text in (m.name, *m.also)}),
        "kind": m.kind,
        "question": m.question,
        "states": dict(m.states),
        "accuracy": m.accuracy,
        "relative": m.relative,
        "model": m.model,
        "modelRelative": m.model_relative,
        "minutes": m.minutes,
        "tools": list(m.tools),
        "within": list(m.within),
        "caution": m.caution,
        "trade": {**unit_data(m.unit), "label": label(m.unit)},
        "metric": {**unit_data(metric), "label": label(metric)},
    }


def _observation(o: Observation) -> dict[str, Any]:
    return {
        "name": o.name,
        "spelled": sorted({plain(text) for text in (o.name, *o.also)}),
        "question": o.question,
        "number": o.number,
        "threshold": o.threshold,
        "width": o.width,
        "rising": o.rising,
        "finds": list(o.finds),
        "halfSeen": o.half_seen,
        "yesIfSo": o.yes_if_so,
        "yesIfNot": o.yes_if_not,
        "minutes": o.minutes,
        "tools": list(o.tools),
        "caution": o.caution,
        "when": o.when,
    }
