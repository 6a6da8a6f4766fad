"""Options that several commands take."""

from __future__ import annotations

from typing import Annotated

import typer

from dryermodel.cli import _completion
from dryermodel.errors import InputError

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

MeasuredOption = Annotated[
    list[str],
    typer.Option(
        "--measured",
        metavar="NAME=VALUE",
        help="What was measured, e.g. 'static=0.9 in w.c.', 'cycle time=75 min +- 2 min' or "
        "'gas input=1/2 ft3 in 82 s'; repeatable.",
    ),
]

SiOption = Annotated[bool, typer.Option("--si", help="SI units instead of degF, lb, cfm, in w.c.")]

BankOption = Annotated[int, typer.Option("--bank", metavar="N", help="Simulated machines to start from.")]

FreshOption = Annotated[
    int,
    typer.Option(
        "--fresh", metavar="N", help="Fresh cycles at most, where too few machines fit; 0 for none."
    ),
]

SeedOption = Annotated[int, typer.Option("--seed", metavar="S", help="Of what is drawn.")]

BANK, FRESH, SEED = 24_000, 6000, 1
"""What stands where nothing is said; a bank of that size is kept."""

LEAST_BANK, LARGEST_BANK = 500, 1_000_000


def check_draws(bank: int, fresh: int, seed: int) -> None:
    """Raise InputError for a size of bank, fresh cycles or a seed that cannot be."""
    if not LEAST_BANK <= bank <= LARGEST_BANK:
        raise InputError(f"is {bank}, allowed {LEAST_BANK} to {LARGEST_BANK} machines", "--bank")
    if not 0 <= fresh <= LARGEST_BANK:
        raise InputError(f"is {fresh}, allowed 0 to {LARGEST_BANK} cycles", "--fresh")
    check_seed(seed)


def check_seed(seed: int) -> None:
    """Raise InputError for a seed that cannot be."""
    if seed < 0:
        raise InputError(f"is {seed}, allowed 0 and above", "--seed")
