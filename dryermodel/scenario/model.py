"""A scenario: what a person wrote, checked, with the origin of every value."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path
from typing import Any, NamedTuple

from dryermodel.cycle.engine.parameters import NEVER, Parameters
from dryermodel.scenario import convert
from dryermodel.scenario.checks import Given
from dryermodel.scenario.defaults import defaults
from dryermodel.scenario.fault_section import FAULT_LABEL, PREFIX, is_fault_key, reading_of
from dryermodel.scenario.faults import RANGE_STATUS, find_fault
from dryermodel.scenario.files import META, find, read_chain
from dryermodel.scenario.interruptions import CODES
from dryermodel.scenario.merge import faults_layer, merge, options_layer
from dryermodel.scenario.pieces import Piece, is_piece_key, piece_value, pieces_text
from dryermodel.scenario.schema import FAULTS, ScenarioModel, keys, rule_of

GIVEN = "given"
"""Status of a value a person wrote that is not the default."""


class ResolvedRow(NamedTuple):
    """One value of a scenario: as written, in SI, and where it comes from."""

    key: str
    text: str
    si: float | str | bool | None
    si_unit: str
    origin: str
    about: str
    source: str
    status: str


@dataclass(frozen=True)
class Scenario:
    """A checked scenario.

    Attributes
    ----------
    name : str
        File name without its ending.
    title, description : str
        From the file's ``[scenario]`` section.
    label : str
        How the file is called in messages.
    path : Path
        The file.
    model : ScenarioModel
        All values in SI.
    texts : mapping of key to the value as written
    given : mapping of key to who set it
    """

    name: str
    title: str
    description: str
    label: str
    path: Path
    model: ScenarioModel
    texts: Mapping[str, Any]
    given: Mapping[str, Given]

    def value(self, key: str) -> Any:
        """Return the value of a dotted key, in SI."""
        if is_piece_key(key):
            return piece_value(self.model.load.pieces, key)
        section, name = key.split(".")
        return getattr(getattr(self.model, section), name)

    @property
    def pieces(self) -> tuple[Piece, ...]:
        """Return the kinds of cloth in the load, in the order of the file."""
        return convert.pieces(self.model)

    def to_parameters(self) -> Parameters:
        """Return the plain SI numbers one cycle is computed from, faults included."""
        return convert.to_parameters(self.model)

    @property
    def faults(self) -> Mapping[str, float]:
        """Return the severity [1] of each fault that is present, by its key."""
        return self.model.faults

    def told_faults(self) -> dict[str, str]:
        """Return how bad each fault is that is present, with its unit, and what was measured of it.

        >>> load_scenario("standard", faults=["weak_burner=manifold 2.4 in w.c."]).told_faults()
        {'weak_burner': '82.81 % (manifold 2.4 in w.c.)'}
        """
        return {key: self._told_fault(key, severity) for key, severity in self.faults.items()}

    def _told_fault(self, key: str, severity: float) -> str:
        said, reading = find_fault(key).said(severity), reading_of(key, self.texts.get(PREFIX + key))
        return f"{said} ({reading})" if reading else said

    def faults_as_data(self) -> dict[str, dict[str, float] | dict[str, str]]:
        """Return the faults for programs: severities [1], and how bad that is with its unit."""
        return {"faults": dict(self.faults), "fault_quantities": self.told_faults()}

    @property
    def full_title(self) -> str:
        """Return the title with every fault and how bad it is; the title alone for a healthy machine."""
        told = [
            f"{key.replace('_', ' ')} {said}" if find_fault(key).graded else key.replace("_", " ")
            for key, said in self.told_faults().items()
        ]
        return f"{self.title}; with {', '.join(told)}" if told else self.title

    def with_faults(self, faults: Mapping[str, float]) -> Scenario:
        """Return the same scenario with these faults in place of its own.

        Parameters
        ----------
        faults : mapping of str to float
            Severity [1] of each by its key, 0 to 1; none for the machine without faults.
        """
        present = {key: float(severity) for key, severity in faults.items() if severity}
        kept = {key: text for key, text in self.texts.items() if not is_fault_key(key)}
        by = {key: who for key, who in self.given.items() if not is_fault_key(key)}
        written = {PREFIX + key: find_fault(key).at(severity) for key, severity in present.items()}
        who = Given(FAULT_LABEL, max(g.rank for g in by.values()) + 1)
        changed = replace(
            self,
            model=self.model.model_copy(update={FAULTS: present}),
            texts=kept | written,
            given=by | dict.fromkeys(written, who),
        )
        changed.to_parameters()  # whether the machine can have them
        return changed

    def interruptions(self) -> tuple[tuple[float, int], ...]:
        """Return the events on the way as (seconds from the start, code)."""
        return tuple((event.at, CODES[event.what]) for event in self.model.controls.interruptions)

    def resolved(self) -> list[ResolvedRow]:
        """Return every value with its origin, source and status, in the order of the schema.

        Faults that were written down follow, with their severity.
        """
        return [self._row(key) for key in keys()] + [
            self._fault_row(key) for key in self.texts if is_fault_key(key)
        ]

    def _fault_row(self, key: str) -> ResolvedRow:
        fault, who = find_fault(key.removeprefix(PREFIX)), self.given[key]
        severity = self.faults.get(fault.key, 0.0)
        about = f"{fault.title}: {fault.quantity}; severity range {RANGE_STATUS}"
        text = self._told_fault(fault.key, severity)
        return ResolvedRow(key, text, severity, "", who.label, about, who.label, GIVEN)

    def _row(self, key: str) -> ResolvedRow:
        entry, who, value = defaults()[key], self.given[key], self.value(key)
        as_default = self.texts[key] == entry.value
        source, status = (entry.source, entry.status) if as_default else (who.label, GIVEN)
        rule = rule_of(key)
        unit = rule.si_unit() if rule else ""
        text = as_text(self.texts[key])
        return ResolvedRow(key, text, plain(value), unit, who.label, entry.about, source, status)

    @cached_property
    def hash(self) -> str:
        """Return the scenario's hash; see `scenario_hash`."""
        return scenario_hash(self)


def as_text(value: Any) -> str:
    """Return a value as a person writes it."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, list) and all("at" not in item for item in value):
        return pieces_text(value)
    if isinstance(value, list):
        return "; ".join(f"{event['at']} {event['what']}" for event in value) or "none"
    return str(value)


def plain(value: Any) -> float | str | bool | None:
    """Return a checked value as a number, text, truth value or nothing."""
    if isinstance(value, tuple) and value and isinstance(value[0], Piece):
        return "; ".join(" ".join(_canonical(part) for part in piece) for piece in value)
    if isinstance(value, tuple):
        return "; ".join(f"{event.at:.9g} s {event.what}" for event in value)
    if isinstance(value, float) and value >= NEVER:
        return "never"
    if isinstance(value, float | int | str | bool) or value is None:
        return value
    raise TypeError(type(value))


def scenario_hash(scenario: Scenario) -> str:
    """Return the SHA-256 of the resolved values, as hex.

    Values are taken in SI to nine significant digits, so the order of keys and the spelling of
    units do not matter; neither do title, description or which file a value came from. A fault of
    severity 0 is none.
    """
    canonical = {key: _canonical(plain(scenario.value(key))) for key in keys()}
    canonical |= {PREFIX + key: _canonical(severity) for key, severity in scenario.faults.items()}
    return hashlib.sha256(json.dumps(canonical, sort_keys=True).encode("ascii")).hexdigest()


def _canonical(value: float | str | bool | None) -> str:
    return f"{value:.9g}" if isinstance(value, float) else str(value)


def load_scenario(
    path_or_name: str | Path,
    overrides: Mapping[str, object] | Sequence[str] = (),
    faults: Sequence[str] = (),
) -> Scenario:
    """Read, complete and check a scenario.

    Parameters
    ----------
    path_or_name : str or Path
        Path of a scenario file, or name of a shipped scenario such as ``"standard"``.
    overrides : mapping of key to text, or sequence of "section.key=value"
        Values that replace those of the file.
    faults : sequence of "key", "key=quantity", "key=reading" or "key=severity S"
        Faults in the words of the catalogue, see :func:`~dryermodel.scenario.fault_text.read_fault`; they
        replace the file's severity of the same fault.

    Returns
    -------
    Scenario
        Checked; every value has an origin.

    Raises
    ------
    InputError
        The file is missing or broken, or a value is not admissible.

    >>> scenario = load_scenario("standard", ["load.dry_mass=10 lb"])
    >>> round(scenario.to_parameters().dry_mass, 4)
    4.5359
    >>> load_scenario("standard", faults=["vent_blockage=75 %"]).faults
    {'vent_blockage': 0.75}
    """
    path = find(path_or_name)
    layers = read_chain(path)
    options = [layer for layer in (options_layer(overrides), faults_layer(faults)) if layer.raw]
    merged = merge([*layers, *options])
    own = layers[-1].raw.get(META, {})
    return Scenario(
        name=path.stem,
        title=own.get("title", path.stem),
        description=own.get("description", "").strip(),
        label=layers[-1].label,
        path=path,
        model=merged.model,
        texts=merged.texts,
        given=merged.given,
    )
