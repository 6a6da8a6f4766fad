"""What is known of one machine after a visit, in SI, however it was written down."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

from dryermodel import units
from dryermodel.errors import InputError
from dryermodel.field.clocked import CLOCKED, DIAL, GAS_INPUT, HOW, TIME, clocked_input
from dryermodel.field.measurements import ADVANCE, DIFFERENCES, Measurement, find_measurement, plain
from dryermodel.field.observations import NO, YES, Observation, read_seen
from dryermodel.field.safety import DANGERS
from dryermodel.kinds import label, metric_unit

MEASURED, SEEN = "--measured", "--seen"


class Measured(NamedTuple):
    """One measurement that was taken."""

    measurement: Measurement
    number: str  # of the model, by the state it was taken in
    value: float  # [SI]
    accuracy: float  # [SI] standard deviation of instrument and reader
    times: int = 1  # read, each time within the instrument of the others

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
    dangers: tuple[str, ...] = ()  # what to do about each danger that was met, before anything else


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
    if entry.name == ADVANCE:
        raise InputError(
            "from which minute to which? e.g. 'timer advance 20-40 min=4 min'", where, entry.name
        )
    _require_within(entry, value, where)
    usual = math.hypot(entry.accuracy, entry.relative * value)
    return Measured(entry, entry.number(state), value, usual if accuracy is None else accuracy)


def _require_within(entry: Measurement, value: float, where: str) -> None:
    """Raise InputError if no instrument could show that value [SI]."""
    low, high = entry.within
    if not (math.isfinite(value) and low <= value <= high):
        allowed = f"{said(low, entry.unit)} to {said(high, entry.unit)}"
        raise InputError(f"{said(value, entry.unit)} cannot be: {allowed} at most", where, entry.name)


def said(value: float, unit: str, significant: int = 3) -> str:
    """Return a value [SI] in a unit as a technician says it, to so many digits [1].

    >>> said(224.18, "inH2O"), said(4500.0, "min"), said(0.62, "%"), said(3.0, "")
    ('0.9 in w.c.', '75 min', '62 %', '3')
    """
    number = units.digits(units.convert(value, unit), significant)
    return f"{number} {label(unit)}".rstrip()


def in_si(entry: Measurement) -> Measurement:
    """Return a measurement that is shown in metric units.

    >>> told(shown_in_si(read_measured("flow=100 cfm")))
    'exhaust flow 47.2 L/s'
    """
    return entry._replace(unit=metric_unit(entry.unit))


def shown_in_si(one: Measured) -> Measured:
    """Return what was measured, to be shown in metric units."""
    return one._replace(measurement=in_si(one.measurement))


def told(one: Measured) -> str:
    """Return a measurement with its value as a technician says it.

    >>> told(read_measured("flow=100 cfm"))
    'exhaust flow 100 cfm'
    """
    return f"{one.name} {said(one.value, one.measurement.unit)}"


def read_measured(text: str, where: str = MEASURED, heating_value: float | None = None) -> Measured:
    """Return what ``name=value unit`` says, with ``+- accuracy`` and ``@ state`` if a person wants.

    Parameters
    ----------
    text : str
        As typed; a gas input may be clocked, ``gas input=1/2 ft3 in 82 s``.
    where : str
        How messages begin.
    heating_value : float, optional
        Of the gas [J/m3], for a clocked meter.

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
    written = as_written(rest)
    value, usual = _value(entry, written.value, where, heating_value)
    accuracy = read_accuracy(entry, written.accuracy, where) if written.accuracy else usual
    return taken(entry, value, written.state, accuracy, where)


def _value(
    entry: Measurement, text: str, where: str, heating_value: float | None
) -> tuple[float, float | None]:
    """A value as written, in SI, and its accuracy where that is not the table's."""
    if entry.name != GAS_INPUT:
        return read_value(entry, text, where), None
    clocked = CLOCKED.fullmatch(text)
    if clocked and heating_value is not None:
        dial = _quantity(entry, clocked["dial"], "volume", DIAL, where)
        time = _quantity(entry, clocked["seconds"], "time", TIME, where)
        if not (DIAL[0] <= dial <= DIAL[1] and TIME[0] <= time <= TIME[1]):
            raise InputError(f"'{text}' cannot be; {HOW}", where, entry.name)
        return clocked_input(entry, dial, time, int(clocked["turns"] or 1), heating_value)
    try:
        return read_value(entry, text, where), None
    except InputError as problem:
        raise InputError(f"{problem.message}; {HOW}", where, entry.name) from problem


class AsWritten(NamedTuple):
    """A measurement as a person writes it on one line: value, accuracy and state; empty for none."""

    value: str
    accuracy: str
    state: str


def as_written(text: str) -> AsWritten:
    """Return the parts of ``value +- accuracy @ state``.

    >>> as_written("0.9 in w.c. @ running empty")
    AsWritten(value='0.9 in w.c.', accuracy='', state='running empty')
    """
    rest, _, state = text.partition("@")
    value, _, spread = rest.replace("\u00b1", "+-").partition("+-")
    return AsWritten(value.strip(), spread.strip(), state.strip())


def read_value(entry: Measurement, text: str, where: str = MEASURED) -> float:
    """Return a value as written, in SI.

    Raises
    ------
    InputError
        No quantity of that kind.
    """
    if not text.strip():
        raise InputError("has no value", where, entry.name)
    meant = entry.words.get(text.strip().lower(), text)
    return _quantity(entry, meant, entry.kind, entry.within, where)


def read_accuracy(entry: Measurement, text: str, where: str = MEASURED) -> float:
    """Return an instrument's standard deviation as written, in SI.

    Raises
    ------
    InputError
        No quantity of that kind, or none above nought.
    """
    kind = DIFFERENCES.get(entry.kind, entry.kind)
    spread = _quantity(entry, text, kind, (0.0, math.inf), where)
    if not (spread > 0.0 and math.isfinite(spread)):
        raise InputError("an accuracy must be above nought", where, entry.name)
    return spread


def _quantity(entry: Measurement, text: str, kind: str, within: tuple[float, float], where: str) -> float:
    try:
        return units.parse(text.strip(), kind, within)
    except ValueError as problem:
        raise InputError(str(problem), where, entry.name) from problem


def gather(
    measured: Sequence[str], seen: Sequence[str], complaint: str = "", heating_value: float | None = None
) -> Evidence:
    """Return the evidence of options given on a command line.

    A danger may be told like what was seen: it is no evidence, and comes before any.

    Parameters
    ----------
    measured, seen : sequence of str
        As typed.
    complaint : str
        In the customer's words.
    heating_value : float, optional
        Of the gas [J/m3], for a clocked meter.

    Raises
    ------
    InputError
        As :func:`read_measured` and :func:`dryermodel.field.observations.read_seen`, or the same thing twice
        with different answers.

    >>> gather([], ["smell of gas"]).dangers == gather([], ["smell of gas=yes"]).dangers != ()
    True
    >>> gather([], ["smell of gas=no"])
    Evidence(measured=(), seen=(), complaint='', dangers=())
    """
    found = tuple(read_measured(text, MEASURED, heating_value) for text in measured)
    met = [_danger(text) for text in seen]
    answers = tuple(Seen(*read_seen(text)) for text, danger in zip(seen, met, strict=True) if danger is None)
    _once([(m.name, m.number) for m in found], MEASURED)
    _once([(s.name, "") for s in answers], SEEN)
    return Evidence(found, answers, complaint.strip(), tuple(danger for danger in met if danger))


def _danger(text: str) -> str | None:
    """What to do about a danger that was told as seen; empty if it was denied, None if it is no danger."""
    name, equals, answer = text.partition("=")
    said_so = answer.strip().lower() if equals else "yes"
    advice = {plain(danger.name): danger.advice for danger in DANGERS}.get(plain(name))
    if advice is None or said_so not in YES | NO:
        return None
    return advice if said_so in YES else ""


def joined(one: Evidence, other: Evidence) -> Evidence:
    """Two bodies of evidence as one; where both say something of the same thing, the second one counts.

    >>> both = joined(gather(["flow=90 cfm"], ["flame seen"]), gather(["flow=100 cfm"], []))
    >>> [told(m) for m in both.measured], [s.name for s in both.seen]
    (['exhaust flow 100 cfm'], ['flame seen'])
    """
    numbers, names = {m.number for m in other.measured}, {s.name for s in other.seen}
    return Evidence(
        (*(m for m in one.measured if m.number not in numbers), *other.measured),
        (*(s for s in one.seen if s.name not in names), *other.seen),
        other.complaint or one.complaint,
        (*one.dangers, *other.dangers),
    )


def _once(names: Sequence[tuple[str, str]], where: str) -> None:
    for i, name in enumerate(names):
        if name in names[:i]:
            raise InputError("given twice", where, name[0])
