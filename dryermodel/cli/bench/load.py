"""Bench commands about the load, the thermostat and the money: moisture, thermostat, cost."""

from __future__ import annotations

import re
from typing import Annotated

import typer

from dryermodel.cli._run import exit_on_input_error
from dryermodel.cli.bench._common import (
    AsJson,
    GasName,
    HeatingValue,
    InSi,
    check_count,
    heating_value,
    print_sum,
    read,
    read_if,
)
from dryermodel.errors import InputError

BIAS_RISE = "15 degF"
"""Published technical sheets."""

_WEIGHT = ("mass", "0.1 lb", "100 lb")
_DIFFERENCE = ("temperature difference", "0 degF", "80 degF")
_POWER = ("power", "0.1 W", "100 W")
_ENERGY = ("energy", "0 kWh", "1000 kWh")
# A code in front keeps off a bare ".17": "zsh.17" is what a shell makes of "$0.17" in double quotes.
_PRICE = re.compile(
    r"\s*(US\$|\$|[A-Za-z]{3}(?=[\s\d]))?\s*(\d+\.?\d*|\.\d+)\s*(US\$|\$|[A-Za-z]{3})?"
    r"\s*(?:/|per\b)\s*([A-Za-z]+)\s*"
)
_SAMPLE = (
    "write e.g. '1.50 USD/therm', or '$1.50/therm' in single quotes, for in double quotes a shell takes $1"
)


@exit_on_input_error
def moisture(
    wet: Annotated[str, typer.Argument(metavar="WET", help="Weight of the wet load, e.g. '13.3 lb'.")],
    dry: Annotated[str | None, typer.Option(metavar="WEIGHT", help="Bone-dry weight.")] = None,
    conditioned: Annotated[
        str | None, typer.Option(metavar="WEIGHT", help="Dry weight, at rest in room air for a day.")
    ] = None,
    regain: Annotated[
        str | None, typer.Option(metavar="PERCENT", help="Water it holds there; else by cotton and room.")
    ] = None,
    cotton: Annotated[str, typer.Option(metavar="PERCENT", help="Cotton, the rest polyester.")] = "50 %",
    room_temperature: Annotated[str, typer.Option(metavar="QUANTITY", help="Of that room.")] = "75 degF",
    room_humidity: Annotated[str, typer.Option(metavar="PERCENT", help="Of that room.")] = "50 %",
    as_json: AsJson = False,
    si: InSi = False,
) -> None:
    """Remaining moisture content by weighing, dry basis."""
    from dryermodel.bench import load as sums
    from dryermodel.bench.rows import ASSUMED, GIVEN

    if (dry is None) == (conditioned is None):
        raise InputError("give one of --dry or --conditioned", "moisture")
    weight = read("WET", wet, *_WEIGHT)
    held, status = None, GIVEN
    if conditioned is not None:
        held = read_if("--regain", regain, "fraction", "0 %", "20 %")
        status = ASSUMED if held is None else GIVEN
        held = _regain(cotton, room_temperature, room_humidity) if held is None else held
    elif regain is not None:
        raise InputError("goes with --conditioned; a bone-dry weight holds no water", "--regain")
    option = "--dry" if conditioned is None else "--conditioned"
    own = read(option, dry or conditioned or "", *_WEIGHT)
    if weight < sums.bone_dry(own, held):
        raise InputError(f"is {wet}, below the bone-dry weight", "WET")
    print_sum(sums.moisture(weight, own, held, status), as_json, si)


def _regain(cotton: str, temperature: str, humidity: str) -> float:
    """Return the regain [kg/kg] of a blend at rest in room air, by its isotherm."""
    from dryermodel.bench.load import regain_in_room

    share = read("--cotton", cotton, "fraction", "0 %", "100 %")
    damp = read("--room-humidity", humidity, "fraction", "0 %", "95 %")
    return regain_in_room(
        share, damp, read("--room-temperature", temperature, "temperature", "32 degF", "120 degF")
    )


@exit_on_input_error
def thermostat(
    set_point: Annotated[str, typer.Argument(metavar="SET_POINT", help="On the disc, e.g. '155 degF'.")],
    measured: Annotated[
        str | None, typer.Option(metavar="QUANTITY", help="Exhaust air when it opened.")
    ] = None,
    tolerance: Annotated[str, typer.Option(metavar="QUANTITY", help="Of the set point.")] = "5 degF",
    low_heat: Annotated[bool, typer.Option("--low-heat", help="Bias heater energised.")] = False,
    bias_rise: Annotated[
        str, typer.Option(metavar="QUANTITY", help="Apparent rise by the bias heater.")
    ] = BIAS_RISE,
    bias_power: Annotated[
        str | None, typer.Option(metavar="QUANTITY", help="Power as measured, when it is not the rated one.")
    ] = None,
    bias_rated_power: Annotated[
        str | None, typer.Option(metavar="QUANTITY", help="Power at which the rise holds.")
    ] = None,
    as_json: AsJson = False,
    si: InSi = False,
) -> None:
    """Apparent set point with the bias heater, and whether a measured cut-out is within tolerance."""
    from dryermodel.bench import load as sums

    rise = _rise(bias_rise, bias_power, bias_rated_power)
    reading = sums.Thermostat(
        read("SET_POINT", set_point, "temperature", "80 degF", "400 degF"),
        rise if low_heat else 0.0,
        read_if("--measured", measured, "temperature", "32 degF", "500 degF"),
        read("--tolerance", tolerance, "temperature difference", "0.5 degF", "30 degF"),
    )
    if not low_heat and (bias_power or bias_rated_power or bias_rise != BIAS_RISE):
        raise InputError("has no effect without --low-heat", "--bias-power" if bias_power else "--bias-rise")
    print_sum(sums.thermostat(reading), as_json, si)


def _rise(rise: str, power: str | None, rated: str | None) -> float:
    from dryermodel.bench.load import bias_rise

    value = read("--bias-rise", rise, *_DIFFERENCE)
    if (power is None) != (rated is None):
        raise InputError("give both --bias-power and --bias-rated-power", "thermostat")
    if power is None or rated is None:
        return value
    return bias_rise(read("--bias-power", power, *_POWER), read("--bias-rated-power", rated, *_POWER), value)


@exit_on_input_error
def cost(
    gas_used: Annotated[
        str, typer.Option("--gas-used", metavar="QUANTITY", help="A load: '8 kBtu', '2.3 kWh' or '8 ft3'.")
    ] = "0 kWh",
    electricity_used: Annotated[
        str, typer.Option("--electricity-used", metavar="QUANTITY", help="A load, e.g. '0.2 kWh'.")
    ] = "0 kWh",
    gas_price: Annotated[str | None, typer.Option(metavar="PRICE", help="E.g. '$1.50/therm'.")] = None,
    electricity_price: Annotated[
        str | None, typer.Option(metavar="PRICE", help="E.g. '0.17 USD/kWh'.")
    ] = None,
    loads: Annotated[int | None, typer.Option(help="Loads a year; 283 if not given.")] = None,
    gas: GasName = "natural",
    heating_value_: HeatingValue = None,
    grid_co2: Annotated[
        str | None, typer.Option(metavar="QUANTITY", help="CO2 of electricity, e.g. '0.4 kg/kWh'.")
    ] = None,
    as_json: AsJson = False,
    si: InSi = False,
) -> None:
    """Money and CO2 of a load and of a year."""
    from dryermodel.bench import costs as money
    from dryermodel.bench import load as sums

    gas_rate, currency = _price("--gas-price", gas_price)
    power_rate, other = _price("--electricity-price", electricity_price)
    if currency and other and currency != other:
        if _code(currency) != _code(other):
            raise InputError(f"is in {other}, the gas price in {currency}", "--electricity-price")
        currency = _code(currency)
    use = sums.LoadEnergy(
        _gas_energy(gas_used, heating_value(gas, heating_value_)),
        read("--electricity-used", electricity_used, *_ENERGY),
        gas_rate,
        power_rate,
        currency or other,
        money.gas_co2(gas),
        read(
            "--grid-co2",
            grid_co2 or money.default_electricity_co2(),
            "mass per energy",
            "0 kg/kWh",
            "2 kg/kWh",
        ),
        grid_co2 is not None,
        gas == "propane",
    )
    if use.gas == 0.0 and use.electricity == 0.0:
        raise InputError("give --gas-used, --electricity-used or both", "cost")
    yearly = sums.LOADS_A_YEAR if loads is None else check_count("--loads", loads, 1, 10000)
    print_sum(sums.cost(use, yearly, loads is not None), as_json, si)


def _gas_energy(text: str, heat: float) -> float:
    """Return the gross energy [J] of gas given as an energy or a volume."""
    from dryermodel import units

    try:
        volume = units.parse(text, "volume")
    except ValueError:
        return read("--gas-used", text, *_ENERGY)
    if not 0.0 <= volume <= 100.0:
        raise InputError(f"is {text}, outside the allowed 0 ft3 to 3531 ft3", "--gas-used")
    return volume * heat


def _price(option: str, text: str | None) -> tuple[float | None, str]:
    """Return money per joule and the currency of a price such as '$1.50/therm'."""
    if text is None:
        return None, ""
    if not text.isascii():
        raise InputError(f"is '{text}'; write the currency in plain letters, e.g. '1.50 EUR/therm'", option)
    match = _PRICE.fullmatch(text)
    if match is None or (match[1] and match[3]):
        raise InputError(f"is '{text}', not a price per energy with its currency; {_SAMPLE}", option)
    currency = match[1] or match[3]
    if not currency:
        raise InputError(f"is '{text}', a price without its currency; {_SAMPLE}", option)
    energy = read(option, f"1 {match[4]}", "energy", "0.001 kWh", "1000 kWh")
    return float(match[2]) / energy, currency.upper()


def _code(currency: str) -> str:
    """Return the code of a currency: a dollar sign is the US dollar's."""
    return "USD" if currency in ("$", "US$") else currency
