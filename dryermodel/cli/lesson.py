"""``dryermodel lesson``: one offline page that shows why the timer stands still while the burner runs."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from dryermodel.cli._files import check_page
from dryermodel.cli._run import exit_on_input_error
from dryermodel.cli.bench._common import ScenarioOption


@exit_on_input_error
def lesson(
    output: Annotated[Path, typer.Option("--output", "-o", metavar="FILE", help="Page to write (.html).")],
    scenario: ScenarioOption = "standard",
) -> None:
    """Write one page that teaches how thermostat and timer dry clothes: sliders, the circuit, questions."""
    from dryermodel import __version__
    from dryermodel.files import write_file
    from dryermodel.scenario.model import load_scenario
    from dryermodel.show.pages.lesson.page import lesson_page

    check_page(output)
    page = lesson_page(__version__, load_scenario(scenario)).encode("utf-8")
    write_file(output, page)
    typer.echo(f"{output.as_posix()}: {len(page) / 1e3:.0f} kB; opens in a browser, without a network")
