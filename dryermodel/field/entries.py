"""From the entries of a visit file to what they mean, in SI."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Generic, NamedTuple, TypeVar

from dryermodel import units
from dryermodel.errors import InputError, shortened
from dryermodel.field.clocked import DIAL, GAS_INPUT, TIME, clocked_input, heating_value_of
from dryermodel.field.evidence import Measured, Seen, read_accuracy, read_value, taken
from dryermodel.field.measurements import ADVANCE, Measurement, advance, find_measurement
from dryermodel.field.observations import NO, YES, find_observation, is_observation
from dryermodel.field.safety import Danger, find_danger
from dryermodel.field.visit_file import LISTS, Entry, VisitFile, Work, located
from dryermodel.field.visit_text import Spot, line_of
from dryermodel.scenario.faults import find_fault
from dryermodel.scenario.files import find
from dryermodel.scenario.merge import OPTIONS_LABEL
from dryermodel.scenario.model import Scenario, load_scenario

S = TypeVar("S")
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


def _is_answer(entry: Entry) -> bool:
    """Whether an entry has the name of a question."""
    return is_observation(entry.name)


class Reader:
    """Reads the parts of one visit file; what is wrong with one is kept, and the rest is read on.

    Parameters
    ----------
    file : VisitFile
        As written.
    label, text : str
        How the file is called, and its text, for messages.
    known : mapping of Spot to InputError
        What is wrong with it as far as is known; entries of lists among it are passed over.

    Attributes
    ----------
    problems : list of InputError
        Everything that is wrong with it, in the order of its lines, once all is read.
    """

    def __init__(
        self, file: VisitFile, label: str, text: str, known: Mapping[Spot, InputError] | None = None
    ) -> None:
        self.file, self.label, self.text = file, label, text
        self._problems = dict(known or {})
        self._broken = {spot[:2] for spot in self._problems if spot.section in LISTS}

    @property
    def problems(self) -> list[InputError]:
        """Everything that is wrong with the file so far, in the order of its lines."""
        lines = {spot: line_of(self.text, spot) or 0 for spot in self._problems}
        return [self._problems[spot] for spot in sorted(lines, key=lambda spot: lines[spot])]

    def _each(self, read: Callable[[S], T], parts: Iterable[tuple[Spot, S]]) -> tuple[T, ...]:
        """Return what is read of each part; what is wrong with one is kept."""
        found = []
        for spot, part in parts:
            if spot[:2] not in self._broken:
                try:
                    found.append(read(part))
                except InputError as problem:
                    self._problems.setdefault(spot, problem)
        return tuple(found)

    def scenario(self, path: Path) -> Scenario:
        """Return the machine: a scenario beside the visit file at that path, or a shipped one.

        One that cannot be read is a problem, and the standard machine stands for it.
        """
        spot = Spot("", 0, "scenario")
        found = self._each(self._scenario, [(spot, path)])
        return found[0] if found else load_scenario("standard")

    def _scenario(self, path: Path) -> Scenario:
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
        spots = [Spot("conditions", 0, key) for key in CONDITIONS]
        return self._each(
            self._condition,
            ((spot, spot) for spot in spots if getattr(self.file.conditions, spot.key) is not None),
        )

    def _condition(self, spot: Spot) -> Placed[Measured]:
        entry = Entry(name=CONDITIONS[spot.key], value=getattr(self.file.conditions, spot.key))
        return Placed(self._measured(entry, spot, None), spot)

    def measured(self, section: str, scenario: Scenario) -> tuple[Placed[Measured], ...]:
        """Return every entry of a section of measurements; answers afterwards are :meth:`seen_after`."""
        return self._each(
            lambda placed: Placed(self._measured(placed.item, placed.spot, scenario), placed.spot),
            ((p.spot, p) for p in self._entries(section) if section != "after" or not _is_answer(p.item)),
        )

    def _entries(self, section: str) -> list[Placed[Entry]]:
        entries: tuple[Entry, ...] = getattr(self.file, section)
        return [Placed(entry, Spot(section, i)) for i, entry in enumerate(entries)]

    def seen_after(self) -> tuple[Placed[Seen], ...]:
        """Return every answer afterwards: entries that have the name of a question."""
        return self._each(
            lambda placed: Placed(self._answer(placed.item, placed.spot), placed.spot),
            ((p.spot, p) for p in self._entries("after") if _is_answer(p.item)),
        )

    def _answer(self, entry: Entry, spot: Spot) -> Seen:
        asked = find_observation(entry.name)
        if set(entry.model_fields_set) - {"name", "value", "note"}:
            raise self._error("is answered with yes or no; leave the other keys out", spot, asked.name)
        said = (entry.value or "").strip().lower()
        if said not in YES | NO:
            told = f"is '{shortened(entry.value)}'" if entry.value is not None else "has no value"
            raise self._error(f"{told}; it is yes or no", self._key(spot, "value"), asked.name)
        return Seen(asked, said in YES)

    def seen(self) -> tuple[Placed[Seen], ...]:
        """Return every answer."""
        return self._each(
            lambda answer: self._seen(*answer),
            ((Spot("seen", 0, name), (name, yes)) for name, yes in self.file.seen.items()),
        )

    def dangers(self) -> tuple[Danger, ...]:
        """Return the dangers that were answered with yes, those to be seen to at once first."""
        spots = [Spot("safety", 0, name) for name in self.file.safety]
        found = self._each(
            lambda spot: (self._at(spot, find_danger, spot.key), self.file.safety[spot.key]),
            ((spot, spot) for spot in spots),
        )
        return tuple(sorted((danger for danger, yes in found if yes), key=lambda danger: not danger.leave))

    def work(self) -> tuple[Job, ...]:
        """Return the work that was done."""
        placed = [Placed(work, Spot("work", i)) for i, work in enumerate(self.file.work)]
        return self._each(lambda one: self._job(one.item, one.spot), ((one.spot, one) for one in placed))

    def _job(self, work: Work, spot: Spot) -> Job:
        key = self._at(spot._replace(key="fault"), find_fault, work.fault).key if work.fault else ""
        return Job(work.date, work.did, key)

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
        if is_observation(name):
            told = f"'{shortened(name)}' is a question; its answer stands under [seen]"
            raise self._error(told, self._key(spot, "name"))
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
