"""All faults on one machine as a page to read and as data."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, NamedTuple

from dryermodel.cycle.engine.parameters import AUTO, ELECTRIC_HEAT
from dryermodel.findings.look_alikes import groups
from dryermodel.findings.patterns import Pattern, pattern
from dryermodel.findings.statements import CAUTIONS
from dryermodel.findings.steps import steps_in_words
from dryermodel.findings.trust import rests_on_high_limit
from dryermodel.readings import quantities as Q
from dryermodel.readings.signature import Signature, signature
from dryermodel.show.text.columns import WIDEST, wrap
from dryermodel.show.text.cycle import clean, summary_json

if TYPE_CHECKING:
    from dryermodel.cycle.result import CycleResult
    from dryermodel.scenario.faults import Fault
    from dryermodel.studies.fault_table import FaultRun, FaultTable

HEADERS = (
    "fault", "at", "cycle", "to 4%", "left", "gas", "bulk", "peak", "load", "static", "flow", "on", "off",
    "trips",
)  # fmt: skip

MARKED = "*"
"""Stands behind the name of a fault whose numbers rest on the assumed high limit."""

IN_SI = {"delta_degF": "delta_degC", "inH2O": "Pa", "ft": "m"}
"""Metric unit of a fault's quantity, where it has another."""

RESTRICTING = frozenset({"vent_open_fraction", "vent_minor_loss", "vent_flex_factor", "high_limit_cut_out"})
"""Fields whose faults bring the machine nearer to its high limit by way of the vent, or the limit itself."""


class Line(NamedTuple):
    """One fault, its numbers and what they say."""

    run: FaultRun
    numbers: Signature
    pattern: Pattern


class Report(NamedTuple):
    """The table of faults with its words."""

    table: FaultTable
    healthy: Signature
    lines: tuple[Line, ...]
    alike: list[list[str]]

    @property
    def electric(self) -> bool:
        """Whether an electric heater gives the heat; then electricity stands where gas would."""
        return self.table.healthy.parameters.heat_source == ELECTRIC_HEAT

    @property
    def headers(self) -> list[str]:
        """Heads of the columns."""
        return ["elec" if self.electric and name == "gas" else name for name in HEADERS]


def report(table: FaultTable) -> Report:
    """Return the numbers and words of every run.

    Parameters
    ----------
    table : FaultTable
        From :func:`dryermodel.studies.fault_table.run_faults`.
    """
    healthy, lines = signature(table.healthy), []
    for run in table.runs:
        numbers = signature(run.result)
        lines.append(Line(run, numbers, pattern(numbers, healthy, table.healthy.parameters)))
    alike = groups([(line.run.fault.key, line.pattern) for line in lines])
    return Report(table, healthy, tuple(lines), alike)


def heading(found: Report) -> list[str]:
    """What was run: scenario, wiring and severity, as lines."""
    table, p = found.table, found.table.healthy.parameters
    title = Q.printable(table.scenario.title) or table.scenario.name
    shunt = "whole chain with the high limit" if p.timer_wiring else "exhaust thermostat alone"
    wiring = f", timer shunted by the {shunt}" if p.program == AUTO else ""
    graded = f"graded faults at severity {table.severity:g}, on/off faults in full"
    return [f"{title}{wiring}", f"{graded}; the same load, room and controls throughout", ""]


def fault_amount(fault: Fault, severity: float, si: bool = False) -> str:
    """What a severity means, as it is printed.

    Parameters
    ----------
    fault : Fault
        Of the catalogue.
    severity : float
        0 to 1 [1].
    si : bool
        Metric units.

    Examples
    --------
    >>> from dryermodel.scenario.faults import catalogue
    >>> drift = catalogue()["thermostat_drift"]
    >>> fault_amount(drift, 0.6), fault_amount(drift, 0.6, si=True)
    ('18 degF', '10 degC')
    """
    text = fault.at(severity)
    if fault.graded and text != fault.at_0:
        from dryermodel import units

        unit = IN_SI.get(fault.unit, fault.unit) if si else fault.unit
        text = units.format(fault.amount(severity), unit, 4)
    return text.replace("delta_deg", "deg").replace("inH2O", "in w.c.")


def unvalidated(run: FaultRun) -> bool:
    """Return whether the numbers rest on the assumed high limit: it opened, or the vent is restricted."""
    return rests_on_high_limit(run.result) or not RESTRICTING.isdisjoint(run.fault.moves)


def words(line: Line) -> str:
    """The words of one fault: what sets it apart, or what to measure when the cycle does not show it."""
    found = line.pattern.words
    if found:
        return found
    # What comes out normal does not show the fault.
    telling = [text for text in line.run.fault.measure if not text.endswith("normal")]
    return f"indistinguishable from healthy in the cycle: measure {telling[0]}"


def rows(found: Report, si: bool = False) -> list[list[str]]:
    """Numbers as text in the order of `HEADERS`, the healthy run first.

    Parameters
    ----------
    found : Report
        The report.
    si : bool
        degC, L/s and Pa instead of degF, cfm and in w.c.
    """
    lines = [_row("healthy", "", found.healthy, found.electric, si)]
    for line in found.lines:
        fault = line.run.fault
        name = fault.key + (MARKED if unvalidated(line.run) else "")
        lines.append(_row(name, fault_amount(fault, line.run.severity, si), line.numbers, found.electric, si))
    return lines


def _row(name: str, amount: str, s: Signature, electric: bool, si: bool) -> list[str]:
    def say(value: float | None, kind: str, decimals: int | None = None) -> str:
        return "-" if value is None else Q.number(value, kind, si, decimals)

    whole = say(s.cycle_time, "time", 0)
    return [
        name,
        amount,
        whole if s.ended else f">{whole}",
        say(s.dry_at, "time", 0),
        say(s.final_moisture, "moisture"),
        say(s.electricity if electric else s.gas, "energy"),
        say(s.exhaust_bulk, "temperature"),
        say(s.exhaust_max, "temperature"),
        say(s.load_max, "temperature"),
        say(s.static, "pressure"),
        say(s.flow, "flow"),
        "-" if s.burner_on is None else f"{s.burner_on:.0f}",
        "-" if s.burner_off is None else f"{s.burner_off:.0f}",
        str(s.trips),
    ]


def legend(si: bool = False) -> list[str]:
    """What the columns are, with their units, as lines."""
    degrees, static, flow = (Q.display(kind, si).label for kind in ("temperature", "pressure", "flow"))
    text = (
        f"cycle, to 4%: min to the end and to 4 % moisture (>: stopped by the time limit); left: moisture at "
        f"the end [%]; gas or elec [kWh]; bulk, peak: exhaust in bulk drying and highest [{degrees}]; load: "
        f"hottest [{degrees}]; static, flow: at the collar in bulk drying [{static}, {flow}]; on, off: mean "
        "burner stretches after the first cut-out [s]; trips: of the high limit."
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


def as_data(found: Report, version: str) -> dict[str, Any]:
    """The report for programs: summaries with fixed keys, units in the names.

    Parameters
    ----------
    found : Report
        The report.
    version : str
        Of the program.
    """
    table = found.table
    return {
        "version": version,
        "scenario_hash": table.scenario.hash,
        "title": table.scenario.title,
        "severity": table.severity,
        "healthy": _data(table.healthy, found.healthy, version),
        "faults": [
            {
                "fault": line.run.fault.key,
                "severity": line.run.severity,
                "amount": fault_amount(line.run.fault, line.run.severity),
                "pattern": words(line),
                "marks": list(line.pattern.keys),
                "validated": not unvalidated(line.run),
                **_data(line.run.result, line.numbers, version),
            }
            for line in found.lines
        ],
        "hard_to_tell_apart": found.alike,
        "own_faults_left_out": list(table.own_faults),
        "without_meaning": list(table.without_meaning),
        "status": "severity ranges and steps of change assumed; see the status of each summary",
    }


def _data(result: CycleResult, s: Signature, version: str) -> dict[str, Any]:
    stretches = {
        "burner_on_mean_s": clean(s.burner_on),
        "burner_off_mean_s": clean(s.burner_off),
        "first_light_s": clean(s.first_light),
    }
    return {"summary": summary_json(result, version), **stretches}
