"""Bench sums: the codes' numbers, the duct sums against a reference library, and inverses."""

from __future__ import annotations

import math

import fluids
import pytest
from hypothesis import given
from hypothesis import strategies as st

from dryermodel.physics import bench, fuel
from dryermodel.physics.bench import FOOT, Fittings
from dryermodel.physics.moist_air import standard_pressure

CFM = FOOT**3 / 60.0
INCH_OF_WATER = 249.08891
FOUR_INCHES = 0.1016

# The codes ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("fittings", "feet"),
    [
        (Fittings(), 35.0),
        (Fittings(mitred_45=1), 32.5),
        (Fittings(mitred_90=1), 30.0),
        (Fittings(radius_6in_45=1), 34.0),
        (Fittings(radius_6in_90=1), 33.25),
        (Fittings(radius_8in_45=1), 34.0),
        (Fittings(radius_8in_90=1), 33.42),
        (Fittings(mitred_90=4, mitred_45=2), 10.0),
    ],
)
def test_code_length_of_irc_m1502(fittings: Fittings, feet: float) -> None:
    """IRC M1502 and its table as quoted: 35 ft; mitred 2.5/5, 6 in radius 1/1.75, 8 in radius 1/1.58."""
    assert bench.code_length_allowed(fittings) / FOOT == pytest.approx(feet, abs=1e-9)


def test_too_many_elbows_leave_less_than_nothing() -> None:
    assert bench.code_length_allowed(Fittings(mitred_90=8)) < 0.0


def test_makeup_air_rules() -> None:
    """UFC 3-410-02N: above 200 cfm; UMC 504.3.1 as quoted: 100 in2."""
    assert pytest.approx(200.0) == bench.MAKEUP_AIR_FLOW / CFM
    assert pytest.approx(645.16) == bench.CLOSET_OPENING * 1e4


@pytest.mark.parametrize(("feet", "share"), [(0.0, 1.0), (2000.0, 1.0), (2001.0, 0.91996), (5000.0, 0.80)])
def test_altitude_rule(feet: float, share: float) -> None:
    """NFPA 54 (2015) as quoted in the trade press: 4 % per 1000 ft above 2000 ft; 5000 ft gives 0.80."""
    assert fuel.altitude_rule_factor(feet * FOOT) == pytest.approx(share, abs=1e-9)


def test_co2_factors_are_the_us_epa_ones() -> None:
    """53.06 and 62.9 kg per million Btu, both from memory."""
    million_btu = 1e6 * 1055.05585262
    assert bench.CO2_NATURAL_GAS * million_btu == pytest.approx(53.06)
    assert bench.CO2_PROPANE * million_btu == pytest.approx(62.9)


# Ducts and openings -------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("cfm", "roughness", "inches"), [(100.0, 0.09e-3, 0.60), (150.0, 0.09e-3, 1.28), (150.0, 2.1e-3, 2.76)]
)
def test_friction_of_100_ft_of_4_in_duct(cfm: float, roughness: float, inches: float) -> None:
    """Computed with fluids 1.3.1 (one_phase_dP) at 70 degF; roughness of ASHRAE Fundamentals ch. 21.

    Within 1.5 %: the model's viscosity is that of warm exhaust (45 degC), 4 % above air at 70 degF,
    and the smooth duct feels it most (1.2 % high at 100 cfm).
    """
    friction = bench.duct_friction(cfm * CFM, FOUR_INCHES, 100.0 * FOOT, roughness, 1.2)
    assert friction / INCH_OF_WATER == pytest.approx(inches, rel=0.015)


@pytest.mark.parametrize("cfm", [60.0, 100.0, 150.0, 220.0])
@pytest.mark.parametrize("roughness", [0.09e-3, 0.9e-3, 2.1e-3])
def test_friction_against_fluids_at_equal_viscosity(cfm: float, roughness: float) -> None:
    """fluids' one_phase_dP evaluates Colebrook; the explicit substitution stays within 0.5 %."""
    reference = fluids.one_phase_dP(cfm * CFM * 1.2, 1.2, 1.9e-5, FOUR_INCHES, roughness=roughness, L=10.0)
    friction = bench.duct_friction(cfm * CFM, FOUR_INCHES, 10.0, roughness, 1.2)
    assert friction == pytest.approx(reference, rel=5e-3)


def test_velocity_pressure_is_the_trades() -> None:
    """(fpm/4005)^2 at 0.075 lb/ft3: 0.184 in w.c. for 150 cfm in a 4 in duct; 4005 is rounded."""
    density = 0.075 * 0.45359237 / FOOT**3
    pressure = bench.velocity_pressure(150.0 * CFM, FOUR_INCHES, density) / INCH_OF_WATER
    fpm = 150.0 / (0.25 * math.pi * (4.0 / 12.0) ** 2)
    assert pressure == pytest.approx(0.184, abs=5e-4)
    assert pressure == pytest.approx((fpm / 4005.0) ** 2, rel=3e-3)


def test_opening_law_by_hand() -> None:
    """0.1 m3/s through 0.1 m2: 1/0.6 m/s at the throat, 0.6 (1/0.6)^2 = 1.667 Pa at 1.2 kg/m3."""
    assert bench.opening_pressure(0.1, 0.1, 1.2) == pytest.approx(5.0 / 3.0)


@given(st.floats(1e-3, 2.0), st.floats(0.1, 100.0), st.floats(0.7, 1.5))
def test_opening_area_inverts_its_pressure(flow: float, pressure: float, density: float) -> None:
    area = bench.opening_area(flow, pressure, density)
    assert bench.opening_pressure(flow, area, density) == pytest.approx(pressure, rel=1e-9)


@given(st.floats(1e-3, 1.0), st.floats(1e-3, 1.0), st.floats(1.01, 5.0))
def test_a_smaller_opening_pulls_harder(flow: float, area: float, ratio: float) -> None:
    wide, narrow = bench.opening_pressure(flow, area, 1.2), bench.opening_pressure(flow, area / ratio, 1.2)
    assert narrow == pytest.approx(wide * ratio**2, rel=1e-9)


def test_refused_arguments() -> None:
    with pytest.raises(ValueError, match="area of the opening"):
        bench.opening_pressure(0.1, 0.0, 1.2)
    with pytest.raises(ValueError, match="pressure across the opening"):
        bench.opening_area(0.1, 0.0, 1.2)
    with pytest.raises(ValueError, match="rated power"):
        bench.bias_rise(4.0, 0.0, 8.0)


# Weights, thermostats, altitude -------------------------------------------------------------------


@given(st.floats(0.1, 20.0), st.floats(0.0, 0.2))
def test_bone_dry_mass_gains_its_regain_again(dry: float, regain: float) -> None:
    assert bench.bone_dry_mass(dry * (1.0 + regain), regain) == pytest.approx(dry, rel=1e-12)


def test_bias_heater_lowers_the_apparent_set_point() -> None:
    """Published technical sheets: about 15 degF; a 155 degF disc then opens at 140 degF exhaust."""
    degF = 5.0 / 9.0
    cut_out = 273.15 + (155.0 - 32.0) * degF
    apparent = bench.apparent_set_point(cut_out, 15.0 * degF)
    assert (apparent - 273.15) / degF + 32.0 == pytest.approx(140.0)
    assert bench.bias_rise(2.5, 5.0, 15.0 * degF) == pytest.approx(7.5 * degF)


def test_relative_deviation_signs() -> None:
    assert bench.relative_deviation(21_000.0, 20_000.0) == pytest.approx(0.05)
    assert bench.relative_deviation(19_000.0, 20_000.0) == pytest.approx(-0.05)


@given(st.floats(0.0, 4500.0), st.floats(0.3e-3, 12e-3))
def test_suggested_orifice_burns_what_the_rule_allows(altitude: float, diameter: float) -> None:
    """Input goes with area and with the square root of pressure; below 2000 ft nothing is changed."""
    suggested = bench.altitude_orifice(diameter, altitude)
    thin_air = math.sqrt(standard_pressure(altitude) / 101325.0)
    burnt = (suggested / diameter) ** 2 * thin_air
    rule = fuel.altitude_rule_factor(altitude)
    assert burnt == pytest.approx(min(rule, thin_air), rel=1e-9)
    assert suggested <= diameter


@given(st.floats(620.0, 4500.0))
def test_physics_derates_less_than_the_rule(altitude: float) -> None:
    assert bench.unadjusted_rate(1.0, altitude) > fuel.altitude_rule_factor(altitude)


@given(st.tuples(*[st.integers(0, 6)] * 6))
def test_every_fitting_costs_length_and_pressure(counts: tuple[int, ...]) -> None:
    fittings = Fittings(*counts)
    for name in Fittings._fields:
        one_more = fittings._replace(**{name: getattr(fittings, name) + 1})
        assert bench.code_length_allowed(one_more) < bench.code_length_allowed(fittings)
        assert bench.fittings_loss(one_more) > bench.fittings_loss(fittings)
