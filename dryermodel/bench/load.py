"""Bench sums about the load, the thermostat and the money."""

from __future__ import annotations

from typing import NamedTuple

from dryermodel.bench import costs as money
from dryermodel.bench.rows import (
    ASSUMED,
    COMMON_PRACTICE,
    COMPUTED,
    FROM_MEMORY,
    GIVEN,
    PUBLISHED,
    Basis,
    Row,
    Sum,
)
from dryermodel.physics import bench, textile
from dryermodel.readings.quantities import written

HEALTHY_SPIN = (0.50, 0.70)
"""[kg/kg] Remaining moisture after a healthy spin, common practice."""
DRY = 0.04
"""[kg/kg] Final moisture of the energy test, from memory."""
AT_REST = 0.01
"""[kg/kg] Within which cloth counts as at rest with the room air, assumed."""
COTTON_AT_REST = 0.08
"""[kg/kg] What cotton may hold at rest in room air, from memory: 6.6 at 50 % humidity, 8 at 65 %."""
FAST_SPIN = 0.35
"""[kg/kg] Remaining moisture that a fast-spinning washer may leave, common practice."""
THERMOSTAT_TOLERANCE = 5.0 * 5.0 / 9.0
"""[K] +-5 degF of published technical sheets."""
BIAS_RISE = 15.0 * 5.0 / 9.0
"""[K] Apparent rise by the bias heater, about 15 degF, published technical sheets."""
LOADS_A_YEAR = money.default_loads_per_year()
"""[1] The US regulation's older figure, from memory."""


REGAIN_FROM = {ASSUMED: "regain by the cotton isotherm for this blend and room", GIVEN: "regain as given"}
"""What a regain stands on, by its status."""


def bone_dry(weight: float, regain: float | None) -> float:
    """Bone-dry mass [kg] of cloth that weighs `weight` [kg] with a regain [kg/kg], None for none."""
    return weight if regain is None else bench.bone_dry_mass(weight, regain)


def regain_in_room(cotton: float, humidity: float, temperature: float) -> float:
    """Moisture [kg/kg] of a blend at rest in room air, by its isotherm.

    Parameters
    ----------
    cotton : float
        Share of cotton, the rest polyester [1].
    humidity : float
        Relative humidity of the room [1].
    temperature : float
        Of the room [K].

    >>> round(regain_in_room(1.0, 0.5, 297.15), 3)
    0.068
    """
    share, heat = textile.sorption_share(cotton), textile.sorption_heat_dry(cotton)
    return textile.equilibrium_moisture(humidity, temperature, share, heat)


def bias_rise(power: float, rated: float, rise: float) -> float:
    """Apparent rise of a set point [K] by a bias heater at `power` [W] that gives `rise` at `rated` [W]."""
    return bench.bias_rise(power, rated, rise)


def moisture(wet: float, dry: float, regain: float | None = None, regain_status: str = GIVEN) -> Sum:
    """Remaining moisture content by weighing.

    Parameters
    ----------
    wet : float
        Weight of the wet load [kg].
    dry : float
        Bone-dry weight [kg]; or, with `regain`, the weight at rest in room air.
    regain : float, optional
        Water the dry load holds in room air, per bone-dry weight [kg/kg].
    regain_status : str
        GIVEN, or ASSUMED when it was worked out from the blend and the room.
    """
    bone_dry = dry if regain is None else bench.bone_dry_mass(dry, regain)
    remaining = textile.remaining_moisture(wet, bone_dry)
    rows = [
        Row("wet", "wet weight", wet, "lb", "kg", 4),
        *([] if regain is None else [Row("conditioned", "weight at rest in room air", dry, "lb", "kg", 4)]),
        *([] if regain is None else [Row("regain", "regain in that air", regain, "%", "%")]),
        Row("bone_dry", "bone-dry weight", bone_dry, "lb", "kg", 4),
        Row("water", "water in the load", wet - bone_dry, "lb", "kg"),
        Row("remaining_moisture", "remaining moisture, dry basis", remaining, "%", "%"),
        Row("healthy_spin", "a healthy spin leaves", "50 to 70 % (common practice)"),
    ]
    rules = [
        Basis("remaining moisture = (wet - bone dry) / bone dry", COMPUTED),
        Basis("50 to 70 % after a healthy spin", COMMON_PRACTICE),
        Basis("the US energy test starts at 57.5 % and ends at 4 %", FROM_MEMORY),
    ]
    if regain is not None:
        rules.append(Basis("bone dry = weight in room air / (1 + regain)", COMPUTED))
        rules.append(Basis(REGAIN_FROM[regain_status], regain_status))
        rules.append(Basis("within 1 % of the regain counts as at rest", ASSUMED))
    elif DRY < remaining <= COTTON_AT_REST:
        rules.append(Basis("cotton at rest in room air holds about 6 to 8 %", FROM_MEMORY))
    if FAST_SPIN <= remaining < HEALTHY_SPIN[0]:
        rules.append(Basis("a fast-spinning washer may leave 35 to 50 %", COMMON_PRACTICE))
    verdict = _moisture_verdict(remaining, regain)
    return Sum("moisture", "Moisture in the load", tuple(rows), (verdict,), tuple(rules))


def _moisture_verdict(remaining: float, regain: float | None) -> str:
    low, high = HEALTHY_SPIN
    if regain is not None and remaining <= regain + AT_REST:
        if remaining < regain - AT_REST:
            return "dry: drier than the room air will keep it"
        return "dry: as dry as the room air keeps it"
    if remaining <= DRY:
        return "dry"
    if regain is None and remaining <= COTTON_AT_REST:
        return "nearly dry: cotton at rest in room air holds as much"
    if remaining < FAST_SPIN:
        return "damper than dry, drier than a healthy spin leaves: part dried"
    if remaining < low:
        return "drier than a healthy spin leaves: a fast-spinning washer, or part dried"
    if remaining <= high:
        return "what a healthy spin leaves: the washer is fine"
    return "wetter than a healthy spin leaves: look at the washer's spin and drain; the dryer is fine so far"


class Thermostat(NamedTuple):
    """An exhaust thermostat and what was read on it."""

    set_point: float  # [K]
    bias_rise: float = 0.0  # [K] of its bias heater when energised, 0 for none
    measured: float | None = None  # [K] exhaust air when it opened
    tolerance: float = THERMOSTAT_TOLERANCE  # [K]


def thermostat(reading: Thermostat) -> Sum:
    """Apparent set point with the bias heater on, against a measured cut-out.

    Parameters
    ----------
    reading : Thermostat
        Set point [K], bias rise [K], measured cut-out [K], tolerance [K].
    """
    apparent = bench.apparent_set_point(reading.set_point, reading.bias_rise)
    rows = [Row("set_point", "set point", reading.set_point, "degF", "degC", 4)]
    rules = [Basis("+-5 degF on the set point, as technical sheets give it", COMMON_PRACTICE)]
    if abs(reading.tolerance - THERMOSTAT_TOLERANCE) > 1e-6:
        rules = [Basis("tolerance of the set point", GIVEN)]
    if reading.bias_rise > 0.0:
        rise = reading.bias_rise
        rows += [
            Row("bias_rise", "bias heater's apparent rise", rise, "delta_degF", "delta_degC"),
            Row("apparent_set_point", "opens at exhaust air of", apparent, "degF", "degC", 4),
        ]
        usual = Basis("bias heater about 15 degF apparent, published technical sheets", PUBLISHED)
        rules.append(usual if abs(rise - BIAS_RISE) <= 1e-6 else Basis("bias heater's rise", GIVEN))
    rows.append(Row("tolerance", "tolerance (+-)", reading.tolerance, "delta_degF", "delta_degC", 2))
    verdicts: tuple[str, ...] = ()
    if reading.measured is not None:
        deviation = reading.measured - apparent
        rows.append(Row("measured", "measured cut-out", reading.measured, "degF", "degC", 4))
        rows.append(
            Row("deviation", "over (+) or under (-)", deviation, "delta_degF", "delta_degC", 2),
        )
        verdicts = (_thermostat_verdict(deviation, reading.tolerance),)
    caution = (
        "Never bypass a thermostat. A probe in the exhaust reads air, not the element: bring it close,"
        " let it settle."
    )
    return Sum("thermostat", "Exhaust thermostat", tuple(rows), verdicts, tuple(rules), (caution,))


def _thermostat_verdict(deviation: float, tolerance: float) -> str:
    if abs(deviation) <= tolerance + 1e-9:
        return "within tolerance"
    if deviation < 0.0:
        return "opens too cool: auto stops too soon; if it is slow as well, look at air and gas first"
    return "opens too hot: over-dries; a lint-coated disc opens late as well, clean it first"


class LoadEnergy(NamedTuple):
    """What one load used, and what it costs; a price of None is not known."""

    gas: float  # [J] gross
    electricity: float  # [J]
    gas_price: float | None  # [money/J]
    electricity_price: float | None  # [money/J]
    currency: str
    gas_co2: float  # [kg/J]
    electricity_co2: float  # [kg/J]
    electricity_co2_given: bool
    propane: bool = False


def cost(use: LoadEnergy, loads: int = LOADS_A_YEAR, loads_given: bool = False) -> Sum:
    """Money and CO2 of one load and of a year.

    Parameters
    ----------
    use : LoadEnergy
        Energies [J], prices [money/J] and CO2 factors [kg/J] of one load.
    loads : int
        Loads a year [1].
    loads_given : bool
        Whether the person gave them.
    """
    prices = money.Tariff(
        use.currency, use.gas_price, use.electricity_price, use.gas_co2, use.electricity_co2, loads, ()
    )
    load = money.cost(use.gas, use.electricity, prices)
    year = load.times(loads)
    rows = [
        Row("gas", "gas a load", use.gas, "kBtu", "MJ"),
        Row("electricity", "electricity a load", use.electricity, "kWh", "kWh"),
        Row("loads", "loads a year", float(loads)),
        *_money_rows(load, year, use.currency),
        Row("co2_load", "CO2 a load", load.co2, "lb", "kg"),
        Row("co2_year", "CO2 a year", year.co2, "lb", "kg"),
    ]
    fuel_text = "propane 62.9" if use.propane else "natural gas 53.06"
    grid = f"{written(use.electricity_co2 * 3.6e6)} kg/kWh"
    rules = [
        Basis(f"{fuel_text} kg CO2 per MMBtu (US EPA)", FROM_MEMORY),
        Basis(f"electricity {grid} CO2", GIVEN if use.electricity_co2_given else ASSUMED),
    ]
    if not loads_given:
        rules.append(Basis("283 loads a year, the US regulation's older figure", FROM_MEMORY))
    return Sum("cost", "What a load costs", tuple(rows), (), tuple(rules))


def _money_rows(load: money.Cost, year: money.Cost, currency: str) -> list[Row]:
    if load.money is None or year.money is None:
        return [Row("cost_load", "cost a load", "not known: a price is missing")]
    return [
        Row("cost_load", "cost a load", load.money, currency=currency),
        Row("cost_year", "cost a year", year.money, currency=currency),
    ]
