"""A visit: the machine, the complaint, what was measured and seen, what was done, how it was afterwards."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path

from dryermodel.errors import InputError, SeveralErrors, did_you_mean
from dryermodel.field.conflicts import conflicts
from dryermodel.field.contradictions import Conflict
from dryermodel.field.entries import Job, Placed, Reader
from dryermodel.field.evidence import Evidence, Measured, Seen, shown_in_si
from dryermodel.field.safety import Danger
from dryermodel.field.visit_file import LISTS, VisitFile, as_far_as_read, located
from dryermodel.field.visit_text import Spot
from dryermodel.scenario.files import layer_of, read, shipped_dir
from dryermodel.scenario.model import Scenario


@dataclass(frozen=True)
class Visit:
    """A visit, read and checked one by one; see :meth:`problems` for what does not go together.

    Attributes
    ----------
    path : Path
        The file.
    label : str
        How it is called in messages.
    text : str
        Its text.
    file : VisitFile
        What is in it, as written.
    scenario : Scenario
        The machine.
    measured, seen, after : tuple of Placed
        Every measurement and answer, several of the same kind included.
    dangers : tuple of Danger
        What was answered with yes before anything else.
    work : tuple of Job
    logs : tuple of Path
        Recordings, as paths.
    seen_after : tuple of Placed
        Every answer after the work.
    """

    path: Path
    label: str
    text: str
    file: VisitFile
    scenario: Scenario
    measured: tuple[Placed[Measured], ...]
    seen: tuple[Placed[Seen], ...]
    after: tuple[Placed[Measured], ...]
    dangers: tuple[Danger, ...]
    work: tuple[Job, ...]
    logs: tuple[Path, ...]
    seen_after: tuple[Placed[Seen], ...] = ()

    def evidence(self) -> Evidence:
        """Return what is known of the machine before any work, for a diagnosis.

        Several measurements of one thing are one, of weighted mean and with the accuracy of the best: they
        share instrument and reader, so that repeating them does not make them better.

        Raises
        ------
        InputError
            At the first of :meth:`problems`.
        """
        for problem in self.problems():
            raise problem
        answers = {seen.item.name: seen.item for seen in self.seen}
        measured = together(m.item for m in (*self.measured, *self.recorded))
        dangers = tuple(d.advice for d in self.dangers)
        return Evidence(measured, tuple(answers.values()), self.complaint, dangers)

    def evidence_after(self) -> Evidence:
        """Return what was measured and seen after the work, as :meth:`evidence`."""
        for problem in self.problems():
            raise problem
        answers = {seen.item.name: seen.item for seen in self.seen_after}
        return Evidence(together(m.item for m in self.after), tuple(answers.values()))

    @property
    def looked_again(self) -> bool:
        """Whether anything was measured or seen after the work."""
        return bool(self.after or self.seen_after)

    def in_si(self) -> Visit:
        """Return the same visit, its measurements to be shown in metric units, those of recordings too.

        One with a recording that cannot be read comes back as it is: its problems have to be told.
        """
        recorded, unread = self._recordings
        if unread:
            return self
        shown = [replace(one, item=shown_in_si(one.item)) for one in (*self.measured, *recorded)]
        after = [replace(one, item=shown_in_si(one.item)) for one in self.after]
        return replace(self, measured=tuple(shown), after=tuple(after), logs=())

    @property
    def complaint(self) -> str:
        """The customer's words, on one line."""
        return " ".join(self.file.complaint.split())

    def problems(self) -> list[InputError]:
        """Return what cannot all be so, each with the line of the entry that is most to blame."""
        recorded, unread = self._recordings
        before = self._told((*self.measured, *recorded), self.seen)
        return before + self._told(self.after, self.seen_after) + list(unread)

    @property
    def recorded(self) -> tuple[Placed[Measured], ...]:
        """Measurements read from the recordings that no measurement in the file names in its note."""
        return self._recordings[0]

    @cached_property
    def _recordings(self) -> tuple[tuple[Placed[Measured], ...], tuple[InputError, ...]]:
        """What the recordings give, and an error for each that cannot be read."""
        spot = Spot("", 0, "logs")
        noted = {entry.note for entry in self.file.measurement}
        recorded: list[Placed[Measured]] = []
        unread: list[InputError] = []
        for log in self.logs:
            if note_of(log.name) in noted:
                continue
            try:
                recorded += [Placed(one, spot) for one in self._read(log)]
            except InputError as problem:
                message = ": ".join(part for part in (problem.where, problem.message) if part)
                unread.append(InputError(message, located(self.label, self.text, spot), spot.told()))
        return tuple(recorded), tuple(unread)

    def _read(self, log: Path) -> tuple[Measured, ...]:
        if not _is_file(log):
            raise InputError(f"no file '{log.as_posix()[:300]}'")
        from dryermodel.field.recordings import measured_in

        return measured_in(log, self.scenario)

    def _told(self, measured: Sequence[Placed[Measured]], seen: Sequence[Placed[Seen]]) -> list[InputError]:
        found = conflicts([m.item for m in measured], [s.item for s in seen], self.scenario)
        spots = {s.item.name: s.spot for s in seen} | {m.item.name: m.spot for m in measured}  # the last ones
        return [self._problem(conflict, spots[conflict.names[0]]) for conflict in found]

    def _problem(self, conflict: Conflict, spot: Spot) -> InputError:
        if spot.section in LISTS and not spot.key:
            spot = spot._replace(key="value")
        return InputError(
            conflict.message, located(self.label, self.text, spot), spot.told(conflict.names[0])
        )


def note_of(log: str) -> str:
    """Return the note of a measurement that was read from a recording; one so noted is not read again.

    >>> note_of("plug.csv")
    'from plug.csv'
    """
    return f"from {log}"


def together(measured: Iterable[Measured]) -> tuple[Measured, ...]:
    """Return the measurements with those of the same number made one: weighted mean, accuracy of the best."""
    groups: dict[tuple[str, str], list[Measured]] = {}
    for one in measured:
        groups.setdefault((one.name, one.number), []).append(one)
    return tuple(_mean(group) for group in groups.values())


def _mean(group: Sequence[Measured]) -> Measured:
    if len(group) == 1:
        return group[0]
    weights = [1.0 / one.accuracy**2 for one in group]
    mean = math.fsum(w * one.value for w, one in zip(weights, group, strict=True)) / math.fsum(weights)
    best = min(one.accuracy for one in group)
    return group[0]._replace(value=mean, accuracy=best, times=len(group))


def shipped_visits() -> list[str]:
    """Return the names of the visits that come with the program, sorted."""
    return sorted(path.stem for path in (shipped_dir() / "visits").glob("*.toml"))


def find_visit(path_or_name: str | Path) -> Path:
    """Return the file of a visit: a path, or the name of one that comes with the program.

    Raises
    ------
    InputError
        There is none; with the nearest names.
    """
    direct, text = Path(path_or_name), str(path_or_name).strip()
    if text and _is_file(direct):
        return direct
    if text in shipped_visits():
        return shipped_dir() / "visits" / f"{text}.toml"
    beside = [path.name for path in direct.parent.glob("*.toml")] if direct.parent.is_dir() else []
    near = did_you_mean(direct.name, [*beside, *shipped_visits()])
    raise InputError(f"no visit file '{text[:80]}'{near}; 'dryermodel visit new FILE' makes one")


def _is_file(path: Path) -> bool:
    """Return whether there is such a file; a name longer than the system admits is that of none."""
    try:
        return path.is_file()
    except OSError:
        return False


def is_visit(path_or_name: str | Path) -> bool:
    """Return whether a name is that of a visit rather than of a scenario.

    A file is a visit when it names its machine as ``scenario = "..."``; in a scenario that is a section.

    >>> is_visit("slow_towels"), is_visit("standard")
    (True, False)
    """
    try:
        raw = read(find_visit(path_or_name)).raw
    except InputError:
        return False
    return not isinstance(raw.get("scenario"), dict) and not {"machine", "burner", "load"} & set(raw)


def load_visit(path_or_name: str | Path) -> Visit:
    """Read a visit.

    Parameters
    ----------
    path_or_name : str or Path
        Path of a visit file, or the name of one that comes with the program.

    Returns
    -------
    Visit
        Each value of it checked by itself; see :meth:`Visit.problems` for what does not go together.

    Raises
    ------
    InputError
        The file is missing or broken, or something in it is unknown or cannot be; with line and key. A file
        with several slips raises SeveralErrors, which holds them all.

    >>> visit = load_visit("slow_towels")
    >>> visit.scenario.name, [m.name for m in visit.evidence().measured][2:4]
    ('standard', ['cycle time', 'exhaust temperature'])
    """
    path = find_visit(path_or_name)
    layer = read(path)
    shipped = path.resolve().parent == (shipped_dir() / "visits").resolve()
    return visit_of(layer.text, path, f"scenarios/visits/{path.name}" if shipped else layer.label)


def visit_of(text: str, path: Path, label: str = "") -> Visit:
    """Return the visit that the text of a file tells; as :func:`load_visit`."""
    layer = layer_of(text, label or path.as_posix())
    file, slips = as_far_as_read(layer.raw, layer.label, layer.text)
    reader = Reader(file, layer.label, layer.text, slips)
    scenario = reader.scenario(path)
    visit = Visit(
        path,
        layer.label,
        layer.text,
        file,
        scenario,
        (*reader.conditions(), *reader.measured("measurement", scenario)),
        reader.seen(),
        reader.measured("after", scenario),
        reader.dangers(),
        reader.work(),
        tuple(path.parent / log for log in file.logs),
        reader.seen_after(),
    )
    if reader.problems:
        raise SeveralErrors(reader.problems)
    return visit
