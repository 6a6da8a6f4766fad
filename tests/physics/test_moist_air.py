"""Moist air against the ASHRAE tables, two independent libraries, and what must hold always."""

from __future__ import annotations

import math

import psychrolib
import pytest
from CoolProp.CoolProp import PropsSI
from CoolProp.HumidAirProp import HAPropsSI
from hypothesis import assume, given
from hypothesis import strategies as st

from dryermodel.physics import moist_air as ma

SEA_LEVEL = 101325.0
ZERO_C = 273.15

temperatures = st.floats(min_value=250.0, max_value=440.0)
drying_temperatures = st.floats(min_value=274.0, max_value=400.0)
humidity_ratios = st.floats(min_value=1e-5, max_value=0.5)
pressures = st.floats(min_value=60e3, max_value=106e3)

# Once, not per test: every call makes the library compile all its functions again.
psychrolib.SetUnitSystem(psychrolib.SI)

# ASHRAE Handbook - Fundamentals (2017), chapter 1 -------------------------------------------------


@pytest.mark.parametrize(("t_C", "p"), [(5, 872.6), (25, 3169.7), (50, 12351.3), (100, 101418.0)])
def test_saturation_pressure_table_3(t_C: float, p: float) -> None:
    """ASHRAE Fundamentals 2017 ch. 1 table 3; the tolerance of 0.1 % is for its newer formulation."""
    assert ma.saturation_pressure(t_C + ZERO_C) == pytest.approx(p, rel=1e-3)


@pytest.mark.parametrize(
    ("t_C", "w_s", "deficit"), [(5, 0.005425, 0.0043), (25, 0.020173, 0.0046), (50, 0.086863, 0.0062)]
)
def test_saturation_humidity_ratio_table_2(t_C: float, w_s: float, deficit: float) -> None:
    """ASHRAE Fundamentals 2017 ch. 1 table 2, within 1 %.

    The table is for real gas. Ideal mixing leaves out the enhancement factor and must therefore come
    out low, by the deficit given; a result on the other side would be a mistake, not luck.
    """
    w = ma.humidity_ratio_from_rh(t_C + ZERO_C, 1.0, SEA_LEVEL)
    assert w == pytest.approx(w_s, rel=0.01)
    assert 1.0 - w / w_s == pytest.approx(deficit, abs=2e-4)


def test_saturation_enthalpy_table_2() -> None:
    """ASHRAE Fundamentals 2017 ch. 1 table 2 at 25 degC, within 0.5 % (0.26 % low: ideal mixing)."""
    w = ma.humidity_ratio_from_rh(298.15, 1.0, SEA_LEVEL)
    assert ma.enthalpy(298.15, w) == pytest.approx(76504.0, rel=5e-3)


def test_worked_example_1_forwards() -> None:
    """ASHRAE Fundamentals 2017 ch. 1 example 1: 40 degC, wet bulb 20 degC, sea level.

    Printed: dew point 7 degC, RH 14 %: both met to the printed digit. Printed humidity ratio 0.0065:
    here 0.00640, 1.5 % low and one unit short in the last digit. Of that, 0.8 % is ideal mixing, as
    the real-gas test below shows (0.00645 prints as 0.0065); the rest is the rounding of the print.
    """
    w = ma.humidity_ratio_from_wet_bulb(313.15, 293.15, SEA_LEVEL)
    assert w == pytest.approx(0.0065, abs=1.0e-4)
    assert round(ma.dew_point(w, SEA_LEVEL) - ZERO_C) == 7
    assert round(ma.relative_humidity(313.15, w, SEA_LEVEL), 2) == 0.14


def test_worked_example_1_backwards() -> None:
    """The same example from its own result back to the wet bulb; from the print's 0.0065 within 0.1 K."""
    w = ma.humidity_ratio_from_wet_bulb(313.15, 293.15, SEA_LEVEL)
    assert ma.wet_bulb(313.15, w, SEA_LEVEL) == pytest.approx(293.15, abs=1e-8)
    assert ma.wet_bulb(313.15, 0.0065, SEA_LEVEL) == pytest.approx(293.15, abs=0.1)


def test_worked_example_1_real_gas_explains_the_difference() -> None:
    """CoolProp (ASHRAE RP-1485 real gas) prints as 0.0065, and the ideal mixture is 0.8 % below it."""
    real = HAPropsSI("W", "T", 313.15, "B", 293.15, "P", SEA_LEVEL)
    ideal = ma.humidity_ratio_from_wet_bulb(313.15, 293.15, SEA_LEVEL)
    assert round(real, 4) == 0.0065
    assert ideal / real - 1.0 == pytest.approx(-0.0080, abs=5e-4)


@pytest.mark.parametrize(("t_C", "h_fg"), [(20, 2453600.0), (60, 2357700.0)])
def test_latent_heat_iapws(t_C: float, h_fg: float) -> None:
    """IAPWS-97, within 0.2 %."""
    assert ma.latent_heat(t_C + ZERO_C) == pytest.approx(h_fg, rel=2e-3)


@pytest.mark.parametrize(
    ("t_C", "excess"), [(0.01, 0.0), (20, 0.0004), (40, 0.0008), (60, 0.0016), (80, 0.0030), (100, 0.0053)]
)
def test_latent_heat_excess_over_coolprop(t_C: float, excess: float) -> None:
    """CoolProp (IAPWS-95): constant specific heats make the latent heat a known bit too high when hot."""
    T = t_C + ZERO_C
    real = PropsSI("H", "T", T, "Q", 1, "Water") - PropsSI("H", "T", T, "Q", 0, "Water")
    assert ma.latent_heat(T) / real - 1.0 == pytest.approx(excess, abs=1e-4)


@pytest.mark.parametrize(("z", "p"), [(1000.0, 89875.0), (2000.0, 79495.0), (3000.0, 70108.0)])
def test_standard_pressure_table_1(z: float, p: float) -> None:
    """ASHRAE Fundamentals 2017 ch. 1 table 1, values from memory; see the derivation below as well."""
    assert ma.standard_pressure(z) == pytest.approx(p, rel=1e-4)


@given(st.floats(min_value=-500.0, max_value=6000.0))
def test_standard_pressure_is_hydrostatic(z: float) -> None:
    """Barometric formula from ISO 2533 constants: 288.15 K, 6.5 K/km, 9.80665 m/s2, 287.053 J/(kg K)."""
    p = 101325.0 * (1.0 - 0.0065 * z / 288.15) ** (9.80665 / (287.05287 * 0.0065))
    assert ma.standard_pressure(z) == pytest.approx(p, rel=2e-5)


# Independent implementations ------------------------------------------------------------------------


@pytest.mark.parametrize("t_C", [0.02, 20.0, 60.0, 100.0, 150.0, 190.0])
def test_saturation_pressure_coolprop(t_C: float) -> None:
    """CoolProp (IAPWS-95): within 0.03 % over the liquid branch; no drift when hot."""
    T = t_C + ZERO_C
    assert ma.saturation_pressure(T) == pytest.approx(PropsSI("P", "T", T, "Q", 0, "Water"), rel=3e-4)


@pytest.mark.parametrize("pressure", [SEA_LEVEL, 84307.0])
@pytest.mark.parametrize("t_C", [-15.0, -5.0, 2.0, 10.0, 25.0, 40.0, 60.0, 75.0])
@pytest.mark.parametrize("rh", [0.05, 0.3, 0.6, 0.95])
def test_states_psychrolib(t_C: float, rh: float, pressure: float) -> None:
    """PsychroLib 2.5 solves the same equations: equal up to rounding and its own search tolerance."""
    T = t_C + ZERO_C
    w = ma.humidity_ratio_from_rh(T, rh, pressure)
    assert w == pytest.approx(psychrolib.GetHumRatioFromRelHum(t_C, rh, pressure), rel=1e-9)
    assert ma.enthalpy(T, w) == pytest.approx(psychrolib.GetMoistAirEnthalpy(t_C, w), abs=1e-3)
    density = psychrolib.GetMoistAirDensity(t_C, w, pressure)
    assert ma.moist_density(T, w, pressure) == pytest.approx(density, rel=1e-6)
    dew = psychrolib.GetTDewPointFromHumRatio(t_C, w, pressure)
    assert ma.dew_point(w, pressure) - ZERO_C == pytest.approx(dew, abs=2e-3)
    bulb = psychrolib.GetTWetBulbFromHumRatio(t_C, w, pressure)
    assert ma.wet_bulb(T, w, pressure) - ZERO_C == pytest.approx(bulb, abs=2e-3)


@pytest.mark.parametrize(
    ("t_C", "below"), [(-5, 0.0), (0, 0.5), (10, 3.0), (25, 0.5), (40, 20.0), (70, 30.0)]
)
def test_wet_bulb_equation_psychrolib(t_C: float, below: float) -> None:
    """PsychroLib 2.5, wet bulb to humidity ratio, wet and iced bulbs."""
    ours = ma.humidity_ratio_from_wet_bulb(t_C + ZERO_C, t_C - below + ZERO_C, SEA_LEVEL)
    theirs = psychrolib.GetHumRatioFromTWetBulb(t_C, t_C - below, SEA_LEVEL)
    assert ours == pytest.approx(theirs, rel=1e-9)


# Largest shortfall of the ideal humidity ratio at each temperature, sea level; it grows with heat.
REAL_GAS = [(2, 0.0044), (10, 0.0044), (25, 0.0047), (40, 0.0054), (60, 0.0074), (75, 0.0099), (90, 0.0133)]


@pytest.mark.parametrize(("t_C", "shortfall"), REAL_GAS)
@pytest.mark.parametrize("rh", [0.1, 0.5, 1.0])
def test_humidity_ratio_real_gas(t_C: float, shortfall: float, rh: float) -> None:
    """CoolProp HAPropsSI (ASHRAE RP-1485): ideal mixing is always low, never by more than stated.

    Up to 60 degC that is 0.7 %, as the module says; hotter saturated air is further off.
    """
    T = t_C + ZERO_C
    real = HAPropsSI("W", "T", T, "R", rh, "P", SEA_LEVEL)
    deficit = 1.0 - ma.humidity_ratio_from_rh(T, rh, SEA_LEVEL) / real
    assert 0.0 < deficit < shortfall


# Room air, the drum's outlet from warm to hot and wet, and its inlet behind the burner.
DRUM_AIR = [(25.0, 0.010), (25.0, 0.018), (40.0, 0.010), (40.0, 0.040), (60.0, 0.010), (60.0, 0.060)]
DRUM_AIR += [(90.0, 0.015), (90.0, 0.060), (120.0, 0.015), (150.0, 0.015)]


@pytest.mark.parametrize(("t_C", "w"), DRUM_AIR)
def test_drying_air_real_gas(t_C: float, w: float) -> None:
    """CoolProp HAPropsSI in the drum's range: wet bulb and dew point within 0.1 K, volume 0.05 %.

    The rise of enthalpy over dry air at 25 degC is within 0.4 % (constant specific heats).
    """
    T = t_C + ZERO_C
    state = ("T", T, "W", w, "P", SEA_LEVEL)
    assert ma.wet_bulb(T, w, SEA_LEVEL) == pytest.approx(HAPropsSI("B", *state), abs=0.1)
    assert ma.dew_point(w, SEA_LEVEL) == pytest.approx(HAPropsSI("D", *state), abs=0.1)
    assert 1.0 / ma.dry_density(T, w, SEA_LEVEL) == pytest.approx(HAPropsSI("V", *state), rel=5e-4)
    reference = HAPropsSI("H", "T", 298.15, "W", 0.0, "P", SEA_LEVEL)
    rise = ma.enthalpy(T, w) - ma.enthalpy(298.15, 0.0)
    assert rise == pytest.approx(HAPropsSI("H", *state) - reference, rel=4e-3)


# What must hold always --------------------------------------------------------------------------------


@given(st.floats(min_value=173.15, max_value=473.0), st.floats(min_value=1e-3, max_value=0.15))
def test_saturation_pressure_rises(T: float, step: float) -> None:
    assert ma.saturation_pressure(T + step) > ma.saturation_pressure(T)


def test_saturation_branches_meet() -> None:
    """Ice and liquid differ by 0.01 % at 0 degC, and the slope over ice is the steeper one."""
    ice, liquid = ma.saturation_pressure(ZERO_C - 1e-9), ma.saturation_pressure(ZERO_C)
    assert ice == pytest.approx(liquid, rel=1.1e-4)
    assert ice < liquid


@given(temperatures)
def test_clausius_clapeyron(T: float) -> None:
    """d ln p / d(1/T) = -L/R_v: the fit's slope is a latent heat, within 1.2 % (real vapour, hot)."""
    assume(T > ZERO_C + 1.0 and T < 373.15)
    up, down = ma.saturation_pressure(T + 0.05), ma.saturation_pressure(T - 0.05)
    slope = (math.log(up) - math.log(down)) / (1.0 / (T - 0.05) - 1.0 / (T + 0.05))
    assert slope * 461.5 == pytest.approx(ma.latent_heat(T), rel=0.012)


@given(humidity_ratios, pressures)
def test_humidity_ratio_round_trip(w: float, pressure: float) -> None:
    assert ma.humidity_ratio(ma.vapour_pressure(w, pressure), pressure) == pytest.approx(w, rel=1e-12)


@given(st.floats(min_value=0.0, max_value=1e7), pressures)
def test_humidity_ratio_is_finite_and_bounded_past_boiling(p_w: float, pressure: float) -> None:
    w = ma.humidity_ratio(p_w, pressure)
    assert 0.0 <= w <= 0.621945 * 19.0 * (1.0 + 1e-12)


def test_humidity_ratio_clips_at_95_percent() -> None:
    at_clip = ma.humidity_ratio(0.95 * SEA_LEVEL, SEA_LEVEL)
    assert ma.humidity_ratio(2.0 * SEA_LEVEL, SEA_LEVEL) == at_clip
    assert ma.humidity_ratio(0.949 * SEA_LEVEL, SEA_LEVEL) < at_clip


@given(temperatures, humidity_ratios)
def test_enthalpy_round_trip(T: float, w: float) -> None:
    assert ma.temperature_from_enthalpy(ma.enthalpy(T, w), w) == pytest.approx(T, abs=1e-9)


@given(temperatures)
def test_latent_heat_is_the_difference(T: float) -> None:
    """A balance of enthalpies can only close if this is exact; also 2501 - 2.326 t kJ/kg as printed."""
    assert ma.latent_heat(T) == ma.vapour_enthalpy(T) - ma.water_enthalpy(T)
    assert ma.latent_heat(T) == pytest.approx(2.501e6 - 2326.0 * (T - ZERO_C), rel=1e-12)


@given(temperatures, humidity_ratios)
def test_moist_specific_heat_is_the_slope_of_enthalpy(T: float, w: float) -> None:
    rise = ma.enthalpy(T + 1.0, w) - ma.enthalpy(T, w)
    assert rise == pytest.approx(ma.moist_specific_heat(w), rel=1e-8)


@given(temperatures, humidity_ratios, pressures)
def test_density_is_the_sum_of_partial_densities(T: float, w: float, pressure: float) -> None:
    """Dalton: dry air at P - p_w plus vapour at p_w, each an ideal gas."""
    p_w = ma.vapour_pressure(w, pressure)
    dry, vapour = (pressure - p_w) / (287.042 * T), p_w / (287.042 / 0.621945 * T)
    assert ma.dry_density(T, w, pressure) == pytest.approx(dry, rel=1e-9)
    assert ma.moist_density(T, w, pressure) == pytest.approx(dry + vapour, rel=1e-9)


@given(drying_temperatures, st.floats(min_value=0.01, max_value=0.99), pressures)
def test_dew_point_wet_bulb_dry_bulb_in_order(T: float, rh: float, pressure: float) -> None:
    assume(rh * ma.saturation_pressure(T) < 0.9 * pressure)
    w = ma.humidity_ratio_from_rh(T, rh, pressure)
    dew, bulb = ma.dew_point(w, pressure), ma.wet_bulb(T, w, pressure)
    assume(dew > ZERO_C)
    assert dew <= bulb + 1e-9
    assert bulb <= T


@given(drying_temperatures, st.floats(min_value=0.01, max_value=0.99), pressures)
def test_relative_humidity_and_dew_point_round_trips(T: float, rh: float, pressure: float) -> None:
    assume(rh * ma.saturation_pressure(T) < 0.9 * pressure)
    w = ma.humidity_ratio_from_rh(T, rh, pressure)
    assert ma.relative_humidity(T, w, pressure) == pytest.approx(rh, rel=1e-9)
    dew = ma.dew_point(w, pressure)
    assert ma.humidity_ratio_from_rh(dew, 1.0, pressure) == pytest.approx(w, rel=2e-4)


@given(drying_temperatures, st.floats(min_value=0.0, max_value=0.2), pressures)
def test_wet_bulb_satisfies_its_equation(T: float, w: float, pressure: float) -> None:
    """Bulb to humidity and back; the other way round fails where two bulbs exist, see below."""
    assume(ma.relative_humidity(T, w, pressure) < 1.0)
    bulb = ma.wet_bulb(T, w, pressure)
    assert ma.humidity_ratio_from_wet_bulb(T, bulb, pressure) == pytest.approx(w, abs=3e-7)


def test_two_bulbs_near_freezing_takes_the_wet_one() -> None:
    """At 5 degC and 0.0019 kg/kg both an iced bulb below 0 and a wet bulb above 0 satisfy the definition."""
    bulb = ma.wet_bulb(278.15, 0.0019, SEA_LEVEL)
    assert bulb > ZERO_C
    iced = [ma.humidity_ratio_from_wet_bulb(278.15, ZERO_C - d, SEA_LEVEL) - 0.0019 for d in (1e-6, 0.5)]
    assert iced[0] > 0.0 > iced[1]
    assert ma.wet_bulb(278.15, 0.0017, SEA_LEVEL) < ZERO_C


@given(drying_temperatures, pressures)
def test_wet_bulb_of_supersaturated_air_is_its_temperature(T: float, pressure: float) -> None:
    assume(ma.saturation_pressure(T) < 0.8 * pressure)
    w = 1.2 * ma.humidity_ratio_from_rh(T, 1.0, pressure)
    assert ma.wet_bulb(T, w, pressure) == pytest.approx(T, abs=1e-9)


def test_impossible_wet_bulb_shows_as_negative() -> None:
    assert ma.humidity_ratio_from_wet_bulb(313.15, 280.0, SEA_LEVEL) < 0.0


def test_dew_point_stays_in_range() -> None:
    assert ma.dew_point(0.0, SEA_LEVEL) == pytest.approx(173.15, abs=1e-9)
    assert ma.dew_point(1e9, 5e6) == pytest.approx(473.15, abs=1e-9)
