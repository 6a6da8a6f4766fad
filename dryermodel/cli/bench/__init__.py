"""``dryermodel bench``: the technician's sums, each with the rule or table it stands on."""

from __future__ import annotations

import typer

from dryermodel.cli.bench import air, gas, load
from dryermodel.cli.bench._common import QuantityCommand

app = typer.Typer(
    help="Bench sums: meter, orifice, altitude, vent, moisture, make-up air, thermostat, cost.",
    no_args_is_help=True,
    rich_markup_mode=None,
)
app.command("gas-clock", cls=QuantityCommand)(gas.gas_clock)
app.command("orifice", cls=QuantityCommand)(gas.orifice)
app.command("altitude", cls=QuantityCommand)(gas.altitude)
app.command("vent", cls=QuantityCommand)(air.vent)
app.command("makeup-air", cls=QuantityCommand)(air.makeup_air)
app.command("moisture", cls=QuantityCommand)(load.moisture)
app.command("thermostat", cls=QuantityCommand)(load.thermostat)
app.command("cost", cls=QuantityCommand)(load.cost)
