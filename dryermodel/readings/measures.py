"""Numbers about one cycle that several of its tables, plots and findings need."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from dryermodel.cycle.engine import parameters as P
from dryermodel.cycle.engine import state as Y
from dryermodel.cycle.engine import switching
from dryermodel.cycle.marks import first_down_to
from dryermodel.cycle.result import moistures
from dryermodel.physics.fuel import minimum_combustion_air

if TYPE_CHECKING:
    from collections.abc import Iterable

    from numpy.typing import NDArray

    from dryermodel.cycle.result import CycleResult

BEFORE = 1.0e-3
"""Seconds before a switching at which its earlier side is sampled."""

TEST_DRYNESS = 0.04
"""Moisture [kg/kg] at which the energy test of 10 CFR 430 stops the clock (from memory)."""

NO_THRESHOLD = (200.0, 1000.0)
"""Set points outside this range [K] stand for a contact that never moves."""


def is_threshold(temperature: float) -> bool:
    """Whether a set point [K] is one that a machine can reach, not a stand-in for a stuck contact.

    Examples
    --------
    >>> is_threshold(341.5), is_threshold(1e9), is_threshold(1.0)
    (True, False, False)
    """
    return NO_THRESHOLD[0] < temperature < NO_THRESHOLD[1]


def time_to_moisture(result: CycleResult, level: float = TEST_DRYNESS) -> float | None:
    """When the load first had no more than `level` moisture [s]; None if it never did.

    Parameters
    ----------
    result : CycleResult
        The cycle.
    level : float
        Moisture, dry basis [kg/kg].
    """
    tr = result.trajectory
    moisture, slope = (moistures(rows, result.parameters.piece_share) for rows in (tr.state, tr.rate))
    return first_down_to(tr.time, moisture, slope, level)


def time_to_4pct(result: CycleResult) -> float | None:
    """Seconds until the load first held 4 % moisture, whatever moisture the scenario marks.

    Parameters
    ----------
    result : CycleResult
        The cycle.
    """
    marked = result.time_to_marked
    if marked is not None and result.parameters.marked_moisture == TEST_DRYNESS:
        return marked
    return time_to_moisture(result)


def both_sides(result: CycleResult) -> dict[str, NDArray[np.float64]]:
    """Sampled quantities in SI, with the value just before each switching beside that after it.

    The air side has no memory, so its temperatures jump when the burner switches; a curve through
    one side only would be drawn slanted, and its highest point missed.

    Parameters
    ----------
    result : CycleResult
        The cycle.

    Returns
    -------
    dict of ndarray
        As :attr:`~dryermodel.cycle.result.CycleResult.series`, in order of time.
    """
    after, tr = result.series, result.trajectory
    switched = np.unique(tr.time[(tr.cause >= 0) & (tr.time > BEFORE)])
    if len(switched) == 0:
        return after
    before = result.sample(switched - BEFORE)
    order = np.argsort(np.concatenate([after["time_s"], before["time_s"]]), kind="stable")
    return {name: np.concatenate([after[name], before[name]])[order] for name in after}


def exhaust_peak(result: CycleResult) -> float:
    """Highest temperature of the exhaust air [K] while the motor runs; of the start if it never does."""
    s = both_sides(result)
    # Once the drum stands, what little air is left says nothing about the exhaust.
    window = s["motor"] > 0.5
    if not window.any():
        window = s["time_s"] <= 0.0
    return float(s["exhaust_temp_K"][window].max())


def share_on(intervals: Iterable[tuple[float, float]], start: float, end: float) -> float:
    """Share of the time between `start` and `end` [s] that `intervals` cover [1].

    Examples
    --------
    >>> share_on([(0.0, 2.0), (5.0, 9.0)], 1.0, 6.0)
    0.4
    """
    covered = sum(max(0.0, min(b, end) - max(a, start)) for a, b in intervals)
    return covered / (end - start) if end > start else 0.0


def heat_intervals(result: CycleResult) -> list[tuple[float, float]]:
    """Times [s] between which the burner, or the electric heater, gave heat."""
    tr, end = result.trajectory, result.cycle_time
    return sorted(tr.intervals(switching.FLAME, end) + tr.intervals(switching.HEATER, end))


def cool_down_start(result: CycleResult) -> float | None:
    """When the dial opened its heat contact [s]; None if it never did."""
    tr = result.trajectory
    rows = np.flatnonzero(tr.discrete[:, switching.STRETCH] >= 1)
    return float(tr.time[rows[0]]) if len(rows) else None


def first_cut_out(result: CycleResult) -> float | None:
    """First opening of the exhaust thermostat [s]; None if it stayed closed."""
    return result.first_cut_out


def ignition_tries(result: CycleResult) -> int:
    """How often the igniter was energised."""
    return int(result.outcome.ignition_tries)


def energy_until(result: CycleResult, t: float) -> float:
    """Gas and electricity used from the start to time `t` [J], `t` in [s]."""
    y = result.trajectory.at(t)
    return float(y[Y.GAS_ENERGY] + y[Y.ELECTRIC_ENERGY])


class Leaks(NamedTuple):
    """Shares of the blower's dry-air flow that did not pass the burner [1]."""

    drum_seal: float
    gasket: float

    @property
    def total(self) -> float:
        """Both together [1]."""
        return self.drum_seal + self.gasket


def leaks(result: CycleResult) -> Leaks:
    """Leak shares in bulk drying, or at half time when there is none."""
    bulk = result.bulk
    f = result.air(bulk["time_s"] if bulk else 0.5 * result.cycle_time).flows
    total = max(f.exhaust, 1e-12)
    return Leaks((f.drum - f.burner) / total, (f.exhaust - f.drum) / total)


def running_medians(result: CycleResult) -> dict[str, float] | None:
    """Medians over bulk drying; without any, over the time the motor ran. None if it never did."""
    if result.bulk is not None:
        return result.bulk
    s = result.series
    window = s["motor"] > 0.5
    if not window.any():
        return None
    return {name: float(np.median(values[window])) for name, values in s.items()}


def combustion_air_ratio(result: CycleResult) -> float | None:
    """Least air through the burner over the least that its gas needs [1].

    Taken while the flame is lit; if it never lights, while the motor runs, as the ratio that the gas
    would meet. None for an electric machine, without gas, or when the motor never runs.

    Parameters
    ----------
    result : CycleResult
        The cycle.
    """
    p, s = result.parameters, result.series
    needed = minimum_combustion_air(p.firing_rate, p.air_per_energy)
    if p.heat_source != P.GAS_HEAT or needed <= 0.0:
        return None
    window = s["heat"] > 0.5
    if not window.any():
        window = s["motor"] > 0.5
    if not window.any():
        return None
    return float(s["combustion_air_kg_per_s"][window].min()) / needed


def vent_restricted(result: CycleResult) -> bool:
    """Whether the scenario puts more than the duct, elbows and hood into the vent's way."""
    p = result.parameters
    return (
        p.vent_resistance_factor > 1.0
        or p.vent_open_area < 1.0
        or p.vent_flex_factor > 1.0
        or p.vent_back_pressure > 0.0
    )
