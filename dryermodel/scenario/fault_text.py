"""A fault as a person writes it: how bad it is, as a quantity, as something measured, or as severity.

A graded fault needs to be told how bad it is, and a number alone does not tell: 0.8 of a weak burner is
four fifths of the gas to one and a bad case to another. So a number without a unit is refused, and each of
the three ways says itself what it is: ``weak_burner=80 %``, ``weak_burner=manifold 2.4 in w.c.`` and
``weak_burner=severity 0.5``.
"""

from __future__ import annotations

import re
from typing import NamedTuple

from dryermodel.errors import InputError
from dryermodel.scenario.fault_ways import Measured, read_measured, ways_of
from dryermodel.scenario.faults import OPTION, Fault, check_severity, find_fault

NONE = "none"
"""Word for a fault that is not there."""

_NUMBER = r"[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?"
_BARE = re.compile(_NUMBER)
_SEVERITY = re.compile(r"severity\b(.*)", re.I)


class Written(NamedTuple):
    """A fault as written: its severity, or what was measured and takes the machine to turn into one."""

    key: str
    severity: float | None  # [1]
    measured: Measured | None = None


def read_fault(text: str) -> Written:
    """Read a fault as written.

    Parameters
    ----------
    text : str
        ``key`` alone for a fault that is there or not. For a graded one ``key=quantity`` with its unit,
        such as ``weak_burner=80 %`` for four fifths of the gas input left; ``key=reading``, such as
        ``vent_blockage=static 1.1 in w.c.``; or ``key=severity S`` on the catalogue's scale from 0 to 1.

    Raises
    ------
    InputError
        Unknown key, a value outside the fault's range, or a graded fault without a quantity.

    >>> read_fault("outlet_gasket_leak=20 cm2")
    Written(key='outlet_gasket_leak', severity=0.5, measured=None)
    >>> read_fault("weak_burner=manifold 2.4 in w.c.").measured.word
    'manifold'
    """
    key, equals, value = (part.strip() for part in text.partition("="))
    fault = find_fault(key)
    value = value.strip("\"'").strip()
    if not fault.graded:
        return Written(key, _on_off(fault, value) if equals else 1.0)
    if not equals:
        raise InputError(f"does not say how bad: {examples(fault)}", OPTION, key)
    given = _SEVERITY.fullmatch(value)
    if given:
        return Written(key, _severity(fault, given[1].strip()))
    if value.lower() == NONE:
        return Written(key, 0.0)
    if _BARE.fullmatch(value):
        raise InputError(_bare(fault, float(value)), OPTION, key)
    measured = read_measured(fault, value)
    return Written(key, None, measured) if measured else Written(key, _of_quantity(fault, value))


def _severity(fault: Fault, number: str) -> float:
    if not _BARE.fullmatch(number):
        raise InputError(f"severity is '{number}'; it is a number from 0 to 1", OPTION, fault.key)
    return check_severity(fault, float(number))


def examples(fault: Fault) -> str:
    """Return how a graded fault may be written, as text.

    >>> from dryermodel.scenario.faults import catalogue
    >>> examples(catalogue()["outlet_gasket_leak"])
    "'outlet_gasket_leak=20 cm2' (extra leak area between lint screen and blower, 0 cm2 to 40 cm2) or 'outlet_gasket_leak=severity 0.5'"
    """  # noqa: E501
    told = f"'{fault.key}={plainly(fault.at_half)}' ({fault.quantity}, {plainly(fault.at_0)} to "
    told += f"{plainly(fault.at_1)})"
    measured = "".join(f", '{fault.key}={way.example}'" for way in ways_of(fault.key))
    return f"{told}{measured} or '{fault.key}=severity 0.5'"


def plainly(text: str) -> str:
    """Return a quantity of the catalogue as a person writes it.

    >>> plainly("0.4 inH2O"), plainly("15 delta_degF")
    ('0.4 in w.c.', '15 degF')
    """
    return text.replace("delta_deg", "deg").replace("inH2O", "in w.c.")


def _bare(fault: Fault, number: float) -> str:
    """Say that a number alone is not clear, with what it may have meant."""
    told = f"{number:g} has no unit and could mean two things: write {examples(fault)}"
    if 0.0 <= number <= 1.0:
        told += f"; severity {number:g} is {fault.said(number)}"
    return told


def _on_off(fault: Fault, value: str) -> float:
    word = value.lower()
    if word in (fault.at_0, NONE, "false"):
        return 0.0
    if word in (fault.at_1, "true"):
        return 1.0
    given = _SEVERITY.fullmatch(value)
    if given or _BARE.fullmatch(value):
        return _severity(fault, given[1].strip() if given else value)
    raise InputError(f"is '{value}'; choose '{fault.at_0}' or '{fault.at_1}'", OPTION, fault.key)


def _of_quantity(fault: Fault, value: str) -> float:
    from dryermodel import units

    if value.lower() in (fault.at_0, fault.at_1):
        return 0.0 if value.lower() == fault.at_0 else 1.0
    try:
        severity = fault.severity_at(units.parse(value, fault.kind))
    except ValueError as problem:
        also = ", ".join(f"'{way.example}'" for way in ways_of(fault.key))
        raise InputError(
            f"{problem}{f'; or what was measured: {also}' * bool(also)}", OPTION, fault.key
        ) from problem
    if not -1e-9 <= severity <= 1.0 + 1e-9:
        allowed = f"{plainly(fault.at_0)} to {plainly(fault.at_1)} ({fault.quantity})"
        raise InputError(f"is {value}, outside the allowed {allowed}", OPTION, fault.key)
    return min(max(severity, 0.0), 1.0)


def parse_fault(text: str) -> tuple[str, float]:
    """Return key and severity [1] of a fault as written, for where no machine is at hand.

    Parameters
    ----------
    text : str
        As in :func:`read_fault`, but for what was measured: only a machine can turn that into a severity.

    >>> parse_fault("vent_blockage=75 %")
    ('vent_blockage', 0.75)
    """
    written = read_fault(text)
    if written.severity is None:
        raise InputError(
            "what was measured can be given with --fault or in a scenario, not here", OPTION, written.key
        )
    return written.key, written.severity
