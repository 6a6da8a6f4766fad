"""``dryermodel faults``: what can be wrong, and how each would show on a machine."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from dryermodel.cli import _completion
from dryermodel.cli._options import SettingOption
from dryermodel.cli._run import exit_on_input_error
from dryermodel.show.text.tables import print_table

if TYPE_CHECKING:
    from dryermodel.scenario.faults import Fault
    from dryermodel.scenario.model import Scenario

CLOSING = """\
One in full: dryermodel faults --about KEY ('all' for all). By what is said: dryermodel faults --says "runs
for ever". All of them on a machine: dryermodel faults standard."""

NEAREST = "Nothing in the catalogue says that; by spelling, these are nearest:"
NOTHING = "Nothing in the catalogue says that, and nothing is near. 'dryermodel faults' lists all."
BY_WORDS = "Matched by words alone, likest first; how often each occurs is not in it. In full: --about KEY."
GAS = "Smell of gas: no switch, no flame; everybody out, and call the gas utility from outside."

ALL = "all"


@exit_on_input_error
def faults(
    scenario: Annotated[
        str | None,
        typer.Argument(
            help="Run them all on this scenario file or shipped scenario; without it, list them.",
            autocompletion=_completion.scenarios,
        ),
    ] = None,
    about: Annotated[
        str | None,
        typer.Option(
            metavar="KEY", help="Show one fault in full, or 'all'.", autocompletion=_completion.fault_names
        ),
    ] = None,
    says: Annotated[
        str | None,
        typer.Option(metavar="WORDS", help="Find faults by what the customer says, e.g. 'runs for ever'."),
    ] = None,
    severity: Annotated[
        float | None, typer.Option(metavar="0..1", help="Of graded faults; 0.5 if not given.")
    ] = None,
    only: Annotated[
        list[str],
        typer.Option(
            metavar="KEY",
            help="Only these; repeatable, or with commas between.",
            autocompletion=_completion.fault_names,
        ),
    ] = [],  # noqa: B006 - typer copies it
    setting: SettingOption = [],  # noqa: B006
    json: Annotated[bool, typer.Option("--json", help="Print only JSON.")] = False,
    si: Annotated[bool, typer.Option("--si", help="SI units instead of degF, cfm, in w.c.")] = False,
) -> None:
    """List the faults, or run them all on one machine and say how each would show."""
    from dryermodel.errors import InputError

    if scenario is None:
        for option, given in (("--severity", severity is not None), ("--set", setting), ("--si", si)):
            if given:
                raise InputError("needs a scenario to run the faults on, e.g. standard", option)
        _list(about, says, only, json)
        return
    if says is not None:
        raise InputError("finds faults in the catalogue and takes no scenario", "--says")
    if about is not None:
        raise InputError("shows one fault and takes no scenario; --only picks faults to run", "--about")
    from dryermodel.scenario.model import load_scenario
    from dryermodel.studies.fault_table import DEFAULT_SEVERITY

    loaded = load_scenario(scenario, setting)
    _run(loaded, DEFAULT_SEVERITY if severity is None else severity, only, json, si)


def _list(about: str | None, says: str | None, only: list[str], json: bool) -> None:
    from dryermodel.errors import InputError
    from dryermodel.show.text.fault_pages import list_lines, pages
    from dryermodel.studies.fault_table import chosen_faults

    if only and (about or says) is not None:
        option = "--about, which shows one" if about is not None else "--says, which finds them"
        raise InputError(f"goes without {option}", "--only")
    if about is not None and says is not None:
        raise InputError("goes without --about, which shows one", "--says")
    if says is not None:
        _find(says, json)
        return
    chosen = chosen_faults(only) if about in (None, ALL) else [_one(str(about))]
    if json:
        _print_faults(chosen)
        return
    lines = [*list_lines(chosen), "", CLOSING] if about is None else pages(chosen)
    typer.echo("\n".join(lines))


def _print_faults(faults: list[Fault]) -> None:
    from dryermodel.show.data.faults import page_data

    _print_json([page_data(fault) for fault in faults])


def _find(says: str, json: bool) -> None:
    """Print the faults that go with what was said."""
    from dryermodel.scenario.fault_search import search, smells_of_gas
    from dryermodel.show.text.fault_pages import found_lines

    found, own = search(says)
    if json:
        _print_faults([match.fault for match in found])
        return
    lines = [GAS] if smells_of_gas(says) else []
    if not found:
        typer.echo("\n".join([*lines, NOTHING]))
        return
    lines += [] if own else [NEAREST]
    typer.echo("\n".join([*lines, *found_lines(found), "", BY_WORDS]))


def _one(key: str) -> Fault:
    from dryermodel.errors import InputError
    from dryermodel.scenario.faults import find_fault

    try:
        return find_fault(key)
    except InputError as problem:
        raise InputError(problem.message, "--about", key) from None


def _run(scenario: Scenario, severity: float, only: list[str], json: bool, si: bool) -> None:
    from dryermodel import __version__
    from dryermodel.cli._progress import progress_bar
    from dryermodel.show.text import faults as show
    from dryermodel.show.text.columns import right_aligned
    from dryermodel.studies.fault_table import chosen_faults, report, run_faults

    with progress_bar("cycles", len(chosen_faults(only)) + 1) as progress:
        table = run_faults(scenario, severity, only, progress)
    found = report(table)
    if json:
        from dryermodel.show.data.faults import as_data

        _print_json(as_data(found, __version__))
        return
    typer.echo("\n".join(show.heading(found)))
    print_table(*right_aligned(show.headers(found), show.rows(found, si), 2))
    typer.echo("\n".join(["", *show.legend(si), "", "What sets each apart from the healthy run"]))
    typer.echo("\n".join(show.pattern_lines(found)))
    if found.alike:
        typer.echo("\nHard to tell apart by the cycle alone; what settles it")
        typer.echo("\n".join(show.group_lines(found)))
    typer.echo("\n".join(["", *show.note_lines(found, si)]))


def _print_json(data: object) -> None:
    from json import dumps

    typer.echo(dumps(data, indent=2, allow_nan=False))
