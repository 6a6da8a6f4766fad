"""Bench sum about make-up air: the rules, the opening, and what it costs the dryer in flow."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from dryermodel.bench.rows import (
    ASSUMED,
    COMPUTED,
    FROM_MEMORY,
    LOCAL_CODE,
    PUBLISHED,
    QUOTED,
    Basis,
    Row,
    Sum,
)
from dryermodel.bench.vent import FAN
from dryermodel.cycle.engine.parameters import Parameters
from dryermodel.physics import bench
from dryermodel.physics.moist_air import moist_density
from dryermodel.readings.collar import at_collar

SPILLAGE = 5.0
"""[Pa] Depressurisation at which natural-draught appliances may spill, from memory."""


class MakeupAir(NamedTuple):
    """What a room's make-up air sum is given."""

    exhaust: float  # [m3/s] of the dryer and of all else that exhausts from the room, room wide open
    opening: float  # [m2] free area
    closet: bool


class Starved(NamedTuple):
    """Where blower and opening agree."""

    flow_open: float  # [m3/s] of the dryer, room wide open
    flow: float  # [m3/s] of the dryer with the opening
    exhaust: float  # [m3/s] from the room with the opening
    drop: float  # [Pa] across the opening


def operating_point(p: Parameters, given: MakeupAir) -> Starved:
    """Return where the blower's flow and the pressure across the opening agree.

    The opening's pressure is a resistance in series with the dryer, so it is taken at the flow that is
    left and not at the flow of an open room, which the blower could not hold. Whatever else exhausts
    from the room is taken to weaken in the same proportion as the dryer.

    Parameters
    ----------
    p : Parameters
        The machine in this room.
    given : MakeupAir
        Exhaust [m3/s] with the room wide open, free opening [m2].
    """
    density = moist_density(p.room_temp, p.room_humidity_ratio, p.pressure)
    flow_open = at_collar(p).flow
    if flow_open <= 0.0:
        return Starved(0.0, 0.0, 0.0, 0.0)

    def drop(share: float) -> float:
        return bench.opening_pressure(given.exhaust * share, given.opening, density)

    def flow(share: float) -> float:
        return at_collar(p._replace(house_depressurisation=p.house_depressurisation + drop(share))).flow

    share = _share_kept(lambda kept: flow(kept) / flow_open)
    return Starved(flow_open, flow_open * share, given.exhaust * share, drop(share))


def _share_kept(falls: Callable[[float], float]) -> float:
    """Return the share [1] between 0 and 1 at which a falling function equals its argument."""
    from scipy.optimize import brentq

    return (
        1.0 if falls(1.0) >= 1.0 else float(brentq(lambda share: falls(share) - share, 0.0, 1.0, xtol=1e-13))
    )


def makeup_air(parameters: Parameters, given: MakeupAir) -> Sum:
    """Make-up air: the rules, the pressure across the opening, and what that costs the dryer in flow.

    Parameters
    ----------
    parameters : Parameters
        The machine in this room.
    given : MakeupAir
        Exhaust [m3/s], free opening [m2], closet or not.
    """
    p = parameters
    density = moist_density(p.room_temp, p.room_humidity_ratio, p.pressure)
    point = operating_point(p, given)
    lost = 1.0 - point.flow / point.flow_open if point.flow_open > 0.0 else 0.0
    needed = bench.opening_area(given.exhaust, SPILLAGE, density)
    rows = [
        Row("exhaust", "exhaust, room wide open", given.exhaust, "cfm", "L/s"),
        Row("makeup_air_rule", "make-up air required above", bench.MAKEUP_AIR_FLOW, "cfm", "L/s"),
        Row("opening", "free opening", given.opening, "in2", "cm2"),
        *([Row("closet_rule", "closet opening at least", bench.CLOSET_OPENING, "in2", "cm2")] * given.closet),
        Row("exhaust_with_opening", "exhaust with this opening", point.exhaust, "cfm", "L/s"),
        Row("pressure_drop", "pressure across the opening", point.drop, "inH2O", "Pa"),
        Row("opening_for_5_pa", "free opening for 5 Pa (0.02 in w.c.)", needed, "in2", "cm2"),
        Row("flow_open", "dryer flow, room wide open", point.flow_open, "cfm", "L/s"),
        Row("flow_with_opening", "dryer flow with this opening", point.flow, "cfm", "L/s"),
        Row("flow_loss", "flow lost", lost, "%", "%", 2),
    ]
    rules = [
        Basis("make-up air required above 200 cfm, UFC 3-410-02N", PUBLISHED),
        *([Basis("closet opening of 100 in2, UMC 504.3.1", QUOTED)] * given.closet),
        Basis("orifice law, coefficient 0.6; a louvre takes free area off", COMPUTED),
        Basis("the opening is the only way in; all exhaust weakens as the dryer's does", ASSUMED),
        Basis("5 Pa: natural-draught appliances may spill beyond it", FROM_MEMORY),
        FAN,
    ]
    cautions = (
        "A depressurised room can pull flue gas back from other appliances: carbon monoxide. "
        "Have their draught checked by a qualified person.",
        LOCAL_CODE,
    )
    return Sum(
        "makeup-air", "Make-up air", tuple(rows), _makeup_verdicts(given, point.drop), tuple(rules), cautions
    )


def _makeup_verdicts(given: MakeupAir, drop: float) -> tuple[str, ...]:
    verdicts = []
    required = given.exhaust > bench.MAKEUP_AIR_FLOW * (1.0 + 1e-9)
    verdicts.append(f"200 cfm rule: make-up air is {'required' if required else 'not required by it'}")
    if given.closet:
        enough = given.opening >= bench.CLOSET_OPENING * (1.0 - 1e-9)
        verdicts.append(f"closet opening {'meets' if enough else 'is below'} 100 in2")
    if drop > SPILLAGE:
        verdicts.append("room pulled down by more than 5 Pa: enlarge the opening")
    return tuple(verdicts)
