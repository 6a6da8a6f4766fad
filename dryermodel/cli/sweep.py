"""``dryermodel sweep``: many cycles with some values running through a range."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from dryermodel.cli import _completion
from dryermodel.cli._files import check_picture
from dryermodel.cli._options import FaultOption, ScenarioArgument, SettingOption
from dryermodel.cli._progress import progress_bar
from dryermodel.cli._run import exit_on_input_error
from dryermodel.show.text.tables import print_table

if TYPE_CHECKING:
    import pandas as pd

    from dryermodel.studies.sweep.frame import Tally
    from dryermodel.studies.sweep.plan import Sweep

VaryOption = Annotated[
    list[str],
    typer.Option(
        "--vary",
        metavar="KEY=START:STOP:N",
        help="Let one value run through N steps, e.g. 'vent.length=5 ft:60 ft:12'; "
        "':log' after it for equal ratios. Repeat for a grid.",
        autocompletion=_completion.quantities,
    ),
]


@exit_on_input_error
def sweep(
    scenario: ScenarioArgument,
    vary: VaryOption = [],  # noqa: B006 - typer copies it
    setting: SettingOption = [],  # noqa: B006
    fault: FaultOption = [],  # noqa: B006
    sobol: Annotated[
        int | None,
        typer.Option(metavar="N", help="Draw N well-spread points over the ranges instead of the grid."),
    ] = None,
    seed: Annotated[
        int | None, typer.Option(metavar="S", help="Of the points that --sobol draws; 0 if not given.")
    ] = None,
    out: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Write the table (.csv or .parquet); resumable.")
    ] = None,
    plot: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Draw it (.png, .svg or .pdf); one or two keys.")
    ] = None,
    show: Annotated[
        str | None,
        typer.Option(
            metavar="OUTCOME",
            help="Outcome to draw, e.g. energy or final_moisture.",
            autocompletion=_completion.outcomes,
        ),
    ] = None,
    si: Annotated[bool, typer.Option("--si", help="SI units instead of degF, lb, ft, cfm, in w.c.")] = False,
    json: Annotated[bool, typer.Option("--json", help="Print only JSON.")] = False,
    yes: Annotated[
        bool, typer.Option("--yes", help="Go ahead with a very large sweep; replace a file that is there.")
    ] = False,
) -> None:
    """Run many cycles with some values running through a range, and table or draw what they do."""
    from dryermodel.scenario.model import load_scenario
    from dryermodel.studies.sweep.plan import plan_sweep

    planned = plan_sweep(
        load_scenario(scenario, setting, fault),
        vary,
        settings=[*setting, *(f"faults.{text}" for text in fault)],
        sobol=sobol,
        seed=seed,
        si=si,
    )
    _check_files(planned, out, plot, show, yes)
    if not yes:
        _ask_first(planned, out)
    if out is not None:
        from dryermodel.studies.sweep.files import sweep_to_file
        from dryermodel.studies.sweep.size import MANY

        with progress_bar("cycles", planned.size) as progress:
            met = sweep_to_file(planned, out, progress, replace=yes)
        rows = _read_back(out) if plot is not None or planned.size <= MANY else None
    else:
        rows, met = _in_memory(planned)
    if plot is not None and rows is not None:
        from dryermodel.show.plots.pictures import save_figure
        from dryermodel.show.plots.sweep import plot_sweep

        save_figure(plot_sweep(planned, rows, show=show), plot)
    if json:
        from json import dumps

        from dryermodel import __version__
        from dryermodel.show.data.sweep import as_data

        content = as_data(planned, met, __version__, rows if out is None else None)
        typer.echo(dumps(content, indent=2, allow_nan=False))
        return
    _print_text(planned, met, rows, each=out is None)


def _check_files(
    planned: Sweep, out: Path | None, plot: Path | None, show: str | None, replace: bool
) -> None:
    """See that everything asked for can be made, before anything is computed."""
    from dryermodel.errors import InputError
    from dryermodel.studies.sweep.files import check_output, require_same_sweep
    from dryermodel.studies.sweep.outcomes import find_outcome

    if show is not None:
        find_outcome(show, "--show")
    if plot is not None:
        from dryermodel.show.plots.sweep import check_plot

        check_picture(plot)
        check_plot(planned, show)
    if out is not None:
        check_output(out)
        if not replace:
            require_same_sweep(planned, out)
    if out is not None and plot is not None and out.resolve() == plot.resolve():
        raise InputError("is both the table and the picture; choose two names", out.as_posix())


def _ask_first(planned: Sweep, out: Path | None) -> None:
    """Raise InputError with time and size if the sweep is very large."""
    import time

    from dryermodel.errors import InputError
    from dryermodel.studies.sweep.size import MANY, estimate, in_words

    if planned.size <= MANY:
        return
    need = estimate(planned, time.perf_counter)
    took, size = in_words(need)
    place = "a file of about" if out is not None else "about"
    raise InputError(
        f"that is {planned.size:,} cycles, about {took} on this machine and {place} {size}; "
        "take fewer values, draw points with --sobol N, or add --yes to go ahead",
        "--vary",
    )


def _in_memory(planned: Sweep) -> tuple[pd.DataFrame, Tally]:
    from dryermodel.errors import Stopped
    from dryermodel.studies.sweep.frame import sweep_frame, tally

    try:
        with progress_bar("cycles", planned.size) as progress:
            rows = sweep_frame(planned, progress)
    except KeyboardInterrupt:
        raise Stopped("nothing is kept; with --out FILE the same command would go on from there") from None
    return rows, tally([rows])


def _read_back(out: Path) -> pd.DataFrame:
    from dryermodel.studies.sweep.files import read_table

    return read_table(out)


def _print_text(planned: Sweep, met: Tally, rows: pd.DataFrame | None, *, each: bool) -> None:
    """Print every run, or what the columns range over and how the runs ended; then what shows in them."""
    from dryermodel.show.text import sweep as show
    from dryermodel.studies.sweep.air import less_air_lines

    if each and rows is not None:
        print_table(*show.run_table(planned, rows))
    else:
        print_table(*show.range_table(planned, met))
        typer.echo("\n".join(show.end_lines(met)))
    for line in less_air_lines(planned, rows) if rows is not None else []:
        typer.echo(line)
    typer.echo(show.provenance(planned, met))
