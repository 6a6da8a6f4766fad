"""Heat and moisture in the drum: what theory says at the limits, and what must hold always."""

from __future__ import annotations

import itertools
import math

import numpy as np
import psychrolib
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from dryermodel.physics import drum, moist_air, textile

psychrolib.SetUnitSystem(psychrolib.SI)

SEA_LEVEL = 101325.0
MANY_UNITS = 50.0  # transfer units: exp(-50) is nothing

temperatures = st.floats(260.0, 500.0)
humidities = st.floats(0.0, 0.2)
dry_flows = st.floats(2e-4, 0.2)
transfer_units = st.floats(1e-4, 60.0)


def surface(T: float, pressure: float = SEA_LEVEL) -> float:
    """Humidity ratio at a wet surface."""
    return moist_air.humidity_ratio(moist_air.saturation_pressure(T), pressure)


ABSENT = drum.Surface(0.0, 300.0, 0.0, 1.0)


def exchange(
    flow: float,
    t_in: float,
    w_in: float,
    T: float,
    w_s: float,
    wetness: float,
    conductance: float,
    lewis: float,
    least: float = 0.1,
) -> drum.Exchange:
    """Exchange of a load of one kind of cloth."""
    surface = drum.Surface(1.0, T, w_s, wetness)
    surfaces = drum.Surfaces(surface, ABSENT, ABSENT, ABSENT)
    load = drum.load_surface(surfaces)
    stream = drum.drum_stream(flow, t_in, w_in, surfaces, load, conductance, lewis, least)
    return drum.drum_exchange(stream, surface)


def rest_temperature(
    inlet_temp: float, w: float, units: float, lewis: float = 0.91, pressure: float = SEA_LEVEL
) -> float:
    """Where a wet load with ample water stops warming: heat in pays for the evaporation, both at T."""
    flow = 0.06

    def warming(T: float) -> float:
        ex = exchange(flow, inlet_temp, w, T, surface(T, pressure), 1.0, units * flow, lewis)
        return ex.convection - ex.vapour_heat + ex.evaporation * moist_air.water_enthalpy(T)

    return float(brentq(warming, 240.0, inlet_temp, xtol=1e-10))


# a wet load and a bone-dry one ---------------------------------------------------------------------


@pytest.mark.parametrize("t_in", [20.0, 50.0, 90.0, 130.0])
@pytest.mark.parametrize("w", [0.002, 0.0093, 0.0140])
@pytest.mark.parametrize("pressure", [101325.0, 80000.0])
def test_wet_load_settles_at_the_wet_bulb(t_in: float, w: float, pressure: float) -> None:
    """Complete transfer: the thermodynamic wet bulb of the drum inlet air, psychrolib 2.5.0.

    Within 0.01 K: psychrolib solves to 0.001 K, and its constants are those of ASHRAE Fundamentals
    2017 ch. 1 as here. This is theory: an adiabatic saturator. Above the boiling point psychrolib's
    bracket can start beyond its own pole (170 degC with 0.03 kg/kg returns the dry bulb): not used.
    """
    assert w < surface(t_in + 273.15, pressure), "the inlet air must not be fog"
    expected = psychrolib.GetTWetBulbFromHumRatio(t_in, w, pressure) + 273.15
    settled = rest_temperature(t_in + 273.15, w, MANY_UNITS, pressure=pressure)
    assert settled == pytest.approx(expected, abs=0.01)


@pytest.mark.parametrize(("T", "w"), [(293.15, 0.0093), (400.0, 0.012), (463.0, 0.020), (463.0, 0.05)])
def test_wet_load_settles_at_this_librarys_own_wet_bulb(T: float, w: float) -> None:
    """The same up to the drum inlet of a machine at half its airflow: two roots of one definition."""
    assert rest_temperature(T, w, MANY_UNITS) == pytest.approx(moist_air.wet_bulb(T, w, SEA_LEVEL), abs=1e-6)


@pytest.mark.parametrize("units", [0.05, 0.5, 2.0, 10.0])
def test_with_equal_transfer_units_the_wet_bulb_holds_at_any_transfer(units: float) -> None:
    """A Lewis factor of 1 makes the two effectivenesses cancel."""
    bulb = moist_air.wet_bulb(400.0, 0.012, SEA_LEVEL)
    assert rest_temperature(400.0, 0.012, units, lewis=1.0) == pytest.approx(bulb, abs=1e-6)


def test_with_little_transfer_the_load_rests_below_the_wet_bulb() -> None:
    """Heat has fewer transfer units than water (0.91), so the load is cooler, by less as they grow."""
    bulb = moist_air.wet_bulb(400.0, 0.012, SEA_LEVEL)
    deficit = [bulb - rest_temperature(400.0, 0.012, n) for n in (0.1, 0.5, 1.0, 2.0, 5.0, 20.0)]
    assert all(a > b > 0.0 for a, b in itertools.pairwise(deficit))
    assert deficit[0] < 2.5
    assert deficit[-1] < 1e-3


def test_bone_dry_load_rests_at_the_inlet_temperature() -> None:
    """No water leaves it, and heat flows until it is as hot as the air."""
    dry = textile.surface_wetness(0.0, 0.25)
    at_inlet = exchange(0.06, 400.0, 0.012, 400.0, 0.0, dry, 0.115, 0.91, 0.0)
    assert at_inlet == drum.Exchange(0.0, 0.0, 0.0)
    cooler = exchange(0.06, 400.0, 0.012, 399.0, 0.0, dry, 0.115, 0.91, 0.0)
    assert cooler.convection > 0.0
    assert cooler.evaporation == 0.0


def test_bone_dry_load_warms_to_the_inlet_temperature_in_time() -> None:
    """The whole way there follows exp(-t/tau), tau = m c/(eps m_air cp): closed form against Euler."""
    mass, c, flow = 3.833, 1165.0, 0.06
    rate = 0.06 * moist_air.moist_specific_heat(0.012) * -math.expm1(-0.91 * 0.115 / flow)
    T, dt = 300.0, 0.05
    for _ in range(int(600.0 / dt)):
        ex = exchange(flow, 400.0, 0.012, T, 0.0, 0.0, 0.115, 0.91, 0.0)
        T += dt * (ex.convection - ex.vapour_heat) / (mass * c)
    closed_form = 400.0 - 100.0 * math.exp(-rate * 600.0 / (mass * c))
    assert pytest.approx(closed_form, abs=0.01) == T


def test_condensation_on_a_cold_load() -> None:
    """A load below the dew point of the air gains water, and is warmed by it: real in the first minute."""
    ex = exchange(0.06, 297.0, 0.012, 275.0, surface(275.0), 1.0, 0.115, 0.91)
    assert moist_air.dew_point(0.012, SEA_LEVEL) > 275.0
    assert ex.evaporation < 0.0
    assert ex.vapour_heat < 0.0 < ex.convection


# what must hold always -----------------------------------------------------------------------------


@given(dry_flows, temperatures, humidities, st.floats(260.0, 360.0), st.floats(0.0, 1.0), transfer_units)
def test_exchange_conserves_heat_and_water(
    flow: float, t_in: float, w_in: float, t_load: float, wetness: float, units: float
) -> None:
    """What the load loses the air gains; the air that leaves lies between inlet air and surface air.

    The air's own enthalpy, not the exchange's formula, says how warm it leaves.
    """
    w_s = surface(t_load)
    ex = exchange(flow, t_in, w_in, t_load, w_s, wetness, units * flow, 0.91)
    w_out = w_in + ex.evaporation / flow
    h_out = moist_air.enthalpy(t_in, w_in) + (ex.vapour_heat - ex.convection) / flow
    t_out = moist_air.temperature_from_enthalpy(h_out, w_out)
    load_gains = ex.convection - ex.vapour_heat
    air_gains = flow * (moist_air.enthalpy(t_out, w_out) - moist_air.enthalpy(t_in, w_in))
    assert load_gains == pytest.approx(-air_gains, rel=1e-9, abs=1e-6)
    assert min(w_in, w_s) - 1e-12 <= w_out <= max(w_in, w_s) + 1e-12
    assert min(t_in, t_load) - 1e-6 <= t_out <= max(t_in, t_load) + 1e-6


@given(dry_flows, temperatures, humidities, st.floats(260.0, 360.0), st.floats(0.0, 1.0), transfer_units)
def test_directions(
    flow: float, t_in: float, w_in: float, t_load: float, wetness: float, units: float
) -> None:
    """Heat flows from warm to cold, water from moist to dry."""
    w_s = surface(t_load)
    ex = exchange(flow, t_in, w_in, t_load, w_s, wetness, units * flow, 0.91)
    assert ex.convection * (t_in - t_load) >= 0.0
    assert ex.evaporation * (w_s - w_in) >= 0.0
    assert ex.vapour_heat == ex.evaporation * moist_air.vapour_enthalpy(t_load)


@given(dry_flows, st.floats(0.0, 0.99), st.floats(0.0, 0.99), transfer_units)
def test_a_drier_surface_gives_off_less(flow: float, a: float, b: float, units: float) -> None:
    low, high = sorted((a, b))
    evaporation = [
        exchange(flow, 380.0, 0.01, 310.0, surface(310.0), f, units * flow, 0.91).evaporation
        for f in (low, high, 1.0)
    ]
    rounding = 1.0 + 1e-14
    assert evaporation[0] <= evaporation[1] * rounding <= evaporation[2] * rounding**2


@given(st.floats(0.0, 700.0))
def test_effectiveness(units: float) -> None:
    """Between 0 and 1, the textbook form, exact for small arguments where 1 - exp loses its digits."""
    e = drum.effectiveness(units)
    assert 0.0 <= e <= 1.0
    assert e == pytest.approx(1.0 - math.exp(-units), abs=1e-15)
    if units < 1e-9:
        assert e == pytest.approx(units, rel=1e-8)
    assert drum.mean_difference(units) * units == pytest.approx(e, rel=1e-12)


@given(st.floats(0.1, 500.0), st.floats(0.0, 300.0), temperatures, temperatures)
def test_metal_exchange_is_bounded(capacity: float, conductance: float, air: float, metal: float) -> None:
    """Never more than the conductance allows, nor than cools the air to the metal."""
    q = drum.metal_exchange(capacity, conductance, air, metal)
    assert q * (air - metal) >= 0.0
    assert abs(q) <= min(conductance, capacity) * abs(air - metal) * (1.0 + 1e-12) + 1e-300
    leaving = air - q / capacity
    assert min(air, metal) - 1e-9 <= leaving <= max(air, metal) + 1e-9


def test_metal_exchange_limits() -> None:
    """Much air: UA times the difference. Little air: all it carries."""
    assert drum.metal_exchange(1e6, 20.0, 320.0, 310.0) == pytest.approx(200.0, rel=1e-4)
    assert drum.metal_exchange(0.2, 20.0, 320.0, 310.0) == pytest.approx(2.0, rel=1e-9)


# transfer conductance ------------------------------------------------------------------------------


def conductance(flow: float = 0.06, mass: float = 3.833, tumbling: float = 1.0) -> float:
    factor = drum.load_factor(mass, 3.833, 0.5, 9.0)
    return drum.transfer_conductance(flow, 0.115 * factor * tumbling, 0.06, 0.6)


def test_conductance_at_the_reference() -> None:
    assert conductance() == pytest.approx(0.115, rel=1e-12)


def test_conductance_grows_with_flow_to_the_power_given() -> None:
    assert conductance(flow=0.12) / conductance() == pytest.approx(2.0**0.6, rel=1e-12)


def test_conductance_of_small_and_over_full_loads() -> None:
    """A quarter load has half (exponent 0.5) less crowding; an over-full drum dries worse than a full one."""
    quarter = conductance(mass=3.833 / 4.0) / conductance()
    assert quarter == pytest.approx(0.5, rel=0.04)
    masses = np.linspace(0.2, 18.0, 90)
    values = [conductance(mass=float(m)) for m in masses]
    best = float(masses[int(np.argmax(values))])
    assert 5.0 < best < 9.0
    assert values[-1] < 0.25 * max(values)


def test_conductance_is_proportional_to_tumbling() -> None:
    assert conductance(tumbling=0.05) == pytest.approx(0.05 * conductance(), rel=1e-12)


def test_more_air_means_fewer_transfer_units() -> None:
    """The exponent is below 1, so the air leaves less saturated the faster it passes."""
    assert conductance(flow=0.12) / 0.12 < conductance(flow=0.06) / 0.06
