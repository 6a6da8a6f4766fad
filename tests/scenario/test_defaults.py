"""The one file of defaults: complete, readable, honest about status."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from dryermodel.scenario.defaults import STATUSES, defaults
from dryermodel.scenario.merge import merge
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

PACKAGE = Path(__file__).parents[2] / "dryermodel"


def test_every_key_has_exactly_one_default_and_every_default_a_key() -> None:
    assert sorted(defaults()) == sorted(keys())


def test_sections_are_those_of_the_model() -> None:
    assert tuple(ScenarioModel.model_fields) == (*SECTIONS, FAULTS)
    assert {key.split(".")[0] for key in keys()} == set(SECTIONS)


@pytest.mark.parametrize("key", keys())
def test_entry_says_what_it_is_and_where_it_comes_from(key: str) -> None:
    entry = defaults()[key]
    assert entry.status in STATUSES
    assert 5 < len(entry.about) < 120
    assert len(entry.source) > 5
    assert "\n" not in entry.about + entry.source


@pytest.mark.parametrize("key", keys())
def test_entry_has_no_other_parts(key: str) -> None:
    text = (PACKAGE / "scenario" / "defaults.toml").read_text(encoding="utf-8")
    block = re.search(rf"^\[{re.escape(key)}\]\n(.*?)(?=^\[|\Z)", text, re.S | re.M)
    assert block is not None
    names = set(re.findall(r"^(\w+) =", block[1], re.M))
    assert names - {"named"} == {"value", "about", "source", "status"}


@pytest.mark.parametrize("key", keys())
def test_published_values_name_something_that_can_be_looked_up(key: str) -> None:
    entry = defaults()[key]
    if entry.status == "published":
        assert "from memory" not in entry.source
    if "from memory" in entry.source:
        assert entry.status == "assumed"


def test_the_defaults_alone_are_a_valid_scenario() -> None:
    merged = merge([])
    assert set(merged.texts) == set(keys())
    assert all(who.rank == 0 for who in merged.given.values())


def test_schema_holds_no_default_values() -> None:
    for section in SECTIONS:
        model = ScenarioModel.model_fields[section].annotation
        assert model is not None
        assert all(field.is_required() for field in model.model_fields.values())


@pytest.mark.parametrize("key", [k for k in keys() if k not in ("controls.interruptions", "load.pieces")])
def test_every_key_says_what_is_allowed(key: str) -> None:
    rule = rule_of(key)
    if rule is None:
        assert is_switch(key) or len(choices_of(key)) > 1
    elif rule.kind != "count":
        low, high = rule.bounds()
        assert low < high
    assert allowed(key)


def test_named_roughness_rises_from_rigid_to_foil() -> None:
    named = defaults()["vent.roughness"].named
    rigid, flexible, foil = (merge_one("vent", "roughness", word) for word in ("rigid", "flexible", "foil"))
    assert set(named) == {"rigid", "flexible", "foil"}
    # ASHRAE Fundamentals ch. 21 duct chart: 0.09 mm rigid; foil 1.2 to 2.1 mm.
    assert rigid == pytest.approx(0.09e-3)
    assert rigid < flexible < foil <= 2.1e-3 * (1 + 1e-12)


def merge_one(section: str, name: str, value: str) -> float:
    from dryermodel.scenario.files import Layer

    model = merge([Layer("test", {section: {name: value}})]).model
    return float(getattr(getattr(model, section), name))
