"""``dryermodel bench``: the technician's sums, each with the rule or table it stands on."""

from __future__ import annotations

import typer

from dryermodel.cli.bench import air, gas, load

app = typer.Typer(
    help="Bench sums: meter, orifice, altitude, vent, moisture, make-up air, thermostat, cost.",
    no_args_is_help=True,
    rich_markup_mode=None,
)
app.command("gas-clock")(gas.gas_clock)
app.command("orifice")(gas.orifice)
app.command("altitude")(gas.altitude)
app.command("vent")(air.vent)
app.command("makeup-air")(air.makeup_air)
app.command("moisture")(load.moisture)
app.command("thermostat")(load.thermostat)
app.command("cost")(load.cost)
