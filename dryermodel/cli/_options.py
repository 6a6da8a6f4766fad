"""Options that several commands take."""

from __future__ import annotations

from typing import Annotated

import typer

from dryermodel.cli import _completion

ScenarioArgument = Annotated[
    str,
    typer.Argument(
        help="A scenario file, or the name of one that comes with it.", autocompletion=_completion.scenarios
    ),
]

SettingOption = Annotated[
    list[str],
    typer.Option(
        "--set",
        metavar="SECTION.KEY=VALUE",
        help="Change one value of the scenario; repeatable.",
        autocompletion=_completion.settings,
    ),
]

FaultOption = Annotated[
    list[str],
    typer.Option(
        "--fault",
        metavar="KEY[=HOW BAD]",
        help="Something wrong, e.g. 'vent_blockage=75 %', 'vent_blockage=static 1.1 in w.c.' or "
        "'igniter_open'; 'dryermodel faults' lists them; repeatable.",
        autocompletion=_completion.faults,
    ),
]
