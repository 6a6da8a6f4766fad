"""The scenario that a fit comes to: a file of fitted values over the one it started from.

Values are rounded as they are written, and the scenario is made from the text of its file, so that the file
loads to the very same machine.
"""

from __future__ import annotations

import json
import os
import tomllib
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from dryermodel import units
from dryermodel.errors import InputError
from dryermodel.files import require_writable
from dryermodel.scenario.fault_section import PREFIX, is_fault_key
from dryermodel.scenario.faults import find_fault
from dryermodel.scenario.files import Layer, read_chain, shipped_dir, write_new
from dryermodel.scenario.merge import merge
from dryermodel.scenario.model import Scenario, load_scenario
from dryermodel.scenario.pieces import PIECES
from dryermodel.studies.sweep.vary import quantity_rule

if TYPE_CHECKING:
    from dryermodel.inference.fit_result import Calibration

LABEL = "calibrate"
"""What fitted values name as their origin."""

DIGITS = 6
"""Significant digits of a fitted value: far more than it is known to, so that rounding moves nothing."""

MEANS = ("load.initial_moisture", "load.cotton_fraction")
"""Keys that a list of pieces in the same file would contradict."""


def written(key: str, value: float) -> str:
    """Return a value [SI] of a key as a scenario file holds it.

    >>> written("vent.length", 3.048), written("vent.resistance_factor", 1.25)
    ('10 ft', '1.25')
    """
    unit = quantity_rule(key).low.partition(" ")[2]
    return f"{units.digits(units.convert(value, unit), DIGITS)} {unit}".rstrip()


def fitted_scenario(scenario: Scenario, texts: Mapping[str, str]) -> Scenario:
    """Return a scenario with fitted values in place of its own.

    Parameters
    ----------
    scenario : Scenario
        What the fit started from, with what options changed of its file.
    texts : mapping of dotted key to text
        Fitted values as :func:`written`.
    """
    layers = [*read_chain(scenario.path), Layer("options", _nested(changed(scenario)))]
    merged = merge([*layers, Layer(LABEL, _nested(texts))])
    title = fitted_title(scenario)
    return Scenario(
        scenario.name, title, scenario.description, LABEL, scenario.path, merged.model, merged.texts,
        merged.given,
    )  # fmt: skip


def fitted_title(scenario: Scenario) -> str:
    """Title of the fitted scenario."""
    return f"{scenario.title}, fitted to measurements"


def changed(scenario: Scenario) -> dict[str, Any]:
    """Return what options changed of a scenario's file, by dotted key, as a file holds it."""
    base = load_scenario(scenario.path)
    found = {
        key: text
        for key, text in scenario.texts.items()
        if not is_fault_key(key) and base.texts.get(key) != text
    }
    if PIECES in found:  # their means follow from them
        rank = scenario.given[PIECES].rank
        found = {
            key: text for key, text in found.items() if key not in MEANS or scenario.given[key].rank > rank
        }
    for key in {**base.faults, **scenario.faults}:
        if base.faults.get(key) != scenario.faults.get(key) or base.texts[PREFIX + key] != _bad(
            scenario, key
        ):
            found[PREFIX + key] = _bad(scenario, key)
    return found


def _bad(scenario: Scenario, key: str) -> str | bool:
    """How bad a fault is as a file holds it: a reading would come to another severity on a fitted machine."""
    severity = scenario.faults.get(key, 0.0)
    return f"severity {severity!r}" if find_fault(key).graded else severity > 0.0


def _nested(flat: Mapping[str, Any]) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for key, value in flat.items():
        section, _, name = key.partition(".")
        found.setdefault(section, {})[name] = value
    return found


def write_scenario(found: Calibration, path: Path, version: str) -> Path:
    """Write the fitted scenario to a new file; InputError if it exists or cannot be written.

    Parameters
    ----------
    found : Calibration
        What was fitted.
    path : Path
        Ending in ``.toml``.
    version : str
        Of the program.
    """
    text = scenario_text(found, path, version)
    tomllib.loads(text)
    write_new(path, text)
    return path


def check_path(scenario: Scenario, keys: Sequence[str], path: Path) -> None:
    """Raise InputError unless the fitted scenario can be written to that file.

    Parameters
    ----------
    scenario : Scenario
        What the fit starts from.
    keys : sequence of str
        What is fitted; everything for none.
    path : Path
        File wanted.
    """
    if path.suffix != ".toml":
        raise InputError("must end in .toml, e.g. mine.toml", path.as_posix())
    if path.exists():
        raise InputError("already exists and is left as it is; choose another name", path.as_posix())
    require_writable(path)
    if PIECES in changed(scenario) and (not keys or set(MEANS) & set(keys)):
        message = "moisture and cotton of pieces changed by --set cannot be written; change them in the file"
        raise InputError(message, "-o", PIECES)


def scenario_text(found: Calibration, path: Path, version: str) -> str:
    """Return the text of the fitted scenario's file.

    Parameters
    ----------
    found : Calibration
        What was fitted.
    path : Path
        Where the file will stand, which what it extends is named from.
    version : str
        Of the program.
    """
    scenario, count = found.scenario, len(found.compared)
    told = ", ".join(c.measured.name for c in found.compared)
    head = [
        f"# Values fitted to {count} measurements by dryermodel {version} calibrate, seed {found.seed}.",
        "# Behind each: status, the interval of 80 % it lies in, and what was believed before.",
        '# "not determined": these measurements say nothing of it; it stands where it was believed to be.',
        *([] if found.fits else ["# WARNING: the measurements do not fit such a machine: diagnose first."]),
        "", "[scenario]",
        f"title = {_toml(fitted_title(scenario))}",
        f"description = {_toml(f'Fitted to: {told}.')}",
        f"extends = {_toml(_base(scenario.path, path))}",
    ]  # fmt: skip
    lines = {key: f"{key.partition('.')[2]} = {_toml(value)}" for key, value in changed(scenario).items()}
    comments = {f.unknown.key: comment(found, f.unknown.key) for f in found.fitted}
    for key, text in found.texts.items():
        why = comments.get(key, "fitted: moves with the value above")
        lines[key] = f"{key.partition('.')[2]} = {_toml(text)}  # {why}"
    for section in dict.fromkeys(key.partition(".")[0] for key in lines):
        head += ["", f"[{section}]", *(v for k, v in lines.items() if k.startswith(section + "."))]
    return "\n".join([*head, ""])


def comment(found: Calibration, key: str) -> str:
    """Return what stands behind a fitted value in the file."""
    one = found.fitted_of(key)
    span, before = (units_text(key, *ends) for ends in (one.interval, one.prior))
    if not one.determined:
        return f"fitted, not determined: {before} before and after"
    return f"fitted: {span}; before: {before}"


def units_text(key: str, low: float, high: float) -> str:
    """Return an interval [SI] of a key with its unit.

    >>> units_text("vent.length", 1.524, 3.048)
    '5 to 10 ft'
    """
    unit = quantity_rule(key).low.partition(" ")[2]
    ends = [units.digits(units.convert(v, unit), 3) for v in (low, high)]
    return f"{ends[0]} to {ends[1]} {unit}".rstrip()


def _base(base: Path, target: Path) -> str:
    """Return how the file names what it extends: a shipped scenario by name, another by path."""
    if base.resolve().parent == shipped_dir().resolve():
        return base.stem
    try:
        return Path(os.path.relpath(base.resolve(), target.resolve().parent)).as_posix()
    except ValueError:  # on another drive
        return base.resolve().as_posix()


def _toml(value: Any) -> str:
    """Return a value as TOML writes it, tables in lists included."""
    if isinstance(value, list):
        return "[" + ", ".join(map(_toml, value)) + "]"
    if isinstance(value, Mapping):
        return "{ " + ", ".join(f"{key} = {_toml(v)}" for key, v in value.items()) + " }"
    return json.dumps(value, ensure_ascii=False)
