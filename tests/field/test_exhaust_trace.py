"""Exhaust temperature alone: corners, set points, time constants, in curves of known shape."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from numpy.typing import NDArray

from dryermodel.field.traces.reading import read_run
from dryermodel.field.traces.runs import Moment, cut_out
from dryermodel.field.traces.spells import Spell
from dryermodel.field.traces.table import Log
from dryermodel.field.traces.temperature import corners, noise_of, time_constants

Vector = NDArray[np.float64]
SWITCHES = [60.0, 600.0, 680.0, 760.0, 850.0, 930.0, 1020.0]  # on, off, on, off, on, off, on; off at the end
OFF, ON = 50.0, 70.0  # s, time constants


def curve(every: float, noise: float, seed: int) -> tuple[Vector, Vector]:
    """Exhaust that goes towards 380 K with the burner on and 300 K with it off, exactly exponentially."""
    time = np.arange(0.0, 1300.0, every)
    edges = [0.0, *SWITCHES, 1120.0, 1300.1]
    value, values = 295.0, np.empty(len(time))
    for i, (a, b) in enumerate(itertools.pairwise(edges)):
        burning = i % 2 == 1
        aim, constant = (380.0, ON if i > 1 else 400.0) if burning else (300.0, OFF)
        if i == 0:
            aim = value
        inside = (time >= a) & (time < b)
        values[inside] = aim + (value - aim) * np.exp(-(time[inside] - a) / constant)
        value = aim + (value - aim) * np.exp(-(b - a) / constant)
    return time, values + np.random.default_rng(seed).normal(0.0, noise, len(time))


@pytest.mark.parametrize(("every", "noise", "within"), [(1.0, 0.1, 2.0), (5.0, 0.2, 3.0), (15.0, 0.2, 8.0)])
def test_corners_are_where_the_burner_switches(every: float, noise: float, within: float) -> None:
    found = corners(*curve(every, noise, 1))
    assert [c.warm for c in found] == [i % 2 == 1 for i in range(8)]
    for corner, true in zip(found[1:], [*SWITCHES[1:], 1120.0], strict=True):
        assert corner.at.time == pytest.approx(true, abs=within)
        assert corner.at.accuracy < within


def test_time_constants_are_those_of_the_curve() -> None:
    time, values = curve(1.0, 0.05, 2)
    edges = [*SWITCHES, 1120.0]
    burns = tuple(Spell(Moment(a, 0.5), Moment(b, 0.5)) for a, b in zip(edges[::2], edges[1::2], strict=True))
    found = time_constants(time, values, burns)
    assert found.off == pytest.approx(OFF, rel=0.05)
    assert found.on == pytest.approx(ON, rel=0.1)


def test_noise_below_the_last_digit_is_that_of_rounding() -> None:
    time, values = curve(1.0, 0.0, 3)
    del time
    assert noise_of(np.round(values, 0)) >= 0.28
    assert noise_of(curve(1.0, 0.4, 3)[1]) == pytest.approx(0.4, rel=0.15)


def test_a_curve_without_strokes_has_no_corners() -> None:
    time = np.arange(0.0, 600.0)
    assert corners(time, 300.0 + np.random.default_rng(4).normal(0.0, 0.3, 600)) == ()


def test_readings_of_a_log_with_temperature_alone() -> None:
    """Cut-outs within a degree; heat is called for some 15 s before it lights, which is taken off."""
    time, values = curve(1.0, 0.1, 5)
    trace = read_run(cut_out(Log(time, {"temperature": values}, 1.0, True, "", ())))
    found = {f.name: f for f in trace.found}
    assert found["burner cycles"].value == 4.0
    assert found["burner on early"].value == pytest.approx((80.0 + 80.0) / 2.0, abs=4.0)
    assert found["burner off late"].value == pytest.approx(90.0 - 15.0, abs=5.0)
    true = float(np.median(np.interp([759.0, 929.0, 1119.0], time, curve(1.0, 0.0, 5)[1])))
    assert found["cut-out temperature"].value == pytest.approx(true, abs=1.0)
    assert "cycle time" not in found and "electricity used" not in found
