"""The visits that come with the program: our own inventions, each from a truth that stands only here."""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple

import numpy as np
import pytest

from dryermodel.cycle.run.many import as_rows, simulate_many
from dryermodel.field.evidence import Evidence
from dryermodel.field.visit import load_visit, shipped_visits
from dryermodel.inference.bank import Batch, pressures_of
from dryermodel.inference.likelihood import number_of, share_yes
from dryermodel.inference.numbers import Machines, numbers_of
from dryermodel.inference.priors import Hypothesis
from dryermodel.scenario.model import Scenario, load_scenario

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
    elsewhere: tuple[str, ...] = ()  # measurements that show it is outside the catalogue


FAR = 5.0
"""Errors of the instrument by which a reading from outside the catalogue misses what the model shows."""

UNSAID = ("manifold_pressure", "supply_pressure")
"""Numbers that a truth's machine alone does not tell."""

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


def machine_of(truth: Truth, folder: Path) -> Scenario:
    (folder / "mixed.toml").write_text(MIXED, encoding="utf-8")
    machine = folder / "mixed.toml" if truth.scenario == "mixed" else truth.scenario
    return load_scenario(machine, truth.settings, truth.faults)


def shown_by(machine: Scenario, usual: Scenario) -> Batch:
    """Every number of one machine, beside the usual one that some of them are relative to."""

    def numbers(one: Scenario, healthy: dict[str, float] | None) -> dict[str, np.ndarray]:
        rows = as_rows([one.to_parameters()])
        out, sound = simulate_many(rows, interruptions=one.interruptions()), np.ones(1)
        return numbers_of(Machines(rows, out, sound, sound, sound), healthy, *pressures_of(usual))

    healthy = {name: float(v[0]) for name, v in numbers(usual.with_faults({}), None).items()}
    severities = np.zeros((1, 2))
    severities[0, : len(machine.faults)] = list(machine.faults.values())
    return Batch(np.zeros(1, dtype=np.int64), np.zeros((1, 0)), severities, numbers(machine, healthy))


def test_every_visit_has_its_truth() -> None:
    assert set(shipped_visits()) == set(TRUTHS)


@pytest.mark.parametrize("name", TRUTHS)
def test_every_reading_and_answer_is_what_the_truth_shows(name: str, tmp_path: Path) -> None:
    visit, truth = load_visit(name), TRUTHS[name]
    require_alike(visit.evidence(), truth, machine_of(truth, tmp_path), visit.scenario)


@pytest.mark.parametrize("name", MENDED)
def test_readings_after_the_work_are_those_without_what_it_names(name: str, tmp_path: Path) -> None:
    visit, truth = load_visit(name), TRUTHS[name]
    named = {job.fault for job in visit.work}
    left = tuple(fault for fault in truth.faults if fault.partition("=")[0] not in named)
    assert left != truth.faults
    mended = truth._replace(faults=left)
    require_alike(visit.evidence_after(), mended, machine_of(mended, tmp_path), visit.scenario)


def require_alike(evidence: Evidence, truth: Truth, machine: Scenario, usual: Scenario) -> None:
    """Every measurement within three errors, and all of them scattered as their errors say.

    What is outside the catalogue must be far off: a reading named as such that the model does show has no
    place among them.
    """
    shown, off = shown_by(machine, usual), {}
    for one in evidence.measured:
        assert one.number not in UNSAID, one.name
        off[one.name] = (one.value - float(number_of(shown.numbers, one.number)[0])) / one.accuracy
    beyond = {name for name, errors in off.items() if not abs(errors) < 3.0}
    assert beyond == set(truth.elsewhere), {name: round(off[name], 1) for name in beyond}
    assert all(abs(off[name]) > FAR for name in truth.elsewhere)
    inside = [errors for name, errors in off.items() if name not in truth.elsewhere]
    assert len(inside) >= 3 and np.sqrt(np.mean(np.square(inside))) < 1.5
    hypothesis = Hypothesis(tuple(machine.faults), 1.0)
    for seen in evidence.seen:
        yes = float(share_yes(seen.observation, shown, [hypothesis])[0])
        assert (yes if seen.yes else 1.0 - yes) > 0.3, seen.name


@pytest.mark.parametrize("name", TRUTHS)
def test_a_visit_is_whole_and_tells_nothing_of_its_truth(name: str) -> None:
    visit = load_visit(name)
    assert visit.problems() == [] and visit.complaint and visit.evidence().seen
    assert visit.label == f"scenarios/visits/{name}.toml"
    before = visit.text.partition("[[work]]")[0]
    assert "#" not in before and not any(fault.partition("=")[0] in before for fault in TRUTHS[name].faults)
