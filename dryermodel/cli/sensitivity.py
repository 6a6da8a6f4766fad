"""``dryermodel sensitivity``: which of the values that are not known well matter."""

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
    from dryermodel.studies.uncertainty.sensitivity import Study

RangeOption = Annotated[
    list[str],
    typer.Option(
        "--vary",
        metavar="KEY=LOW:HIGH",
        help="A value and its range, e.g. 'vent.length=5 ft:60 ft'; repeatable. "
        "Without any: the usual unknowns around the scenario's own values.",
        autocompletion=_completion.quantities,
    ),
]
OutcomeOption = Annotated[
    list[str],
    typer.Option(
        "--outcome",
        metavar="NAME",
        help="Such as cycle_time, energy, final_moisture; repeatable.",
        autocompletion=_completion.outcomes,
    ),
]


@exit_on_input_error
def sensitivity(
    scenario: ScenarioArgument,
    vary: RangeOption = [],  # noqa: B006 - typer copies it
    setting: SettingOption = [],  # noqa: B006
    fault: FaultOption = [],  # noqa: B006
    n: Annotated[int, typer.Option("--n", metavar="N", help="Base points, a power of two.")] = 1024,
    seed: Annotated[int, typer.Option(metavar="S", help="Of the points.")] = 0,
    outcome: OutcomeOption = [],  # noqa: B006
    plot: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Draw the shares (.png, .svg or .pdf).")
    ] = None,
    si: Annotated[bool, typer.Option("--si", help="SI units.")] = False,
    json: Annotated[bool, typer.Option("--json", help="Print only JSON.")] = False,
    yes: Annotated[bool, typer.Option("--yes", help="Go ahead with a very large study.")] = False,
) -> None:
    """Say which of the values that are not known well the outcome depends on (Sobol indices)."""
    from dryermodel.scenario.model import load_scenario
    from dryermodel.studies.uncertainty.sensitivity import DEFAULT_OUTCOMES, check_points, plan_study, runs_of
    from dryermodel.studies.uncertainty.sensitivity import sensitivity as run

    loaded = load_scenario(scenario, setting, fault)
    uncertain = plan_study(loaded, vary, [*setting, *(f"faults.{text}" for text in fault)])
    check_points(n)
    _check(runs_of(uncertain, n), plot, yes)
    with progress_bar("cycles", runs_of(uncertain, n)) as progress:
        study = run(
            loaded, uncertain, n=n, seed=seed, outcomes=outcome or DEFAULT_OUTCOMES, progress=progress
        )
    if plot is not None:
        from dryermodel.show.plots.pictures import save_figure
        from dryermodel.show.plots.sensitivity import plot_sensitivity

        save_figure(plot_sensitivity(study), plot)
    if json:
        from json import dumps

        from dryermodel import __version__
        from dryermodel.show.data.sensitivity import as_data

        typer.echo(dumps(as_data(study, __version__, si), indent=2, allow_nan=False))
    else:
        _print_text(study, si)


def _check(runs: int, plot: Path | None, yes: bool) -> None:
    """See that the picture can be made and that the study is not very large by accident."""
    from dryermodel.errors import InputError
    from dryermodel.studies.sweep.size import MANY

    check_picture(plot)
    if runs > MANY and not yes:
        raise InputError(f"that is {runs:,} cycles; take a smaller --n, or add --yes to go ahead", "--n")


def _print_text(study: Study, si: bool) -> None:
    from dryermodel import __version__
    from dryermodel.show.text.sensitivity import (
        HEADERS,
        MEANING,
        outcome_line,
        provenance,
        sensitivity_rows,
    )

    for outcome in study.outcomes:
        typer.echo(outcome_line(study, outcome, si))
        print_table(HEADERS, sensitivity_rows(study, outcome, si))
        typer.echo("")
    typer.echo(MEANING)
    for note in study.notes():
        typer.echo(f"note: {note}")
    typer.echo(provenance(study, __version__))
