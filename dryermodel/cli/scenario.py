"""Commands about scenario files: list, show, check, new."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Any

import typer

from dryermodel.cli import _completion
from dryermodel.cli._run import exit_on_input_error
from dryermodel.show.text.tables import print_table

if TYPE_CHECKING:
    from dryermodel.scenario import ResolvedRow, Scenario

app = typer.Typer(help="Scenario files: list, show, check, new.", no_args_is_help=True)

ScenarioName = Annotated[
    str,
    typer.Argument(
        metavar="SCENARIO", help="A scenario file, or a shipped name.", autocompletion=_completion.scenarios
    ),
]
Settings = Annotated[
    list[str] | None,
    typer.Option(
        "--set",
        metavar="KEY=VALUE",
        help="Replace one value, e.g. 'load.dry_mass=10 lb'.",
        autocompletion=_completion.settings,
    ),
]
AsJson = Annotated[bool, typer.Option("--json", help="Print JSON only.")]


@app.command("list")
@exit_on_input_error
def list_(as_json: AsJson = False) -> None:
    """List the shipped scenarios."""
    from dryermodel.scenario import load_scenario, shipped_scenarios

    scenarios = [load_scenario(name) for name in shipped_scenarios()]
    if as_json:
        rows = [{"name": s.name, "title": s.title, "description": s.description} for s in scenarios]
        _print_json(rows)
    else:
        print_table(["name", "title"], [[s.name, s.title] for s in scenarios])


@app.command()
@exit_on_input_error
def show(
    scenario: ScenarioName,
    settings: Settings = None,
    as_json: AsJson = False,
    si: Annotated[bool, typer.Option("--si", help="Show SI values as well.")] = False,
) -> None:
    """Show every value of a scenario, with its source and status."""
    from dryermodel.scenario import load_scenario

    loaded = load_scenario(scenario, settings or ())
    if as_json:
        _print_json(_as_json(loaded))
        return
    typer.echo(f"{loaded.name}: {loaded.title}")
    if loaded.description:
        typer.echo(loaded.description)
    typer.echo(f"scenario hash {loaded.hash}\n")
    headers = ["key", "value", *(["SI value"] if si else []), "status", "source"]
    print_table(headers, [_columns(row, si) for row in loaded.resolved()])


@app.command()
@exit_on_input_error
def check(scenario: ScenarioName, settings: Settings = None) -> None:
    """Say whether a scenario is fine, or what is wrong with it."""
    from dryermodel.scenario import load_scenario

    loaded = load_scenario(scenario, settings or ())
    given = sum(1 for who in loaded.given.values() if who.rank)
    typer.echo(f"{loaded.label}: fine; {given} values given, {len(loaded.given) - given} by default")


@app.command()
@exit_on_input_error
def new(path: Annotated[str, typer.Argument(metavar="FILE", help="File to make, ending in .toml.")]) -> None:
    """Write a commented scenario file with every key and its default."""
    from dryermodel.scenario import new_scenario

    typer.echo(f"wrote {new_scenario(path).as_posix()}")


def _columns(row: ResolvedRow, si: bool) -> list[str]:
    value = [row.text] + ([_si_text(row)] if si else [])
    return [row.key, *value, row.status, row.source]


def _si_text(row: ResolvedRow) -> str:
    if isinstance(row.si, float):
        return f"{row.si:.6g} {row.si_unit}".rstrip()
    return "" if row.si is None else str(row.si)


def _as_json(scenario: Scenario) -> dict[str, Any]:
    values = [row._asdict() for row in scenario.resolved()]
    about = {"name": scenario.name, "title": scenario.title, "description": scenario.description}
    return {**about, "scenario_hash": scenario.hash, "values": values}


def _print_json(data: object) -> None:
    import json

    typer.echo(json.dumps(data, indent=2))
