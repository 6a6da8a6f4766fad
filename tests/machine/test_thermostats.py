"""Snap-action contacts: two thresholds, two starting states; and the lag of the element."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dryermodel.machine.thermostats import lag_rate, snap_contact

CUT_OUT, CUT_IN = 341.48, 333.15  # 155 and 140 degF


@pytest.mark.parametrize("closed", [True, False])
def test_above_cut_out_it_is_open(closed: bool) -> None:
    assert not snap_contact(closed, CUT_OUT, CUT_OUT, CUT_IN)
    assert not snap_contact(closed, CUT_OUT + 50.0, CUT_OUT, CUT_IN)


@pytest.mark.parametrize("closed", [True, False])
def test_below_cut_in_it_is_closed(closed: bool) -> None:
    assert snap_contact(closed, CUT_IN, CUT_OUT, CUT_IN)
    assert snap_contact(closed, CUT_IN - 50.0, CUT_OUT, CUT_IN)


@given(st.floats(CUT_IN, CUT_OUT, exclude_min=True, exclude_max=True), st.booleans())
def test_between_the_thresholds_it_stays_as_it_was(T: float, closed: bool) -> None:
    assert snap_contact(closed, T, CUT_OUT, CUT_IN) is closed


@pytest.mark.parametrize("closed", [True, False])
def test_one_swing_from_either_starting_state(closed: bool) -> None:
    """Up through both thresholds and down again: opens at the upper, closes at the lower, and only there.

    Cut-in lies below cut-out; the starting state matters only until the first threshold passed.
    """
    rising = [CUT_IN + 1.0 + 0.1 * i for i in range(120)]
    contact, opened, reclosed = closed, None, None
    for T in rising:
        before, contact = contact, snap_contact(contact, T, CUT_OUT, CUT_IN)
        if before and not contact:
            opened = T
    for T in reversed(rising + [CUT_IN]):
        before, contact = contact, snap_contact(contact, T, CUT_OUT, CUT_IN)
        if not before and contact:
            reclosed = T
    if closed:
        assert opened == pytest.approx(CUT_OUT, abs=0.1)
    else:
        assert opened is None, "it was open already and stayed so"
    assert reclosed is None or reclosed == pytest.approx(CUT_IN, abs=0.1)
    assert snap_contact(contact, CUT_IN, CUT_OUT, CUT_IN), "cold: closed, from either start"


@given(st.lists(st.floats(300.0, 400.0), min_size=1, max_size=60), st.booleans())
def test_each_switching_is_at_its_own_threshold(temperatures: list[float], closed: bool) -> None:
    """However the element wanders, it opens only at or above cut-out and closes only at or below cut-in."""
    for T in temperatures:
        before, closed = closed, snap_contact(closed, T, CUT_OUT, CUT_IN)
        if before and not closed:
            assert T >= CUT_OUT
        if closed and not before:
            assert T <= CUT_IN


@given(st.floats(250.0, 500.0), st.floats(1.0, 200.0), st.floats(1.0, 50.0), st.booleans())
def test_in_order_no_temperature_switches_it_twice(
    cut_in: float, differential: float, T: float, closed: bool
) -> None:
    """With the cut-in below the cut-out a settled contact stays settled, so a run cannot chatter."""
    element = cut_in + T
    once = snap_contact(closed, element, cut_in + differential, cut_in)
    assert snap_contact(once, element, cut_in + differential, cut_in) is once


def test_thresholds_in_the_wrong_order_chatter() -> None:
    """Why the order is checked where scenarios are read: between swapped thresholds nothing is settled."""
    contact, states = True, []
    for _ in range(4):
        contact = snap_contact(contact, 337.0, CUT_IN, CUT_OUT)
        states.append(contact)
    assert states == [False, True, False, True]


def test_lag_follows_the_exponential() -> None:
    """dT/dt = (T_s - T)/lag: after one lag 63.2 % of the way; Euler at 1 ms against the closed form."""
    T, dt = 300.0, 1e-3
    for _ in range(20_000):
        T += dt * lag_rate(T, 350.0, 20.0)
    closed_form = 350.0 - 50.0 * math.exp(-1.0)
    assert pytest.approx(closed_form, abs=2e-3) == T


def test_lag_rests_at_its_surroundings() -> None:
    assert lag_rate(333.0, 333.0, 20.0) == 0.0
    assert lag_rate(300.0, 320.0, 20.0) == 1.0
