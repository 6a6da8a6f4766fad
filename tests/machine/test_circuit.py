"""The wiring against an independent nodal analysis, over all contacts, and in named situations."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dryermodel.machine.circuit import Circuit, Contacts, Energised, burner_resistance, energise, parallel
from tests.machine.nodal import Voltages, all_combinations, analyse

LINE = 120.0
GAS = Circuit(LINE, 4000.0, 45.0, 1300.0, 560.0, 1300.0, 0.0, 0.6, False)
ELECTRIC = GAS._replace(heater=2.7)

MACHINES = {
    "gas, thermostat shunts the timer": GAS,
    "gas, whole chain shunts the timer": GAS._replace(whole_chain=True),
    "electric, thermostat shunts the timer": ELECTRIC,
    "electric, whole chain shunts the timer": ELECTRIC._replace(whole_chain=True),
}

RUNNING = Contacts(
    supply=True,
    door=True,
    timer_main=True,
    timer_heat=True,
    timer_direct=False,
    automatic=True,
    heat_select=True,
    low_heat=False,
    start=False,
    centrifugal=True,
    exhaust_thermostat=True,
    high_limit=True,
    thermal_cutoff=True,
    flame_sensor=False,
    main_coil_whole=True,
)
"""An automatic cycle in full burn: everything closed but the hot flame sensor."""

NOTHING = Energised(False, False, False, False, False, False, False, False, False, False, 0.0, 0.0, 0.0)


def on(e: Energised) -> set[str]:
    """Names of the loads that are energised."""
    return {name for name, value in zip(e._fields, e, strict=True) if value is True}


class OneRow(NamedTuple):
    """Voltages of one combination of contacts; the fields of `Voltages`."""

    motor: float
    timer: float
    bias: float
    holding: float
    igniter: float
    assist: float
    main_coil: float
    heater: float
    heat_circuit: float


def at_row(v: Voltages, row: int) -> OneRow:
    """One combination's voltages."""
    return OneRow(*(float(column[row]) for column in v))


# all combinations --------------------------------------------------------------------------------


def compare(columns: dict[str, np.ndarray[tuple[int], np.dtype[np.bool_]]], k: Circuit) -> int:
    """Check every row of contacts; return how many were checked.

    Left out: timer heat and timer direct both closed in auto. No cam does that (see the cam tests), and
    a motor with two terminals cannot be across the section and across the line at once.
    """
    v = analyse(columns, k)
    impossible = columns["automatic"] & columns["timer_direct"] & columns["timer_heat"]
    enough = k.pull_in_share * k.line_voltage
    table = np.column_stack([columns[name] for name in Contacts._fields])
    for i in np.flatnonzero(~impossible):
        c = Contacts(*map(bool, table[i]))
        e = energise(c, k)
        expected = at_row(v, int(i))
        check(e, expected, k, enough, c)
    return int((~impossible).sum())


def check(e: Energised, v: OneRow, k: Circuit, enough: float, c: Contacts) -> None:
    loads = (
        e.motor == (v.motor > enough),
        e.timer_motor == (v.timer > enough),
        e.holding == (v.holding > enough),
        e.igniter == (v.igniter > enough),
        e.assist == (v.assist > enough),
        e.main_coil == (v.main_coil > enough),
        e.heater == (v.heater > enough),
        e.bias_heater == (v.bias > enough),
        e.heat_call == (v.heat_circuit > enough),
        e.burner_feed == (max(v.holding, v.heater) > enough),
    )
    valve_power = v.holding**2 / k.holding + v.assist**2 / k.assist + v.main_coil**2 / k.main_coil
    tiny = 1e-12 * k.line_voltage**2
    powers = (
        abs(e.timer_power - v.timer**2 / k.timer) <= 1e-9 * e.timer_power + tiny,
        abs(e.igniter_power - v.igniter**2 / k.igniter) <= 1e-9 * e.igniter_power + tiny,
        abs(e.valve_power - valve_power) <= 1e-9 * e.valve_power + tiny,
    )
    assert all(loads) and all(powers), (c, e, v)


@pytest.mark.parametrize("k", MACHINES.values(), ids=MACHINES.keys())
def test_every_combination_of_contacts(k: Circuit) -> None:
    """2^15 combinations a machine: the same loads energised, the same power in each, within 1e-9.

    The other side is Kirchhoff's laws on a resistor network (modified nodal analysis, numpy), which
    knows of no shunt and no priority.
    """
    assert compare(all_combinations(), k) == 2**15 - 2**12


resistances = st.floats(5.0, 2.0e4)


@settings(max_examples=40, deadline=None, derandomize=True)
@given(
    st.builds(
        Circuit,
        st.floats(50.0, 300.0),
        resistances,
        resistances,
        resistances,
        resistances,
        resistances,
        st.sampled_from([0.0, 2.7, 40.0, 5000.0]),
        st.just(0.5321),
        st.booleans(),
    ),
    st.lists(st.integers(0, 2**15 - 1), min_size=30, max_size=30),
)
def test_any_resistances(k: Circuit, rows: list[int]) -> None:
    """The same with resistances that make no sensible machine."""
    columns = {name: column[rows] for name, column in all_combinations().items()}
    v = analyse(columns, k)
    enough = k.pull_in_share * k.line_voltage
    # on the threshold itself rounding decides
    clear = np.all([np.abs(np.asarray(u) - enough) > 1e-6 * LINE for u in v], axis=0)
    compare({name: column[clear] for name, column in columns.items()}, k)


def test_the_analysis_can_disagree() -> None:
    """A machine wired the other way round is told apart, so the comparison above is not empty."""
    open_limit = RUNNING._replace(high_limit=False)
    columns = {name: np.array([value]) for name, value in open_limit._asdict().items()}
    other = analyse(columns, GAS._replace(whole_chain=True))
    v = at_row(other, 0)
    with pytest.raises(AssertionError):
        check(energise(open_limit, GAS), v, GAS, 72.0, open_limit)


# named situations --------------------------------------------------------------------------------


@pytest.mark.parametrize("whole", [False, True])
def test_closed_chain_shunts_the_timer(whole: bool) -> None:
    """Both ends of the timer motor are at line potential: the burner has the voltage, the dial rests."""
    e = energise(RUNNING, GAS._replace(whole_chain=whole))
    assert on(e) == {"motor", "heat_call", "burner_feed", "holding", "main_coil"}
    assert e.timer_power == 0.0


@pytest.mark.parametrize("whole", [False, True])
def test_open_thermostat_gives_the_timer_the_voltage(whole: bool) -> None:
    """Heat-off time is what the dial counts; the burner circuit gets a few volts only."""
    e = energise(
        RUNNING._replace(exhaust_thermostat=False, flame_sensor=True), GAS._replace(whole_chain=whole)
    )
    assert on(e) == {"motor", "timer_motor", "heat_call"}
    assert e.timer_power == pytest.approx(LINE**2 / 4000.0, rel=0.03)
    assert 0.0 < e.igniter_power < 0.1


@pytest.mark.parametrize("contact", ["high_limit", "thermal_cutoff"])
def test_open_limit_inside_the_shunted_chain_lets_the_timer_run_on_a_wet_load(contact: str) -> None:
    """Whole chain: the timer cannot tell a tripped limit from a dry load."""
    e = energise(RUNNING._replace(**{contact: False}), GAS._replace(whole_chain=True))
    assert "timer_motor" in on(e)
    assert "burner_feed" not in on(e)


@pytest.mark.parametrize("contact", ["high_limit", "thermal_cutoff"])
def test_open_limit_outside_the_shunted_section_leaves_the_timer_still(contact: str) -> None:
    """Thermostat alone: with the limit open no current reaches the neutral, so neither of them works."""
    for thermostat in (True, False):
        e = energise(RUNNING._replace(**{contact: False, "exhaust_thermostat": thermostat}), GAS)
        assert on(e) == {"motor", "heat_call"}
        assert e.timer_power == e.valve_power == 0.0


def test_open_door_stops_everything() -> None:
    """In any program, heated or not, whatever else is closed."""
    for direct in (False, True):
        for c in (RUNNING, RUNNING._replace(automatic=False), RUNNING._replace(start=True)):
            assert energise(c._replace(door=False, timer_direct=direct), GAS) == NOTHING


def test_power_cut_stops_everything() -> None:
    assert energise(RUNNING._replace(supply=False), GAS) == NOTHING


def test_dial_at_off_stops_everything() -> None:
    assert energise(RUNNING._replace(timer_main=False), GAS) == NOTHING


def test_start_button_and_hold_path() -> None:
    """At rest nothing; the button starts the motor; the centrifugal contact holds it when released."""
    rest = RUNNING._replace(centrifugal=False)
    assert energise(rest, GAS) == NOTHING
    pressed = energise(rest._replace(start=True), GAS)
    assert on(pressed) == {"motor"}, "no heat before the motor is at speed"
    assert energise(RUNNING._replace(start=False), GAS).motor


def test_air_only() -> None:
    """Heat select open: the motor and the directly fed timer, no heat."""
    e = energise(
        RUNNING._replace(automatic=False, heat_select=False, timer_direct=True, flame_sensor=True), GAS
    )
    assert on(e) == {"motor", "timer_motor"}


def test_timed() -> None:
    """The timer runs at all times; the thermostat still cycles the burner and does not move the timer."""
    timed = RUNNING._replace(automatic=False, timer_direct=True)
    assert on(energise(timed, GAS)) == {
        "motor", "timer_motor", "heat_call", "burner_feed", "holding", "main_coil"
    }  # fmt: skip
    cycled = energise(timed._replace(exhaust_thermostat=False), GAS)
    assert on(cycled) == {"motor", "timer_motor", "heat_call"}
    assert cycled.valve_power == 0.0


def test_cool_down() -> None:
    """Heat contact open, timer fed straight from the line: the drum turns, nothing heats."""
    cool = RUNNING._replace(timer_heat=False, timer_direct=True, flame_sensor=True)
    for k in MACHINES.values():
        assert on(energise(cool, k)) == {"motor", "timer_motor"}
        assert on(energise(cool._replace(low_heat=True), k)) == {"motor", "timer_motor"}


def test_cold_burner_circuit() -> None:
    """Flame sensor closed: it shunts the main coil; igniter, holding and assist coil have the voltage."""
    e = energise(RUNNING._replace(flame_sensor=True), GAS)
    assert {"igniter", "assist", "holding"} <= on(e)
    assert "main_coil" not in on(e)
    assert e.igniter_power == pytest.approx(LINE**2 / 45.0, rel=1e-12)


def test_hot_burner_circuit() -> None:
    """Sensor open: the main coil in series with the low igniter has 97 % of the voltage; worked by hand."""
    e = energise(RUNNING, GAS)
    lower = 45.0 * 560.0 / 605.0
    across_main = LINE * 1300.0 / (1300.0 + lower)
    expected = LINE**2 / 1300.0 + across_main**2 / 1300.0 + (LINE - across_main) ** 2 / 560.0
    assert e.main_coil
    assert not e.igniter
    assert e.valve_power == pytest.approx(expected, rel=1e-12)


def test_dead_main_coil() -> None:
    """An open winding: the holding coil still pulls, no gas can flow, nothing else has voltage."""
    e = energise(RUNNING._replace(main_coil_whole=False), GAS)
    assert on(e) == {"motor", "heat_call", "burner_feed", "holding"}
    assert e.igniter_power == 0.0
    cold = energise(RUNNING._replace(main_coil_whole=False, flame_sensor=True), GAS)
    assert {"igniter", "assist"} <= on(cold), "with the sensor closed its winding is not needed"


def test_low_heat_feeds_the_bias_heater_whenever_heat_is_called() -> None:
    e = energise(RUNNING._replace(low_heat=True), GAS)
    assert e.bias_heater
    open_chain = energise(RUNNING._replace(low_heat=True, exhaust_thermostat=False), GAS)
    assert open_chain.bias_heater
    assert not energise(RUNNING._replace(low_heat=True, heat_select=False), GAS).bias_heater


def test_electric_heater_takes_the_burners_place() -> None:
    e = energise(RUNNING, ELECTRIC)
    assert on(e) == {"motor", "heat_call", "burner_feed", "heater"}
    assert e.igniter_power == e.valve_power == 0.0


def test_low_voltage_energises_nothing_in_series() -> None:
    """Two equal resistances in series have half the voltage each: below a pull-in of 60 %, neither works."""
    k = GAS._replace(timer=GAS.holding, igniter=1e9, assist=1e9)
    e = energise(RUNNING._replace(exhaust_thermostat=False, main_coil_whole=False), k)
    assert e.timer_power == pytest.approx(60.0**2 / 1300.0, rel=1e-9)
    assert on(e) == {"motor", "heat_call"}


def test_burner_resistance() -> None:
    """Sensor closed 40.4 ohm, open 660 ohm, dead coil 1300 ohm: worked by hand."""
    assert parallel(1300.0, 1300.0) == 650.0
    assert burner_resistance(RUNNING._replace(flame_sensor=True), GAS) == pytest.approx(40.36, abs=0.01)
    assert burner_resistance(RUNNING, GAS) == pytest.approx(660.25, abs=0.01)
    assert burner_resistance(RUNNING._replace(main_coil_whole=False), GAS) == 1300.0
    assert burner_resistance(RUNNING, ELECTRIC) == 2.7
