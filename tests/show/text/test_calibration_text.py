"""A calibration's page: what it says of chances, pairs, starts, and of what is not there."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from dryermodel.field.evidence import gather
from dryermodel.inference.calibration import calibrate
from dryermodel.inference.fit_result import Calibration, Start
from dryermodel.scenario.model import load_scenario
from dryermodel.show.text import calibration as show
from dryermodel.show.text.columns import WIDEST

KEYS = ["load.dry_mass", "load.initial_moisture", "machine.exhaust_cut_in", "room.relative_humidity"]


@pytest.fixture(scope="module")
def found() -> Calibration:
    known = gather(["start weight=13 lb", "room humidity=44 %"], ["drum turns"])
    return calibrate(load_scenario("standard"), known, keys=KEYS, starts=1)


def starts(found: Calibration, *ends: tuple[float, float]) -> str:
    """What is said of starts with these costs, each so many of its spreads from the first in one value."""
    sd = float(np.sqrt(found.covariance[0, 0]))
    move = np.array([sd, 0.0, 0.0, 0.0])
    made = tuple(Start(cost, found.starts[0].point + apart * move) for cost, apart in ends)
    return " ".join(show.closing(replace(found, starts=made), "1.2.3")).replace("\n", " ")


def test_lines_are_no_wider_than_a_page(found: Calibration) -> None:
    lines = [
        *show.heading(found), *show.verdict(found), *show.undetermined_lines(found), *show.pair_lines(found),
        *show.closing(found, "1.2.3"),
    ]  # fmt: skip
    assert max(map(len, lines)) <= WIDEST and all(lines)


def test_a_pair_says_which_way_it_goes(found: Calibration) -> None:
    (line,) = show.pair_lines(found)
    assert "mass of the dry cloth" in line and "one higher and the other lower" in line
    pair = found.pairs[0]
    turned = replace(found)
    turned.__dict__["pairs"] = [pair._replace(correlation=-pair.correlation)]
    assert "both higher or both lower" in show.pair_lines(turned)[0]


def test_starts_that_agree_and_that_do_not(found: Calibration) -> None:
    assert "from one start" in starts(found, (1.0, 0.0))
    assert "2 of 2 starts ended in fits as good as the best, and at the same values" in starts(
        found, (1.0, 0.0), (1.1, 0.01)
    )
    told = starts(found, (1.0, 0.0), (1.4, 1.0), (1.6, 9.0))
    assert "2 of 3 starts" in told and "mass of the dry cloth differs most, by 1.0 of its own spread" in told
    assert "Only 1 of 2 starts" in starts(found, (1.0, 0.0), (1.6, 0.0))


def test_answers_are_said_to_play_no_part(found: Calibration) -> None:
    told = "\n".join(show.closing(found, "1.2.3"))
    assert "yes/no" in told
    silent = replace(found, evidence=gather(["start weight=13 lb"], []))
    assert "yes/no" not in "\n".join(show.closing(silent, "1.2.3"))


def test_a_set_point_is_called_by_what_it_is(found: Calibration) -> None:
    told = "\n".join(show.undetermined_lines(found))
    assert "exhaust thermostat closes at" in told and "2 of 4 values are not determined" in told


def test_nothing_determined_and_nothing_left_are_both_said(found: Calibration) -> None:
    nothing = replace(found, fitted=tuple(f._replace(left=1.0) for f in found.fitted))
    assert show.undetermined_lines(nothing)[0].startswith("None of the values is determined")
    assert show.value_table(nothing)[1] == []
    everything = replace(found, fitted=tuple(f._replace(left=0.2) for f in found.fitted))
    assert "every value" in show.undetermined_lines(everything)[0]


def test_a_reading_that_is_not_there_is_named(found: Calibration) -> None:
    first = found.compared[0]._replace(after=float("nan"))
    missing = replace(found, compared=(first, *found.compared[1:]))
    told = "\n".join(show.verdict(missing))
    assert "WARNING" in told and "shows no start weight at all" in told and show.MISLEADING in told
    assert show.measured_table(missing)[1][0][3].strip() == "shows none"


@pytest.mark.parametrize(
    ("share", "told"), [(0.9996, "100 %"), (0.456, "46 %"), (0.0123, "1.2 %"), (0.0009, "below 0.1 %")]
)
def test_chances_are_told_in_percent(
    found: Calibration, share: float, told: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(Calibration, "chance", share)
    assert f"chance {told}" in " ".join(show.verdict(found))
