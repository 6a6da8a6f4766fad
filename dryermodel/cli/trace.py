"""``dryermodel trace``: what a logger's file says."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from dryermodel.cli._files import check_picture
from dryermodel.cli._run import exit_on_input_error
from dryermodel.errors import InputError

if TYPE_CHECKING:
    from dryermodel.field.traces.reading import Trace
    from dryermodel.field.traces.table import Options

ColumnOption = Annotated[
    str | None,
    typer.Option(metavar="COLUMN", help="Name or number of its column, from 1; guessed if not given."),
]


@exit_on_input_error
def trace(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="Text with a line for each reading (CSV).")],
    power: ColumnOption = None,
    current: ColumnOption = None,
    temperature: ColumnOption = None,
    time_column: ColumnOption = None,
    unit: Annotated[
        list[str],
        typer.Option(
            metavar="WHAT=UNIT",
            help="Unit of a column, e.g. power=kW, temperature=degC, time=min; repeatable.",
        ),
    ] = [],  # noqa: B006 - typer copies it
    delimiter: Annotated[
        str | None,
        typer.Option(metavar="CHARACTER", help="Between columns; comma, semicolon, tab, bar, space."),
    ] = None,
    decimal: Annotated[str | None, typer.Option(metavar="SIGN", help="point or comma.")] = None,
    interval: Annotated[
        str | None, typer.Option(metavar="TIME", help="Between lines, e.g. '1 s', for a file without times.")
    ] = None,
    machine: Annotated[
        str | None, typer.Option(metavar="KIND", help="gas or electric; told from the power.")
    ] = None,
    run: Annotated[
        int | None,
        typer.Option(metavar="N", help="Which run, if the log holds several; the longest if not given."),
    ] = None,
    volts: Annotated[
        str, typer.Option(metavar="QUANTITY", help="Line voltage, for a log of current.")
    ] = "120 V",
    plot: Annotated[
        Path | None,
        typer.Option(
            "--plot", "-o", metavar="FILE", help="Draw the reading over the log (.png, .svg or .pdf)."
        ),
    ] = None,
    intervals: Annotated[bool, typer.Option("--intervals", help="List every burn, however many.")] = False,
    visit: Annotated[
        Path | None,
        typer.Option(metavar="FILE", help="Add the measurements to this visit file, and the log's name."),
    ] = None,
    json: Annotated[bool, typer.Option("--json", help="Print only JSON, in SI.")] = False,
    si: Annotated[bool, typer.Option("--si", help="degC instead of degF.")] = False,
) -> None:
    """Read a log of power, current or exhaust temperature: burner, igniter, motor, set points.

    Everything that is guessed about the file is shown and can be said instead. Measurements come with their
    accuracy.
    """
    from dryermodel.field.traces.reading import read_trace

    check_picture(plot)
    kind = _kind(machine)
    options = _options(power, current, temperature, time_column, unit, delimiter, decimal, interval)
    found = read_trace(file, options, kind, run, _volts(volts))
    if plot is not None:
        from dryermodel.show.plots.pictures import save_figure
        from dryermodel.show.plots.trace import plot_trace

        save_figure(plot_trace(found, file.name, si=si), plot)
    told = "" if visit is None else _note(visit, file, found)
    if json:
        _print_json(found, file.name)
    else:
        _print_text(found, file.name, si, intervals)
    if told:
        typer.echo(told, err=json)


def _note(visit: Path, file: Path, found: Trace) -> str:
    """Put the measurements into a visit and say what became of them."""
    from dryermodel.field.traces.noting import note
    from dryermodel.show.text.trace import noted

    return "\n" + "\n".join(noted(note(visit, file, found.found), visit.as_posix()))


def _kind(word: str | None) -> str | None:
    if word is None:
        return None
    from dryermodel.cli.bench._common import choose

    return choose("--machine", word, ("gas", "electric"))


def _volts(text: str) -> float:
    from dryermodel.cli.bench._common import read

    return read("--volts", text, "voltage", "80 V", "260 V")


def _options(
    power: str | None, current: str | None, temperature: str | None, time: str | None, unit: list[str],
    delimiter: str | None, decimal: str | None, interval: str | None,
) -> Options:  # fmt: skip
    from dryermodel.cli.bench._common import read_if
    from dryermodel.field.traces.columns import Wanted
    from dryermodel.field.traces.table import Options

    if interval is not None and time is not None:
        raise InputError("is for a file without times; leave out one of the two", "--interval")
    wanted = Wanted(time or "", power or "", current or "", temperature or "", tuple(unit))
    return Options(wanted, delimiter, decimal, read_if("--interval", interval, "time", "1 ms", "1 h"))


def _print_text(found: Trace, name: str, si: bool, everything: bool) -> None:
    from dryermodel.show.text import trace as text
    from dryermodel.show.text.columns import right_aligned
    from dryermodel.show.text.tables import plain_table

    parts = [
        "\n".join(text.heading(found, name)),
        plain_table(*right_aligned(*text.measurements(found, si), first=1)),
        plain_table(*right_aligned(*text.burns(found, si, everything), first=0)),
        "\n".join(text.more(found)),
        "\n".join(["how the file was read:", *text.notes(found)]),
    ]
    typer.echo("\n\n".join(parts))


def _print_json(found: Trace, name: str) -> None:
    from json import dumps

    from dryermodel import __version__
    from dryermodel.show.data.trace import as_data

    typer.echo(dumps(as_data(found, name, __version__), indent=2, allow_nan=False))
