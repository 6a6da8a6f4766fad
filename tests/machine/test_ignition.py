"""The ignition sequence, watched with a clock: tries, lost heat calls, dead gas, stuck sensors."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dryermodel.machine.ignition import (
    STUCK_CLOSED,
    STUCK_OPEN,
    WORKS,
    Ignition,
    sensor_contact,
    valves,
    warmth_rate,
)
from tests.machine.bench_burner import turns, watch

COLD, HELD, LIT = Ignition(False, False, False), Ignition(True, False, False), Ignition(True, True, True)


def steady(_: float) -> bool:
    return True


# the sequence ------------------------------------------------------------------------------------


@pytest.mark.parametrize("warm_up", [15.0, 30.0, 60.0])
def test_normal_ignition(warm_up: float) -> None:
    """Heat call: igniter; after the warm-up (15 to 60 s, common practice) the sensor opens, gas and flame
    come together, the igniter drops out and the flame keeps the sensor open."""
    seen = watch(steady, 200.0, warm_up=warm_up)
    (glows, _), (dropped, still) = turns(seen, "igniter")
    ((lit, _),) = turns(seen, "flame")
    assert turns(seen, "gas") == turns(seen, "flame")
    opened, closed = turns(seen, "sensor_closed")[-1]
    assert glows == 0.0
    assert not still
    assert not closed
    assert (dropped, lit, opened) == pytest.approx((warm_up, warm_up, warm_up), abs=0.1)


def test_dead_gas_supply_tries_without_end() -> None:
    """No flame: the sensor cools and recloses, and the igniter glows again, at the sum of both delays."""
    seen = watch(steady, 700.0, has_gas=False, warm_up=30.0, cool_down=40.0)
    glows = [t for t, on in turns(seen, "igniter") if on]
    assert len(glows) == 10
    assert [b - a for a, b in itertools.pairwise(glows)] == pytest.approx([70.0] * 9, abs=0.2)
    assert turns(seen, "gas") == turns(seen, "flame") == []


def test_sensor_stuck_closed_glows_for_ever_and_never_passes_gas() -> None:
    seen = watch(steady, 600.0, stuck=STUCK_CLOSED)
    assert turns(seen, "igniter") == [(0.0, True)]
    assert turns(seen, "gas") == []


def test_sensor_stuck_open_never_glows_and_never_passes_gas() -> None:
    """The main coil pulls, but the first valve has had no assist coil: still no gas."""
    seen = watch(steady, 600.0, stuck=STUCK_OPEN)
    assert turns(seen, "igniter") == turns(seen, "gas") == []


@settings(max_examples=60, deadline=None, derandomize=True)
@given(st.floats(40.0, 90.0), st.floats(0.1, 60.0), st.sampled_from([15.0, 30.0, 60.0]))
def test_no_gas_sooner_than_the_sensor_recloses(lost: float, gap: float, cool_down: float) -> None:
    """A heat call lost for any time and regained: no gas before the hot sensor has reclosed, and never
    gas without an igniter or flame to light it."""
    seen = watch(lambda t: not lost <= t < lost + gap, 260.0, cool_down=cool_down, dt=0.1)
    gas = turns(seen, "gas")
    assert gas == turns(seen, "flame")
    assert [on for _, on in gas] == [True, False, True]
    (_, _), (out, _), (again, _) = gas
    assert out == pytest.approx(lost, abs=0.11)
    assert again - out >= cool_down - 0.2
    assert again - out >= gap + 15.0, "and the igniter needs its warm-up in any case"


def test_brief_loss_costs_reclosing_and_warm_up() -> None:
    """One second without heat call: 30 s to reclose and 30 s to glow, so no flame for a minute."""
    seen = watch(lambda t: not 100.0 <= t < 101.0, 300.0)
    assert [t for t, _ in turns(seen, "flame")] == pytest.approx([30.0, 100.0, 160.0], abs=0.2)


# the parts ---------------------------------------------------------------------------------------


def test_holding_coil_keeps_but_cannot_pull_in() -> None:
    assert valves(COLD, True, False, True, True, True) == COLD
    assert valves(HELD, True, False, True, True, True) == LIT
    assert valves(LIT, False, False, True, True, True) == COLD, "holding lost: the valve falls"


def test_gas_needs_both_valves_and_supply() -> None:
    assert not valves(HELD, True, True, False, True, True).gas
    assert not valves(HELD, True, True, True, True, False).gas
    assert valves(HELD, True, True, True, True, True).gas


def test_gas_past_a_cold_igniter_does_not_light() -> None:
    """A coil that conducts again late passes raw gas until the sensor recloses: the model tells it apart."""
    assert valves(HELD, True, False, True, False, True) == Ignition(True, True, False)


def test_a_flame_stays_lit_while_gas_flows() -> None:
    assert valves(LIT, True, False, True, False, True) == LIT


@given(*[st.booleans()] * 7)
def test_valves_are_safe(
    first: bool, flame: bool, holding: bool, assist: bool, main: bool, hot: bool, gas: bool
) -> None:
    """No flame without gas, no gas without both coils; and applied twice nothing moves any more."""
    before = Ignition(first or flame, flame, flame)
    i = valves(before, holding, assist, main, hot, gas)
    assert not i.flame or i.gas
    assert not i.gas or (i.first_valve and main and gas)
    assert not i.first_valve or holding
    assert valves(i, holding, assist, main, hot, gas) == i


@given(st.booleans(), st.floats(0.0, 1.0))
def test_sensor_contact(closed: bool, warmth: float) -> None:
    """Opens only when hot, recloses only when cold; stuck ones do neither."""
    after = sensor_contact(closed, warmth, WORKS)
    if 0.0 < warmth < 1.0:
        assert after is closed
    assert sensor_contact(closed, 1.0, WORKS) is False
    assert sensor_contact(closed, 0.0, WORKS) is True
    assert sensor_contact(closed, warmth, STUCK_CLOSED) is True
    assert sensor_contact(closed, warmth, STUCK_OPEN) is False


def test_warmth_climbs_and_falls_at_its_two_rates_and_rests_at_the_ends() -> None:
    assert warmth_rate(0.0, True, 30.0, 40.0) == 1.0 / 30.0
    assert warmth_rate(1.0, False, 30.0, 40.0) == -1.0 / 40.0
    assert warmth_rate(1.0, True, 30.0, 40.0) == 0.0
    assert warmth_rate(0.0, False, 30.0, 40.0) == 0.0
