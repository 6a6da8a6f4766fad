"""Bench sums about gas: clocking the meter, orifices, altitude."""

from __future__ import annotations

import math
from typing import NamedTuple

from dryermodel.bench.rows import (
    COMMON_PRACTICE,
    COMPUTED,
    FROM_MEMORY,
    GAS_WORK,
    GIVEN,
    LOCAL_CODE,
    PUBLISHED,
    QUOTED,
    Basis,
    Row,
    Sum,
)
from dryermodel.physics import bench, fuel, moist_air

PLATE_TOLERANCE = 0.05
"""[1] Within which a clocked rate counts as that of the plate, common practice."""
READING_ERROR = 1.0
"""[s] Of a watch and an eye on the dial."""
RULE_FROM = 609.6
"""[m] Elevation above which the code's altitude rule applies, 2000 ft."""

_CLOCKING = Basis("3600 / seconds x dial x heating value; all other gas off", COMMON_PRACTICE)
_PLATE = Basis("within 5 % of the rating plate", COMMON_PRACTICE)
_ORIFICE = Basis(
    "Q[ft3/h] = 1658.5 C A[in2] sqrt(h[in w.c.] / SG), NFPA 54 Annex E family of tables, sea level",
    PUBLISHED,
)
_DRILLS = Basis("number drill sizes of ANSI/ASME B94.11M", FROM_MEMORY)
_ALTITUDE = Basis("4 % per 1000 ft of elevation, above 2000 ft (NFPA 54, 2015)", QUOTED)
_THIN_AIR = Basis("unadjusted orifice: input goes with the square root of ambient pressure", COMPUTED)

OVER = "over: regulator set too high, or orifice too large; or another appliance was drawing gas"
OVER_PROPANE = (
    "over: a natural-gas orifice still in it, or regulator set too high; or another appliance drew gas"
)
UNDER = (
    "under: orifice too small or part blocked, regulator set low, or supply pressure starved; "
    "measure manifold and supply pressure, burner on"
)


class MeterReading(NamedTuple):
    """A clocked meter: dial [m3 a turn], time of all turns [s], turns [1], and what the gas is."""

    dial: float
    seconds: float
    turns: int
    heating_value: float  # [J/m3] gross
    volume_factor: float = 1.0  # [1] to standard volume, 1 for none
    propane: bool = False
    compensated: bool = False  # the meter itself shows standard volume


def gas_named(kind: str) -> fuel.Gas:
    """Constants of natural gas or propane.

    >>> gas_named("propane").specific_gravity
    1.5
    """
    return {"natural": fuel.NATURAL_GAS, "propane": fuel.PROPANE}[kind]


def volume_factor(temperature: float, gauge: float, elevation: float) -> float:
    """Standard volume of gas per volume metered [1].

    Parameters
    ----------
    temperature : float
        Of the gas at the meter [K].
    gauge : float
        Its pressure above that of the air [Pa].
    elevation : float
        Above the sea [m].

    >>> round(volume_factor(288.7055555555556, 1744.0, 0.0), 3)
    1.015
    """
    return fuel.gas_volume_factor(temperature, moist_air.standard_pressure(elevation) + gauge)


def drill_size(number: int) -> float:
    """Diameter of a number drill [m].

    >>> round(drill_size(42) * 1000.0, 3)
    2.375
    """
    return fuel.drill_diameter(number)


def clocked_rate(reading: MeterReading) -> float:
    """Return the firing rate [W] of a meter reading."""
    turn = reading.seconds / reading.turns
    return fuel.meter_firing_rate(reading.dial * reading.volume_factor, turn, reading.heating_value)


def gas_clock(reading: MeterReading, plate: float | None = None, altitude: float = 0.0) -> Sum:
    """Firing rate by clocking the meter, against the rating plate.

    Parameters
    ----------
    reading : MeterReading
        Dial [m3], time [s], turns [1], heating value [J/m3], volume factor [1].
    plate : float, optional
        Input on the rating plate [W].
    altitude : float
        Elevation [m]; above 2000 ft the plate is derated by the code's rule before comparing.
    """
    rate = clocked_rate(reading)
    error = rate * READING_ERROR / reading.seconds
    rows = [
        Row("firing_rate", "firing rate", rate, "Btu/h", "W"),
        Row("gas_flow", "gas flow", rate / reading.heating_value, "ft3/h", "m3/h"),
        Row("heating_value", "heating value", reading.heating_value, "Btu/ft3", "MJ/m3", 4),
        Row("reading_error", "one second of reading error", error, "Btu/h", "W"),
    ]
    rules = [_CLOCKING]
    if reading.volume_factor != 1.0:
        rows.append(Row("volume_factor", "standard volume per metered volume", reading.volume_factor))
        rules.append(
            Basis("ideal gas to 60 degF and 14.73 psia, for a meter that does not correct", COMPUTED)
        )
    if reading.compensated:
        rules.append(Basis("the meter shows standard volume, 60 degF and 14.73 psia", GIVEN))
    verdicts: list[str] = []
    if plate is not None:
        more_rows, verdicts = _against_plate(rate, plate, altitude, reading.propane)
        rows += more_rows
        rules += [_PLATE] + ([_ALTITUDE] if altitude > RULE_FROM else [])
    if READING_ERROR / reading.seconds > PLATE_TOLERANCE:
        verdicts.append("one second of reading error is more than 5 %: time more turns")
    return Sum("gas-clock", "Clocking the gas meter", tuple(rows), tuple(verdicts), tuple(rules), (GAS_WORK,))


def _against_plate(rate: float, plate: float, altitude: float, propane: bool) -> tuple[list[Row], list[str]]:
    rows = [Row("plate", "rating plate", plate, "Btu/h", "W")]
    allowed = plate * fuel.altitude_rule_factor(altitude)
    if allowed < plate:
        rows.append(Row("plate_derated", "plate by the altitude rule", allowed, "Btu/h", "W"))
    deviation = bench.relative_deviation(rate, allowed)
    rows.append(Row("difference", "over (+) or under (-)", rate - allowed, "Btu/h", "W"))
    rows.append(Row("deviation", "the same, of the plate", deviation, "%", "%"))
    verdict = plate_verdict(deviation, propane)
    if allowed < plate and deviation > PLATE_TOLERANCE:
        verdict += "; or the sea-level orifice was never changed"
    return rows, [verdict]


def plate_verdict(deviation: float, propane: bool = False) -> str:
    """Return in words whether a rate that deviates so far [1] from the plate is within 5 %, or why not.

    >>> plate_verdict(0.04)
    'within 5 % of the plate'
    """
    if abs(deviation) <= PLATE_TOLERANCE + 1e-12:
        return "within 5 % of the plate"
    over = OVER_PROPANE if propane else OVER
    return f"{abs(deviation) * 100.0:.1f} % {over if deviation > 0 else UNDER}"


class Supply(NamedTuple):
    """What the orifice is fed with."""

    pressure: float  # [Pa] manifold, gauge
    heating_value: float  # [J/m3] gross
    specific_gravity: float  # [1]
    discharge: float = 0.90  # [1]


def orifice_rate(diameter: float, supply: Supply) -> float:
    """Return the firing rate [W] of an orifice of `diameter` [m] at sea level."""
    area = fuel.orifice_area(diameter)
    flow = fuel.orifice_flow(area, supply.pressure, supply.specific_gravity, supply.discharge)
    return fuel.firing_rate(flow, supply.heating_value)


def orifice_diameter(rate: float, supply: Supply) -> float:
    """Return the diameter [m] of the orifice that passes a firing rate [W] at sea level."""
    flow = rate / supply.heating_value
    area = fuel.orifice_area_for(flow, supply.pressure, supply.specific_gravity, supply.discharge)
    return math.sqrt(4.0 * area / math.pi)


def _supply_rows(supply: Supply) -> list[Row]:
    return [
        Row("pressure", "manifold pressure", supply.pressure, "inH2O", "Pa"),
        Row("heating_value", "heating value", supply.heating_value, "Btu/ft3", "MJ/m3", 4),
        Row("specific_gravity", "specific gravity", supply.specific_gravity),
    ]


def orifice(diameter: float, supply: Supply, drill: int | None = None) -> Sum:
    """Gas and heat that an orifice passes.

    Parameters
    ----------
    diameter : float
        Of the orifice [m].
    supply : Supply
        Pressure [Pa], heating value [J/m3], specific gravity [1], discharge coefficient [1].
    drill : int, optional
        Number of the drill it was given by [1].
    """
    rate = orifice_rate(diameter, supply)
    given = [Row("drill", "drill number", float(drill), digits=1)] if drill else []
    rows = [
        *given,
        Row("diameter", "orifice diameter", diameter, "in", "mm", 4),
        *_supply_rows(supply),
        Row("gas_flow", "gas flow", rate / supply.heating_value, "ft3/h", "m3/h", 4),
        Row("firing_rate", "firing rate", rate, "Btu/h", "W"),
    ]
    rules = (_ORIFICE, _DRILLS) if drill else (_ORIFICE,)
    return Sum("orifice", "What an orifice passes", tuple(rows), (), rules, (GAS_WORK,))


def orifice_for(rate: float, supply: Supply) -> Sum:
    """Orifice for a firing rate, with the nearest drill and its neighbours.

    Parameters
    ----------
    rate : float
        Firing rate wanted [W].
    supply : Supply
        As for `orifice`.
    """
    diameter = orifice_diameter(rate, supply)
    nearest = fuel.nearest_drill(diameter)
    rows = [
        Row("firing_rate", "firing rate wanted", rate, "Btu/h", "W"),
        *_supply_rows(supply),
        Row("diameter", "orifice diameter", diameter, "in", "mm", 4),
        Row("drill", "nearest drill number", float(nearest), digits=1),
        *(_drill_row(n, supply) for n in (nearest - 1, nearest, nearest + 1) if 1 <= n <= 80),
    ]
    found = bench.relative_deviation(orifice_rate(fuel.drill_diameter(nearest), supply), rate)
    verdict = f"drill no. {nearest} passes {abs(found) * 100:.1f} % {'more' if found > 0 else 'less'}"
    if abs(found) > PLATE_TOLERANCE:
        verdict += ": no number drill is within 5 %"
    return Sum(
        "orifice", "Orifice for a firing rate", tuple(rows), (verdict,), (_ORIFICE, _DRILLS), (GAS_WORK,)
    )


def _drill_row(number: int, supply: Supply) -> Row:
    rate = orifice_rate(fuel.drill_diameter(number), supply)
    inches = fuel.DRILL_INCHES[number - 1]
    return Row(f"rate_drill_{number}", f"drill no. {number}, {inches:.4f} in, passes", rate, "Btu/h", "W")


def altitude(elevation: float, rated: float, supply: Supply) -> Sum:
    """Input at elevation: what the code's rule allows, and what the sea-level orifice does.

    Parameters
    ----------
    elevation : float
        Above sea level [m].
    rated : float
        Input on the rating plate [W].
    supply : Supply
        Pressure and gas at the orifice, for its size.
    """
    allowed = rated * fuel.altitude_rule_factor(elevation)
    physical = bench.unadjusted_rate(rated, elevation)
    diameter = orifice_diameter(rated, supply)
    suggested = bench.altitude_orifice(diameter, elevation)
    drill = _drill_not_above(suggested)
    rows = [
        Row("elevation", "elevation", elevation, "ft", "m"),
        Row("rated", "rating plate", rated, "Btu/h", "W"),
        Row("code_rule_input", "input the code's rule allows", allowed, "Btu/h", "W"),
        Row("unadjusted_input", "input of the unadjusted orifice", physical, "Btu/h", "W"),
        Row("sea_level_orifice", "sea-level orifice", diameter, "in", "mm", 4),
        Row("suggested_orifice", "suggested orifice", suggested, "in", "mm", 4),
        Row("suggested_drill", "largest drill not above it", float(drill) if drill else "none", digits=1),
    ]
    over = bench.relative_deviation(physical, allowed) if allowed > 0.0 else math.inf
    verdict = "the rule asks for no change at this elevation"
    if elevation > RULE_FROM:
        verdict = f"unadjusted, the burner fires {over * 100:.0f} % above what the rule allows"
    note = "the rule checks an installation, the physical input is what burns: they are different things"
    cautions = (LOCAL_CODE, GAS_WORK)
    rules = (_ALTITUDE, _THIN_AIR, _ORIFICE)
    title = "Input at altitude"
    return Sum("altitude", title, tuple(rows), (verdict, note), rules, cautions)


def _drill_not_above(diameter: float) -> int | None:
    """Return the largest number drill that is not above a diameter [m]."""
    return next((n for n in range(1, 81) if fuel.drill_diameter(n) <= diameter * (1.0 + 1e-9)), None)
