"""The page's healthy cycle and faults: the same machines and figures as the program's."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from dryermodel.cycle.engine.parameters import Parameters
from dryermodel.cycle.run.many import simulate_many
from dryermodel.readings import quantities as Q
from dryermodel.readings.rows import column
from dryermodel.scenario.fault_search import search
from dryermodel.scenario.faults import apply_faults, catalogue
from dryermodel.scenario.files import shipped_scenarios
from dryermodel.scenario.model import load_scenario
from dryermodel.show.pages.pocket.machines import CONTROLS, FIGURES
from dryermodel.vocabulary import READINGS
from tests.cycle.node import needs_node
from tests.show.pages.pocket_node import in_page

SEVERITIES = (0.07, 0.5, 1.0)
BROKEN = [(key, s) for key, fault in catalogue().items() for s in (SEVERITIES if fault.graded else (1.0,))]

SETTINGS: dict[str, dict[str, str]] = {
    "standard": {"load.dry_mass": "12 lb", "vent.elbows": "5", "vent.length": "40 ft"},
    "family_load": {"load.initial_moisture": "80 %", "room.temperature": "50 degF"},
    "electric": {"room.relative_humidity": "70 %"},
}

_BROKEN = """
const machine = machines.byName.standard;
const answer = given.question.map(([key, severity]) => ({
  p: machines.broken(machine.parameters, key, severity),
  said: machines.said(machines.faults[key], severity),
}));
"""
_SETTLED = """
const answer = given.question.map(([name, values]) => machines.settled(machines.byName[name], values));
"""
_FIGURES = """
const entries = given.data.figures;
const answer = given.question.map((p) => {
  const out = dryerEngine.runCycle(p);
  const per = (out.gas_energy_J + out.electric_energy_J) / out.water_removed_kg;
  const value = (entry) => (entry.column ? out[entry.column] : per);
  return ["trade", "metric"].map((how) => entries.map((entry) => pocket.number(value(entry), entry[how])));
});
"""


def agree(told: dict[str, Any], usual: Parameters) -> None:
    """Every parameter is the same, to rounding of exponentials."""
    assert set(told) == set(usual._fields)
    for name, value in usual._asdict().items():
        assert np.asarray(told[name]) == pytest.approx(np.asarray(value), rel=1e-12, abs=1e-300), name


@needs_node
def test_every_fault_moves_what_it_moves_in_the_program() -> None:
    """Each at three severities, and its severity in the same words."""
    sound = load_scenario("standard").to_parameters()
    for (key, s), told in zip(BROKEN, in_page(_BROKEN, BROKEN), strict=True):
        agree(told["p"], apply_faults(sound, {key: s}))
        assert told["said"] == catalogue()[key].said(s), key


@needs_node
def test_settings_of_the_sliders() -> None:
    scenarios = {
        name: load_scenario(name, [f"{k}={v}" for k, v in own.items()]) for name, own in SETTINGS.items()
    }
    asked = [[name, {key: float(s.value(key)) for key in SETTINGS[name]}] for name, s in scenarios.items()]
    for told, scenario in zip(in_page(_SETTLED, asked), scenarios.values(), strict=True):
        agree(told, scenario.to_parameters())


@needs_node
def test_machines_that_nobody_touched_are_the_shipped_ones() -> None:
    names = shipped_scenarios()
    for name, told in zip(names, in_page(_SETTLED, [[name, {}] for name in names]), strict=True):
        usual = load_scenario(name).with_faults({}).to_parameters()._asdict()
        assert {k: tuple(v) if isinstance(v, list) else v for k, v in told.items()} == usual, name


@needs_node
def test_figures_to_the_last_digit_shown() -> None:
    """Every fault at its middle and all shipped machines, in both kinds of units."""
    sound = load_scenario("standard").to_parameters()
    rows = [apply_faults(sound, {key: s}) for key, s in BROKEN if s in (0.5, 1.0)]
    rows += [load_scenario(name).with_faults({}).to_parameters() for name in shipped_scenarios()]
    told = in_page(_FIGURES, [p._asdict() for p in rows])
    done = simulate_many(rows)
    for name, place in zip(FIGURES, range(len(FIGURES)), strict=True):
        entry, values = READINGS[name], column(done, name)
        for si in (False, True):
            usual = ["-" if v != v else Q.number(v, entry.kind, si, entry.decimals) for v in values]
            assert [shown[si][place] for shown in told] == usual, name


@needs_node
def test_rounding_is_that_of_the_program() -> None:
    values = [0.5, 1.5, 2.5, -0.4, 0.125, 0.375, 2.675, 1e-5, 12345.6, 999.96, 1.0e6, 0.0]
    script = """
    const plain = { scale: 1, offset: 0 };
    const answer = given.question.map((x) => [
      ...[-2, 0, 1, 2].map((decimals) => pocket.number(x, { ...plain, decimals })), pocket.digits(x, 4)]);
    """
    from dryermodel.units import digits

    usual = [[*(f"{round(x, n) + 0.0:.{max(n, 0)}f}" for n in (-2, 0, 1, 2)), digits(x, 4)] for x in values]
    assert in_page(script, values) == usual


@needs_node
def test_faults_found_by_what_the_customer_says() -> None:
    said = ["runs for ever", "takes too long to dry", "won't heat", "squeals", "stops in the middle", "xyzzy"]
    told = in_page("const answer = given.question.map((text) => finding.search(text).slice(0, 8));", said)
    for text, keys in zip(said, told, strict=True):
        found, exact = search(text)
        assert keys == ([match.fault.key for match in found] if exact else []), text


def test_sliders_stay_within_what_a_scenario_admits() -> None:
    from dryermodel.show.pages.pocket.machines import controls
    from dryermodel.units import parse

    for control, told in zip(CONTROLS, controls(), strict=True):
        low, high = told["bounds"]
        ends = [control.low, control.high]
        if control.unit:
            kind = {"lb": "mass", "%": "fraction", "degF": "temperature", "ft": "length"}[control.unit]
            ends = [parse(f"{end} {control.unit}", kind) for end in ends]
        assert low <= ends[0] < ends[1] <= high, control.key
