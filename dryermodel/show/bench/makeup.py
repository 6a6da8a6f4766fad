"""Bench sum about make-up air: the rules, the opening, and what it costs the dryer in flow."""

from __future__ import annotations

from typing import NamedTuple

from dryermodel.cycle.parameters import Parameters
from dryermodel.physics import bench
from dryermodel.physics.moist_air import moist_density
from dryermodel.show.bench.rows import (
    COMPUTED,
    FROM_MEMORY,
    LOCAL_CODE,
    PUBLISHED,
    QUOTED,
    Basis,
    Row,
    Sum,
)
from dryermodel.show.bench.vent import FAN, at_collar

SPILLAGE = 5.0
"""[Pa] Depressurisation at which natural-draught appliances may spill, from memory."""


class MakeupAir(NamedTuple):
    """What a room's make-up air sum is given."""

    exhaust: float  # [m3/s] of the dryer, and of all else that exhausts from the room
    opening: float  # [m2] free area
    closet: bool


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
    drop = bench.opening_pressure(given.exhaust, given.opening, density)
    open_flow = at_collar(p).flow
    flow = at_collar(p._replace(house_depressurisation=p.house_depressurisation + drop)).flow
    needed = bench.opening_area(given.exhaust, SPILLAGE, density)
    rows = [
        Row("exhaust", "exhaust from the room", given.exhaust, "cfm", "L/s"),
        Row("makeup_air_rule", "make-up air required above", bench.MAKEUP_AIR_FLOW, "cfm", "L/s"),
        Row("opening", "free opening", given.opening, "in2", "cm2"),
        *([Row("closet_rule", "closet opening at least", bench.CLOSET_OPENING, "in2", "cm2")] * given.closet),
        Row("pressure_drop", "pressure across the opening", drop, "inH2O", "Pa"),
        Row("opening_for_5_pa", "free opening for 5 Pa (0.02 in w.c.)", needed, "in2", "cm2"),
        Row("flow_open", "dryer flow, room wide open", open_flow, "cfm", "L/s"),
        Row("flow_with_opening", "dryer flow with this opening", flow, "cfm", "L/s"),
        Row("flow_loss", "flow lost", 1.0 - flow / open_flow if open_flow > 0.0 else 0.0, "%", "%", 2),
    ]
    rules = [
        Basis("make-up air required above 200 cfm, UFC 3-410-02N", PUBLISHED),
        *([Basis("closet opening of 100 in2, UMC 504.3.1", QUOTED)] * given.closet),
        Basis("orifice law, coefficient 0.6; a louvre takes free area off", COMPUTED),
        Basis("5 Pa: natural-draught appliances may spill beyond it", FROM_MEMORY),
        FAN,
    ]
    cautions = (
        "A depressurised room can pull flue gas back from other appliances: carbon monoxide. "
        "Have their draught checked by a qualified person.",
        LOCAL_CODE,
    )
    return Sum(
        "makeup-air", "Make-up air", tuple(rows), _makeup_verdicts(given, drop), tuple(rules), cautions
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
