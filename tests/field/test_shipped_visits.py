"""The visits that come with the program: our own inventions, each from a truth that stands only here."""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple

import pytest

from dryermodel.cycle.result import CycleResult
from dryermodel.field.evidence import Evidence
from dryermodel.field.visit import load_visit, shipped_visits
from dryermodel.readings.single import CycleReadings
from dryermodel.scenario.model import load_scenario
from dryermodel.scenario.run import simulate

MIXED = """
[scenario]
extends = "standard"
[load]
dry_mass = "8 lb"
[[load.pieces]]
kind = "towels"
share = "45 %"
[[load.pieces]]
kind = "shirts and sheets"
share = "55 %"
"""


class Truth(NamedTuple):
    settings: tuple[str, ...]
    faults: tuple[str, ...] = ()
    scenario: str = "standard"
    elsewhere: tuple[str, ...] = ()  # measurements that the model does not give


TRUTHS = {
    # a clear fault: three quarters of the duct blocked
    "slow_towels": Truth(
        ("load.dry_mass=9.5 lb", "load.initial_moisture=66 %", "room.temperature=70 degF"),
        ("vent_blockage=75 %",),
    ),
    # an ambiguous pair: little air before the blower, of screen or housing
    "weak_air": Truth(
        ("load.dry_mass=7.5 lb", "load.initial_moisture=60 %"), ("lint_screen_blocked=severity 0.75",)
    ),
    # two faults at once
    "slow_and_cool": Truth(
        ("load.dry_mass=8 lb", "room.temperature=68 degF"),
        ("vent_blockage=62 %", "weak_burner=78 %"),
    ),
    # a healthy machine, and a washer that spins badly
    "dripping_loads": Truth(("load.dry_mass=8 lb",), ("wash_spin_poor=severity 0.8",)),
    # a healthy machine, and a load of unlike pieces
    "towels_and_shirts": Truth(("controls.dryness=less dry",), (), "mixed"),
    # outside the catalogue: somebody put a second blower into the vent
    "strong_draught": Truth(
        ("load.dry_mass=8 lb", "air.fan_dead_head=3 in w.c.", "air.fan_free_delivery=420 cfm"),
        elsewhere=("vent static",),
    ),
    # mended, and measured again on the same load
    "vent_cleared": Truth(
        ("load.dry_mass=9 lb", "load.initial_moisture=62 %", "room.temperature=72 degF"),
        ("vent_blockage=72 %",),
    ),
}
MENDED = [name for name in TRUTHS if load_visit(name).work]
NUMBERS = {"mid_drying_hood_flow": "mid_drying_flow"}  # the same where no joint leaks


def run(truth: Truth, folder: Path) -> CycleResult:
    (folder / "mixed.toml").write_text(MIXED, encoding="utf-8")
    machine = folder / "mixed.toml" if truth.scenario == "mixed" else truth.scenario
    return simulate(load_scenario(machine, truth.settings, truth.faults))


def test_every_visit_has_its_truth() -> None:
    assert set(shipped_visits()) == set(TRUTHS)


@pytest.mark.parametrize("name", TRUTHS)
def test_measurements_are_what_the_truth_shows_within_the_instruments(name: str, tmp_path: Path) -> None:
    truth = TRUTHS[name]
    assert compared(load_visit(name).evidence(), truth, tmp_path) >= 3


@pytest.mark.parametrize("name", MENDED)
def test_measurements_after_the_work_are_those_without_what_it_names(name: str, tmp_path: Path) -> None:
    visit, truth = load_visit(name), TRUTHS[name]
    named = {job.fault for job in visit.work}
    left = tuple(fault for fault in truth.faults if fault.partition("=")[0] not in named)
    assert left != truth.faults
    assert compared(visit.evidence_after(), truth._replace(faults=left), tmp_path) >= 3


def compared(evidence: Evidence, truth: Truth, folder: Path) -> int:
    """How many measurements the truth gives, each within what the instrument is good for."""
    readings = CycleReadings(run(truth, folder))
    count = 0
    for one in evidence.measured:
        number = NUMBERS.get(one.number, one.number)
        if number in readings and one.name not in truth.elsewhere:
            value = readings[number]
            assert value is not None, one.name
            assert abs(one.value - value) < 3.0 * one.accuracy, one.name
            count += 1
    return count


@pytest.mark.parametrize("name", TRUTHS)
def test_a_visit_is_whole_and_tells_nothing_of_its_truth(name: str) -> None:
    visit = load_visit(name)
    assert visit.problems() == [] and visit.complaint and visit.evidence().seen
    assert visit.label == f"scenarios/visits/{name}.toml"
    before = visit.text.partition("[[work]]")[0]
    assert "#" not in before and not any(fault.partition("=")[0] in before for fault in TRUTHS[name].faults)
