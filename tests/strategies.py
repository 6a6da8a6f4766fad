"""Hypothesis strategies that more than one test module draws from."""

from __future__ import annotations

import re
from itertools import pairwise
from typing import Any

from hypothesis import strategies as st

from dryermodel.scenario.defaults import defaults
from dryermodel.scenario.pieces import PIECE_RULES, PIECES
from dryermodel.scenario.rules import Rule
from dryermodel.scenario.schema import choices_of, is_switch, keys, rule_of

Raw = dict[str, dict[str, Any]]

_ASCENDING = (
    ("machine", ("exhaust_cut_in", "exhaust_cut_out")),
    ("machine", ("high_limit_cut_in", "high_limit_cut_out", "thermal_cutoff")),
    ("burner", ("coil_recloses", "coil_opens")),
)
LEAST_DIFFERENTIAL_DEGF = 2.0
_GAS_OPTIONAL = ("heating_value", "specific_gravity", "water_per_energy", "air_per_energy")


def number_and_unit(text: str) -> tuple[float, str]:
    """Split "20 ft" as the schema's own ranges are written."""
    match = re.fullmatch(r"(\S+) ?(.*)", text)
    assert match is not None
    return float(match[1]), match[2]


def quantities(rule: Rule) -> st.SearchStrategy[str]:
    """Draw an admissible text of a rule: a quantity from its range, ends included, or a word."""
    (low, unit), (high, same) = number_and_unit(rule.low), number_and_unit(rule.high)
    assert unit == same, f"the range {rule.low} to {rule.high} mixes units"
    inside = st.floats(low, high).map(lambda number: f"{number!r} {unit}".strip())
    ends = st.sampled_from([rule.low, rule.high, *rule.words])
    return st.one_of(inside, inside, ends)


def values(key: str) -> st.SearchStrategy[Any]:
    """Draw an admissible value of a key by itself."""
    rule = rule_of(key)
    if rule is not None and rule.kind == "count":
        return st.integers(int(rule.low), int(rule.high))
    if rule is not None:
        return quantities(rule)
    if key == PIECES:
        return loads()
    if is_switch(key):
        return st.booleans()
    return st.sampled_from(choices_of(key)) if choices_of(key) else interruptions()


@st.composite
def loads(draw: st.DrawFn) -> list[dict[str, Any]]:
    """Draw a load of up to four kinds of cloth."""
    parts = draw(st.lists(st.integers(1, 100), max_size=4))
    fields = [name for name in PIECE_RULES if name != "share"]
    return [
        {"name": f"cloth {i}", "share": f"{100.0 * part / sum(parts)!r} %"}
        | {
            name: draw(quantities(PIECE_RULES[name]))
            for name in sorted(draw(st.sets(st.sampled_from(fields))))
        }
        for i, part in enumerate(parts)
    ]


@st.composite
def interruptions(draw: st.DrawFn) -> list[dict[str, str]]:
    """Draw door, start and mains events in an order that can be."""
    minutes = sorted(draw(st.lists(st.integers(0, 240), max_size=6, unique=True)))
    door, power = ["door opened", "door closed"], ["power cut", "power back"]
    events = []
    for at in minutes:
        what = draw(st.sampled_from([door[0], power[0], "start pressed"]))
        events.append({"at": f"{at} min", "what": what})
        for pair in (door, power):
            if what == pair[0]:
                pair.reverse()
    return events


def _as_degrees(text: str) -> float:
    """Return a number that orders temperatures written in degF, with "never" above all."""
    return float("inf") if text == "never" else number_and_unit(text)[0]


def _repair(raw: Raw) -> Raw:
    """Take away what contradicts the rest, so that the whole is admissible."""
    for section, names in _ASCENDING:
        _put_in_order(raw[section], names)
    if raw["controls"].get("heat") == "low":
        raw["machine"]["low_heat_in_auto"] = True
    if raw["gas"].get("kind") == "custom" and any(
        raw["gas"].get(name, "none") == "none" for name in _GAS_OPTIONAL
    ):
        del raw["gas"]["kind"]
    if raw["room"].get("pressure", "none") != "none":
        raw["room"].pop("altitude", None)
    if raw["burner"].get("orifice", "none") != "none":
        raw["burner"].pop("firing_rate", None)
    _start_wetter_than_it_stops(raw)
    if raw["machine"].get("heat") == "electric":
        raw["gas"].clear()
        raw["burner"] = {name: raw["burner"][name] for name in ("heater_power",) if name in raw["burner"]}
    else:
        raw["burner"].pop("heater_power", None)
    return raw


def _start_wetter_than_it_stops(raw: Raw) -> None:
    """Drop a stop that is not below the initial moisture drawn, or the default one."""
    stop = raw["controls"].get("stop_at_moisture", "none")
    if raw["load"].get("pieces"):
        raw["load"].pop("initial_moisture", None)
        raw["load"].pop("cotton_fraction", None)
        raw["controls"].pop("stop_at_moisture", None)
        return
    start = raw["load"].get("initial_moisture", defaults()["load.initial_moisture"].value)
    if stop != "none" and number_and_unit(stop)[0] >= number_and_unit(start)[0]:
        del raw["controls"]["stop_at_moisture"]


def _put_in_order(entries: dict[str, Any], names: tuple[str, ...]) -> None:
    """Sort set points that must ascend; drop them if not all are given or two are too close."""
    given = sorted((entries[name] for name in names if name in entries), key=_as_degrees)
    degrees = [_as_degrees(text) for text in given]
    apart = all(high > low + LEAST_DIFFERENTIAL_DEGF for low, high in pairwise(degrees))
    complete = len(given) == len(names) and apart
    for name in names:
        entries.pop(name, None)
    if complete:
        entries.update(zip(names, given, strict=True))


@st.composite
def scenarios(draw: st.DrawFn, skip: tuple[str, ...] = ()) -> Raw:
    """Draw an admissible scenario as the raw sections of a file, from the schema's own ranges.

    Some draws give a few keys and leave the rest at their defaults, some give nearly all.

    Parameters
    ----------
    skip : tuple of str
        Dotted keys that keep their default, for tests that have no use for them.
    """
    available = [key for key in keys() if key not in skip]
    few = st.lists(st.sampled_from(available), max_size=12, unique=True)
    chosen = draw(st.one_of(few, st.just(available)))
    raw: Raw = {key.split(".")[0]: {} for key in keys()}
    for key in sorted(chosen, key=keys().index):
        section, name = key.split(".")
        raw[section][name] = draw(values(key))
    return _repair(raw)
