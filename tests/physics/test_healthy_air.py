"""Flow and static of the standard machine against the trade's published values."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from scipy.optimize import brentq

from dryermodel.cycle.engine.equations import flows
from dryermodel.cycle.engine.parameters import Parameters
from dryermodel.cycle.engine.state import start_moisture
from dryermodel.physics import airflow as af
from tests.physics.vents import CFM, CHART, FOOT, INH2O, STANDARD_DENSITY


@pytest.fixture
def twenty_feet(standard_parameters: Parameters) -> Parameters:
    """The standard machine on the vent of the published values: 20 ft of rigid duct and two elbows."""
    return standard_parameters._replace(vent_length=20.0 * FOOT, vent_minor_loss=2.0 * 0.6 + 1.1)


def healthy(p: Parameters) -> af.Flows:
    """The machine of `p` on cold air, as a technician without a load measures it."""
    return flows(p, 1.0, start_moisture(p), STANDARD_DENSITY, STANDARD_DENSITY)


def cfm(f: af.Flows) -> float:
    return f.total / STANDARD_DENSITY / CFM


@pytest.mark.parametrize(("length_ft", "turns"), CHART)
def test_vent_length_chart_on_the_machines_own_fan(
    standard_parameters: Parameters, length_ft: float, turns: int
) -> None:
    """The same chart: the machine at the end of each vent works at 0.75 in w.c. +-3 %, 119 to 135 cfm."""
    p = standard_parameters._replace(vent_length=length_ft * FOOT, vent_minor_loss=0.6 * turns + 1.1)
    f = healthy(p)
    assert f.collar_pressure / INH2O == pytest.approx(0.75, rel=0.03)
    assert 119.0 < cfm(f) < 135.0


def test_outlet_curve(twenty_feet: Parameters) -> None:
    """119 to 135 cfm at 0.75 in w.c. (back-fit of the chart above), near 1.45 (1 - (Q/180)^2) in w.c.

    The parabola is a rounded statement of the same fit: within 0.08 in w.c. from 90 to 160 cfm.
    """

    def at(factor: float) -> af.Flows:
        return healthy(twenty_feet._replace(vent_resistance_factor=factor))

    k = brentq(lambda x: at(x).collar_pressure / INH2O - 0.75, 0.5, 5.0)
    assert 119.0 < cfm(at(k)) < 135.0
    for factor in (0.5, 1.0, 2.0, 4.0):
        f = at(factor)
        assert f.collar_pressure / INH2O == pytest.approx(1.45 * (1.0 - (cfm(f) / 180.0) ** 2), abs=0.08)


def test_healthy_static(twenty_feet: Parameters) -> None:
    """20 ft and two elbows: 0.5 to 0.7 in w.c. A published service manual's limit is 0.6, no load,
    running; here 0.61 on cold air *with* the loss of a load, 0.57 in bulk drying (test of the cycle)."""
    assert healthy(twenty_feet).collar_pressure / INH2O == pytest.approx(0.61, abs=0.02)


def test_healthy_leakage_share(standard_parameters: Parameters) -> None:
    """Healthy total 15 to 20 % of blower flow, here 17 %. Published measurements over vented and
    ventless machines: 20 to 60 % (Measurement and analysis of clothes dryer air leakage, Drying
    Technology, OSTI 1649634, abstract). So the healthy machine here is tighter than any of those."""
    f = healthy(standard_parameters)
    share = (f.drum_seal + f.gasket) / f.total
    assert 0.15 < share < 0.20
    leaky = healthy(standard_parameters._replace(gasket_area=24.0e-4))
    assert 0.20 < (leaky.drum_seal + leaky.gasket) / leaky.total < 0.60


@pytest.mark.parametrize(("open_share", "low", "high"), [(0.5, -0.20, -0.15), (0.25, -0.55, -0.45)])
def test_blocked_vent_area(
    standard_parameters: Parameters, open_share: float, low: float, high: float
) -> None:
    """Half the vent area blocked takes 15 to 20 % of the flow, three quarters about half: fluid mechanics,
    computed, not measured. Here 17.2 % and 52.3 % on cold air."""
    before = healthy(standard_parameters).total
    after = healthy(standard_parameters._replace(vent_open_area=open_share)).total
    assert low < after / before - 1.0 < high


def test_eight_and_twenty_times_the_vent_resistance(twenty_feet: Parameters) -> None:
    """Eight times the resistance leaves about half the flow, twenty times about a third: computed."""
    before = healthy(twenty_feet).total
    eight = healthy(twenty_feet._replace(vent_resistance_factor=8.0)).total
    twenty = healthy(twenty_feet._replace(vent_resistance_factor=20.0)).total
    assert 0.45 < eight / before < 0.55
    assert 0.28 < twenty / before < 0.38


def test_blockage_is_strict_on_the_healthy_machine(standard_parameters: Parameters) -> None:
    shares = np.linspace(1.0, 0.05, 20)
    fs = [healthy(standard_parameters._replace(vent_open_area=float(o))) for o in shares]
    assert all(b.total < a.total for a, b in itertools.pairwise(fs))
    assert all(b.collar_pressure > a.collar_pressure for a, b in itertools.pairwise(fs))
    assert all(b.suction < a.suction for a, b in itertools.pairwise(fs))
