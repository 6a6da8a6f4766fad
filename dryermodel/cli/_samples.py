"""``dryermodel simulate --samples``: one machine, its unknowns drawn many times."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import typer

from dryermodel.cli._progress import progress_bar
from dryermodel.show.text.tables import print_table

if TYPE_CHECKING:
    from dryermodel.scenario.model import Scenario


def simulate_samples(
    scenario: Scenario, samples: int, seed: int, plot: Path | None, as_json: bool, si: bool
) -> None:
    """Draw the unknowns, simulate, and say how far the results spread.

    Parameters
    ----------
    scenario : Scenario
        The machine, with what is known of it.
    samples, seed : int
        How many draws, and where the random sequence begins.
    plot : Path or None
        Where to draw the bands.
    as_json, si : bool
        Print only JSON; SI units.
    """
    from dryermodel.studies.uncertainty.spread import spread_summary

    with progress_bar("samples", samples) as progress:
        spread = spread_summary(scenario, samples, seed, progress=progress)
    if plot is not None:
        from dryermodel.show.plots.cycle import save_figure
        from dryermodel.show.plots.spread import plot_spread

        save_figure(plot_spread(spread, si=si), plot)
    if as_json:
        from json import dumps

        from dryermodel import __version__
        from dryermodel.show.data.spread import as_data

        typer.echo(dumps(as_data(spread, __version__, si), indent=2, allow_nan=False))
        return
    from dryermodel.show.text.spread import HEADERS, spread_lines, spread_rows

    print_table(HEADERS, spread_rows(spread, si))
    for line in spread_lines(spread, si):
        typer.echo(line)
