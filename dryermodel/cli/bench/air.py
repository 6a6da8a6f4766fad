"""Bench commands about air: vent, makeup-air."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from dryermodel.cli import _completion
from dryermodel.cli._run import exit_on_input_error
from dryermodel.cli.bench._common import (
    AsJson,
    InSi,
    ScenarioOption,
    check_count,
    check_number,
    choose,
    print_sum,
    read,
    read_if,
)
from dryermodel.written import without_marks

if TYPE_CHECKING:
    from dryermodel.bench.vent import Fittings, VentPieces
    from dryermodel.scenario.schema import Vent

MATERIALS = ("rigid", "flexible", "foil")
MOST_FITTINGS = 20


@exit_on_input_error
def vent(
    straight: Annotated[
        str | None, typer.Option(metavar="LENGTH", help="Straight duct in all, e.g. '20 ft'.")
    ] = None,
    elbow_90: Annotated[int, typer.Option("--elbow-90", help="Mitred 90 degree elbows.")] = 0,
    elbow_45: Annotated[int, typer.Option("--elbow-45", help="Mitred 45 degree elbows.")] = 0,
    radius_6in_90: Annotated[int, typer.Option("--radius-6in-90", help="90 degree, 6 in radius.")] = 0,
    radius_6in_45: Annotated[int, typer.Option("--radius-6in-45", help="45 degree, 6 in radius.")] = 0,
    radius_8in_90: Annotated[int, typer.Option("--radius-8in-90", help="90 degree, 8 in radius.")] = 0,
    radius_8in_45: Annotated[int, typer.Option("--radius-8in-45", help="45 degree, 8 in radius.")] = 0,
    material: Annotated[
        str | None,
        typer.Option(metavar="KIND", help="rigid, flexible or foil.", autocompletion=_completion.ducts),
    ] = None,
    diameter: Annotated[str | None, typer.Option(metavar="LENGTH", help="Inside, e.g. '4 in'.")] = None,
    hood: Annotated[
        str | None, typer.Option(metavar="K|KIND", help="Loss of the hood, usual 1.1; or flap, louvered.")
    ] = None,
    open_area: Annotated[
        str | None, typer.Option(metavar="PERCENT", help="Open share at a blockage, e.g. '50 %'.")
    ] = None,
    flex_factor: Annotated[
        float | None, typer.Option(metavar="NUMBER", help="Friction over that of straight duct.")
    ] = None,
    static: Annotated[
        str | None, typer.Option(metavar="PRESSURE", help="Measured at the collar, heat off.")
    ] = None,
    scenario: ScenarioOption = "standard",
    as_json: AsJson = False,
    si: InSi = False,
) -> None:
    """Vent: the code's length, the static to expect, and what a measured static means.

    With straight duct or a fitting given, those given are all there are; else the scenario's vent.
    """
    from dryermodel.bench import vent as sums
    from dryermodel.bench.vent import Fittings
    from dryermodel.scenario.convert import without_faults
    from dryermodel.scenario.model import load_scenario

    counts = Fittings(elbow_45, elbow_90, radius_6in_45, radius_6in_90, radius_8in_45, radius_8in_90)
    _check_counts(counts)
    loaded = load_scenario(scenario)
    own = loaded.model.vent
    pieces = _pieces(straight, counts, own.hood_loss if hood is None else _hood_loss(hood), own)
    pieces = pieces._replace(
        diameter=read("--diameter", diameter, "length", "2 in", "12 in") if diameter else own.diameter,
        roughness=_roughness(material) if material else own.roughness,
        flex_factor=check_number("--flex-factor", flex_factor, 1.0, 20.0, own.flex_factor),
        open_area=read("--open-area", open_area, "fraction", "0 %", "100 %") if open_area else own.open_area,
    )
    measured = read_if("--static", static, "pressure", "0 inH2O", "10 inH2O")
    told = {
        "diameter": diameter, "roughness": material, "hood_loss": hood, "open_area": open_area,
        "flex_factor": flex_factor,
    }  # fmt: skip
    settings = [*_run_settings(straight, counts), *(f"{k}={v}" for k, v in told.items() if v is not None)]
    settings = [without_marks(text) for text in settings]
    named = f'"{scenario}"' if " " in scenario else scenario
    command = " ".join([f"dryermodel simulate {named}", *(f'--set "vent.{text}"' for text in settings)])
    found = sums.vent(without_faults(loaded.model), pieces, measured, loaded.faults, command)
    print_sum(found, as_json, si)


def _run_settings(straight: str | None, counts: Fittings) -> list[str]:
    """Return the keys of a scenario that say the run as it was given; none if it was not."""
    from dryermodel.physics.bench import fittings_loss

    if straight is None and not any(counts):
        return []
    elbows = int(sum(counts))
    each = [f"elbow_loss={fittings_loss(counts) / elbows:.4g}"] if elbows else []
    return [f"length={straight or '0 ft'}", f"elbows={elbows}", *each, "resistance_factor=1"]


def _check_counts(counts: Fittings) -> None:
    options = ("--elbow-45", "--elbow-90", "--radius-6in-45", "--radius-6in-90", "--radius-8in-45",
               "--radius-8in-90")  # fmt: skip
    for option, count in zip(options, counts, strict=True):
        check_count(option, int(count), 0, MOST_FITTINGS)


def _pieces(straight: str | None, counts: Fittings, hood: float, own: Vent) -> VentPieces:
    """Return the pieces given, or the scenario's when none is."""
    from dryermodel.bench.vent import Fittings, VentPieces, fittings_loss

    if straight is None and not any(counts):
        loss = own.elbows * own.elbow_loss + hood
        fittings = Fittings(mitred_90=own.elbows)
        factor = own.resistance_factor
        return VentPieces(own.length, fittings, loss, own.diameter, own.roughness, resistance_factor=factor)
    length = read("--straight", straight or "0 ft", "length", "0 ft", "200 ft")
    return VentPieces(length, counts, fittings_loss(counts) + hood, own.diameter, own.roughness)


def _hood_loss(text: str) -> float:
    """Return the loss coefficient of a hood given as a number or by its kind."""
    from dryermodel.errors import InputError
    from dryermodel.scenario.defaults import named_values
    from dryermodel.scenario.rules import read as read_by_rule
    from dryermodel.studies.sweep.vary import quantity_rule

    key = "vent.hood_loss"
    try:
        return float(read_by_rule(quantity_rule(key), text, named_values(key)) or 0.0)
    except ValueError as problem:
        raise InputError(str(problem), "--hood") from None


def _roughness(material: str) -> float:
    from dryermodel import units
    from dryermodel.scenario.defaults import named_values

    word = choose("--material", material, MATERIALS)
    return units.parse(named_values("vent.roughness")[word], "length")


@exit_on_input_error
def makeup_air(
    exhaust: Annotated[str, typer.Argument(metavar="EXHAUST", help="All the room loses, e.g. '150 cfm'.")],
    opening: Annotated[str, typer.Argument(metavar="OPENING", help="Free area, e.g. '100 in2'.")],
    closet: Annotated[bool, typer.Option("--closet", help="The dryer stands in a closet.")] = False,
    scenario: ScenarioOption = "standard",
    as_json: AsJson = False,
    si: InSi = False,
) -> None:
    """Make-up air: the rules, the pressure across the opening, and the flow it costs."""
    from dryermodel.bench import makeup as sums
    from dryermodel.scenario.model import load_scenario

    given = sums.MakeupAir(
        read("EXHAUST", exhaust, "volume flow", "1 cfm", "5000 cfm"),
        read("OPENING", opening, "area", "1 in2", "10000 in2"),
        closet,
    )
    print_sum(sums.makeup_air(load_scenario(scenario).to_parameters(), given), as_json, si)
