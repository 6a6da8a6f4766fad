"""``dryermodel simulate``: one cycle, in numbers, words and a picture."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from dryermodel.cli._files import check_csv, check_picture
from dryermodel.cli._options import FaultOption, ScenarioArgument, SettingOption
from dryermodel.cli._run import exit_on_input_error

if TYPE_CHECKING:
    from dryermodel.cycle.result import CycleResult
    from dryermodel.scenario.model import Scenario

_STOP_KEY = "controls.stop_at_moisture"


@exit_on_input_error
def simulate(
    scenario: ScenarioArgument,
    setting: SettingOption = [],  # noqa: B006 - typer copies it
    fault: FaultOption = [],  # noqa: B006
    stop_at_moisture: Annotated[
        str | None,
        typer.Option(metavar="PERCENT", help="End the run at this remaining moisture, e.g. '4 %'."),
    ] = None,
    plot: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Draw the cycle (.png, .svg or .pdf).")
    ] = None,
    csv: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Write the cycle as a table, one row each 10 s.")
    ] = None,
    events: Annotated[bool, typer.Option("--events", help="List every switching.")] = False,
    details: Annotated[
        bool,
        typer.Option(
            "--details", help="Say of every number what it rests on; how the balances close, tolerance, hash."
        ),
    ] = False,
    samples: Annotated[
        int | None,
        typer.Option(
            metavar="N", help="Draw load, room and thermostat N times and show the spread (8 to 5000)."
        ),
    ] = None,
    seed: Annotated[
        int | None, typer.Option(metavar="S", help="Where the random draws begin; 0 if not given.")
    ] = None,
    json: Annotated[bool, typer.Option("--json", help="Print only JSON.")] = False,
    si: Annotated[
        bool,
        typer.Option(
            "--si",
            help="SI units instead of degF, lb, cfm, in w.c.; --json keys always carry their unit in the "
            "name and do not change.",
        ),
    ] = False,
) -> None:
    """Simulate one cycle and say in plain English what happened."""
    from dryermodel.errors import InputError
    from dryermodel.scenario.run import simulate as run

    what = _loaded(scenario, setting, fault, stop_at_moisture)
    check_picture(plot)
    check_csv(csv)
    if samples is None and seed is not None:
        raise InputError("is for the draws of --samples; add that, or leave it out", "--seed")
    if samples is not None:
        _only_one_cycle(csv, events)
        from dryermodel.cli._samples import simulate_samples

        simulate_samples(what, samples, seed or 0, plot, json, si)
        return
    result = run(what)
    if csv is not None:
        from dryermodel.show.data.cycle import write_csv

        write_csv(result, csv, si=si)
    if plot is not None:
        from dryermodel.show.plots.cycle import plot_cycle, save_figure

        save_figure(plot_cycle(result, si=si), plot)
    # Files come first: when one cannot be written, nothing is printed as if all were well.
    if json:
        _print_json(what, result, events, si)
    else:
        from dryermodel.show.text.cycle import print_events, print_findings, print_summary

        print_summary(result, si, details=details)
        print_findings(result, si, rated_input=what.model.burner.firing_rate)
        if events:
            print_events(result)


def _loaded(name: str, setting: list[str], fault: list[str], stop: str | None) -> Scenario:
    """Return the scenario; what is wrong with the moisture to stop at is blamed on its own option."""
    from dryermodel.errors import InputError
    from dryermodel.scenario.model import load_scenario

    settings = list(setting) if stop is None else [*setting, f"{_STOP_KEY}={stop}"]
    try:
        return load_scenario(name, settings, fault)
    except InputError as problem:
        if stop is None or problem.key != _STOP_KEY:
            raise
        message = problem.message.replace(_STOP_KEY, "the moisture to stop at")
        raise InputError(message, "--stop-at-moisture") from None


def _only_one_cycle(csv: Path | None, events: bool) -> None:
    """Refuse what only a single cycle has."""
    from dryermodel.errors import InputError

    for option, given in (("--csv", csv is not None), ("--events", events)):
        if given:
            raise InputError("is for a single cycle; leave it out, or leave out --samples", option)


def _print_json(scenario: Scenario, result: CycleResult, events: bool, si: bool) -> None:
    from json import dumps

    from dryermodel import __version__
    from dryermodel.findings.statements import findings
    from dryermodel.show.data.cycle import events_data, summary_json

    content = summary_json(result, __version__)
    content |= scenario.faults_as_data()
    content["findings"] = findings(result, si=si, rated_input=scenario.model.burner.firing_rate)
    if events:
        content["events"] = events_data(result)
    typer.echo(dumps(content, indent=2, allow_nan=False))
