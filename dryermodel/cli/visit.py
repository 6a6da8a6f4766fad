"""Commands about visit files: new, ask, check, sheet."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from dryermodel.cli import _completion
from dryermodel.cli._run import exit_on_input_error
from dryermodel.show.text.tables import print_table

if TYPE_CHECKING:
    from dryermodel.errors import InputError
    from dryermodel.field.visit import Visit

app = typer.Typer(help="Visits: what was measured and seen on a machine.", no_args_is_help=True)

MachineOption = Annotated[
    str,
    typer.Option(
        "--scenario",
        metavar="SCENARIO",
        help="The machine: a scenario file or shipped name.",
        autocompletion=_completion.scenarios,
    ),
]
VisitArgument = Annotated[
    str,
    typer.Argument(
        metavar="FILE",
        help="A visit file, or the name of one that comes with the program.",
        autocompletion=_completion.visits,
    ),
]


@app.command()
@exit_on_input_error
def new(
    path: Annotated[str | None, typer.Argument(metavar="FILE", help="File to make, ending in .toml.")] = None,
    out: Annotated[str | None, typer.Option("-o", "--out", metavar="FILE", help="The same.")] = None,
    scenario: MachineOption = "standard",
    complaint: Annotated[str, typer.Option(metavar="WORDS", help="In the customer's words.")] = "",
) -> None:
    """Write a commented visit file with all that can be measured and seen."""
    from dryermodel.errors import InputError
    from dryermodel.field.visit_template import new_visit

    if (path is None) == (out is None):
        raise InputError("name one file to make, e.g. dryermodel visit new visit.toml", "visit new")
    typer.echo(f"wrote {new_visit(str(path or out), scenario, complaint).as_posix()}")


@app.command()
@exit_on_input_error
def ask(
    path: Annotated[
        str, typer.Argument(metavar="[FILE]", help="A visit file to go on with, or to make.")
    ] = "visit.toml",
    have: Annotated[
        str | None,
        typer.Option(
            metavar="TOOLS",
            help="Ask only what these tools can tell, e.g. 'watch,manometer'; with commas between.",
            autocompletion=_completion.tools,
        ),
    ] = None,
) -> None:
    """Ask for a visit one question at a time; every answer is kept at once, and it can be gone on with."""
    from dryermodel.cli._interview import Interview
    from dryermodel.errors import InputError
    from dryermodel.field.tools import tools_of
    from dryermodel.files import require_writable

    file = Path(path)
    if file.suffix != ".toml":
        raise InputError("must end in .toml, e.g. visit.toml", file.as_posix())
    require_writable(file)
    Interview(file, tools_of(have)).run()


@app.command()
@exit_on_input_error
def check(
    visit: VisitArgument,
    json: Annotated[bool, typer.Option("--json", help="Print only JSON, in SI.")] = False,
) -> None:
    """Say what is understood of a visit, or all that is wrong with it."""
    from dryermodel.errors import SeveralErrors
    from dryermodel.field.visit import load_visit

    try:
        loaded = load_visit(visit)
    except SeveralErrors as several:
        _raise_all(several.problems)
        raise
    _raise_all(loaded.problems())
    if json:
        from json import dumps

        from dryermodel import __version__
        from dryermodel.show.data.visit import as_data

        typer.echo(dumps(as_data(loaded, __version__), indent=2, allow_nan=False))
    else:
        _print_checked(loaded)


def _print_checked(loaded: Visit) -> None:
    from dryermodel.show.text import visit as show

    evidence, after = loaded.evidence(), loaded.evidence_after()
    typer.echo("\n".join(show.heading(loaded)))
    if evidence.measured:
        typer.echo("")
        print_table(show.HEADERS, show.rows(evidence.measured))
    for lines in (show.answer_lines(evidence.seen), show.work_lines(loaded)):
        typer.echo("\n".join(["", *lines]) if lines else "", nl=bool(lines))
    if loaded.looked_again:
        typer.echo("\nafterwards")
    if after.measured:
        print_table(show.HEADERS, show.rows(after.measured))
    typer.echo("".join(f"{line}\n" for line in show.answer_lines(after.seen)), nl=False)
    count = len(loaded.measured) + len(loaded.recorded) + len(loaded.seen)
    typer.echo("\nfine" if count else "\nfine; nothing measured or answered yet")


def _raise_all(problems: Sequence[InputError]) -> None:
    """Tell every problem but the last, and raise that."""
    for problem in problems[:-1]:
        typer.echo(f"error: {problem}", err=True)
    for problem in problems[-1:]:
        raise problem


@app.command()
@exit_on_input_error
def sheet(
    out: Annotated[
        Path | None, typer.Option("-o", "--out", metavar="FILE", help="Text file to write; else printed.")
    ] = None,
    scenario: Annotated[
        str | None,
        typer.Option(
            "--scenario",
            metavar="SCENARIO",
            help="The machine, for the sheet's head.",
            autocompletion=_completion.scenarios,
        ),
    ] = None,
) -> None:
    """Print one page to fill in by hand, in the order of safe work."""
    from dryermodel.files import write_file
    from dryermodel.show.text.visit import sheet as page

    text = "\n".join(page() if scenario is None else _page_of(scenario)) + "\n"
    if out is None:
        typer.echo(text, nl=False)
    else:
        write_file(out, text.encode("utf-8"))
        typer.echo(f"wrote {out.as_posix()}")


def _page_of(scenario: str) -> list[str]:
    """Return the sheet for a machine."""
    from dryermodel.field.round import is_electric
    from dryermodel.scenario.model import load_scenario
    from dryermodel.show.text.visit import sheet as page

    machine = load_scenario(scenario)
    return page(machine.title, is_electric(machine))
