"""``dryermodel pocket``: one offline page for the laundry room, with the engine inside."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from dryermodel.cli._files import check_page
from dryermodel.cli._run import exit_on_input_error


@exit_on_input_error
def pocket(
    output: Annotated[Path, typer.Option("--output", "-o", metavar="FILE", help="Page to write (.html).")],
) -> None:
    """Write one page that opens without a network: healthy cycle and faults on sliders, computed in it."""
    check_page(output)
    from dryermodel import __version__
    from dryermodel.files import write_file
    from dryermodel.show.pages.pocket.page import pocket_page

    page = pocket_page(__version__).encode("utf-8")
    write_file(output, page)
    typer.echo(f"{output.as_posix()}: {len(page) / 1e3:.0f} kB; opens in a browser, without a network")
