"""The gas input beside the rating plate's: said when it is off, with the cautions, and only then."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from typer.testing import CliRunner

from dryermodel.cli import app
from dryermodel.cycle.result import CycleResult
from dryermodel.findings.statements import CAUTIONS, findings

Cycles = Callable[..., CycleResult]

PLATE = 22000.0 * 0.29307107
"""22000 Btu/h in W, of the standard machine."""


@pytest.mark.parametrize(
    ("overrides", "said"),
    [
        (
            ("gas.kind=propane",),
            "33937 Btu/h, 54 % above the 22000 Btu/h of the rating plate: it is overfired",
        ),
        (
            ("gas.manifold_pressure=2 inH2O",),
            "24 % below the 22000 Btu/h of the rating plate: it is underfired",
        ),
        (
            ("room.altitude=6000 ft",),
            "10 % below the 22000 Btu/h of the rating plate. The lower air pressure",
        ),
        (
            ("room.altitude=6000 ft", "gas.kind=propane"),
            "(the lower air pressure here alone would make it 19694 Btu/h): it is overfired",
        ),
    ],
)
def test_an_input_off_the_plate_is_said_with_the_gas_caution(
    cycle: Cycles, overrides: tuple[str, ...], said: str
) -> None:
    result = cycle(*overrides)
    text = " ".join(findings(result, rated_input=PLATE))
    assert said in text and CAUTIONS["gas"] in text
    assert (CAUTIONS["co"] in text) is ("gas.kind=propane" in overrides)
    assert "rating plate" not in " ".join(findings(result))


@pytest.mark.parametrize("overrides", [(), ("machine.heat=electric",), ("burner.orifice_open_area=0 %",)])
def test_an_input_on_the_plate_is_not_worth_a_word(cycle: Cycles, overrides: tuple[str, ...]) -> None:
    if "burner.orifice_open_area=0 %" in overrides:
        overrides = (*overrides, "controls.time_limit=20 min")
    assert "rating plate" not in " ".join(findings(cycle(*overrides), rated_input=PLATE))


def test_five_percent_of_the_plate_is_the_limit(cycle: Cycles) -> None:
    rate = cycle().parameters.firing_rate
    for factor, off in ((1.04, False), (1.06, True), (0.96, False), (0.94, True)):
        text = " ".join(findings(cycle(), rated_input=rate / factor))
        assert ("rating plate" in text) is off, factor


def test_an_overfired_burner_is_why_the_high_limit_trips(cycle: Cycles) -> None:
    text = " ".join(findings(cycle("gas.kind=propane"), rated_input=PLATE))
    assert "The high limit opened 9 times" in text and "the burner is overfired, see the gas input" in text


@pytest.mark.parametrize("form", [(), ("--json",)])
def test_the_command_knows_the_plate(form: tuple[str, ...]) -> None:
    done = CliRunner().invoke(app, ["simulate", "standard", "--set", "gas.kind=propane", *form])
    assert done.exit_code == 0
    assert "22000 Btu/h of the rating plate" in " ".join(done.stdout.split())


def test_a_burner_short_of_primary_air_is_a_danger_that_no_number_shows(cycle: Cycles) -> None:
    said = findings(cycle("burner.primary_air=60 %"), rated_input=PLATE)
    assert "60 % of its primary air" in said[0] and CAUTIONS["co"] in said[0] and CAUTIONS["gas"] in said[0]
    fine = findings(cycle("burner.primary_air=80 %"), rated_input=PLATE)
    assert not any("primary air" in text for text in fine)
