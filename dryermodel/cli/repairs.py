"""``dryermodel repairs``: what each repair would gain, alone, together and in order."""

from __future__ import annotations

from typing import Annotated

import typer

from dryermodel.cli import _completion
from dryermodel.cli._options import FaultOption, ScenarioArgument, SettingOption
from dryermodel.cli._run import exit_on_input_error
from dryermodel.show.text.tables import print_table


@exit_on_input_error
def repairs(
    scenario: ScenarioArgument,
    fault: FaultOption = [],  # noqa: B006 - typer copies it
    setting: SettingOption = [],  # noqa: B006
    first_by: Annotated[
        str,
        typer.Option(
            metavar="CRITERION",
            help="Order the repairs by 'time' or 'money'.",
            autocompletion=_completion.criteria,
        ),
    ] = "time",
    json: Annotated[bool, typer.Option("--json", help="Print only JSON.")] = False,
    si: Annotated[bool, typer.Option("--si", help="kg instead of lb.")] = False,
) -> None:
    """Say what each repair of a machine with several faults would gain, and which to do first."""
    from dryermodel.scenario.model import load_scenario
    from dryermodel.studies.repairs import plan_repairs

    found = plan_repairs(load_scenario(scenario, setting, fault), first_by)
    if json:
        from json import dumps

        from dryermodel import __version__
        from dryermodel.show.data.repairs import as_data

        typer.echo(dumps(as_data(found, __version__), indent=2, allow_nan=False))
        return
    from dryermodel.show.text import repairs as show
    from dryermodel.show.text.columns import WIDEST, wrap
    from dryermodel.studies.repair_notes import notes

    typer.echo("\n".join(show.heading(found, si)))
    for title, table in (
        ("Each repair alone", show.time_table(found, si)),
        ("The same in energy and money, cycle as it runs", show.money_table(found, si)),
        ("In order", show.order_table(found, si)),
    ):
        typer.echo(f"\n{title}")
        print_table(*table)
    told = [line for text in notes(found) for line in wrap(text, WIDEST, "- ", "  ")]
    typer.echo("\n".join(["", *told, "", "What to do", *show.remedy_lines(found)]))
