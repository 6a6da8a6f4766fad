"""What is believed before anything is measured: which faults, how bad, and what else is unknown."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

from dryermodel import units
from dryermodel.errors import InputError, did_you_mean
from dryermodel.scenario.faults import catalogue, find_fault
from dryermodel.studies.sweep.vary import quantity_rule
from dryermodel.studies.uncertainty.uncertain import SHAPES, Uncertain, ranges, uncertain_of

if TYPE_CHECKING:
    from dryermodel.scenario.model import Scenario

HEALTHY = "healthy"
"""What stands for no fault in a ranking."""

OPTION = "priors"
"""How messages about a file of priors begin."""

SECTIONS = ("healthy", "outside", "severity", "pairs", "weights", "together", "unknown")


class Hypothesis(NamedTuple):
    """One thing that may be wrong with a machine."""

    faults: tuple[str, ...]  # none: healthy
    weight: float  # prior probability [1]

    @property
    def name(self) -> str:
        """Keys joined, or `HEALTHY`."""
        return " + ".join(self.faults) or HEALTHY

    @property
    def graded(self) -> tuple[str, ...]:
        """Those of its faults that have a severity."""
        return tuple(key for key in self.faults if find_fault(key).graded)


class Priors(NamedTuple):
    """Hypotheses that exclude each other, and the severity's least value."""

    hypotheses: tuple[Hypothesis, ...]  # weights sum to 1 less that of `outside`
    outside: float  # [1] that nothing in the catalogue explains it
    least_severity: float  # [1]
    unknown: tuple[Uncertain, ...]


def _file(path: Path) -> dict[str, Any]:
    return tomllib.loads(path.read_text(encoding="utf-8"))


@cache
def _own() -> dict[str, Any]:
    return _file(Path(__file__).with_name("priors.toml"))


def read_priors(path: Path) -> dict[str, Any]:
    """Return a file of priors laid over the program's own; InputError for one that cannot be.

    Parameters
    ----------
    path : Path
        TOML with some of the sections of ``priors.toml``.
    """
    try:
        given = _file(path)
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as problem:
        why = problem.strerror if isinstance(problem, OSError) else str(problem)
        raise InputError(f"cannot be read: {why}", path.as_posix()) from problem
    where = path.as_posix()
    for section, entries in given.items():
        if section not in SECTIONS:
            raise InputError(f"unknown section{did_you_mean(section, SECTIONS)}", where, section)
        if not isinstance(entries, dict):
            raise InputError(f"is {entries!r}, must be a section of keys", where, section)
    merged = {name: {**own, **given.get(name, {})} for name, own in _own().items()}
    _check(merged, where)
    return merged


def _check(merged: Mapping[str, Any], where: str) -> None:
    """Raise InputError for numbers and names that cannot be."""
    for section, key in (("healthy", "weight"), ("outside", "weight")):
        _within(merged[section][key], 0.0, 1.0e6, where, f"{section}.{key}")
    for key, weight in merged["weights"].items():
        find_fault(key)
        _within(weight, 0.0, 1.0e6, where, f"weights.{key}")
    _within(merged["severity"]["least"], 0.01, 0.99, where, "severity.least")
    _within(merged["pairs"]["share"], 0.0, 0.9, where, "pairs.share")
    for pair in merged["together"]["list"]:
        if not (isinstance(pair, list) and len(set(pair)) == len(pair) == 2):
            raise InputError(f"{pair!r} is not a pair of faults", where, "together.list")
        for key in pair:
            find_fault(key)
    for key, entry in merged["unknown"].items():
        _check_range(key, entry, where, f"unknown.{key}")


def _check_range(key: str, entry: object, where: str, told: str) -> None:
    ends = ("offset", "factor")
    if key not in ranges():
        raise InputError(f"has no range{did_you_mean(key, ranges())}", where, told)
    if not isinstance(entry, dict) or sum(end in entry for end in ends) != 1:
        raise InputError(f"needs one of {' or '.join(ends)}", where, told)
    given = entry.get("offset", entry.get("factor"))
    if not (isinstance(given, list) and len(given) == 2):
        raise InputError(f"is {given!r}, must be a list of two ends", where, told)
    if entry.get("shape") not in SHAPES:
        raise InputError(f"shape {entry.get('shape')!r}: one of {', '.join(SHAPES)}", where, told)


def _within(value: object, low: float, high: float, where: str, key: str) -> None:
    number = isinstance(value, int | float) and not isinstance(value, bool)
    if not number or not low <= float(value) <= high:  # type: ignore[arg-type]
        raise InputError(f"is {value}, allowed {low:g} to {high:g}", where, key)


def priors_of(scenario: Scenario, raw: Mapping[str, Any] | None = None) -> Priors:
    """Return the priors for a machine: the faults it can have, alone and in pairs.

    Parameters
    ----------
    scenario : Scenario
        The healthy machine.
    raw : mapping, optional
        From :func:`read_priors`; the program's own by default.

    Examples
    --------
    >>> from dryermodel.scenario.model import load_scenario
    >>> p = priors_of(load_scenario("standard"))
    >>> round(sum(h.weight for h in p.hypotheses) + p.outside, 12), p.hypotheses[0].name
    (1.0, 'healthy')
    """
    raw = raw or _own()
    parameters = scenario.with_faults({}).to_parameters()
    able = [key for key, fault in catalogue().items() if fault.meets(parameters)]
    weights = {key: float(raw["weights"].get(key, 1.0)) for key in able}
    pairs = [tuple(pair) for pair in raw["together"]["list"] if set(pair) <= set(able)]
    share = float(raw["pairs"]["share"]) if pairs else 0.0
    singles = sum(weights.values())
    each = singles * share / (1.0 - share) / len(pairs) if pairs else 0.0
    found = [Hypothesis((), float(raw["healthy"]["weight"]))]
    found += [Hypothesis((key,), weight) for key, weight in weights.items()]
    found += [Hypothesis(pair, each) for pair in pairs]
    outside = float(raw["outside"]["weight"])
    total = outside + sum(h.weight for h in found)
    if total <= outside:
        raise InputError("every weight is 0: nothing could be wrong, and nothing right", OPTION)
    hypotheses = tuple(h._replace(weight=h.weight / total) for h in found if h.weight > 0.0 or not h.faults)
    return Priors(hypotheses, outside / total, float(raw["severity"]["least"]), unknown_of(scenario, raw))


def unknown_of(scenario: Scenario, raw: Mapping[str, Any]) -> tuple[Uncertain, ...]:
    """Return what else is unknown: the ranges of ``ranges.toml``, wider where the priors say so."""
    wider = raw.get("unknown", {})
    return tuple(_wider(u, scenario, wider.get(u.key)) for u in uncertain_of(scenario))


def _wider(u: Uncertain, scenario: Scenario, entry: Mapping[str, Any] | None) -> Uncertain:
    if entry is None:
        return u
    value, (low, high) = float(scenario.value(u.key)), _ends(u.key, float(scenario.value(u.key)), entry)
    if not low <= value <= high or low == high:
        raise InputError("must reach from below the scenario's value to above it", OPTION, f"unknown.{u.key}")
    return u._replace(low=low, high=high, shape=entry["shape"], source=entry.get("source", "given"))


def _ends(key: str, value: float, entry: Mapping[str, Any]) -> tuple[float, float]:
    """Ends of a range [SI] around a value, cut off at what is admissible."""
    rule = quantity_rule(key)
    kind = "temperature difference" if rule.kind == "temperature" else rule.kind
    try:
        if "offset" in entry:
            low, high = (value + units.parse(str(text), kind) for text in entry["offset"])
        else:
            low, high = (value * float(ratio) for ratio in entry["factor"])
    except ValueError as problem:
        raise InputError(str(problem), OPTION, f"unknown.{key}") from problem
    least, most = rule.bounds()
    return max(low, least), min(high, most)
