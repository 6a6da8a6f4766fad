"""From the entries of a visit file to what they mean, in SI."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Generic, NamedTuple, TypeVar

from dryermodel import units
from dryermodel.errors import InputError, shortened
from dryermodel.field.clocked import DIAL, GAS_INPUT, TIME, clocked_input, heating_value_of
from dryermodel.field.evidence import Measured, Seen, read_accuracy, read_value, taken
from dryermodel.field.measurements import ADVANCE, Measurement, advance, find_measurement
from dryermodel.field.observations import find_observation
from dryermodel.field.safety import Danger, find_danger
from dryermodel.field.visit_file import Entry, VisitFile, located
from dryermodel.field.visit_text import Spot
from dryermodel.scenario.faults import find_fault
from dryermodel.scenario.files import find
from dryermodel.scenario.merge import OPTIONS_LABEL
from dryermodel.scenario.model import Scenario, load_scenario

T = TypeVar("T")

CONDITIONS = {"room_temperature": "room temperature", "room_humidity": "room humidity"}
"""Conditions that are measurements, and their names."""

CLOCKED_HERE = '; a clocked meter is dial = "1/2 ft3" and seconds = "82 s" in place of it'
"""What is said to whoever writes something else than a power for the gas input."""

MINUTES = (0.0, 86400.0)


@dataclass(frozen=True)
class Placed(Generic[T]):
    """Something of a visit, and where it stands in the file."""

    item: T
    spot: Spot


class Job(NamedTuple):
    """Work that was done: day and words as written, key of the fault it mended; empty if not known."""

    date: str
    did: str
    fault: str


class Reader:
    """Reads the parts of one visit file; every method raises InputError with line and key.

    Parameters
    ----------
    file : VisitFile
        As written.
    label, text : str
        How the file is called, and its text, for messages.
    """

    def __init__(self, file: VisitFile, label: str, text: str) -> None:
        self.file, self.label, self.text = file, label, text

    def scenario(self, path: Path) -> Scenario:
        """Return the machine: a scenario beside the visit file at that path, or a shipped one."""
        spot = Spot("", 0, "scenario")
        found = find(self.file.scenario, path.parent, self._where(spot), spot.told())
        try:
            return load_scenario(found, self.file.set)
        except InputError as problem:
            if problem.where != OPTIONS_LABEL:
                raise
            told = ": ".join(part for part in (problem.key, problem.message) if part)
            raise self._error(told, Spot("", 0, "set")) from problem

    def conditions(self) -> tuple[Placed[Measured], ...]:
        """Return the conditions that are measurements."""
        found = []
        for key, name in CONDITIONS.items():
            text = getattr(self.file.conditions, key)
            if text is not None:
                spot = Spot("conditions", 0, key)
                found.append(Placed(self._measured(Entry(name=name, value=text), spot, None), spot))
        return tuple(found)

    def measured(self, section: str, scenario: Scenario) -> tuple[Placed[Measured], ...]:
        """Return every entry of a section of measurements."""
        entries: tuple[Entry, ...] = getattr(self.file, section)
        spots = [Spot(section, i) for i in range(len(entries))]
        return tuple(
            Placed(self._measured(entry, spot, scenario), spot)
            for entry, spot in zip(entries, spots, strict=True)
        )

    def seen(self) -> tuple[Placed[Seen], ...]:
        """Return every answer."""
        return tuple(self._seen(name, yes) for name, yes in self.file.seen.items())

    def dangers(self) -> tuple[Danger, ...]:
        """Return the dangers that were answered with yes, those to be seen to at once first."""
        found = []
        for name, yes in self.file.safety.items():
            spot = Spot("safety", 0, name)
            danger = self._at(spot, find_danger, name)
            found += [danger] if yes else []
        return tuple(sorted(found, key=lambda danger: not danger.leave))

    def work(self) -> tuple[Job, ...]:
        """Return the work that was done."""
        jobs = []
        for i, work in enumerate(self.file.work):
            key = self._at(Spot("work", i, "fault"), find_fault, work.fault).key if work.fault else ""
            jobs.append(Job(work.date, work.did, key))
        return tuple(jobs)

    def _seen(self, name: str, yes: bool) -> Placed[Seen]:
        spot = Spot("seen", 0, name)
        return Placed(Seen(self._at(spot, find_observation, name), yes), spot)

    def _measured(self, entry: Entry, spot: Spot, scenario: Scenario | None) -> Measured:
        kind = self._kind(entry, spot)
        if entry.dial is not None or entry.seconds is not None:
            return self._clocked(entry, kind, spot, scenario)
        if entry.value is None:
            raise self._error("has no value; take the entry out if it was not measured", spot, kind.name)
        value = self._quantity(read_value, kind, entry.value, spot, "value")
        return self._taken(kind, value, self._accuracy(entry, kind, spot), entry, spot)

    def _taken(
        self, kind: Measurement, value: float, accuracy: float | None, entry: Entry, spot: Spot
    ) -> Measured:
        if entry.state and entry.state not in kind.states:
            near = " or ".join(f"'{state}'" for state in kind.states)
            message = f"is '{shortened(entry.state)}'; {kind.name} is taken in {near}"
            raise self._error(message, self._key(spot, "state"), kind.name)
        try:
            return taken(kind, value, entry.state, accuracy)
        except InputError as problem:
            raise self._error(problem.message, self._key(spot, "value"), kind.name) from problem

    def _kind(self, entry: Entry, spot: Spot) -> Measurement:
        """Return what an entry measures."""
        name = entry.name or (GAS_INPUT if entry.dial is not None else "")
        if not name.strip():
            raise self._error("has no name", spot)
        kind = self._at(self._key(spot, "name"), find_measurement, name)
        if kind.name == ADVANCE:
            return self._advance(entry, spot)
        if entry.start is not None or entry.end is not None:
            raise self._error(f"belongs to '{ADVANCE}' only", self._key(spot, "from"), kind.name)
        return kind

    def _advance(self, entry: Entry, spot: Spot) -> Measurement:
        """Return the timer's advance between two minutes of the clock."""
        minutes = []
        for key, text in (("from", entry.start), ("to", entry.end)):
            if text is None:
                raise self._error(f'needs {key} = "20 min": a minute of the clock', spot, ADVANCE)
            minutes.append(self._plain(text, "time", MINUTES, self._key(spot, key), ADVANCE))
        try:
            return advance(minutes[0], minutes[1])
        except InputError as problem:
            raise self._error(problem.message, self._key(spot, "from"), ADVANCE) from problem

    def _clocked(self, entry: Entry, kind: Measurement, spot: Spot, scenario: Scenario | None) -> Measured:
        """Return the gas input that a clocked meter gives."""
        if kind.name != GAS_INPUT or scenario is None:
            raise self._error(f"dial and seconds belong to '{GAS_INPUT}' only", spot, kind.name)
        if entry.value is not None:
            raise self._error("is given beside dial and seconds; give one of the two", spot, kind.name)
        if entry.dial is None or entry.seconds is None:
            raise self._error('needs both, dial = "1/2 ft3" and seconds = "82 s"', spot, kind.name)
        dial = self._plain(entry.dial, "volume", DIAL, self._key(spot, "dial"), kind.name)
        time = self._plain(entry.seconds, "time", TIME, self._key(spot, "seconds"), kind.name)
        rate, usual = clocked_input(kind, dial, time, entry.turns, heating_value_of(scenario))
        given = self._accuracy(entry, kind, spot)
        return self._taken(kind, rate, usual if given is None else given, entry, spot)

    def _accuracy(self, entry: Entry, kind: Measurement, spot: Spot) -> float | None:
        if entry.accuracy is None:
            return None
        return self._quantity(read_accuracy, kind, entry.accuracy, spot, "accuracy")

    def _quantity(
        self, how: Callable[[Measurement, str], float], kind: Measurement, text: str, spot: Spot, key: str
    ) -> float:
        try:
            return how(kind, text)
        except InputError as problem:
            hint = CLOCKED_HERE if kind.name == GAS_INPUT and key == "value" else ""
            raise self._error(problem.message + hint, self._key(spot, key), kind.name) from problem

    def _plain(self, text: str, kind: str, within: tuple[float, float], spot: Spot, name: str) -> float:
        """Return a quantity of a kind [SI] within a range."""
        try:
            value = units.parse(text, kind, within)
        except ValueError as problem:
            raise self._error(str(problem), spot, name) from problem
        if not within[0] <= value <= within[1]:
            raise self._error(f"is '{text}', which cannot be", spot, name)
        return value

    def _at(self, spot: Spot, find_it: Callable[[str], T], text: str) -> T:
        """Return what is found under a name, or raise its error at that place."""
        try:
            return find_it(text)
        except InputError as problem:
            told = problem.message if problem.key != text else f"'{shortened(text)}': {problem.message}"
            raise self._error(told, spot) from problem

    @staticmethod
    def _key(spot: Spot, key: str) -> Spot:
        """Return the place of a key of an entry; a condition is its own key."""
        return spot if spot.key else spot._replace(key=key)

    def _where(self, spot: Spot) -> str:
        return located(self.label, self.text, spot)

    def _error(self, message: str, spot: Spot, name: str = "") -> InputError:
        return InputError(message, self._where(spot), spot.told(name))
