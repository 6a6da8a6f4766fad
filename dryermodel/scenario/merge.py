"""Laying the files and options over the defaults, and checking the result."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, NamedTuple

from pydantic import ValidationError

from dryermodel.errors import InputError, did_you_mean, shortened
from dryermodel.scenario.checks import EXCLUSIVE, Given, check, check_currency
from dryermodel.scenario.convert import to_parameters
from dryermodel.scenario.defaults import defaults
from dryermodel.scenario.fault_section import (
    FAULT_LABEL,
    PREFIX,
    fault_texts,
    is_fault_key,
    read_faults,
    require_fault,
    severities,
    with_measured,
)
from dryermodel.scenario.files import META, META_KEYS, Layer
from dryermodel.scenario.follow import following
from dryermodel.scenario.pieces import (
    PIECES,
    is_piece_key,
    mean,
    read_pieces,
    split_piece_key,
    with_piece_values,
)
from dryermodel.scenario.rules import is_whole_number
from dryermodel.scenario.schema import (
    FAULTS,
    SECTIONS,
    ScenarioModel,
    allowed,
    choices_of,
    is_switch,
    keys,
    rule_of,
)
from dryermodel.scenario.words import known_key, known_word
from dryermodel.written import unquoted

DEFAULT_LABEL = "default"
OPTIONS_LABEL = "--set"


class Merged(NamedTuple):
    """A checked model with each value as written and who set it."""

    model: ScenarioModel
    texts: Mapping[str, Any]
    given: Mapping[str, Given]


def merge(layers: Sequence[Layer]) -> Merged:
    """Lay files and options over the defaults, the later over the earlier, and check the result."""
    texts: dict[str, Any] = {key: defaults()[key].value for key in keys()}
    given = {key: Given(DEFAULT_LABEL, 0) for key in keys()}
    for rank, layer in enumerate(layers, start=1):
        changes = _with_pieces(texts, dict(_flat(layer)), layer.label)
        changes |= following(texts, changes)
        texts |= changes
        given |= dict.fromkeys(changes, Given(layer.label, rank))
    for first, second in EXCLUSIVE:
        # Said anew in the other way: what was inherited no longer holds.
        if 0 < given[first].rank < given[second].rank:
            texts[first], given[first] = defaults()[first].value, Given(DEFAULT_LABEL, 0)
    located = {key: Given(layers[g.rank - 1].at(key), g.rank) if g.rank else g for key, g in given.items()}
    _take_means(texts, given, located)
    written = read_faults(texts, located)
    model = _validate(texts, severities(written), located)
    check(model, located)
    check_currency(texts, located)
    if model.faults:
        _check_faults(model, located)
    model = with_measured(model, written, located)
    return Merged(model, texts, given)


def _with_pieces(before: Mapping[str, Any], changes: dict[str, Any], where: str) -> dict[str, Any]:
    """Return a layer's changes with those of single pieces put into the list of pieces."""
    single = {key: value for key, value in changes.items() if is_piece_key(key)}
    if not single:
        return changes
    rest = {key: value for key, value in changes.items() if key not in single}
    return rest | {PIECES: with_piece_values(rest.get(PIECES, before[PIECES]), single, where)}


def _take_means(texts: dict[str, Any], given: dict[str, Given], located: dict[str, Given]) -> None:
    """Let moisture and cotton of a load of pieces be their means, unless they are moved later."""
    try:
        pieces = read_pieces(texts[PIECES])
    except ValueError:
        return  # told by the checks
    for field in ("initial_moisture", "cotton_fraction") if pieces else ():
        key = f"load.{field}"
        if given[key].rank < given[PIECES].rank:
            texts[key] = f"{100.0 * mean(pieces, field)!r} %"
            given[key] = located[key] = Given(f"mean of {PIECES}", given[PIECES].rank)
        elif given[key].rank == given[PIECES].rank:
            message = f"is the mean of {PIECES}, each with its own {field}; give one of the two"
            raise InputError(message, located[key].label, key)


def _check_faults(model: ScenarioModel, given: Mapping[str, Given]) -> None:
    """Raise InputError, where the fault is set, if the machine cannot have it."""
    try:
        to_parameters(model)
    except InputError as problem:
        key = PREFIX + problem.key
        if key not in given:
            raise
        raise InputError(problem.message, given[key].label, key) from None


def _flat(layer: Layer) -> list[tuple[str, Any]]:
    """Return the layer's (dotted key, value) pairs; InputError on names the schema lacks."""
    pairs: list[tuple[str, Any]] = []
    for section, entries in layer.raw.items():
        _check_section(layer, section, entries)
        if section == META:
            _check_meta(layer, entries)
        else:
            pairs += [(f"{section}.{name}", value) for name, value in entries.items()]
    for key, _ in pairs:
        _require(key, layer.at(key))
    _check_spelt_once([key for key, _ in pairs], layer)
    return [(known_key(key), _word(known_key(key), value)) for key, value in pairs]


def _check_spelt_once(written: Sequence[str], layer: Layer) -> None:
    """Raise InputError if a key is there in both of its spellings."""
    for key in written:
        if known_key(key) != key and known_key(key) in written:
            raise InputError(f"is {known_key(key)} again; give one of the two", layer.at(key), key)


def _word(key: str, value: Any) -> Any:
    """Return the choice that a word stands for, any other value as it is."""
    words = isinstance(value, str) and not is_fault_key(key)
    return known_word(value, choices_of(key)) if words and choices_of(key) else value


def _require(key: str, where: str) -> None:
    """Raise InputError with the nearest names unless a file may hold this dotted key."""
    if is_fault_key(key):
        require_fault(key, where)
    else:
        require_key(key, where)


def _check_section(layer: Layer, section: str, entries: object) -> None:
    known = (META, *SECTIONS, FAULTS)
    if section not in known:
        message = f"unknown section{did_you_mean(section, known)}; sections: {', '.join(known)}"
        raise InputError(message, layer.label, section)
    if not isinstance(entries, Mapping):
        raise InputError(f"is a section, written [{section}] on a line of its own", layer.label, section)


def _check_meta(layer: Layer, entries: Mapping[str, Any]) -> None:
    for name, value in entries.items():
        key = f"{META}.{name}"
        if name not in META_KEYS:
            raise InputError(f"unknown key{did_you_mean(name, META_KEYS)}", layer.at(key), key)
        if not isinstance(value, str):
            raise InputError("is text in quotes", layer.at(key), key)


def require_key(key: str, where: str) -> None:
    """Raise InputError with the nearest names unless the schema has this dotted key."""
    if known_key(key) in keys():
        return
    if is_piece_key(key):
        split_piece_key(key, where)
        return
    name = key.rpartition(".")[2]
    elsewhere = [known for known in keys() if known.endswith("." + name)]
    near = f" (did you mean {', '.join(elsewhere)}?)" if elsewhere else did_you_mean(key, keys())
    raise InputError(f"unknown key{near}", where, key)


def _validate(
    texts: Mapping[str, Any], faults: Mapping[str, float], given: Mapping[str, Given]
) -> ScenarioModel:
    raw: dict[str, dict[str, Any]] = {section: {} for section in SECTIONS}
    for key, value in texts.items():
        section, name = key.split(".")
        if section != FAULTS:
            raw[section][name] = value
    raw[FAULTS] = dict(faults)
    try:
        return ScenarioModel.model_validate(raw)
    except ValidationError as problem:
        first = problem.errors(include_url=False)[0]
        key = ".".join(str(part) for part in first["loc"][:2])
        raise InputError(_message(key, texts[key], first["msg"]), given[key].label, key) from problem


def _message(key: str, value: object, text: str) -> str:
    """Say in a person's words what pydantic found."""
    if choices_of(key):
        shown = shortened(value)
        return f"is '{shown}'; choose {allowed(key)}{did_you_mean(shown, choices_of(key))}"
    if is_switch(key):
        return f"is '{shortened(value)}'; it is true or false, without quotes"
    return text.removeprefix("Value error, ")


def options_layer(overrides: Mapping[str, object] | Sequence[str]) -> Layer:
    """Turn "section.key=value" options into a layer; counts and truth values become plain."""
    pairs = overrides.items() if isinstance(overrides, Mapping) else map(_split, overrides)
    raw: dict[str, dict[str, Any]] = {}
    for key, value in pairs:
        _require(key, OPTIONS_LABEL)
        key = known_key(key)
        section, _, name = key.partition(".")
        raw.setdefault(section, {})[name] = value if is_fault_key(key) else _plain(key, value)
    return Layer(OPTIONS_LABEL, raw)


def faults_layer(faults: Sequence[str]) -> Layer:
    """Turn ``key``, ``key=severity`` and ``key=quantity`` options into a layer."""
    return Layer(FAULT_LABEL, {FAULTS: fault_texts(faults)} if faults else {})


def _split(item: str) -> tuple[str, str]:
    key, equals, value = item.partition("=")
    if not equals:
        raise InputError(
            f"'{shortened(item)}' is not section.key=value, e.g. 'load.dry_mass=10 lb'", OPTIONS_LABEL
        )
    return key.strip(), unquoted(value)


def _plain(key: str, value: object) -> object:
    """Read the text of an option as the type its key wants, as a file would hold it."""
    if not isinstance(value, str):
        return value
    rule = rule_of(key)
    if rule is not None and rule.kind == "count" and is_whole_number(value):
        return int(value)
    if is_switch(key) and value.lower() in ("true", "false"):
        return value.lower() == "true"
    return value
