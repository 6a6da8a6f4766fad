"""``dryermodel calibrate``: a machine's uncertain values fitted to what was measured on it."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from dryermodel.cli import _completion
from dryermodel.cli._files import check_picture
from dryermodel.cli._options import (
    SEED,
    FaultOption,
    MeasuredOption,
    SeedOption,
    SettingOption,
    check_seed,
)
from dryermodel.cli._progress import progress_bar
from dryermodel.cli._run import exit_on_input_error
from dryermodel.cli._visit import VisitOrScenario, known
from dryermodel.show.text.tables import print_table

if TYPE_CHECKING:
    from dryermodel.inference.fit_result import Calibration

MOST_STARTS = 1000


@exit_on_input_error
def calibrate(
    visit: VisitOrScenario,
    measured: MeasuredOption = [],  # noqa: B006 - typer copies it
    setting: SettingOption = [],  # noqa: B006
    fault: FaultOption = [],  # noqa: B006
    only: Annotated[
        list[str],
        typer.Option(
            metavar="KEY",
            help="Fit this value, e.g. burner.firing_rate; repeatable. Without any: all that is uncertain.",
            autocompletion=_completion.uncertain,
        ),
    ] = [],  # noqa: B006
    out: Annotated[
        Path | None,
        typer.Option("-o", "--out", metavar="FILE", help="Write the fitted machine as a scenario (.toml)."),
    ] = None,
    starts: Annotated[int, typer.Option(metavar="N", help="Points to fit from.")] = 8,
    seed: SeedOption = SEED,
    plot: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Draw the fit as PNG, SVG or PDF.")
    ] = None,
    si: Annotated[bool, typer.Option("--si", help="Metric units.")] = False,
    json: Annotated[bool, typer.Option("--json", help="Print only JSON.")] = False,
) -> None:
    """Fit a machine's uncertain values to what was measured, and say what that cannot determine."""
    from dryermodel import __version__
    from dryermodel.inference.calibration import calibrate as run
    from dryermodel.inference.fitted_scenario import check_path, write_scenario

    check_picture(plot)
    _check_numbers(starts, seed)
    scenario, evidence = known(visit, measured, setting=setting, fault=fault)
    if out is not None:
        check_path(scenario, only, out)
    with progress_bar("starts", starts) as progress:
        found = run(scenario, evidence, keys=only, seed=seed, starts=starts, progress=progress)
    if out is not None:
        write_scenario(found, out, __version__)
    if plot is not None:
        from dryermodel.show.plots.calibration import plot_calibration
        from dryermodel.show.plots.pictures import save_figure

        save_figure(plot_calibration(found, si=si), plot)
    if json:
        from json import dumps

        from dryermodel.show.data.calibration import as_data

        typer.echo(dumps(as_data(found, __version__), indent=2, allow_nan=False))
        return
    _print(found, si, __version__)
    if out is not None:
        typer.echo(f"wrote {out.as_posix()}; run it with: dryermodel simulate {out.as_posix()}")


def _check_numbers(starts: int, seed: int) -> None:
    from dryermodel.errors import InputError

    if not 1 <= starts <= MOST_STARTS:
        raise InputError(f"is {starts}, allowed 1 to {MOST_STARTS}", "--starts")
    check_seed(seed)


def _print(found: Calibration, si: bool, version: str) -> None:
    from dryermodel.show.text import calibration as show

    typer.echo("\n".join([*show.heading(found), ""]))
    print_table(*show.measured_table(found, si))
    typer.echo("\n".join([*show.measured_notes(found), "", *show.verdict(found)]))
    headers, rows = show.value_table(found, si)
    if rows:
        typer.echo("\nWhat these readings determine")
        print_table(headers, rows)
    typer.echo("\n".join(["", "What they cannot determine", *show.undetermined_lines(found)]))
    if pairs := show.pair_lines(found):
        typer.echo("\n".join(["", "What is known only together", *pairs]))
    typer.echo("\n".join(["", *show.closing(found, version)]))
