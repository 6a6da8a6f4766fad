"""Loads of unlike pieces in words: who is named, in which order, and when something is called damp."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from dryermodel.cycle.engine import state as Y
from dryermodel.cycle.result import CycleResult
from dryermodel.findings.ending import WET
from dryermodel.findings.pieces import APART, DAMP, pieces_left
from dryermodel.findings.statements import findings
from dryermodel.scenario.model import load_scenario
from dryermodel.scenario.run import simulate
from tests.plain import Cycles

NAMES = ("shirts", "mixed cloth", "jeans")
THICK = {"jeans"}  # exposure below that of the test cloth


@cache
def family(*overrides: str) -> CycleResult:
    return simulate(load_scenario("family_load", list(overrides)))


def ended_with(*moistures: float) -> CycleResult:
    """The family load as if its kinds had ended with these moistures."""
    from dataclasses import replace

    final = np.array(family().final)
    for i, moisture in enumerate(moistures):
        final[Y.MOISTURE + Y.PER_PIECE * i] = moisture
    return replace(family(), final=final)


@pytest.mark.parametrize(
    "moistures", [(0.01, 0.02, 0.3), (0.3, 0.02, 0.01), (0.02, 0.3, 0.01), (0.0, 0.0, 0.0)]
)
def test_every_kind_is_named_in_order_of_the_file_but_the_wettest_last(moistures: tuple[float, ...]) -> None:
    wettest = int(np.argmax(moistures))
    told = pieces_left(ended_with(*moistures)).partition(":")[0].split(", ")
    order = [i for i in range(3) if i != wettest] + [wettest]
    assert told == [f"{NAMES[i]} {100 * moistures[i]:.0f} %" for i in order]


@pytest.mark.parametrize("wettest", range(3))
@pytest.mark.parametrize(
    ("moisture", "word"),
    [(DAMP, ""), (DAMP + 1e-9, "damp"), (WET, "damp"), (WET + 1e-9, "wet"), (0.6, "wet")],
)
def test_damp_and_wet_are_said_above_their_moisture_only(wettest: int, moisture: float, word: str) -> None:
    """Seams are what is damp in cloth that is thicker than the test cloth."""
    left = [moisture if i == wettest else 0.5 * DAMP for i in range(3)]
    verdict = pieces_left(ended_with(*left)).partition(": ")[2]
    assert verdict == (f"{word} seams" if word == "damp" and NAMES[wettest] in THICK else word)


def test_damp_is_above_what_cotton_holds_in_room_air() -> None:
    """7 to 8 % at 65 % RH and 20 degC: Morton & Hearle, Physical Properties of Textile Fibres, 2008."""
    assert 0.08 < DAMP < WET


def test_a_load_of_one_kind_says_nothing_of_pieces(cycle: Cycles) -> None:
    assert pieces_left(cycle()) == ""
    assert not [text for text in findings(cycle()) if "pieces" in text]


def test_the_first_cut_out_is_told_by_kind_where_they_are_apart() -> None:
    (told,) = [text for text in findings(family()) if "dry unlike" in text]
    for piece in family().pieces:
        assert piece.moisture_at_first_cut_out is not None
        assert f"{piece.name} {100 * piece.moisture_at_first_cut_out:.0f} %" in told
    assert pieces_left(family()) in told and "dryness setting" in told


def test_kinds_that_dry_alike_and_a_thermostat_that_stays_closed_have_no_such_finding() -> None:
    alike = family(*(f"load.pieces.{name}.{value}" for name in NAMES for value in SAME))
    held = [piece.moisture_at_first_cut_out for piece in alike.pieces]
    assert max(x or 0.0 for x in held) - min(x or 0.0 for x in held) < APART
    closed = family("machine.exhaust_thermostat=stuck closed", "controls.time_limit=20 min")
    for result in (alike, closed):
        assert not [text for text in findings(result) if "dry unlike" in text]


SAME = ("exposure=1", "initial_moisture=57.5 %", "cotton_fraction=50 %")


def test_the_dryness_setting_is_named_only_where_it_decides() -> None:
    timed = family("controls.program=timed", "controls.timed_length=40 min")
    (told,) = [text for text in findings(timed) if "dry unlike" in text]
    assert "dryness" not in told
