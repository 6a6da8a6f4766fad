"""Fuel gas against published orifice tables, a rating plate, trade lessons and stoichiometry."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dryermodel.physics import fuel, moist_air

FT3 = 0.028316846592
BTU = 1055.05585262
BTU_PER_FT3 = BTU / FT3
BTU_PER_H = BTU / 3600.0
INWC = 249.08891
FOOT = 0.3048

areas = st.floats(min_value=1e-8, max_value=1e-4)
drops = st.floats(min_value=1.0, max_value=5000.0)
gravities = st.floats(min_value=0.4, max_value=2.1)
gauge_pressures = st.floats(min_value=0.0, max_value=5000.0)


def ft3_per_h(drill: int, drop_inwc: float, gravity: float) -> float:
    """Flow of a number drill in the trade's units."""
    area = fuel.orifice_area(fuel.drill_diameter(drill))
    return fuel.orifice_flow(area, drop_inwc * INWC, gravity) / FT3 * 3600.0


# Orifice ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("drill", "diameter_in", "drop_inwc", "gravity", "flow"),
    [
        (80, 0.0135, 3.5, 0.60, 0.516),
        (72, 0.0250, 3.5, 0.60, 1.770),
        (65, 0.0350, 3.5, 0.60, 3.469),
        (65, 0.0350, 11.0, 1.50, 3.889),
        (62, 0.0380, 10.0, 1.50, 4.371),
    ],
)
def test_orifice_tables(
    drill: int, diameter_in: float, drop_inwc: float, gravity: float, flow: float
) -> None:
    """Block E Fuel Gas Systems, appendix 2, BCcampus 2023: size, and flow to the printed digit."""
    assert fuel.drill_diameter(drill) == pytest.approx(diameter_in * 0.0254, rel=1e-12)
    assert ft3_per_h(drill, drop_inwc, gravity) == pytest.approx(flow, abs=5e-4)


def test_orifice_rating_plate() -> None:
    """A commercial dryer's rating plate: one drill 11 (0.191 in), 3.5 in w.c., 1025 Btu/ft3: 106000 Btu/h.

    The formula gives 105900; the plate rounds to the nearest thousand.
    """
    assert fuel.drill_diameter(11) == pytest.approx(0.191 * 0.0254, rel=1e-12)
    area = fuel.orifice_area(fuel.drill_diameter(11))
    flow = fuel.orifice_flow(area, 3.5 * INWC, fuel.NATURAL_GAS.specific_gravity)
    rate = fuel.firing_rate(flow, fuel.NATURAL_GAS.heating_value) / BTU_PER_H
    assert rate == pytest.approx(105900.0, rel=1e-3)
    assert round(rate, -3) == 106000.0


def test_specific_gravity_multiplier() -> None:
    """sqrt(0.60/SG): 1.095 for a gas of 0.50."""
    ratio = fuel.orifice_flow(1e-6, 870.0, 0.50) / fuel.orifice_flow(1e-6, 870.0, 0.60)
    assert round(ratio, 3) == 1.095


@given(areas, drops, gravities, st.floats(min_value=0.5, max_value=1.0))
def test_orifice_is_the_trade_formula_in_si(area: float, drop: float, gravity: float, c: float) -> None:
    """Number for number: 1658.5 C A[in2] sqrt(h[in w.c.]/SG) ft3/h (NFPA 54 Annex E)."""
    trade = 1658.5 * c * (area / 0.0254**2) * math.sqrt(drop / INWC / gravity)
    assert fuel.orifice_flow(area, drop, gravity, c) == pytest.approx(trade * FT3 / 3600.0, rel=1e-12)


def test_orifice_constant_is_bernoulli() -> None:
    """sqrt(2/rho) of air at the gas standard state (ideal gas): the printed 1658.5 is 0.3 % above it."""
    air = 101560.0 / (287.042 * (273.15 + 15.5556))
    assert pytest.approx(math.sqrt(2.0 / air), rel=4e-3) == fuel.ORIFICE_CONSTANT


@given(areas, drops, gravities)
def test_orifice_round_trip(area: float, drop: float, gravity: float) -> None:
    flow = fuel.orifice_flow(area, drop, gravity)
    assert fuel.orifice_area_for(flow, drop, gravity) == pytest.approx(area, rel=1e-12)


@given(areas, drops, gravities)
def test_orifice_flow_rises_with_pressure_and_area(area: float, drop: float, gravity: float) -> None:
    flow = fuel.orifice_flow(area, drop, gravity)
    assert fuel.orifice_flow(area, 4.0 * drop, gravity) == pytest.approx(2.0 * flow, rel=1e-12)
    assert fuel.orifice_flow(2.0 * area, drop, gravity) == pytest.approx(2.0 * flow, rel=1e-12)


def test_no_pressure_no_flow() -> None:
    assert fuel.orifice_flow(1e-6, 0.0, 0.6) == 0.0


# Drills ----------------------------------------------------------------------------------------------


def test_drill_table_is_complete_and_falls() -> None:
    """ANSI/ASME B94.11M, from memory: 80 sizes in falling order; steps of at most 7 % down to number 50.

    A slip of one digit in an entry breaks the order or the step. Below 50 the series itself is coarser.
    """
    diameters = [fuel.drill_diameter(n) for n in range(1, 81)]
    assert len(fuel.DRILL_INCHES) == 80
    assert all(a > b for a, b in pairwise(diameters))
    assert all(b / a > 0.93 for a, b in pairwise(diameters[:50]))


@pytest.mark.parametrize(
    ("drill", "inch"), [(1, 0.2280), (7, 0.2010), (21, 0.1590), (42, 0.0935), (60, 0.0400)]
)
def test_drill_sizes_from_memory(drill: int, inch: float) -> None:
    """Shop knowledge, from memory: 7 taps 1/4-20, 21 taps 10-32, 42 is just under 3/32 in, 60 is 0.040."""
    assert fuel.drill_diameter(drill) == pytest.approx(inch * 0.0254, rel=1e-12)


@pytest.mark.parametrize("number", range(1, 81))
def test_nearest_drill_round_trip(number: int) -> None:
    assert fuel.nearest_drill(fuel.drill_diameter(number)) == number


@given(st.floats(min_value=1e-5, max_value=0.02))
def test_nearest_drill_is_nearest(diameter: float) -> None:
    best = abs(fuel.drill_diameter(fuel.nearest_drill(diameter)) - diameter)
    assert all(best <= abs(fuel.drill_diameter(n) - diameter) for n in range(1, 81))


@pytest.mark.parametrize("number", [0, 81, -1])
def test_drill_number_out_of_range(number: int) -> None:
    with pytest.raises(ValueError, match="1 to 80"):
        fuel.drill_diameter(number)


@pytest.mark.parametrize("diameter", [0.0, -0.001, math.nan])
def test_nearest_drill_needs_a_diameter(diameter: float) -> None:
    with pytest.raises(ValueError, match="above 0 m"):
        fuel.nearest_drill(diameter)


# Fuel and combustion ---------------------------------------------------------------------------------


def lhv_share(water_per_energy: float) -> float:
    """LHV over HHV [1]: what the water formed [kg/J] does not carry away as latent heat at 25 degC."""
    return 1.0 - water_per_energy * moist_air.latent_heat(298.15)


@pytest.mark.parametrize(("gas", "share"), [(fuel.NATURAL_GAS, 0.902), (fuel.PROPANE, 0.921)])
def test_lhv_over_hhv(gas: fuel.Gas, share: float) -> None:
    """Standard enthalpies of formation, GRI-Mech 3.0 species data: three digits."""
    assert round(lhv_share(gas.water_per_energy), 3) == share


@pytest.mark.parametrize(("gas", "kg_per_MJ"), [(fuel.NATURAL_GAS, 0.0400), (fuel.PROPANE, 0.0325)])
def test_water_formed(gas: fuel.Gas, kg_per_MJ: float) -> None:
    """Standard enthalpies of formation, GRI-Mech 3.0 species data."""
    assert gas.water_per_energy * 1e6 == pytest.approx(kg_per_MJ, rel=1e-9)


def combustion(carbon: int, hydrogen: int, formation: float) -> tuple[float, float, float]:
    """Water [kg/J], air [kg/J] and LHV share of a hydrocarbon of formation enthalpy [J/mol].

    Enthalpies of formation at 25 degC (CODATA, from memory): CO2 -393.51, water -285.83, vapour -241.83
    kJ/mol. Air has 20.95 % oxygen by volume and 28.965 g/mol.
    """
    water = hydrogen / 2.0
    gross = formation + carbon * 393.51e3 + water * 285.83e3
    net = formation + carbon * 393.51e3 + water * 241.83e3
    oxygen = carbon + hydrogen / 4.0
    return water * 0.018015 / gross, oxygen / 0.2095 * 0.028965 / gross, net / gross


def test_propane_is_its_own_stoichiometry() -> None:
    """C3H8, formation -104.7 kJ/mol (from memory): nothing in the constant is left to choose."""
    water, air, share = combustion(3, 8, -104.7e3)
    assert fuel.PROPANE.water_per_energy == pytest.approx(water, rel=2e-3)
    assert fuel.PROPANE.air_per_energy == pytest.approx(air, rel=6e-3)
    assert lhv_share(fuel.PROPANE.water_per_energy) == pytest.approx(share, rel=1e-3)


def test_natural_gas_is_nearly_methane() -> None:
    """CH4, formation -74.6 kJ/mol (from memory); ethane and inerts lower the water per heat by 1 %."""
    water, air, share = combustion(1, 4, -74.6e3)
    assert 0.98 < fuel.NATURAL_GAS.water_per_energy / water < 1.0
    assert fuel.NATURAL_GAS.air_per_energy == pytest.approx(air, rel=6e-3)
    assert lhv_share(fuel.NATURAL_GAS.water_per_energy) == pytest.approx(share, rel=2e-3)


def test_gas_constants_in_trade_units() -> None:
    """Common practice: 1025 Btu/ft3 at SG 0.60, 2500 Btu/ft3 at SG 1.5."""
    assert fuel.NATURAL_GAS.heating_value / BTU_PER_FT3 == pytest.approx(1025.0, rel=1e-9)
    assert fuel.PROPANE.heating_value / BTU_PER_FT3 == pytest.approx(2500.0, rel=1e-9)
    assert (fuel.NATURAL_GAS.specific_gravity, fuel.PROPANE.specific_gravity) == (0.60, 1.5)


def test_minimum_combustion_air() -> None:
    """0.31 kg/MJ: 22000 Btu/h needs 2.0 g/s, a few per cent of a healthy machine's air."""
    rate = 22000.0 * BTU_PER_H
    assert fuel.minimum_combustion_air(rate, 0.31e-6) == pytest.approx(0.31 * rate / 1e6, rel=1e-12)


# Regulator, input off the plate, altitude --------------------------------------------------------------


@given(gauge_pressures, gauge_pressures, st.floats(min_value=0.0, max_value=1000.0))
def test_manifold_pressure_holds_then_follows(supply: float, set_point: float, drop: float) -> None:
    manifold = fuel.manifold_pressure(supply, set_point, drop)
    assert 0.0 <= manifold <= set_point
    if supply >= set_point + drop:
        assert manifold == pytest.approx(set_point, abs=1e-9)
    else:
        assert manifold == pytest.approx(max(0.0, supply - drop), abs=1e-9)


@given(gauge_pressures, st.floats(min_value=0.0, max_value=500.0))
def test_manifold_pressure_never_falls_with_supply(supply: float, more: float) -> None:
    low = fuel.manifold_pressure(supply, 870.0, 200.0)
    assert fuel.manifold_pressure(supply + more, 870.0, 200.0) >= low


@given(st.floats(min_value=1.0, max_value=3000.0), gravities, st.floats(min_value=2e7, max_value=1.3e8))
def test_fixed_orifice_is_the_orifice_formula(manifold: float, gravity: float, heating_value: float) -> None:
    """A plate of natural gas at 3.5 in w.c. and sea level, then any gas and pressure in the same orifice."""
    area, rated_manifold = 3e-6, 3.5 * INWC

    def rate(pressure: float, sg: float, hv: float) -> float:
        return fuel.firing_rate(fuel.orifice_flow(area, pressure, sg), hv)

    rated = rate(rated_manifold, 0.60, fuel.NATURAL_GAS.heating_value)
    natural = fuel.wobbe_index(fuel.NATURAL_GAS.heating_value, 0.60)
    ratio = fuel.wobbe_index(heating_value, gravity) / natural
    ours = fuel.fixed_orifice_rate(rated, manifold, rated_manifold, ratio, 101325.0)
    assert ours == pytest.approx(rate(manifold, gravity, heating_value), rel=1e-12)


def test_wrong_gas_overfires_by_the_wobbe_ratio() -> None:
    """Propane through a natural-gas orifice at the same pressure: 2500/1025 sqrt(0.6/1.5) = 1.543."""
    propane = fuel.wobbe_index(fuel.PROPANE.heating_value, fuel.PROPANE.specific_gravity)
    natural = fuel.wobbe_index(fuel.NATURAL_GAS.heating_value, fuel.NATURAL_GAS.specific_gravity)
    assert propane / natural == pytest.approx(2500.0 / 1025.0 * math.sqrt(0.4), rel=1e-12)


def test_no_gas_pressure_no_fire() -> None:
    assert fuel.fixed_orifice_rate(6448.0, 0.0, 870.0, 1.0, 101325.0) == 0.0


@pytest.mark.parametrize(
    ("feet", "factor"), [(0.0, 1.0), (2000.0, 1.0), (2001.0, 0.91996), (5000.0, 0.80), (10000.0, 0.60)]
)
def test_altitude_rule(feet: float, factor: float) -> None:
    """NFPA 54 (2015) as quoted in the trade press: 5000 ft gives 0.80, and none at or below 2000 ft."""
    assert fuel.altitude_rule_factor(feet * FOOT) == pytest.approx(factor, abs=1e-9)


@given(st.floats(min_value=-400.0, max_value=9000.0), st.floats(min_value=0.0, max_value=1000.0))
def test_altitude_rule_never_rises_and_stays_in_range(altitude: float, more: float) -> None:
    here = fuel.altitude_rule_factor(altitude)
    assert 0.0 <= fuel.altitude_rule_factor(altitude + more) <= here <= 1.0


def test_altitude_rule_and_physics_differ() -> None:
    """At 5000 ft an untouched orifice still gives 91 % where the rule allows 80 %: both are reported."""
    pressure = moist_air.standard_pressure(5000.0 * FOOT)
    physics = fuel.fixed_orifice_rate(1.0, 870.0, 870.0, 1.0, pressure)
    assert physics == pytest.approx(0.912, abs=1e-3)
    assert fuel.altitude_rule_factor(5000.0 * FOOT) < physics


# Meter -----------------------------------------------------------------------------------------------


def test_clocking_the_meter_half_foot_dial() -> None:
    """HVAC trade lesson on clocking a meter: 0.5 ft3 in 29 s at 1000 Btu/ft3 is 62000 Btu/h, rounded."""
    rate = fuel.meter_firing_rate(0.5 * FT3, 29.0, 1000.0 * BTU_PER_FT3) / BTU_PER_H
    assert round(rate, -3) == 62000.0


def test_clocking_the_meter_one_foot_dial() -> None:
    """UK plumbing lesson, imperial gas rate: 1 ft3 in 80 s at 1040 Btu/ft3 is 46800 Btu/h exactly."""
    rate = fuel.meter_firing_rate(FT3, 80.0, 1040.0 * BTU_PER_FT3) / BTU_PER_H
    assert rate == pytest.approx(46800.0, rel=1e-9)


@pytest.mark.parametrize("seconds", [0.0, -1.0, math.nan])
def test_clocking_needs_a_time(seconds: float) -> None:
    with pytest.raises(ValueError, match="above 0 s"):
        fuel.meter_firing_rate(FT3, seconds, 3.8e7)


def test_gas_volume_factor_is_one_at_standard_state() -> None:
    """60 degF and 14.73 psia (14.73 x 6894.757 Pa); 30 inHg at 0 degC is 0.03 % more."""
    assert fuel.gas_volume_factor((60.0 + 459.67) / 1.8, 14.73 * 6894.757) == pytest.approx(1.0, rel=1e-5)
    inches = 30.0 * 3386.389 / fuel.GAS_STANDARD_PRESSURE
    assert inches == pytest.approx(1.0003, abs=1e-4)


@given(st.floats(min_value=250.0, max_value=320.0), st.floats(min_value=7e4, max_value=1.2e5))
def test_gas_volume_factor_conserves_the_amount_of_gas(T: float, pressure: float) -> None:
    """p V / T is the same before and after."""
    standard = fuel.gas_volume_factor(T, pressure) * fuel.GAS_STANDARD_PRESSURE / fuel.GAS_STANDARD_TEMP
    assert standard == pytest.approx(pressure / T, rel=1e-12)
