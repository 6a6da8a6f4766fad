"""The ``[faults]`` section of a scenario file: which faults are present, and how bad."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

from dryermodel.errors import InputError
from dryermodel.scenario.checks import Given
from dryermodel.scenario.faults import check_severity, find_fault, parse_fault
from dryermodel.scenario.schema import FAULTS
from dryermodel.written import unquoted

FAULT_LABEL = "--fault"
PREFIX = FAULTS + "."


def is_fault_key(key: str) -> bool:
    """Return whether a dotted key belongs to the section."""
    return key.startswith(PREFIX)


def require_fault(key: str, where: str) -> None:
    """Raise InputError with the nearest keys unless the catalogue has the fault of a dotted key."""
    try:
        find_fault(key.removeprefix(PREFIX))
    except InputError as problem:
        raise InputError(problem.message, where, key) from None


def read_faults(texts: Mapping[str, Any], given: Mapping[str, Given]) -> dict[str, float]:
    """Return the severity [1] of each fault that is present.

    Parameters
    ----------
    texts : mapping of dotted key to value
        As written: a severity, or a quantity with its unit; true or false for an on/off fault. Keys
        of other sections are passed over.
    given : mapping of dotted key to Given
        Who wrote it, for the message.

    Raises
    ------
    InputError
        A value outside the fault's range or of another kind.
    """
    found: dict[str, float] = {}
    for key, value in texts.items():
        if not is_fault_key(key):
            continue
        try:
            severity = _severity(key.removeprefix(PREFIX), value)
        except InputError as problem:
            raise InputError(problem.message, given[key].label, key) from None
        if severity > 0.0:
            found[key.removeprefix(PREFIX)] = severity
    return found


def _severity(key: str, value: object) -> float:
    fault = find_fault(key)
    if isinstance(value, str):
        return parse_fault(f"{key}={value}")[1]
    if isinstance(value, bool) and fault.graded:
        scale = f"a severity from 0 to 1, or {fault.quantity} in quotes, {fault.at_0} to {fault.at_1}"
        raise InputError(f"is {str(value).lower()}; it is {scale}")
    if not isinstance(value, bool | int | float):
        raise InputError("is a severity from 0 to 1, or a quantity in quotes with its unit")
    try:
        severity = float(value)
    except OverflowError:
        severity = math.inf
    return check_severity(fault, severity)


def fault_texts(options: Sequence[str]) -> dict[str, str]:
    """Return the value as written of each fault given as an option: ``key`` or ``key=severity``.

    >>> fault_texts(["vent_blockage=75 %", "igniter_open"])
    {'vent_blockage': '75 %', 'igniter_open': '1'}
    """
    found: dict[str, str] = {}
    for option in options:
        key, equals, value = (part.strip() for part in option.partition("="))
        try:
            parse_fault(option)
        except InputError as problem:
            raise InputError(problem.message, FAULT_LABEL, key) from None
        if key in found:
            raise InputError("is given twice", FAULT_LABEL, key)
        found[key] = unquoted(value) if equals else "1"
    return found
