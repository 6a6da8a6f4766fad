"""The summary of one cycle as rows to read, and the list of its switchings."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from dryermodel.readings import quantities as Q
from dryermodel.readings.single import CycleReadings
from dryermodel.vocabulary import READINGS, Reading

if TYPE_CHECKING:
    from dryermodel.cycle.result import CycleResult

MINUTE = 60.0

NAMES = (
    "cycle_time",
    "time_to_4pct",
    "final_moisture",
    "water_removed",
    "burner_time",
    "burner_cycles",
    "timer_time",
    "high_limit_trips",
    "gas_input",
    "gas_energy",
    "electric_energy",
    "energy_per_water",
    "exhaust_flow",
    "vent_static",
    "exhaust_temp_bulk",
    "exhaust_temp_max",
    "load_temp_max",
    "balance_water",
    "balance_energy",
    "rel_tolerance",
)
"""Readings in the summary, in its order."""


class Row(NamedTuple):
    """One line of the summary: what, value as text, unit."""

    label: str
    value: str
    unit: str


class EventRow(NamedTuple):
    """One switching: minutes from the start, what set it off, what it did."""

    time_min: str
    cause: str
    what: str


def _row(entry: Reading, value: float | None, electric: bool, si: bool) -> Row:
    label = entry.words.replace("burner", "heater") if electric and entry.name != "gas_input" else entry.words
    if entry.kind == "moisture":
        label += ", dry basis"
    if value is None:
        return Row(label, "-", "")
    if entry.kind == "gap":
        return Row(label, f"{abs(value):.0e}", "")
    return Row(label, Q.number(value, entry.kind, si), Q.display(entry.kind, si).label)


def keyed_rows(result: CycleResult, si: bool) -> list[tuple[str, Row]]:
    """Rows of the summary, each with its name in the vocabulary; the first says what ended the cycle.

    Parameters
    ----------
    result, si
        As in :func:`summary`.
    """
    taken, electric = CycleReadings(result), bool(result.parameters.heat_source)
    rows = [(name, _row(READINGS[name], taken[name], electric, si)) for name in NAMES]
    return [("end_reason", Row("ended by", result.end.value, "")), *rows]


def summary(result: CycleResult, si: bool = False) -> list[Row]:
    """Summary to read, a row a number.

    Parameters
    ----------
    result : CycleResult
        The cycle.
    si : bool
        degC, kg, L/s and Pa instead of degF, lb, cfm and in w.c.

    Returns
    -------
    list of Row
        Label, value as text ("-" where there is none), unit.
    """
    return [row for _, row in keyed_rows(result, si)]


def events_table(result: CycleResult) -> list[EventRow]:
    """Every switching in order of time.

    Parameters
    ----------
    result : CycleResult
        The cycle.
    """
    return [EventRow(f"{e.time / MINUTE:.2f}", e.cause, e.text) for e in result.events]
