"""Measurements that a logger's file gives for a visit."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from dryermodel.errors import InputError
from dryermodel.field.evidence import Measured, taken
from dryermodel.field.measurements import find_measurement
from dryermodel.field.traces.outcome import Found
from dryermodel.scenario.model import Scenario

LEAST_ACCURACY = 1.0e-9
"""Share of a value below which no accuracy is taken for true."""


def measured_in(path: Path, scenario: Scenario) -> tuple[Measured, ...]:
    """Return the measurements of a log, of the machine and at the line voltage of a scenario.

    Parameters
    ----------
    path : Path
        The logger's file; everything about it is guessed, as ``dryermodel trace`` does by itself.
    scenario : Scenario
        Whether the machine burns gas, and its line voltage.

    Raises
    ------
    InputError
        The file cannot be read as a log of such a machine.
    """
    from dryermodel.field.traces.reading import read_trace  # numpy and scipy: only where a log is read

    machine = scenario.model.machine
    return as_measured(read_trace(path, kind=machine.heat, volts=machine.line_voltage).found)


def as_measured(found: Sequence[Found]) -> tuple[Measured, ...]:
    """Return what was found in a log as measurements of a visit, without what no instrument could show."""
    measured = []
    for one in found:
        kind = find_measurement(one.name)
        try:
            measured.append(taken(kind, one.value, "", max(one.accuracy, LEAST_ACCURACY * abs(one.value))))
        except InputError:
            continue
    return tuple(measured)
