"""Currents of the wiring against the independent nodal analysis, and Kirchhoff's law at every joint."""

from __future__ import annotations

import numpy as np
import pytest

from dryermodel.machine.circuit import Circuit, Contacts
from dryermodel.machine.currents import currents
from tests.machine.nodal import all_combinations, analyse
from tests.machine.test_circuit import GAS, MACHINES, RUNNING

ROWS = 1500
"""Of the 2^15 combinations, drawn with a seed of their own."""


@pytest.mark.parametrize("k", MACHINES.values(), ids=MACHINES.keys())
def test_currents_are_those_of_the_network(k: Circuit) -> None:
    """Loads by Ohm's law from the network's voltages; the rest by what flows in and out of each joint."""
    rows = np.random.default_rng(5).choice(2**15, ROWS, replace=False)
    columns = {name: column[rows] for name, column in all_combinations().items()}
    possible = ~(columns["automatic"] & columns["timer_direct"] & columns["timer_heat"])
    v = analyse(columns, k)
    table = np.column_stack([columns[name] for name in Contacts._fields])
    for i in np.flatnonzero(possible):
        c = Contacts(*map(bool, table[i]))
        found = currents(c, k)
        loads = (found.holding, found.igniter, found.assist, found.main_coil)
        volts = (v.holding[i], v.igniter[i], v.assist[i], v.main_coil[i])
        ohms = (k.holding, k.igniter, k.assist, k.main_coil)
        usual = [volt / ohm for volt, ohm in zip(volts, ohms, strict=True)]
        assert loads == pytest.approx(usual, rel=1e-9, abs=1e-9), c
        timer = found.timer_across + found.timer_direct
        assert timer == pytest.approx(v.timer[i] / k.timer, rel=1e-9, abs=1e-9), c
        heater = v.heater[i] / k.heater if k.heater > 0.0 else 0.0
        assert found.heater == pytest.approx(heater, rel=1e-9, abs=1e-9), c
        burner = found.holding + found.flame_sensor + found.main_coil + found.heater
        assert found.section + found.timer_across == pytest.approx(burner, rel=1e-9, abs=1e-12), c
        joint = found.flame_sensor + found.main_coil
        assert joint == pytest.approx(found.igniter + found.assist, rel=1e-9, abs=1e-12), c
        assert found.heat_return == pytest.approx(burner + found.timer_direct, rel=1e-9, abs=1e-12), c
        assert found.heat_feed == found.chain == pytest.approx(burner, rel=1e-9, abs=1e-12), c


def test_the_closed_section_takes_all_and_the_timer_none() -> None:
    lit = currents(RUNNING, GAS)
    assert lit.timer_across == 0.0
    assert lit.section == lit.chain > 0.0
    assert lit.flame_sensor == 0.0


def test_an_open_limit_leaves_the_closed_thermostat_without_current() -> None:
    """Where the whole chain shunts the timer motor, an open limit lets it run past the closed thermostat."""
    tripped = RUNNING._replace(high_limit=False)
    assert currents(tripped, GAS).timer_across == 0.0
    whole = currents(tripped, GAS._replace(whole_chain=True))
    assert (whole.section, whole.timer_across > 0.0) == (0.0, True)


def test_in_the_cool_down_the_timer_has_the_line_and_the_burner_nothing() -> None:
    found = currents(RUNNING._replace(timer_heat=False, timer_direct=True), GAS)
    assert found.timer_direct == pytest.approx(120.0 / 4000.0)
    assert found.heat_return == found.timer_direct
    assert (found.timer_across, found.chain, found.section) == (0.0, 0.0, 0.0)
