"""What a technician could read off one cycle: the numbers in which faults show."""

from __future__ import annotations

import itertools
from typing import TYPE_CHECKING, NamedTuple

from dryermodel.cycle.engine import switching
from dryermodel.cycle.result import EndReason
from dryermodel.readings import measures as M

if TYPE_CHECKING:
    from dryermodel.cycle.result import CycleResult

ENDED = (EndReason.DIAL_RAN_OUT, EndReason.MOISTURE_REACHED, EndReason.STOPPED)
"""Reasons that are an end of the cycle, not of the computation."""


class Signature(NamedTuple):
    """Numbers of one cycle in SI; None where there is none."""

    cycle_time: float  # [s]
    ended: bool  # by itself, not by the time limit
    dry_at: float | None  # [s] 4 % moisture
    final_moisture: float  # [kg/kg]
    gas: float  # [J] gross
    electricity: float  # [J]
    exhaust_bulk: float | None  # [K] median of bulk drying
    exhaust_max: float  # [K]
    load_max: float  # [K]
    static: float | None  # [Pa] at the collar, median
    flow: float | None  # [m3/s] at the collar, median
    burner_on: float | None  # [s] mean stretch with heat after the first cut-out
    burner_off: float | None  # [s] mean stretch without, between two of them
    trips: int  # of the high limit
    burns: int
    tries: int  # of the igniter
    first_light: float | None  # [s] from the start button to the first flame
    longest_glow: float  # [s]
    cut_out_at: float | None  # [s] first opening of the exhaust thermostat


def signature(result: CycleResult) -> Signature:
    """Return the numbers in which a fault shows.

    Parameters
    ----------
    result : CycleResult
        The cycle.
    """
    running, top, heat = M.running_medians(result), M.peaks(result), M.heat_intervals(result)
    cut_out_at = M.first_cut_out(result)
    on, off = burner_stretches(heat, cut_out_at, M.cool_down_start(result) or result.duration)
    glow = result.trajectory.intervals(switching.IGNITER, result.duration)
    return Signature(
        cycle_time=result.duration,
        ended=result.end in ENDED,
        dry_at=M.time_to_4pct(result),
        final_moisture=result.final_moisture,
        gas=result.gas_energy,
        electricity=result.electric_energy,
        exhaust_bulk=result.bulk["exhaust_temp_K"] if result.bulk else None,
        exhaust_max=top.exhaust_air,
        load_max=top.load,
        static=running["vent_static_Pa"] if running else None,
        flow=running["exhaust_flow_m3_per_s"] if running else None,
        burner_on=on,
        burner_off=off,
        trips=result.high_limit_trips,
        burns=result.burner_cycles,
        tries=M.ignition_tries(result),
        first_light=heat[0][0] if heat else None,
        longest_glow=max((b - a for a, b in glow), default=0.0),
        cut_out_at=cut_out_at,
    )


def burner_stretches(
    heat: list[tuple[float, float]], cut_out_at: float | None, until: float
) -> tuple[float | None, float | None]:
    """Mean length [s] of the stretches with and without heat after the first cut-out.

    A stretch counts when it begins and ends on its own account: a burn that the cool-down ends and
    the pause before the end of the cycle do not.

    Parameters
    ----------
    heat : list of (float, float)
        Times with heat [s], in order.
    cut_out_at : float or None
        First opening of the exhaust thermostat [s].
    until : float
        Start of the cool-down, or end of the cycle [s].

    Returns
    -------
    tuple of float or None
        On and off; None where there is no such stretch.

    Examples
    --------
    >>> burner_stretches([(30.0, 900.0), (960.0, 1000.0), (1060.0, 1080.0)], 900.0, 1200.0)
    (30.0, 60.0)
    >>> burner_stretches([(30.0, 900.0)], None, 900.0)
    (None, None)
    """
    if cut_out_at is None:
        return None, None
    on = [b - a for a, b in heat if a >= cut_out_at and b < until]
    off = [
        later[0] - earlier[1]
        for earlier, later in itertools.pairwise(heat)
        if earlier[1] >= cut_out_at - 1e-6
    ]
    return _mean(on), _mean(off)


def _mean(values: list[float]) -> float | None:
    return sum(values) / len(values) if values else None
