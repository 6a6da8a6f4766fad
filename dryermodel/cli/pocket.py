"""``dryermodel pocket``: one offline page for the laundry room, with the engine inside."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from dryermodel.cli._files import check_page
from dryermodel.cli._progress import progress_bar
from dryermodel.cli._run import exit_on_input_error
from dryermodel.cli.bench._common import ScenarioOption, check_count

LEAST, MOST = 500, 9000
"""Machines in the page's bank: few enough for a page of less than two megabytes."""


@exit_on_input_error
def pocket(
    output: Annotated[Path, typer.Option("--output", "-o", metavar="FILE", help="Page to write (.html).")],
    scenario: ScenarioOption = "standard",
    bank: Annotated[
        int, typer.Option("--bank", metavar="N", help="Simulated machines that readings are held against.")
    ] = 6000,
) -> None:
    """Write one page that opens without a network: cycle, faults, tune-up, sums, suspects, computed in it."""
    from dryermodel import __version__
    from dryermodel.files import write_file
    from dryermodel.inference.keep import bank_for
    from dryermodel.inference.priors import priors_of
    from dryermodel.scenario.model import load_scenario
    from dryermodel.show.pages.pocket.page import pocket_page

    check_page(output)
    check_count("--bank", bank, LEAST, MOST)
    machine = load_scenario(scenario)
    with progress_bar("machines", bank) as progress:
        machines = bank_for(machine, priors_of(machine), bank, 1, progress)
    page = pocket_page(__version__, machines).encode("utf-8")
    write_file(output, page)
    typer.echo(f"{output.as_posix()}: {len(page) / 1e3:.0f} kB; opens in a browser, without a network")
