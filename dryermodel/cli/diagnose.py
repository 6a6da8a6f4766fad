"""``dryermodel diagnose``: from what was measured and seen to what is likely wrong, and what to test next."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from dryermodel.cli._files import check_picture
from dryermodel.cli._options import (
    BANK,
    FRESH,
    SEED,
    BankOption,
    FreshOption,
    MeasuredOption,
    SeedOption,
    SettingOption,
    SiOption,
    check_draws,
)
from dryermodel.cli._progress import progress_bar
from dryermodel.cli._run import exit_on_input_error
from dryermodel.cli._visit import VisitOrScenario, known
from dryermodel.show.text.tables import print_table

if TYPE_CHECKING:
    from dryermodel.inference.diagnosis import Diagnosis
    from dryermodel.inference.gains import Gain
    from dryermodel.inference.next_test import NextTest


@exit_on_input_error
def diagnose(
    visit: VisitOrScenario,
    measured: MeasuredOption = [],  # noqa: B006 - typer copies it
    seen: Annotated[
        list[str],
        typer.Option(
            metavar="WHAT[=yes|no]", help="What was seen, e.g. 'drum turns' or 'flame seen=no'; repeatable."
        ),
    ] = [],  # noqa: B006
    complaint: Annotated[
        str, typer.Option(metavar="WORDS", help="What the customer says, e.g. 'takes too long to dry'.")
    ] = "",
    setting: SettingOption = [],  # noqa: B006
    have: Annotated[
        str | None,
        typer.Option(metavar="TOOLS", help="Tools at hand, with commas between, e.g. 'manometer,watch'."),
    ] = None,
    minutes: Annotated[
        list[str],
        typer.Option(
            metavar="TEST=MIN", help="Minutes of work a test takes you, e.g. 'vent static=4'; repeatable."
        ),
    ] = [],  # noqa: B006
    priors: Annotated[
        Path | None, typer.Option(metavar="FILE", help="What you know of how often faults are met (TOML).")
    ] = None,
    bank: BankOption = BANK,
    fresh: FreshOption = FRESH,
    seed: SeedOption = SEED,
    plot: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Draw the answer as PNG, SVG or PDF.")
    ] = None,
    json: Annotated[bool, typer.Option("--json", help="Print only JSON.")] = False,
    si: SiOption = False,
) -> None:
    """Say what is likely wrong, how bad and how sure, what each repair would buy, and what to test next."""
    from dryermodel.field.evidence import shown_in_si
    from dryermodel.field.tools import tools_of
    from dryermodel.inference.diagnosis import diagnose as run
    from dryermodel.inference.gains import gains
    from dryermodel.inference.keep import bank_for
    from dryermodel.inference.next_test import next_tests
    from dryermodel.inference.next_test import shown_in_si as shown
    from dryermodel.inference.options import minutes_of
    from dryermodel.inference.priors import priors_of, read_priors

    check_picture(plot)
    check_draws(bank, fresh, seed)
    scenario, evidence = known(visit, measured, seen, complaint, setting)
    if si:
        evidence = evidence._replace(measured=tuple(map(shown_in_si, evidence.measured)))
    tools, work = tools_of(have), minutes_of(minutes)
    believed = priors_of(scenario, None if priors is None else read_priors(priors))
    with progress_bar("machines", bank) as progress:
        machines = bank_for(scenario, believed, bank, seed, progress)
    found = run(machines, evidence, seed=seed, fresh=fresh)
    tests, bought = next_tests(found, tools, work), gains(found)
    if plot is not None:
        from dryermodel.show.plots.diagnosis import plot_diagnosis
        from dryermodel.show.plots.pictures import save_figure

        save_figure(plot_diagnosis(found, si), plot)
    if json:
        from json import dumps

        from dryermodel import __version__
        from dryermodel.show.data.diagnosis import as_data

        typer.echo(dumps(as_data(found, tests, bought, __version__), indent=2, allow_nan=False))
        return
    _print(found, shown(tests) if si else tests, bought, si)


def _print(found: Diagnosis, tests: list[NextTest], bought: list[Gain], si: bool) -> None:
    from dryermodel.show.text import diagnosis as show

    typer.echo("\n".join([*show.heading(found), ""]))
    print_table(*show.ranking_table(found, si))
    typer.echo("\n".join(["", *show.verdict(found, si)]))
    if found.evidence.measured or found.evidence.seen:
        typer.echo("\n".join(["", "What speaks for it and against it", *show.reason_lines(found)]))
    typer.echo("\n".join(["", show.next_heading(found), *show.next_lines(found, tests)]))
    if bought:
        typer.echo("\nWhat each repair would buy, if it is that")
        print_table(*show.gain_table(bought))
        typer.echo("".join(f"{line}\n" for line in show.gain_notes(bought)), nl=False)
    typer.echo("\n".join(["", *show.closing(found)]))
