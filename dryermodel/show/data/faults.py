"""All faults on one machine, and the catalogue of faults, for programs."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from dryermodel.findings.fault_words import fault_amount, who
from dryermodel.readings.gaps import gaps_of
from dryermodel.scenario.faults import RANGE_STATUS
from dryermodel.show.data.cycle import summary_json
from dryermodel.show.data.envelope import envelope
from dryermodel.show.data.numbers import keyed
from dryermodel.studies.fault_table import unvalidated, words

if TYPE_CHECKING:
    from dryermodel.cycle.result import CycleResult
    from dryermodel.scenario.faults import Fault
    from dryermodel.studies.fault_table import Report
    from dryermodel.vocabulary import Readings


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
        **envelope(
            version,
            scenario_hash=table.scenario.hash,
            title=table.scenario.title,
            rel_tolerance=table.healthy.parameters.rel_tolerance,
            gaps=gaps_of([table.healthy, *(run.result for run in table.runs)]),
            status="severity ranges and steps of change assumed; see the status of each summary",
        ),
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
    }


def _data(result: CycleResult, taken: Readings, version: str) -> dict[str, Any]:
    stretches = keyed(taken, ("burner_on_mean", "burner_off_mean", "first_light"))
    return {"summary": summary_json(result, version), **stretches}


def page_data(fault: Fault) -> dict[str, Any]:
    """One fault for programs.

    Parameters
    ----------
    fault : Fault
        Of the catalogue.
    """
    names = (
        "key", "title", "place", "severity", "quantity", "at_0", "at_half", "at_1", "law", "rule", "effect",
        "customer_says", "confirms", "remedy", "caution", "licensed", "dryer_at_fault", "gas_only",
        "danger",
    )  # fmt: skip
    told = {name: getattr(fault, name) for name in names}
    lists = {name: list(getattr(fault, name)) for name in ("measure", "moves", "scenario_keys", "also")}
    return {**told, **lists, "who": who(fault), "range_status": RANGE_STATUS if fault.graded else ""}
