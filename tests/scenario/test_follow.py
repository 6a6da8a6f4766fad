"""A cut-out set alone keeps the differential, wherever it is set."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dryermodel.errors import InputError
from dryermodel.scenario import load_scenario
from dryermodel.scenario.follow import FOLLOWS, following
from dryermodel.studies.sweep.plan import plan_sweep
from dryermodel.studies.uncertainty.uncertain import maker_of, uncertain_from

PAIRS = sorted(FOLLOWS.items())
PARAMETERS = {
    "machine.exhaust_cut_out": ("cut_out", "cut_in"),
    "machine.high_limit_cut_out": ("high_limit_cut_out", "high_limit_cut_in"),
}


def differential(settings: list[str], cut_out: str) -> float:
    made = load_scenario("standard", settings).to_parameters()
    upper, lower = PARAMETERS[cut_out]
    return float(getattr(made, upper) - getattr(made, lower))


@pytest.mark.parametrize(("cut_out", "cut_in"), PAIRS)
def test_cut_out_alone_keeps_todays_differential(cut_out: str, cut_in: str) -> None:
    today = differential([], cut_out)
    for value in ("190 degF", "88 degC"):
        assert differential([f"{cut_out}={value}"], cut_out) == pytest.approx(today, abs=1e-6)


@pytest.mark.parametrize(("cut_out", "cut_in"), PAIRS)
def test_both_set_are_both_as_set(cut_out: str, cut_in: str) -> None:
    for settings in (
        [f"{cut_out}=190 degF", f"{cut_in}=180 degF"],
        [f"{cut_in}=180 degF", f"{cut_out}=190 degF"],
    ):
        assert differential(settings, cut_out) == pytest.approx(10 / 1.8)


@pytest.mark.parametrize(("cut_out", "cut_in"), PAIRS)
def test_cut_in_alone_moves_nothing_else(cut_out: str, cut_in: str) -> None:
    upper = PARAMETERS[cut_out][0]
    moved = load_scenario("standard", [f"{cut_in}=130 degF"]).to_parameters()
    assert getattr(moved, upper) == getattr(load_scenario("standard").to_parameters(), upper)


def test_each_file_and_the_options_follow_in_turn(tmp_path: Path) -> None:
    (tmp_path / "wide.toml").write_text(
        "[machine]\nexhaust_cut_out = '150 degF'\nexhaust_cut_in = '125 degF'", encoding="utf-8"
    )
    mine = tmp_path / "mine.toml"
    mine.write_text(
        "[scenario]\nextends = 'wide.toml'\n[machine]\nexhaust_cut_out = '160 degF'", encoding="utf-8"
    )
    assert load_scenario(mine).texts["machine.exhaust_cut_in"] == "135 degF"
    assert (
        load_scenario(mine, ["machine.exhaust_cut_out=140 degF"]).texts["machine.exhaust_cut_in"]
        == "115 degF"
    )


@given(st.floats(80.0, 290.0), st.floats(2.0, 50.0), st.floats(80.0, 290.0))
def test_differential_is_kept_to_rounding(old: float, apart: float, new: float) -> None:
    key = "machine.exhaust_cut_out"
    before = {key: f"{old!r} degF", FOLLOWS[key]: f"{old - apart!r} degF"}
    moved = following(before, {key: f"{new!r} degF"})
    assert new - float(moved[FOLLOWS[key]].removesuffix(" degF")) == pytest.approx(apart, abs=1e-5)


def test_what_cannot_be_read_is_refused_as_before() -> None:
    assert following({}, {"vent.length": "20 ft"}) == {}
    with pytest.raises(InputError, match=r"machine\.exhaust_cut_out: unknown unit"):
        load_scenario("standard", ["machine.exhaust_cut_out=155 degX"])


@pytest.mark.parametrize(("cut_out", "cut_in"), PAIRS)
def test_a_varied_cut_out_takes_its_cut_in_along(cut_out: str, cut_in: str) -> None:
    upper, lower = PARAMETERS[cut_out]
    today = differential([], cut_out)
    vary = [f"{cut_out}=170:200 degF:4"]
    sweep = plan_sweep(load_scenario("standard"), vary)
    drawn = maker_of(load_scenario("standard"), uncertain_from([f"{cut_out}=170:200 degF"]))
    for kelvin in (350.0, 366.0):
        for made in (sweep.maker([kelvin]), drawn([kelvin])):
            assert getattr(made, upper) == kelvin
            assert kelvin - getattr(made, lower) == pytest.approx(today, abs=1e-6)


def test_a_cut_in_that_is_set_or_varied_beside_it_stays() -> None:
    vary, setting = "machine.exhaust_cut_out=160:170 degF:2", "machine.exhaust_cut_in=130 degF"
    sweep = plan_sweep(load_scenario("standard", [setting]), [vary], settings=[setting])
    fixed = load_scenario("standard", [setting]).to_parameters().cut_in
    assert [sweep.maker([t]).cut_in for t in (344.0, 349.0)] == [fixed, fixed]
    both = plan_sweep(load_scenario("standard"), [vary, "machine.exhaust_cut_in=120:130 degF:2"])
    assert both.maker([344.0, 325.0]).cut_in == 325.0
    assert plan_sweep(load_scenario("standard"), [vary]).identity() != sweep.identity()


def test_degrees_without_a_scale_follow_as_they_are_read() -> None:
    """On an exhaust thermostat they are Fahrenheit by its range, for the cut-out and what follows it."""
    before = {"machine.exhaust_cut_out": "155 degF", "machine.exhaust_cut_in": "140 degF"}
    assert following(before, {"machine.exhaust_cut_out": "165 degrees"}) == {
        "machine.exhaust_cut_in": "150 degF"
    }
