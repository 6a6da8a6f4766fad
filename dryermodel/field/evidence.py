"""What is known of one machine after a visit, in SI, however it was written down."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

from dryermodel import units
from dryermodel.errors import InputError
from dryermodel.field.measurements import DIFFERENCES, Measurement, find_measurement
from dryermodel.field.observations import Observation, read_seen

MEASURED, SEEN = "--measured", "--seen"


class Measured(NamedTuple):
    """One measurement that was taken."""

    measurement: Measurement
    number: str  # of the model, by the state it was taken in
    value: float  # [SI]
    accuracy: float  # [SI] standard deviation of instrument and reader

    @property
    def name(self) -> str:
        """Canonical name."""
        return self.measurement.name


class Seen(NamedTuple):
    """One yes/no question that was answered."""

    observation: Observation
    yes: bool

    @property
    def name(self) -> str:
        """Canonical name."""
        return self.observation.name


class Evidence(NamedTuple):
    """Everything that a diagnosis stands on."""

    measured: tuple[Measured, ...] = ()
    seen: tuple[Seen, ...] = ()
    complaint: str = ""  # in the customer's words


def taken(
    entry: Measurement, value: float, state: str = "", accuracy: float | None = None, where: str = MEASURED
) -> Measured:
    """Return a measurement with its value and accuracy [SI].

    Parameters
    ----------
    entry : Measurement
        What was measured.
    value : float
        [SI].
    state : str
        Of the machine; the usual one for none.
    accuracy : float, optional
        Standard deviation [SI] of this instrument; the table's by default.
    where : str
        How messages begin.

    Raises
    ------
    InputError
        A state in which it is not taken, or a value that nothing could show.
    """
    if state and state not in entry.states:
        raise InputError(f"state '{state}': taken in {' or '.join(entry.states)}", where, entry.name)
    if not math.isfinite(value) or value < 0.0:
        raise InputError(f"{value:g} cannot be: a finite value, not below nought", where, entry.name)
    usual = math.hypot(entry.accuracy, entry.relative * value)
    return Measured(entry, entry.number(state), value, usual if accuracy is None else accuracy)


def read_measured(text: str, where: str = MEASURED) -> Measured:
    """Return what ``name=value unit`` says, with ``+- accuracy`` and ``@ state`` if a person wants.

    Raises
    ------
    InputError
        Unknown name, a unit of the wrong kind, a state or a value that cannot be.

    >>> m = read_measured("static=0.9 in w.c. +- 0.05 in w.c. @ running empty")
    >>> m.name, m.number, round(m.value, 1), round(m.accuracy, 2)
    ('vent static', 'collar_static', 224.2, 12.45)
    """
    name, equals, rest = text.partition("=")
    if not equals:
        raise InputError(f"'{text}': write name=value with its unit, e.g. 'vent static=0.9 in w.c.'", where)
    entry = find_measurement(name, where)
    rest, _, state = rest.partition("@")
    written, _, spread = rest.replace("\u00b1", "+-").partition("+-")
    try:
        value = units.parse(written.strip(), entry.kind)
        accuracy = (
            units.parse(spread.strip(), DIFFERENCES.get(entry.kind, entry.kind)) if spread.strip() else None
        )
    except ValueError as problem:
        raise InputError(str(problem), where, entry.name) from problem
    if accuracy is not None and not accuracy > 0.0:
        raise InputError("an accuracy must be above nought", where, entry.name)
    return taken(entry, value, state.strip(), accuracy, where)


def gather(measured: Sequence[str], seen: Sequence[str], complaint: str = "") -> Evidence:
    """Return the evidence of options given on a command line.

    Raises
    ------
    InputError
        As :func:`read_measured` and :func:`dryermodel.field.observations.read_seen`, or the same thing twice
        with different answers.
    """
    found = tuple(read_measured(text) for text in measured)
    answers = tuple(Seen(*read_seen(text)) for text in seen)
    _once([(m.name, m.number) for m in found], MEASURED)
    _once([(s.name, "") for s in answers], SEEN)
    return Evidence(found, answers, complaint.strip())


def _once(names: Sequence[tuple[str, str]], where: str) -> None:
    for i, name in enumerate(names):
        if name in names[:i]:
            raise InputError("given twice", where, name[0])
