"""``dryermodel simulate --samples``: one machine, its unknowns drawn many times."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import typer

from dryermodel.cli._progress import progress_bar
from dryermodel.cli._run import print_table

if TYPE_CHECKING:
    from dryermodel.scenario.model import Scenario
    from dryermodel.studies.uncertainty.spread import Spread


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

        typer.echo(dumps(spread_json(spread, si), indent=2, allow_nan=False))
        return
    from dryermodel.show.plots.spread import HEADERS, spread_lines, spread_rows

    print_table(HEADERS, spread_rows(spread, si))
    for line in spread_lines(spread, si):
        typer.echo(line)


def spread_json(spread: Spread, si: bool) -> dict[str, Any]:
    """Return the spread as plain data: percentiles of each outcome, and how it was drawn."""
    from dryermodel import __version__
    from dryermodel.show.plots.spread import HEADERS, spread_rows

    return {
        "version": __version__,
        "scenario_hash": spread.scenario.hash,
        "samples": spread.n,
        "seed": spread.seed,
        "rel_tolerance": spread.rel_tolerance,
        "end_reasons": dict(spread.end_reasons),
        "outcomes": [dict(zip(HEADERS, row, strict=True)) for row in spread_rows(spread, si)],
        "drawn": [{"key": u.key, "range": u.text(si), "status": u.status} for u in spread.drawn.uncertain],
    }
