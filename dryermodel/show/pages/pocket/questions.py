"""What the page asks on a visit: the tune-up, measurements, observations, complaints and dangers."""

from __future__ import annotations

from typing import Any

from dryermodel.field import beyond
from dryermodel.field import contradictions as rules
from dryermodel.field.clocked import DIAL, TIME
from dryermodel.field.complaints import complaints
from dryermodel.field.measurements import ADVANCE, Measurement, measurements, plain
from dryermodel.field.observations import WHEN, Observation, observations
from dryermodel.field.round import gas_only
from dryermodel.field.safety import DANGERS, RULES
from dryermodel.field.tune_up import LICENSED, STAGES, STANDING, tune_up
from dryermodel.kinds import label
from dryermodel.show.pages.pocket.quantities import quantities
from dryermodel.show.pages.shared.units import unit_data
from dryermodel.vocabulary import MARKS

METRIC: dict[str, str] = {
    "temperature": "degC", "mass": "kg", "volume flow": "L/s", "pressure": "Pa", "speed": "m/s",
}  # fmt: skip
"""Unit of a kind for those who asked for SI; others keep the table's."""


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
        "quantities": quantities(),
        "advance": _measurement(measurements()[ADVANCE]),
        "marks": list(MARKS),
        "contradictions": contradictions(),
        "clocked": {"dial": DIAL, "time": TIME},
    }


def contradictions() -> dict[str, Any]:
    """Return the tables of what cannot all be so, and the units in which it is told."""
    said = {"pressure": "inH2O", "flow": "cfm", "power": "Btu/h", "temperature": "degF", "fraction": "%"}
    return {
        "sure": rules.SURE,
        "order": [list(one) for one in rules.ORDER],
        "without": [[list(rules.NEEDS_FLAME), "flame seen"], [list(rules.NEEDS_GLOW), "igniter glows"]],
        "needs": [list(one) for one in rules.NEEDS],
        "notBoth": [list(one) for one in rules.NOT_BOTH],
        "plateTimes": beyond.PLATE_TIMES,
        "spare": beyond.SPARE,
        "exhaust": list(beyond.EXHAUST),
        "units": {name: unit_data(unit) for name, unit in said.items()},
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
        "gasOnly": gas_only(m),
        "tools": list(m.tools),
        "within": list(m.within),
        "words": dict(m.words),
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
        "gasOnly": gas_only(o),
        "tools": list(o.tools),
        "caution": o.caution,
        "when": o.when,
    }
