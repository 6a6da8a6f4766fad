"""Where a step's cubic passes a threshold: none may be jumped over."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st
from scipy.interpolate import CubicHermiteSpline

from dryermodel.cycle.engine.stepper import first_crossing, hermite, hermite_slope, turning_points

SAMPLES = 4001

values = st.floats(-20.0, 20.0)
slopes = st.floats(-60.0, 60.0)
lengths = st.floats(0.01, 120.0)


def sampled(
    a: float, b: float, fa: float, fb: float, h: float
) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    """The cubic on a fine grid, by scipy's own."""
    spline = CubicHermiteSpline([0.0, h], [a, b], [fa, fb])
    return np.asarray(spline(np.linspace(0.0, h, SAMPLES)))


# the cubic ---------------------------------------------------------------------------------------


@given(values, values, slopes, slopes, lengths, st.floats(0.0, 1.0))
def test_cubic_against_scipy(a: float, b: float, fa: float, fb: float, h: float, theta: float) -> None:
    """scipy.interpolate.CubicHermiteSpline, value and slope."""
    spline = CubicHermiteSpline([0.0, h], [a, b], [fa, fb])
    size = abs(a) + abs(b) + h * (abs(fa) + abs(fb)) + 1e-9
    assert hermite(a, b, fa, fb, h, theta) == pytest.approx(float(spline(theta * h)), abs=1e-12 * size)
    assert hermite_slope(a, b, fa, fb, h, theta) == pytest.approx(
        float(spline.derivative()(theta * h)), abs=1e-11 * size / h
    )


def test_cubic_meets_its_ends() -> None:
    assert hermite(3.0, 7.0, 1.0, -2.0, 5.0, 0.0) == 3.0
    assert hermite(3.0, 7.0, 1.0, -2.0, 5.0, 1.0) == 7.0
    assert hermite_slope(3.0, 7.0, 1.0, -2.0, 5.0, 0.0) == 1.0
    assert hermite_slope(3.0, 7.0, 1.0, -2.0, 5.0, 1.0) == -2.0


@given(values, lengths, st.floats(0.0, 1.0))
def test_what_rests_keeps_its_value_to_the_last_bit(value: float, h: float, theta: float) -> None:
    """A sensor that rests at 1 does not come to lie below it by rounding, and move again."""
    assert hermite(value, value, 0.0, 0.0, h, theta) == value


@given(values, values, slopes, slopes, lengths)
def test_turning_points_are_where_the_slope_vanishes(
    a: float, b: float, fa: float, fb: float, h: float
) -> None:
    """In ascending order, and every change of the slope's sign within the step is among them."""
    one, two = turning_points(a, b, fa, fb, h)
    size = abs(fa) + abs(fb) + abs(b - a) / h
    assert 0.0 < one <= two <= 1.0
    for theta in (one, two):
        if theta < 1.0:
            assert abs(hermite_slope(a, b, fa, fb, h, theta)) <= 1e-7 * size
    grid = np.linspace(0.0, 1.0, 501)
    slope = np.array([hermite_slope(a, b, fa, fb, h, float(theta)) for theta in grid])
    clear = np.abs(slope) > 1e-6 * size + 1e-9
    changes = np.flatnonzero(np.diff(np.sign(slope[clear])) != 0)
    for i in changes:
        begin, end = grid[clear][i], grid[clear][i + 1]
        assert begin <= one <= end or begin <= two <= end


def test_two_turning_points() -> None:
    """2 t^3 - 3 t^2 + t has its extremes at (3 -+ sqrt 3)/6."""
    assert turning_points(0.0, 0.0, 1.0, 1.0, 1.0) == pytest.approx(
        ((3.0 - math.sqrt(3.0)) / 6.0, (3.0 + math.sqrt(3.0)) / 6.0), abs=1e-14
    )
    assert turning_points(0.0, 1.0, 1.0, 1.0, 1.0) == (1.0, 1.0), "a straight line has none"


# simple passages ---------------------------------------------------------------------------------


@pytest.mark.parametrize("rising", [True, False])
def test_straight_line(rising: bool) -> None:
    """From 0 to 10 in 5 s and back: level 3 at 0.3 of the way."""
    sign = 1.0 if rising else -1.0
    at = first_crossing(0.0, sign * 10.0, sign * 2.0, sign * 2.0, 5.0, sign * 3.0, rising)
    assert at == pytest.approx(0.3, abs=1e-12)


@pytest.mark.parametrize("rising", [True, False])
def test_wrong_direction_is_no_passage(rising: bool) -> None:
    """A thermostat waiting to open does not open on the way down, nor the other way round."""
    sign = -1.0 if rising else 1.0
    assert first_crossing(0.0, sign * 10.0, sign * 2.0, sign * 2.0, 5.0, -sign * 3.0, rising) == 2.0


@pytest.mark.parametrize("rising", [True, False])
def test_already_there(rising: bool) -> None:
    sign = 1.0 if rising else -1.0
    assert first_crossing(sign * 4.0, sign * 9.0, sign, sign, 5.0, sign * 4.0, rising) == 0.0
    assert first_crossing(sign * 5.0, sign * 9.0, sign, sign, 5.0, sign * 4.0, rising) == 0.0


@pytest.mark.parametrize("rising", [True, False])
def test_passing_and_returning_within_one_step_is_caught(rising: bool) -> None:
    """4 t (1 - t) reaches 1 in the middle: level 0.75 is passed at 0.25, level 1.01 never."""
    sign = 1.0 if rising else -1.0
    assert first_crossing(0.0, 0.0, sign * 4.0, -sign * 4.0, 1.0, sign * 0.75, rising) == pytest.approx(
        0.25, abs=1e-12
    )
    assert first_crossing(0.0, 0.0, sign * 4.0, -sign * 4.0, 1.0, sign * 1.01, rising) == 2.0


def test_a_hump_between_two_dips_is_caught() -> None:
    """Slopes down at both ends, up in the middle: 0 to -0.1 with a hump of 0.21 over a level of 0.1.

    Both of the cubic's turning points lie within the step, the maximum after the minimum.
    """
    a, b, fa, fb, h, level = 0.0, -0.1, -1.0, -6.0, 1.0, 0.1
    grid = sampled(a, b, fa, fb, h)
    assert grid.max() > 0.2
    assert first_crossing(a, b, fa, fb, h, level, True) == pytest.approx(
        float(np.argmax(grid >= level)) / (SAMPLES - 1), abs=1e-3
    )


def test_a_hump_before_a_second_rise_is_caught() -> None:
    """Slopes up at both ends, down in the middle: the first maximum passes the level, the end does not."""
    a, b, fa, fb, h, level = 0.0, -0.1, 6.0, 1.0, 1.0, 0.5
    grid = sampled(a, b, fa, fb, h)
    assert grid.max() > 0.7
    assert first_crossing(a, b, fa, fb, h, level, True) == pytest.approx(
        float(np.argmax(grid >= level)) / (SAMPLES - 1), abs=1e-3
    )


def test_of_three_passages_the_first_is_taken() -> None:
    """Up over the level, down under it, up again: the contact opens at the first."""
    a, b, fa, fb, h, level = 0.0, 0.6, 8.0, 8.0, 1.0, 0.5
    grid = sampled(a, b, fa, fb, h)
    assert (np.diff(np.sign(grid - level)) != 0).sum() == 3
    assert first_crossing(a, b, fa, fb, h, level, True) == pytest.approx(
        float(np.argmax(grid >= level)) / (SAMPLES - 1), abs=1e-3
    )


# always ------------------------------------------------------------------------------------------


@settings(max_examples=400, deadline=None, derandomize=True)
@given(values, values, slopes, slopes, lengths, values, st.booleans())
@example(0.0, 0.0, 4.0, -4.0, 1.0, 0.75, True)
@example(0.0, -0.1, -1.0, -6.0, 1.0, 0.1, True)
@example(0.0, 0.6, 8.0, 8.0, 1.0, 0.5, True)
def test_first_passage_against_fine_sampling(
    a: float, b: float, fa: float, fb: float, h: float, level: float, rising: bool
) -> None:
    """Any cubic, either direction: the passage found is the first that a fine grid shows, and where the
    grid shows none, none is found but at most a touch between two of its points."""
    sign = 1.0 if rising else -1.0
    assume(sign * (a - level) < 0.0)
    beyond = sign * (sampled(a, b, fa, fb, h) - level)
    size = abs(a) + abs(b) + abs(level) + h * (abs(fa) + abs(fb)) + 1e-6
    at = first_crossing(a, b, fa, fb, h, level, rising)
    step = 1.0 / (SAMPLES - 1)
    seen = np.flatnonzero(beyond > 1e-9 * size)
    if len(seen):
        assert at <= seen[0] * step + 1e-9, "passed without being noticed, or noticed late"
    if at <= 1.0:
        assert abs(hermite(a, b, fa, fb, h, at) - level) < 1e-8 * size
        before = beyond[: int(at / step)]
        assert not len(before) or before.max() <= 1e-9 * size
    else:
        assert at == 2.0
        assert beyond.max() <= 1e-9 * size


@settings(max_examples=200, deadline=None, derandomize=True)
@given(values, values, slopes, slopes, lengths, values)
def test_rising_and_falling_are_mirror_images(
    a: float, b: float, fa: float, fb: float, h: float, level: float
) -> None:
    up = first_crossing(a, b, fa, fb, h, level, True)
    down = first_crossing(-a, -b, -fa, -fb, h, -level, False)
    assert up == down


def test_a_level_within_rounding_of_the_start_is_found_at_the_start() -> None:
    assert first_crossing(0.0, 0.0, 0.0, 1.0, 1.0, -5.5e-165, False) < 1e-9
