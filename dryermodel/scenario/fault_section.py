"""The ``[faults]`` section of a scenario file: which faults are present, and how bad."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from dryermodel.errors import InputError, shortened
from dryermodel.scenario.checks import Given
from dryermodel.scenario.fault_moves import MOVES
from dryermodel.scenario.fault_text import Written, examples, read_fault
from dryermodel.scenario.fault_ways import STATIC, resolve
from dryermodel.scenario.faults import find_fault
from dryermodel.scenario.schema import FAULTS, ScenarioModel
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


def read_faults(texts: Mapping[str, Any], given: Mapping[str, Given]) -> list[Written]:
    """Return every fault as written.

    Parameters
    ----------
    texts : mapping of dotted key to value
        As written: text as in :func:`~dryermodel.scenario.fault_text.read_fault`; true, false, 0 or 1
        for an on/off fault. Keys of other sections are passed over.
    given : mapping of dotted key to Given
        Who wrote it, for the message.

    Raises
    ------
    InputError
        A value outside the fault's range or of another kind.
    """
    found: list[Written] = []
    for key, value in texts.items():
        if not is_fault_key(key):
            continue
        try:
            found.append(_written(key.removeprefix(PREFIX), value))
        except InputError as problem:
            raise InputError(problem.message, given[key].label, key) from None
    return found


def _written(key: str, value: object) -> Written:
    fault = find_fault(key)
    if isinstance(value, str):
        return read_fault(f"{key}={value}")
    if isinstance(value, bool) and fault.graded:
        raise InputError(f"is {str(value).lower()}, which does not say how bad: {examples(fault)}")
    if not isinstance(value, bool | int | float):
        raise InputError(f"is text in quotes: {examples(fault)}" if fault.graded else "is true or false")
    return read_fault(f"{key}={shortened(value)}")


def reading_of(key: str, written: object) -> str:
    """Return what was measured of a fault, empty if it was written another way.

    >>> reading_of("vent_blockage", "1.1 in w.c."), reading_of("vent_blockage", "61 %")
    ('static 1.1 in w.c.', '')
    """
    measured = read_fault(f"{key}={written}").measured if isinstance(written, str) else None
    if measured is None:
        return ""
    text = str(written).strip()
    return text if text.lower().startswith(measured.word) else f"{measured.word} {text}"


def severities(written: Sequence[Written]) -> dict[str, float]:
    """Return the severity [1] of each fault that is present and needs no machine to tell it."""
    return {one.key: one.severity for one in written if one.severity}


def with_measured(
    model: ScenarioModel, written: Sequence[Written], given: Mapping[str, Given]
) -> ScenarioModel:
    """Return the model with the severities that its measured faults stand for.

    What sets the gas, the voltage or a set point is resolved first and a static at the collar last, on the
    machine with all the others: a static tells of one fault only.

    Raises
    ------
    InputError
        A reading that the fault cannot give on this machine, or two statics.
    """
    pending = [(one.key, one.measured) for one in written if one.measured is not None]
    statics = [key for key, measured in pending if measured.word == STATIC.word]
    if len(statics) > 1:
        first, second = (PREFIX + key for key in statics[:2])
        message = (
            f"one static cannot tell this from {first.removeprefix(PREFIX)}; give one of them another way"
        )
        raise InputError(message, given[second].label, second)
    known = dict(model.faults)
    for key, measured in sorted(
        pending, key=lambda one: (one[1].word == STATIC.word, list(MOVES).index(one[0]))
    ):
        try:
            severity = resolve(model, known, key, measured)
        except InputError as problem:
            blamed = PREFIX + (problem.key or key)
            raise InputError(problem.message, given[blamed].label, blamed) from None
        if severity > 0.0:
            known[key] = severity
    return model.model_copy(update={FAULTS: known}) if pending else model


def fault_texts(options: Sequence[str]) -> dict[str, str]:
    """Return the value as written of each fault given as an option: ``key`` or ``key=value``.

    >>> fault_texts(["vent_blockage=75 %", "igniter_open"])
    {'vent_blockage': '75 %', 'igniter_open': 'open'}
    """
    found: dict[str, str] = {}
    for option in options:
        key, equals, value = (part.strip() for part in option.partition("="))
        try:
            read_fault(option)
        except InputError as problem:
            raise InputError(problem.message, FAULT_LABEL, key) from None
        if key in found:
            raise InputError("is given twice", FAULT_LABEL, key)
        found[key] = unquoted(value) if equals else find_fault(key).at_1
    return found
