"""What the bench commands share: reading quantities within a range, and printing a sum."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Annotated, Any

import typer
from typer.core import TyperCommand

from dryermodel.cli import _completion
from dryermodel.errors import InputError, did_you_mean

if TYPE_CHECKING:
    from dryermodel.bench import Sum

_NEGATIVE = re.compile(r"-\.?\d")

AsJson = Annotated[bool, typer.Option("--json", help="Print only JSON.")]
InSi = Annotated[bool, typer.Option("--si", help="SI units in place of the trade's.")]


def _gas_meant(word: str) -> str:
    from dryermodel.scenario.words import known_word

    return known_word(word, GASES)


GASES = ("natural", "propane")
GasName = Annotated[
    str,
    typer.Option(
        "--gas",
        metavar="KIND",
        help="natural or propane (LP).",
        callback=_gas_meant,
        autocompletion=_completion.gases,
    ),
]
HeatingValue = Annotated[
    str | None,
    typer.Option(
        "--heating-value",
        metavar="QUANTITY",
        help="Gross, e.g. '1040 Btu/ft3'; natural gas 1025, propane 2500.",
    ),
]
ScenarioOption = Annotated[
    str,
    typer.Option(
        "--scenario",
        metavar="SCENARIO",
        help="The machine: a scenario file or shipped name.",
        autocompletion=_completion.scenarios,
    ),
]


class QuantityCommand(TyperCommand):
    """A command whose arguments may be negative quantities, such as '-200 ft'."""

    def parse_args(self, ctx: Any, args: list[str]) -> list[str]:
        """Parse the arguments; a number with its sign is a quantity and not an option.

        Parameters
        ----------
        ctx : Context
            Of the command line.
        args : list of str
            Its arguments.
        """
        # A leading space is nothing to a quantity, and keeps its minus sign from being read as a dash.
        return super().parse_args(ctx, [f" {a}" if _NEGATIVE.match(a) else a for a in args])


def read(option: str, text: str, kind: str, low: str, high: str) -> float:
    """Return a written quantity in SI; raise InputError unless it is within its range.

    Parameters
    ----------
    option : str
        Where it was written, for the message.
    text : str
        Number and unit.
    kind : str
        Kind of quantity of `units`.
    low, high : str
        Least and greatest value allowed, with their unit.
    """
    from dryermodel import units

    lowest, highest = units.parse(low, kind), units.parse(high, kind)
    try:
        value = units.parse(text, kind, (lowest, highest))
    except ValueError as problem:
        raise InputError(str(problem), option) from problem
    slack = 1e-9 * max(abs(lowest), abs(highest))
    if not lowest - slack <= value <= highest + slack:
        raise InputError(f"is {text}, outside the allowed {low} to {high}", option)
    return value


def read_if(option: str, text: str | None, kind: str, low: str, high: str) -> float | None:
    """Return what `read` does, or None if nothing was written."""
    return None if text is None else read(option, text, kind, low, high)


def check_count(option: str, value: int, low: int, high: int) -> int:
    """Return a count; raise InputError unless it is within its range."""
    if not low <= value <= high:
        raise InputError(f"is {value}, outside the allowed {low} to {high}", option)
    return value


def check_number(option: str, value: float | None, low: float, high: float, default: float) -> float:
    """Return a plain number, or its default; raise InputError unless it is within its range."""
    if value is None:
        return default
    if not low <= value <= high:
        raise InputError(f"is {value:g}, outside the allowed {low:g} to {high:g}", option)
    return value


def choose(option: str, word: str, words: tuple[str, ...]) -> str:
    """Return one of a few words, or the one meant by another; raise InputError if none is."""
    from dryermodel.scenario.words import known_word

    known = known_word(word, words)
    if known not in words:
        listed = " or ".join(f"'{w}'" for w in words)
        raise InputError(f"is '{word}'; choose {listed}{did_you_mean(word, words)}", option)
    return known


def heating_value(gas: str, text: str | None) -> float:
    """Return the gross heating value [J/m3]: the one written, or that of the gas."""
    from dryermodel.bench.gas import gas_named

    base = gas_named(choose("--gas", gas, GASES))
    given = read_if("--heating-value", text, "heating value", "200 Btu/ft3", "4000 Btu/ft3")
    return base.heating_value if given is None else given


def print_sum(result: Sum, as_json: bool, si: bool) -> None:
    """Print a sum on stdout: JSON only, or plain text."""
    if as_json:
        from json import dumps

        from dryermodel import __version__
        from dryermodel.show.data.bench import as_json as data

        typer.echo(dumps(data(result, __version__, si), indent=2, allow_nan=False))
    else:
        from dryermodel.show.text.bench import as_text

        typer.echo(as_text(result, si))
