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
from dryermodel.studies.uncertainty.uncertain import Uncertain, uncertain_of

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
        raise InputError(f"cannot be read: {problem}", path.as_posix()) from problem
    for section in given:
        if section not in SECTIONS:
            raise InputError(f"unknown section{did_you_mean(section, SECTIONS)}", path.as_posix(), section)
    for key, weight in given.get("weights", {}).items():
        find_fault(key)
        _positive(weight, path, f"weights.{key}")
    merged = {name: {**own, **given.get(name, {})} for name, own in _own().items()}
    for section, key in (("healthy", "weight"), ("outside", "weight")):
        _positive(merged[section][key], path, f"{section}.{key}")
    least = merged["severity"]["least"]
    if not isinstance(least, int | float) or not 0.0 < least < 1.0:
        raise InputError(f"is {least}, allowed above 0 and below 1", path.as_posix(), "severity.least")
    return merged


def _positive(value: object, path: Path, key: str) -> None:
    if not isinstance(value, int | float) or not 0.0 <= value < 1.0e6:
        raise InputError(f"is {value}, allowed 0 to 1e6", path.as_posix(), key)


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
    hypotheses = tuple(h._replace(weight=h.weight / total) for h in found if h.weight > 0.0)
    return Priors(hypotheses, outside / total, float(raw["severity"]["least"]), unknown_of(scenario, raw))


def unknown_of(scenario: Scenario, raw: Mapping[str, Any]) -> tuple[Uncertain, ...]:
    """Return what else is unknown: the ranges of ``ranges.toml``, wider where the priors say so."""
    wider = raw.get("unknown", {})
    return tuple(_wider(u, scenario, wider.get(u.key)) for u in uncertain_of(scenario))


def _wider(u: Uncertain, scenario: Scenario, entry: Mapping[str, Any] | None) -> Uncertain:
    if entry is None:
        return u
    value, rule = float(scenario.value(u.key)), quantity_rule(u.key)
    if "offset" in entry:
        kind = "temperature difference" if rule.kind == "temperature" else rule.kind
        low, high = (value + units.parse(text, kind) for text in entry["offset"])
    else:
        low, high = (value * float(ratio) for ratio in entry["factor"])
    least, most = rule.bounds()
    low, high = max(low, least), min(high, most)
    return u._replace(low=low, high=high, shape=entry["shape"], source=entry["source"])
