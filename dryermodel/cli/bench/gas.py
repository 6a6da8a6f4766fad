"""Bench commands about gas: gas-clock, orifice, altitude."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from dryermodel.cli._run import exit_on_input_error
from dryermodel.cli.bench._common import (
    AsJson,
    GasName,
    HeatingValue,
    InSi,
    check_count,
    check_number,
    heating_value,
    print_sum,
    read,
    read_if,
)
from dryermodel.errors import InputError

if TYPE_CHECKING:
    from dryermodel.bench.gas import Supply

METER_GAUGE = {"natural": "7 inH2O", "propane": "11 inH2O"}
"""Gas pressure at a house meter when a correction is asked for without it, common practice."""
STANDARD_TEMPERATURE = "60 degF"
SEA_LEVEL = "0 ft"
MANIFOLD = {"natural": "3.5 inH2O", "propane": "10 inH2O"}
"""Usual manifold pressures, common practice."""

_RATE = ("power", "100 Btu/h", "1000000 Btu/h")
_ELEVATION = ("length", "-1500 ft", "15000 ft")

Pressure = Annotated[
    str | None,
    typer.Option(metavar="QUANTITY", help="At the manifold; usual 3.5 in w.c. natural, 10 in w.c. propane."),
]
Gravity = Annotated[float | None, typer.Option(metavar="NUMBER", help="Specific gravity; natural 0.60.")]


@exit_on_input_error
def gas_clock(
    dial: Annotated[str, typer.Argument(metavar="DIAL", help="Gas a turn of the test dial, e.g. '0.5 ft3'.")],
    time: Annotated[str, typer.Argument(metavar="TIME", help="Time of all turns, e.g. '84 s'.")],
    turns: Annotated[int, typer.Option(help="Turns timed.")] = 1,
    gas: GasName = "natural",
    heating_value_: HeatingValue = None,
    gas_temperature: Annotated[
        str | None, typer.Option(metavar="QUANTITY", help="At the meter: correct to 60 degF.")
    ] = None,
    gas_pressure: Annotated[
        str | None, typer.Option(metavar="QUANTITY", help="Gauge, at the meter: correct to 14.73 psia.")
    ] = None,
    altitude: Annotated[
        str | None, typer.Option(metavar="QUANTITY", help="Elevation: correct the volume, derate the plate.")
    ] = None,
    compensated_meter: Annotated[
        bool,
        typer.Option(
            "--compensated-meter", help="It corrects for temperature and pressure: leave its volume."
        ),
    ] = False,
    plate: Annotated[str | None, typer.Option(metavar="QUANTITY", help="Input on the rating plate.")] = None,
    as_json: AsJson = False,
    si: InSi = False,
) -> None:
    """Clock the gas meter: firing rate, against the rating plate."""
    from dryermodel.bench import gas as sums

    for option, text in (("--gas-temperature", gas_temperature), ("--gas-pressure", gas_pressure)):
        if compensated_meter and text is not None:
            raise InputError("has no use with --compensated-meter: its volume is not corrected", option)
    reading = sums.MeterReading(
        read("DIAL", dial, "volume", "0.05 ft3", "100 ft3"),
        read("TIME", time, "time", "1 s", "1 h"),
        check_count("--turns", turns, 1, 1000),
        heating_value(gas, heating_value_),
        _volume_factor(gas_temperature, gas_pressure, None if compensated_meter else altitude, gas),
        gas == "propane",
        compensated_meter,
    )
    elevation = read("--altitude", altitude or SEA_LEVEL, *_ELEVATION)
    result = sums.gas_clock(reading, read_if("--plate", plate, *_RATE), elevation)
    print_sum(result, as_json, si)


def _volume_factor(temperature: str | None, pressure: str | None, altitude: str | None, gas: str) -> float:
    """Return standard volume per metered volume [1]; 1 when no correction is asked for."""
    if temperature is None and pressure is None and altitude is None:
        return 1.0
    from dryermodel.bench.gas import volume_factor

    temp = read(
        "--gas-temperature", temperature or STANDARD_TEMPERATURE, "temperature", "-40 degF", "140 degF"
    )
    gauge = read("--gas-pressure", pressure or METER_GAUGE[gas], "pressure", "0 inH2O", "140 inH2O")
    return volume_factor(temp, gauge, read("--altitude", altitude or SEA_LEVEL, *_ELEVATION))


def _supply(gas: str, pressure: str | None, heat: str | None, gravity: float | None, c: float) -> Supply:
    from dryermodel.bench.gas import Supply, gas_named

    value = heating_value(gas, heat)
    usual = gas_named(gas).specific_gravity
    return Supply(
        read("--pressure", pressure or MANIFOLD[gas], "pressure", "0.1 inH2O", "60 inH2O"),
        value,
        check_number("--gravity", gravity, 0.07, 3.0, usual),
        check_number("--discharge", c, 0.4, 1.0, 0.90),
    )


@exit_on_input_error
def orifice(
    drill: Annotated[int | None, typer.Option(help="Number drill, 1 to 80.")] = None,
    diameter: Annotated[str | None, typer.Option(metavar="QUANTITY", help="Of the orifice.")] = None,
    rate: Annotated[
        str | None, typer.Option(metavar="QUANTITY", help="Find the orifice for this firing rate.")
    ] = None,
    pressure: Pressure = None,
    gas: GasName = "natural",
    heating_value_: HeatingValue = None,
    gravity: Gravity = None,
    discharge: Annotated[float, typer.Option(metavar="NUMBER", help="Discharge coefficient.")] = 0.90,
    as_json: AsJson = False,
    si: InSi = False,
) -> None:
    """Say what an orifice passes, or which orifice passes a firing rate."""
    from dryermodel.bench import gas as sums

    if sum(given is not None for given in (drill, diameter, rate)) != 1:
        raise InputError("give one of --drill, --diameter or --rate", "orifice")
    supply = _supply(gas, pressure, heating_value_, gravity, discharge)
    if rate is not None:
        result = sums.orifice_for(read("--rate", rate, *_RATE), supply)
    elif drill is not None:
        size = sums.drill_size(check_count("--drill", drill, 1, 80))
        result = sums.orifice(size, supply, drill)
    else:
        size = read("--diameter", diameter or "", "length", "0.005 in", "0.5 in")
        result = sums.orifice(size, supply)
    print_sum(result, as_json, si)


@exit_on_input_error
def altitude(
    elevation: Annotated[
        str, typer.Argument(metavar="ELEVATION", help="E.g. '5000 ft'; below the sea '-200 ft'.")
    ],
    rated: Annotated[str, typer.Argument(metavar="RATED", help="Input on the rating plate.")],
    pressure: Pressure = None,
    gas: GasName = "natural",
    heating_value_: HeatingValue = None,
    gravity: Gravity = None,
    as_json: AsJson = False,
    si: InSi = False,
) -> None:
    """Input at altitude: what the code's rule allows, and what the unadjusted orifice does."""
    from dryermodel.bench import gas as sums

    supply = _supply(gas, pressure, heating_value_, gravity, 0.90)
    rate = read("RATED", rated, *_RATE)
    result = sums.altitude(read("ELEVATION", elevation, *_ELEVATION), rate, supply)
    print_sum(result, as_json, si)
