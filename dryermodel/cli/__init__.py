"""The command line: one thin module for each group of commands."""

from __future__ import annotations

from typing import Annotated

import typer

from dryermodel import __version__
from dryermodel.cli import (
    bench,
    calibrate,
    compare,
    diagnose,
    faults,
    lesson,
    pocket,
    repairs,
    report,
    scenario,
    sensitivity,
    simulate,
    sweep,
    trace,
    tune_up,
    visit,
)
from dryermodel.cli._endings import ENDINGS, READER_GONE, end
from dryermodel.cli._run import leave_cores_to_the_engine, tolerate_any_text

FIRST_STEPS = """\
dryermodel: what a vented gas dryer's automatic cycle does, and why.

Try first:
  dryermodel simulate standard                      a healthy machine with the test load
  dryermodel simulate standard --plot cycle.png     the same, drawn on one time axis
  dryermodel simulate standard --set vent.resistance_factor=8
                                                    what a badly restricted vent does to it
  dryermodel diagnose standard --complaint "takes too long to dry" --measured "vent static=0.9 in w.c."
                                                    from what was measured to what is wrong
  dryermodel pocket -o pocket.html                  the same and more on a phone without a network
  dryermodel lesson -o lesson.html                  why the timer stands still while the burner runs
  dryermodel scenario list                          the machines and loads that come with it
  dryermodel scenario new mine.toml                 start your own
  dryermodel --help                                 everything else
"""

NAME = "dryermodel"
"""Whatever it was started as, so that the shell's completion finds it."""

app = typer.Typer(
    name=NAME,
    help="Thermal time-step model of a vented gas clothes dryer's automatic cycle.",
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
)
app.command("simulate")(simulate.simulate)
app.command("compare")(compare.compare)
app.command("faults")(faults.faults)
app.command("diagnose")(diagnose.diagnose)
app.command("pocket")(pocket.pocket)
app.command("lesson")(lesson.lesson)
app.command("calibrate")(calibrate.calibrate)
app.command("repairs")(repairs.repairs)
app.command("report")(report.report)
app.command("sweep")(sweep.sweep)
app.command("sensitivity")(sensitivity.sensitivity)
app.command("trace")(trace.trace)
app.command("tune-up")(tune_up.tune_up)
app.add_typer(scenario.app, name="scenario")
app.add_typer(visit.app, name="visit")
app.add_typer(bench.app, name="bench")


def _version(wanted: bool) -> None:
    if wanted:
        typer.echo(f"dryermodel {__version__}")
        raise typer.Exit


@app.callback(invoke_without_command=True)
def begin(
    context: typer.Context,
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Print the version.")
    ] = False,
) -> None:
    """Model a vented gas clothes dryer's automatic cycle."""
    if context.invoked_subcommand is None:
        typer.echo(FIRST_STEPS, nl=False)


def main() -> None:
    """Entry point of the ``dryermodel`` command."""
    tolerate_any_text()
    leave_cores_to_the_engine()
    try:
        app(prog_name=NAME)
    except SystemExit as ending:
        # Help and the like are printed outside of any command.
        gone = isinstance(ending.__context__, BrokenPipeError)
        raise SystemExit(READER_GONE if gone else ending.code) from None
    except ENDINGS as problem:
        raise SystemExit(end(problem)) from None
