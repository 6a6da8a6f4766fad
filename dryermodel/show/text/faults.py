"""All faults on one machine as a page to read."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dryermodel.cycle.engine.parameters import AUTO
from dryermodel.findings.fault_words import fault_amount
from dryermodel.findings.statements import CAUTIONS
from dryermodel.findings.steps import steps_in_words
from dryermodel.readings import quantities as Q
from dryermodel.show.text.columns import WIDEST, wrap
from dryermodel.studies.fault_table import unvalidated, words
from dryermodel.vocabulary import READINGS

if TYPE_CHECKING:
    from dryermodel.studies.fault_table import Report
    from dryermodel.vocabulary import Readings

COLUMNS = {
    "cycle": "cycle_time",
    "to 4%": "time_to_4pct",
    "left": "final_moisture",
    "gas": "gas_energy",
    "elec": "electric_energy",
    "bulk": "exhaust_temp_bulk",
    "peak": "exhaust_temp_max",
    "load": "load_temp_max",
    "static": "vent_static",
    "flow": "exhaust_flow",
    "on": "burner_on_mean",
    "off": "burner_off_mean",
    "trips": "high_limit_trips",
}
"""Heads of the columns, and the readings in them; of gas and elec the one that gives the heat."""

MARKED = "*"
"""Stands behind the name of a fault whose numbers rest on the assumed high limit."""


def columns(found: Report) -> dict[str, str]:
    """Heads and readings of the columns for this machine's source of heat."""
    other = "gas" if found.electric else "elec"
    return {head: name for head, name in COLUMNS.items() if head != other}


def headers(found: Report) -> list[str]:
    """Heads of all columns."""
    return ["fault", "at", *columns(found)]


def heading(found: Report) -> list[str]:
    """What was run: scenario, wiring and severity, as lines."""
    table, p = found.table, found.table.healthy.parameters
    title = Q.printable(table.scenario.title) or table.scenario.name
    shunt = "whole chain with the high limit" if p.timer_wiring else "exhaust thermostat alone"
    wiring = f", timer shunted by the {shunt}" if p.program == AUTO else ""
    graded = f"graded faults at severity {table.severity:g}, on/off faults in full"
    return [f"{title}{wiring}", f"{graded}; the same load, room and controls throughout", ""]


def rows(found: Report, si: bool = False) -> list[list[str]]:
    """Numbers as text under the heads of :func:`headers`, the healthy run first.

    Parameters
    ----------
    found : Report
        The report.
    si : bool
        degC, L/s and Pa instead of degF, cfm and in w.c.
    """
    names = tuple(columns(found).values())
    lines = [["healthy", "", *_cells(names, found.healthy, si)]]
    for line in found.lines:
        fault = line.run.fault
        name = fault.key + (MARKED if unvalidated(line.run) else "")
        lines.append([name, fault_amount(fault, line.run.severity, si), *_cells(names, line.numbers, si)])
    return lines


def _cells(names: tuple[str, ...], taken: Readings, si: bool) -> list[str]:
    cells = []
    for name in names:
        value, kind = taken[name], READINGS[name].kind
        text = "-" if value is None else Q.number(value, kind, si, 0 if kind == "time" else None)
        cells.append(f">{text}" if name == "cycle_time" and not taken["ended"] else text)
    return cells


def legend(si: bool = False) -> list[str]:
    """What the columns are, with their units, as lines."""
    kinds = ("temperature", "pressure", "flow", "gas energy")
    degrees, static, flow, gas = (Q.display(kind, si).label for kind in kinds)
    text = (
        f"cycle, to 4%: min to the end and to 4 % moisture (>: stopped by the time limit); left: moisture at "
        f"the end [%]; gas [{gas}] or elec [kWh]; bulk, peak: exhaust in bulk (steady) drying and highest "
        f"[{degrees}]; load: hottest [{degrees}]; static, flow: at the collar in bulk drying [{static}, "
        f"{flow}]; on, off: mean burner stretches after the first cut-out [s]; trips: of the high limit."
    )
    return wrap(text, WIDEST)


def pattern_lines(found: Report) -> list[str]:
    """The words of every fault, one paragraph each."""
    width = max((len(line.run.fault.key) for line in found.lines), default=0) + 2
    lines: list[str] = []
    for line in found.lines:
        lead = line.run.fault.key.ljust(width)
        lines += wrap(words(line), WIDEST, lead, " " * width)
    return lines


def group_lines(found: Report) -> list[str]:
    """The faults that are hard to tell apart, and what settles each."""
    by_key = {line.run.fault.key: line.run.fault for line in found.lines}
    lines: list[str] = []
    for keys in found.alike:
        lines.append("- " + ", ".join(keys))
        for key in keys:
            text = f"{key}: {by_key[key].confirms}"
            lines += wrap(text, WIDEST, "    ", "      ")
    return lines


def note_lines(found: Report, si: bool = False) -> list[str]:
    """What the numbers rest on, and the cautions, each once."""
    table = found.table
    paragraphs = []
    if any(unvalidated(line.run) for line in found.lines):
        p = table.healthy.parameters
        paragraphs.append(
            f"{MARKED} not validated: rests on the assumed high-limit coupling "
            f"({100.0 * p.high_limit_coupling:.0f} %) and lag ({p.high_limit_lag:.0f} s) and no measured "
            "blockage data: a direction, not a measurement."
        )
    paragraphs.append(f"A change is named from: {steps_in_words(si)} (assumed). Severity ranges are assumed.")
    if table.own_faults:
        paragraphs.append(f"The scenario's own faults are left out: {', '.join(table.own_faults)}.")
    if table.without_meaning:
        paragraphs.append(f"Without meaning on this machine, left out: {', '.join(table.without_meaning)}.")
    paragraphs.append("Caution: " + " ".join(CAUTIONS[key] for key in ("unplug", "gas", "fire", "limit")))
    return [line for text in paragraphs for line in wrap(text, WIDEST)]
