"""Why a longer or tighter vent may dry a load sooner, and from where on it no longer does.

The burner gives the same heat to less air: the drum inlet is hotter and less heat is blown out, so
evaporation gains a little, until the high limit starts to cycle and the burner waits for it.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from dryermodel.cycle.engine.parameters import ELECTRIC_HEAT, Parameters
from dryermodel.readings import quantities as Q

AIR_PATH = frozenset(
    {
        "house_depressurisation", "fan_dead_head", "fan_slope", "fan_speed", "burner_loss", "load_loss",
        "screen_loss", "housing_loss", "vent_diameter", "vent_length", "vent_roughness", "vent_flex_factor",
        "vent_minor_loss", "vent_open_area", "vent_resistance_factor", "vent_back_pressure",
    }
)  # fmt: skip
"""Parameters that decide nothing but how much air the blower moves."""

NOT_VALIDATED = "not validated against measured blockage"

LESS = 0.98
"""Flow, as a share of the greatest, from which it is worth a word [1]."""

SOONER = 0.995
"""Drying time, as a share of that with most air, from which it is worth a word [1]."""


HABIT = 2
"""Openings of the high limit more than with most air that make cycling; a single one comes when the load is
dry."""


class AirCase(NamedTuple):
    """What is compared of one cycle."""

    name: str
    flow: float  # [m3/s] of exhaust while drying
    exhaust: float  # [K] at that time
    dry_at: float | None  # [s] to the same moisture; None if never
    trips: int  # openings of the high limit


def only_air_differs(one: Parameters, other: Parameters) -> bool:
    """Return whether two machines differ in nothing but how much air they move, and do differ.

    >>> from dryermodel.scenario.model import load_scenario
    >>> p = load_scenario("standard").to_parameters()
    >>> only_air_differs(p, p._replace(vent_length=20.0)), only_air_differs(p, p._replace(dry_mass=5.0))
    (True, False)
    """
    changed = {name for name, a, b in zip(one._fields, one, other, strict=True) if a != b}
    return bool(changed) and changed <= AIR_PATH


def less_air(cases: Sequence[AirCase], p: Parameters, level: str = "4 %", si: bool = False) -> str | None:
    """Say that less air dries sooner, why, and where that turns; None when it does not.

    Parameters
    ----------
    cases : sequence of AirCase
        Cycles that differ in nothing but how much air is moved.
    p : Parameters
        Of any of them: heat source and room.
    level : str
        Moisture to which `dry_at` goes, in words.
    si : bool
        Metric units.

    Returns
    -------
    str or None
        One or two sentences.
    """
    ordered = sorted((c for c in cases if c.dry_at is not None), key=lambda c: -c.flow)
    if not ordered:
        return None
    most, best = ordered[0], min(ordered, key=_dry_at)
    if best.flow > LESS * most.flow or _dry_at(best) > SOONER * _dry_at(most):
        return None
    if best.trips >= most.trips + HABIT:
        return None
    return f"{_gain(most, best, p, level, si)} {_turn(ordered, best, level, si)}"


def _gain(most: AirCase, best: AirCase, p: Parameters, level: str, si: bool) -> str:
    source = "heater" if p.heat_source == ELECTRIC_HEAT else "burner"
    kept = 1.0 - _blown_out(best, p) / _blown_out(most, p)
    out = f"about {100.0 * kept:.0f} % less heat is" if kept >= 0.005 else "no more heat is"
    return (
        f"Less air dries sooner here: with {best.name} {_numbers(best, level, si)}, with {most.name} "
        f"{_numbers(most, level, si)}. The same {source} warms less air, so the drum's inlet is hotter, and "
        f"{out} blown out."
    )


def _numbers(case: AirCase, level: str, si: bool) -> str:
    flow, time = Q.text(case.flow, "flow", si), Q.text(_dry_at(case), "time", si)
    return f"{flow} leave and {level} takes {time}"


def _turn(ordered: Sequence[AirCase], best: AirCase, level: str, si: bool) -> str:
    """Where it turns: the next case with less air, or beyond all of them."""
    tighter = ordered[ordered.index(best) + 1 :]
    if not tighter:
        return f"That ends where still less air makes the high limit cycle ({NOT_VALIDATED})."
    turn = tighter[0]
    took = _numbers(turn, level, si)
    if turn.trips > best.trips:
        why = f"the high limit opens {turn.trips} times and the heat waits for it"
        return f"It turns at {turn.name} ({took}): {why} (not validated against measured blockage)."
    return (
        f"It turns at {turn.name} ({took}), before the high limit cycles: less air also takes up less water."
    )


def _dry_at(case: AirCase) -> float:
    return float("inf") if case.dry_at is None else case.dry_at


def _blown_out(case: AirCase, p: Parameters) -> float:
    """Heat that leaves with the air, but for its density and specific heat, which hardly differ."""
    return case.flow * (case.exhaust - p.room_temp)
