"""A slider and a figure of a page, as its scripts need them."""

from __future__ import annotations

from typing import Any, NamedTuple

from dryermodel.readings.rows import COLUMNS
from dryermodel.show.pages.shared.units import kind_data, unit_data
from dryermodel.studies.sweep.vary import quantity_rule
from dryermodel.vocabulary import READINGS


class Control(NamedTuple):
    """One slider."""

    key: str  # of a scenario file
    words: str
    low: float  # in the trade's unit, as are the next two
    high: float
    step: float
    unit: str  # the trade's
    metric: str


def control_data(control: Control) -> dict[str, Any]:
    """Return a slider with its units and its bounds [SI] as a scenario file admits them."""
    bounds = quantity_rule(control.key).bounds() if control.unit else (0.0, control.high)
    units = {"trade": unit_data(control.unit), "metric": unit_data(control.metric)}
    return {**control._asdict(), **units, "bounds": bounds}


def figure_data(name: str) -> dict[str, Any]:
    """Return what is shown of a reading: name, words, column of the outcome and units."""
    entry = READINGS[name]
    shown = {"name": name, "words": entry.words, "about": entry.about, "column": COLUMNS.get(name)}
    return {**shown, **kind_data(entry.kind, entry.decimals)}
