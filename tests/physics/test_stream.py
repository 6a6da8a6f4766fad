"""Unlike pieces in one stream: the closed form against an integration along the drum, and its limits."""

from __future__ import annotations

import math
from itertools import permutations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from dryermodel.physics import drum, moist_air

LEWIS = 0.91
ABSENT = drum.Surface(0.0, 300.0, 0.0, 1.0)

surfaces = st.builds(
    drum.Surface,
    st.floats(0.05, 1.0),
    st.floats(290.0, 370.0),
    st.floats(0.002, 0.3),
    st.floats(0.1, 1.0),
)
loads = st.lists(surfaces, min_size=1, max_size=4)
inlets = st.tuples(st.floats(290.0, 480.0), st.floats(0.003, 0.05))


def together(kinds: list[drum.Surface]) -> drum.Surfaces:
    """Kinds of cloth as one load, their areas as shares of the whole."""
    area = sum(s.area_share for s in kinds)
    shared = [s._replace(area_share=s.area_share / area) for s in kinds]
    return drum.Surfaces(*[*shared, ABSENT, ABSENT, ABSENT][:4])


def exchanges(
    load: drum.Surfaces, inlet: tuple[float, float], units: float, least: float = 0.1
) -> drum.Exchanges:
    flow = 0.06
    stream = drum.drum_stream(flow, *inlet, load, drum.load_surface(load), units * flow, LEWIS, least)
    return drum.drum_exchanges(stream, load)


def along_the_drum(load: drum.Surfaces, inlet: tuple[float, float], units: float) -> np.ndarray:
    """Heat and water of each kind by integrating the stream from inlet to outlet, scipy's DOP853."""
    flow, cp = 0.06, moist_air.moist_specific_heat(inlet[1])
    heat_units = [LEWIS * units * s.area_share for s in load]
    mass_units = [units * s.area_share * s.wetness for s in load]

    def rates(_: float, state: np.ndarray) -> list[float]:
        T, w = state[0], state[1]
        heat = [flow * cp * n * (T - s.temp) for n, s in zip(heat_units, load, strict=True)]
        water = [flow * n * (s.humidity_ratio - w) for n, s in zip(mass_units, load, strict=True)]
        return [-sum(heat) / (flow * cp), sum(water) / flow, *heat, *water]

    start = [*inlet, *[0.0] * 8]
    return np.asarray(solve_ivp(rates, (0.0, 1.0), start, method="DOP853", rtol=1e-10, atol=1e-12).y[2:, -1])


@settings(max_examples=60, deadline=None, derandomize=True)
@given(loads, inlets, st.floats(0.05, 6.0))
def test_closed_form_against_an_integration_along_the_drum(
    kinds: list[drum.Surface], inlet: tuple[float, float], units: float
) -> None:
    """``dT/dx = sum N_i (T_i - T)`` and ``dw/dx = sum N_i f_i (w_i - w)`` stepped through: the same sums."""
    load = together(kinds)
    found = exchanges(load, inlet, units, least=0.0)
    exact = along_the_drum(load, inlet, units)
    assert [e.convection for e in found] == pytest.approx(exact[:4], rel=1e-6, abs=1e-5)
    assert [e.evaporation for e in found] == pytest.approx(exact[4:], rel=1e-6, abs=1e-9)


@settings(max_examples=100, deadline=None, derandomize=True)
@given(loads, inlets, st.floats(0.05, 6.0))
def test_air_leaves_with_what_the_cloth_gave(
    kinds: list[drum.Surface], inlet: tuple[float, float], units: float
) -> None:
    """The humidity of the air that leaves lies between the extremes of inlet and surfaces."""
    load = together(kinds)
    found = exchanges(load, inlet, units)
    out = inlet[1] + drum.exchange_sum(found).evaporation / 0.06
    reach = [inlet[1], *(s.humidity_ratio for s in kinds)]
    assert min(reach) - 1e-12 <= out <= max(reach) + 1e-12
    for e, s in zip(found, load, strict=True):
        assert e.vapour_heat == e.evaporation * moist_air.vapour_enthalpy(s.temp)


def test_equal_kinds_are_one_and_their_order_does_not_matter() -> None:
    one = drum.Surface(1.0, 320.0, 0.06, 0.8)
    whole = exchanges(together([one]), (420.0, 0.012), 1.7).first
    split = exchanges(together([one._replace(area_share=a) for a in (0.2, 0.5, 0.3)]), (420.0, 0.012), 1.7)
    assert drum.exchange_sum(split) == pytest.approx(whole, rel=1e-12)
    kinds = [drum.Surface(0.3, 350.0, 0.002, 0.02), drum.Surface(0.5, 318.0, 0.06, 1.0), one]
    sums = [drum.exchange_sum(exchanges(together(list(p)), (400.0, 0.01), 2.0)) for p in permutations(kinds)]
    assert all(s == pytest.approx(sums[0], rel=1e-12) for s in sums)


def test_a_kind_that_is_not_exposed_takes_no_part() -> None:
    wet = drum.Surface(1.0, 320.0, 0.06, 1.0)
    hidden = drum.Surface(0.0, 310.0, 0.05, 1.0)
    found = exchanges(drum.Surfaces(wet, hidden, ABSENT, ABSENT), (400.0, 0.01), 1.5)
    alone = exchanges(drum.Surfaces(wet, ABSENT, ABSENT, ABSENT), (400.0, 0.01), 1.5)
    assert found.second == drum.Exchange(0.0, 0.0, 0.0)
    assert found.first == alone.first


def test_nothing_exposed_exchanges_nothing() -> None:
    hidden = drum.Surface(0.0, 310.0, 0.05, 1.0)
    found = exchanges(drum.Surfaces(hidden, ABSENT, ABSENT, ABSENT), (400.0, 0.01), 1.5)
    assert drum.exchange_sum(found) == drum.Exchange(0.0, 0.0, 0.0)


def test_a_wet_piece_gives_water_to_a_bone_dry_one() -> None:
    """In air not much warmer than the cloth what leaves the towel settles on the shirt, however dry it is."""
    towel, shirt = drum.Surface(0.5, 318.0, 0.065, 1.0), drum.Surface(0.5, 318.0, 0.0, 0.0)
    found = exchanges(drum.Surfaces(towel, shirt, ABSENT, ABSENT), (320.0, 0.012), 2.0)
    assert found.first.evaporation > 0.0 > found.second.evaporation
    inert = exchanges(drum.Surfaces(towel, shirt, ABSENT, ABSENT), (320.0, 0.012), 2.0, least=0.0)
    assert inert.second.evaporation == 0.0


@given(st.floats(0.0, 0.1), st.floats(0.0, 0.05), st.floats(0.0, 0.05))
def test_least_uptake_comes_in_smoothly(wetness: float, surface: float, air: float) -> None:
    """Between the surface's own wetness and the least, without a jump, and only in uptake."""
    s = drum.Surface(1.0, 300.0, surface, wetness)
    found = drum.uptake_wetness(s, air, 0.1)
    assert wetness <= found <= max(wetness, 0.1)
    if air <= surface:
        assert found == wetness
    if air >= surface + drum.UPTAKE_RAMP * 1.001:
        assert found == pytest.approx(max(wetness, 0.1))
    nudged = drum.uptake_wetness(s, air + 1e-9, 0.1)
    assert abs(nudged - found) < 1e-6


def coupled_outlet(load: drum.Surfaces, inlet: tuple[float, float], units: float) -> float:
    """Outlet temperature with the sensible heat of the vapour on its way, integrated along the drum [K]."""

    def rates(_: float, state: np.ndarray) -> list[float]:
        h, w = state
        T = moist_air.temperature_from_enthalpy(h, w)
        heat = water = vapour = 0.0
        for s in load:
            n = units * s.area_share
            heat += LEWIS * n * moist_air.moist_specific_heat(w) * (T - s.temp)
            given_off = n * s.wetness * (s.humidity_ratio - w)
            water += given_off
            vapour += given_off * moist_air.vapour_enthalpy(s.temp if given_off > 0.0 else T)
        return [vapour - heat, water]

    start = [moist_air.enthalpy(*inlet), inlet[1]]
    end = solve_ivp(rates, (0.0, 1.0), start, method="DOP853", rtol=1e-10, atol=1e-10).y[:, -1]
    return moist_air.temperature_from_enthalpy(float(end[0]), float(end[1]))


def test_neglected_heat_of_the_vapour_is_within_the_stated_tolerance() -> None:
    """A hot dry thin kind beside a wet thick one: outlet air within 0.5 K of the coupled integral."""
    load = together([drum.Surface(0.55, 345.0, 0.01, 0.2), drum.Surface(0.45, 320.0, 0.066, 1.0)])
    inlet, units, flow = (400.0, 0.015), 1.8, 0.06
    found = drum.exchange_sum(exchanges(load, inlet, units))
    w = inlet[1] + found.evaporation / flow
    h = moist_air.enthalpy(*inlet) + (found.vapour_heat - found.convection) / flow
    closed = moist_air.temperature_from_enthalpy(h, w)
    assert closed == pytest.approx(coupled_outlet(load, inlet, units), abs=0.5)


def test_mean_difference_is_the_mean_of_a_decay() -> None:
    x = np.linspace(0.0, 1.0, 20001)
    for n in (1e-13, 1e-3, 1.0, 8.0):
        assert drum.mean_difference(n) == pytest.approx(float(np.trapezoid(np.exp(-n * x), x)), rel=1e-7)
    assert drum.mean_difference(700.0) == pytest.approx(1.0 / 700.0)
    assert math.isclose(drum.mean_difference(0.0), 1.0)
