"""Every fault on one machine: the same load, room and controls, one fault at a time."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, NamedTuple

from dryermodel.cycle.engine.parameters import ELECTRIC_HEAT
from dryermodel.errors import InputError
from dryermodel.findings.look_alikes import groups
from dryermodel.findings.patterns import Pattern, pattern
from dryermodel.findings.trust import rests_on_high_limit
from dryermodel.readings.single import CycleReadings
from dryermodel.scenario.faults import Fault, catalogue, find_fault
from dryermodel.scenario.run import simulate

if TYPE_CHECKING:
    from dryermodel.cycle.result import CycleResult
    from dryermodel.scenario.model import Scenario
    from dryermodel.vocabulary import Readings

DEFAULT_SEVERITY = 0.5
"""Of graded faults: the middle of each range of the catalogue."""

SEVERITY_OPTION, ONLY_OPTION = "--severity", "--only"
"""How messages begin."""


class FaultRun(NamedTuple):
    """One fault and the cycle it makes."""

    fault: Fault
    severity: float  # [1]
    result: CycleResult


class FaultTable(NamedTuple):
    """All faults asked for, beside the healthy run of the same scenario."""

    scenario: Scenario  # without faults
    severity: float  # [1] of the graded ones
    healthy: CycleResult
    runs: tuple[FaultRun, ...]
    own_faults: tuple[str, ...]  # faults of the scenario itself, left out
    without_meaning: tuple[str, ...]  # faults this machine cannot have


def check_severity_option(severity: float) -> float:
    """Return the severity; raise InputError unless it is above 0 and at most 1."""
    if not 0.0 < severity <= 1.0:
        raise InputError(f"is {severity:g}, outside the allowed 0 (none, not included) to 1", SEVERITY_OPTION)
    return severity


def chosen_faults(only: Sequence[str]) -> list[Fault]:
    """Return the faults of these keys in the order of the catalogue; all of them for none.

    Parameters
    ----------
    only : sequence of str
        Keys; several may stand in one text, separated by commas.

    >>> [fault.key for fault in chosen_faults(["weak_burner,vent_blockage"])]
    ['vent_blockage', 'weak_burner']
    """
    wanted = [part.strip() for text in only for part in text.split(",") if part.strip()]
    for key in wanted:
        try:
            find_fault(key)
        except InputError as problem:
            raise InputError(problem.message, ONLY_OPTION, key) from None
    return [fault for key, fault in catalogue().items() if not wanted or key in wanted]


def run_faults(
    scenario: Scenario,
    severity: float = DEFAULT_SEVERITY,
    only: Sequence[str] = (),
    progress: Callable[[int, int], None] | None = None,
) -> FaultTable:
    """Simulate a scenario with each fault alone.

    Parameters
    ----------
    scenario : Scenario
        Machine, vent, load, room and controls; faults of its own are left out.
    severity : float
        Of graded faults [1], above 0 to 1; an on/off fault is there in full.
    only : sequence of str
        Keys of the faults wanted; all of them by default.
    progress : callable, optional
        Told how many cycles are done, and of how many.

    Returns
    -------
    FaultTable
        The healthy run and one run a fault, in the order of the catalogue.

    Raises
    ------
    InputError
        Severity out of range, or an unknown key.

    Examples
    --------
    >>> from dryermodel.scenario.model import load_scenario
    >>> table = run_faults(load_scenario("standard"), only=["thermostat_stuck_open"])
    >>> round(table.runs[0].result.cycle_time / 60), round(table.runs[0].result.final_moisture, 2)
    (13, 0.53)
    """
    check_severity_option(severity)
    healthy = scenario.with_faults({})
    base = healthy.to_parameters()
    faults = chosen_faults(only)
    able = [fault for fault in faults if fault.meets(base)]
    done: list[CycleResult] = []
    cases = [healthy, *(healthy.with_faults({f.key: _severity(f, severity)}) for f in able)]
    for case in cases:
        done.append(simulate(case))
        if progress is not None:
            progress(len(done), len(cases))
    runs = (FaultRun(f, _severity(f, severity), r) for f, r in zip(able, done[1:], strict=True))
    return FaultTable(
        healthy,
        severity,
        done[0],
        tuple(runs),
        tuple(scenario.faults),
        tuple(fault.key for fault in faults if fault not in able),
    )


def _severity(fault: Fault, severity: float) -> float:
    return severity if fault.graded else 1.0


RESTRICTING = frozenset({"vent_open_area", "vent_minor_loss", "vent_flex_factor", "high_limit_cut_out"})
"""Fields whose faults bring the machine nearer to its high limit by way of the vent, or the limit itself."""


class Line(NamedTuple):
    """One fault, its numbers and what they say."""

    run: FaultRun
    numbers: Readings
    pattern: Pattern


class Report(NamedTuple):
    """The table of faults, what sets each apart, and which look alike."""

    table: FaultTable
    healthy: Readings
    lines: tuple[Line, ...]
    alike: list[list[str]]

    @property
    def electric(self) -> bool:
        """Whether an electric heater gives the heat; then electricity stands where gas would."""
        return self.table.healthy.parameters.heat_source == ELECTRIC_HEAT


def report(table: FaultTable) -> Report:
    """Return the numbers and words of every run.

    Parameters
    ----------
    table : FaultTable
        From :func:`run_faults`.
    """
    healthy, lines = CycleReadings(table.healthy), []
    for run in table.runs:
        numbers = CycleReadings(run.result)
        lines.append(Line(run, numbers, pattern(numbers, healthy, table.healthy.parameters)))
    alike = groups([(line.run.fault.key, line.pattern) for line in lines])
    return Report(table, healthy, tuple(lines), alike)


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
