"""What a static pressure measured at the collar means for a vent: restriction, or too little."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import NamedTuple

from dryermodel.bench.rows import Row
from dryermodel.cycle.engine.parameters import Parameters
from dryermodel.physics import bench
from dryermodel.readings.collar import at_collar

AS_EXPECTED = 0.10
"""[1] A measured static within this share of the computed one counts as the same, assumed."""

LONGEST = 200.0 * bench.FOOT
"""[m] Longest straight run looked for."""


def crossing(rises: Callable[[float], float], low: float, high: float) -> float | None:
    """Return where a rising function crosses zero between two positive numbers, or None.

    Parameters
    ----------
    rises : callable
        Rising function of one number.
    low, high : float
        Ends of the bracket, both above 0; sought in the logarithm, for they span decades.
    """
    from scipy.optimize import brentq

    if rises(low) > 0.0 or rises(high) < 0.0:
        return None
    return math.exp(brentq(lambda x: rises(math.exp(x)), math.log(low), math.log(high), xtol=1e-13))


def _restricted(p: Parameters, factor: float) -> Parameters:
    return p._replace(vent_resistance_factor=p.vent_resistance_factor * factor)


def resistance_for(p: Parameters, static: float) -> float | None:
    """Return the factor on the vent's resistance that gives a collar static [Pa], or None."""
    return crossing(lambda factor: at_collar(_restricted(p, factor)).static - static, 1e-3, 1e6)


def blocked_share_for(p: Parameters, static: float) -> float | None:
    """Return the blocked share of the duct [1] that gives a collar static [Pa], or None."""
    clear = p.vent_open_area
    opening = crossing(
        lambda closed: at_collar(p._replace(vent_open_area=clear / closed)).static - static, 1.0, 1e4
    )
    return None if opening is None else 1.0 - clear / opening


def straight_run_for(p: Parameters, hood_loss: float, static: float) -> float | None:
    """Return the straight run [m] of the same duct, with a hood and no elbow, that gives a static, or None.

    Parameters
    ----------
    p : Parameters
        The machine with its vent; only the duct's diameter, roughness and flex factor are kept of that.
    hood_loss : float
        K of the hood [1].
    static : float
        At the collar, heat off [Pa].
    """
    bare = p._replace(vent_minor_loss=hood_loss, vent_open_area=1.0, vent_resistance_factor=1.0)
    return crossing(lambda run: at_collar(bare._replace(vent_length=run)).static - static, 1e-3, LONGEST)


class Reading(NamedTuple):
    """What a measured static comes to."""

    rows: list[Row]
    verdicts: list[str]
    blocked: float | None = None  # [1] share of what is open that would explain it


def read_static(p: Parameters, unblocked: Parameters, hood_loss: float, static: float) -> Reading:
    """Return what a measured static means on this machine with this vent.

    Parameters
    ----------
    p : Parameters
        The machine with its vent and its faults.
    unblocked : Parameters
        The same without a blockage that it may have as a fault: what a blocked share is a share of.
    hood_loss : float
        K of the hood [1].
    static : float
        Measured at the collar, heat off [Pa].
    """
    rows = [Row("measured", "measured static", static, "inH2O", "Pa")]
    factor = resistance_for(p, static)
    expected = at_collar(p).static
    if factor is None:
        dead_head = at_collar(_restricted(p, 1e6)).static
        rows.append(Row("dead_head", "this blower against a closed vent", dead_head, "inH2O", "Pa"))
        return Reading(rows, [_out_of_reach(dead_head, static)])
    flow = at_collar(_restricted(p, factor)).flow
    rows += [
        Row("measured_flow", "flow at that static on this blower", flow, "cfm", "L/s"),
        Row("resistance_factor", "resistance over that of the vent described", factor),
    ]
    deviation = bench.relative_deviation(static, expected)
    if abs(deviation) <= AS_EXPECTED:
        return Reading(rows, ["as expected for this vent on this blower"])
    if deviation < 0.0:
        run = straight_run_for(p, hood_loss, static)
        if run is None:
            return Reading(rows, [f"{LOW_STATIC}; {NO_RUN}"])
        rows.append(Row("equal_run", "straight run without elbows that gives it", run, "ft", "m", 2))
        return Reading(rows, [f"{LOW_STATIC}; {SHORT_RUN}"])
    blocked = blocked_share_for(unblocked, static)
    if blocked is not None:
        rows.append(Row("blocked_share", "or blocked share of the duct's area", blocked, "%", "%", 3))
    told = f"restricted: {factor:.1f} times the resistance of the vent as described"
    # The fault of that name takes its share of what the duct otherwise leaves open.
    share = None if blocked is None else 1.0 - (1.0 - blocked) / unblocked.vent_open_area
    return Reading(rows, [told], share)


LOW_STATIC = "lower than this vent gives on this blower: weak blower, blocked lint screen, leaking joint"
SHORT_RUN = "unless the run is shorter than described: on the straight run above it is what it should be"
NO_RUN = "not a short run, for a hood alone gives more"
TOO_MUCH = "more than this blower makes against a closed vent: check the manometer's zero and the scenario"
NO_STATIC = "no static at all: blower stands still, vent is off, or the manometer's tube is not in the collar"


def _out_of_reach(dead_head: float, static: float) -> str:
    if static <= 0.0:
        return NO_STATIC
    return TOO_MUCH if static > dead_head else LOW_STATIC
