"""``dryermodel compare``: scenarios, or one scenario and what-ifs, side by side."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from dryermodel.cli import _completion
from dryermodel.cli._files import check_picture
from dryermodel.cli._run import exit_on_input_error
from dryermodel.show.text.tables import print_table

SettingOption = Annotated[
    list[str],
    typer.Option(
        "--set",
        metavar="SECTION.KEY=VALUE",
        help="Change one value in every case; repeatable.",
        autocompletion=_completion.settings,
    ),
]
FaultOption = Annotated[
    list[str],
    typer.Option(
        "--fault",
        metavar="KEY[=HOW BAD]",
        help="A fault in every case; repeatable.",
        autocompletion=_completion.faults,
    ),
]
WithOption = Annotated[
    list[str],
    typer.Option(
        "--with",
        metavar="CHANGES",
        help="One what-if beside the unchanged scenario: faults and settings with commas between, e.g. "
        "'vent_blockage=75 %, vent.length=40 ft'; repeatable.",
        autocompletion=_completion.what_ifs,
    ),
]


@exit_on_input_error
def compare(
    scenarios: Annotated[
        list[str],
        typer.Argument(
            help="Scenario files or shipped names; the first is compared with.",
            autocompletion=_completion.scenarios,
        ),
    ],
    what_if: WithOption = [],  # noqa: B006 - typer copies it
    setting: SettingOption = [],  # noqa: B006
    fault: FaultOption = [],  # noqa: B006
    plot: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Draw them over each other (.png, .svg or .pdf).")
    ] = None,
    json: Annotated[bool, typer.Option("--json", help="Print only JSON.")] = False,
    si: Annotated[bool, typer.Option("--si", help="SI units instead of degF, lb, cfm, in w.c.")] = False,
) -> None:
    """Put scenarios, or one scenario and what would happen if, side by side."""
    from dryermodel.cli._progress import progress_bar
    from dryermodel.studies.comparison.cases import plan_comparison, run_cases
    from dryermodel.studies.comparison.figures import comparison

    planned = plan_comparison(scenarios, what_if, setting, fault)
    if plot is not None:
        from dryermodel.show.plots.comparison import check_plot

        check_plot(len(planned), plot)
        check_picture(plot)
    with progress_bar("cycles", len(planned)) as progress:
        found = comparison(run_cases(planned, progress))
    if plot is not None:
        from dryermodel.show.plots.comparison import plot_comparison
        from dryermodel.show.plots.pictures import save_figure

        save_figure(plot_comparison(found.cases, si=si), plot)
    # Files come first: when one cannot be written, nothing is printed as if all were well.
    if json:
        from json import dumps

        from dryermodel import __version__
        from dryermodel.show.data.comparison import as_data

        typer.echo(dumps(as_data(found, __version__, si), indent=2, allow_nan=False))
    else:
        from dryermodel.show.text import comparison as show

        typer.echo("\n".join(show.case_lines(found, si)))
        for headers, rows in show.tables(found, si):
            typer.echo()
            print_table(headers, rows)
        typer.echo("\n".join(["", *show.note_lines(found, si)]))
