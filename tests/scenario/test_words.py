"""Words of the trade and other spellings of keys stand for the schema's own."""

from __future__ import annotations

from pathlib import Path

import pytest

from dryermodel.errors import InputError
from dryermodel.scenario import load_scenario
from dryermodel.scenario.files import line_of
from dryermodel.scenario.schema import choices_of, keys, rule_of
from dryermodel.scenario.words import KEY_SPELLINGS, known_key, known_word
from dryermodel.studies.sweep.vary import read_all, read_vary


@pytest.mark.parametrize("word", ["LP", "LPG", "lpg", "LP gas", "Propane", "PROPANE"])
def test_lp_is_propane(word: str) -> None:
    said = load_scenario("standard", [f"gas.kind={word}"])
    assert said.hash == load_scenario("standard", ["gas.kind=propane"]).hash
    assert said.texts["gas.kind"] == "propane"


@pytest.mark.parametrize("word", ["louver", "Louvered", "louvre", "LOUVERS"])
def test_a_louvered_hood(word: str) -> None:
    louvered = load_scenario("standard", [f"vent.hood_loss={word}"])
    assert louvered.hash == load_scenario("standard", ["vent.hood_loss=1.5"]).hash
    assert louvered.hash != load_scenario("standard", ["vent.hood_loss=flap"]).hash


def test_capitals_make_no_difference_in_any_word() -> None:
    for key in keys():
        for word in choices_of(key):
            assert known_word(word.upper(), choices_of(key)) == word
        rule = rule_of(key)
        for word in rule.words if rule else ():
            assert known_word(word.title(), rule.words if rule else ()) == word


def test_a_currency_in_small_letters() -> None:
    said = load_scenario("standard", ["costs.currency=usd", "costs.gas_price=2 usd/therm"])
    assert said.hash == load_scenario("standard", ["costs.gas_price=2 USD/therm"]).hash
    with pytest.raises(InputError, match=r"is in eur, but costs\.currency is 'USD'"):
        load_scenario("standard", ["costs.gas_price=2 eur/therm"])


def test_a_word_stands_only_for_a_choice_there_is() -> None:
    assert known_word("lp", ("gas", "electric")) == "lp"
    with pytest.raises(InputError, match="is 'LP'; choose 'gas' or 'electric'"):
        load_scenario("standard", ["machine.heat=LP"])


@pytest.mark.parametrize(("key", "other"), sorted(KEY_SPELLINGS.items()))
def test_the_other_spelling_of_a_key(key: str, other: str, tmp_path: Path) -> None:
    rule = rule_of(key)
    assert rule is not None and known_key(other) == key
    section, name = other.split(".")
    path = tmp_path / "mine.toml"
    path.write_text(f"[{section}]\n{name} = '{rule.high}'", encoding="utf-8")
    same = load_scenario("standard", [f"{key}={rule.high}"])
    assert load_scenario(path).hash == same.hash == load_scenario("standard", [f"{other}={rule.high}"]).hash
    assert line_of(path.read_text(encoding="utf-8"), key) == 2
    assert read_vary(f"{other}={rule.low}:{rule.high}:3").key == key
    with pytest.raises(InputError, match="is varied, and set"):
        read_all([f"{other}={rule.low}:{rule.high}:3"], [f"{key}={rule.high}"])


def test_both_spellings_at_once_are_refused(tmp_path: Path) -> None:
    path = tmp_path / "mine.toml"
    path.write_text("[air]\nnatural_draft = '1 g/s'\nnatural_draught = '2 g/s'", encoding="utf-8")
    with pytest.raises(
        InputError, match=r"natural_draft: is air\.natural_draught again; give one of the two"
    ):
        load_scenario(path)
