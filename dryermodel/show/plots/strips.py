"""Panels of the cycle picture that show switching: loads and contacts as bars, the dial as a wedge."""

from __future__ import annotations

import itertools
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from dryermodel.cycle.engine import parameters as P
from dryermodel.cycle.engine import switching as S
from dryermodel.readings.measures import share_on
from dryermodel.show.plots.labels import EndLabel, label_ends
from dryermodel.show.plots.style import DARK, HEAT, INK, MID, PALE, STROKES
from dryermodel.units import digits

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from dryermodel.cycle.result import CycleResult

MINUTE = 60.0
TOO_MANY = 120
"""Bars beyond this number cannot be told apart; then their share of the time is drawn."""


class Strip(NamedTuple):
    """One row of bars."""

    words: str
    intervals: list[tuple[float, float]]  # [s]
    fill: str
    hatch: str
    contact: bool  # a contact, closed or open, rather than a load, on or off


def strips(result: CycleResult) -> list[Strip]:
    """Rows that apply to the machine, loads first, with exact switching times [s].

    An electric machine has a heater in place of igniter, flame and flame sensor; the thermal cut-off
    and the door have rows when they opened.
    """
    electric = result.parameters.heat_source == P.ELECTRIC_HEAT

    def row(words: str, column: int, fill: str, hatch: str = "", contact: bool = False) -> Strip:
        return Strip(words, result.trajectory.intervals(column, result.cycle_time), fill, hatch, contact)

    found = [row("drum motor", S.RUNNING, PALE), row("heat circuit fed", S.HEAT_CALL, MID)]
    if electric:
        found.append(row("heater", S.HEATER, HEAT))
    else:
        found += [row("igniter", S.IGNITER, "#ffffff", "//////"), row("flame", S.FLAME, HEAT)]
    found.append(row("timer motor", S.TIMER_MOTOR, INK))
    found.append(row("exhaust thermostat", S.EXHAUST_THERMOSTAT, DARK, contact=True))
    found.append(row("high limit", S.HIGH_LIMIT, DARK, contact=True))
    if not electric:
        found.append(row("flame sensor", S.FLAME_SENSOR, DARK, contact=True))
    found.append(Strip("timer heat contact", _timer_heat(result), DARK, "", True))
    for words, column in (("thermal cut-off", S.THERMAL_CUTOFF), ("door switch", S.DOOR)):
        extra = row(words, column, DARK, contact=True)
        if extra.intervals != [(0.0, result.cycle_time)]:
            found.append(extra)
    return found


def _timer_heat(result: CycleResult) -> list[tuple[float, float]]:
    tr = result.trajectory
    rows = np.flatnonzero(tr.discrete[:, S.STRETCH] >= 1)
    opens = float(tr.time[rows[0]]) if len(rows) else result.cycle_time
    return [(0.0, opens)] if opens > 0.0 else []


def tally(strip: Strip, duration: float) -> str:
    """Words beside a row: for how long in all, and how often.

    Parameters
    ----------
    strip : Strip
        The row.
    duration : float
        Length of the cycle [s].

    Examples
    --------
    >>> tally(Strip("flame", [(0.0, 60.0), (120.0, 300.0)], "", "", False), 600.0)
    'on 4.0 min, 2 times'
    >>> tally(Strip("high limit", [(0.0, 600.0)], "", "", True), 600.0)
    'stays closed'
    """
    on = sum(b - a for a, b in strip.intervals)
    state = "closed" if strip.contact else "on"
    if on <= 0.0:
        return "stays open" if strip.contact else "stays off"
    if on >= duration * (1.0 - 1e-9):
        return f"stays {state}"
    if not strip.contact:
        return f"on {on / MINUTE:.1f} min, {_times(len(strip.intervals))}"
    gaps = len(strip.intervals) - 1
    gaps += int(strip.intervals[0][0] > 0.0) + int(strip.intervals[-1][1] < duration * (1.0 - 1e-9))
    return f"open {(duration - on) / MINUTE:.1f} min, {_times(gaps)}"


def _times(count: int) -> str:
    return "once" if count == 1 else f"{count} times"


def strip_panel(ax: Axes, result: CycleResult) -> None:
    """Bars: filled where a load is energised or a contact is closed."""
    rows = strips(result)
    places: list[float] = []
    crowded = False
    for rank, strip in enumerate(rows):
        # Half a row of air between loads and contacts.
        y = -float(rank) - (0.6 if strip.contact else 0.0)
        places.append(y)
        ax.axhline(y - 0.32, color=MID, linewidth=0.5, zorder=1)
        bars = [(a / MINUTE, (b - a) / MINUTE) for a, b in strip.intervals]
        if len(bars) > TOO_MANY:
            _share_bars(ax, strip, y - 0.32, result.cycle_time)
            crowded = True
        else:
            ax.broken_barh(
                bars, (y - 0.32, 0.64), facecolors=strip.fill, hatch=strip.hatch or None,
                edgecolors=INK if strip.hatch else "none", linewidth=0.5 if strip.hatch else 0.0,
            )  # fmt: skip
        ax.text(1.012, y, tally(strip, result.cycle_time), transform=ax.get_yaxis_transform(), va="center")
    ax.set_yticks(places, [strip.words for strip in rows])
    ax.tick_params(axis="y", length=0)
    ax.set_ylim(places[-1] - 0.6, 0.6)
    ax.spines["left"].set_visible(False)
    ax.set_ylabel("filled: on / closed" + ("\n(height: share of time)" if crowded else ""))


def _share_bars(ax: Axes, strip: Strip, bottom: float, duration: float) -> None:
    """Bars too many to be told apart, as their share of the time: a full row is always on."""
    edges = np.linspace(0.0, duration, 121)
    share = np.array(
        [share_on(strip.intervals, a, b) for a, b in itertools.pairwise(edges)],
        dtype=np.float64,
    )
    fill = strip.fill if not strip.hatch else MID
    ax.stairs(bottom + 0.64 * share, edges / MINUTE, baseline=bottom, fill=True, color=fill, linewidth=0.0)


def crowded_switching(result: CycleResult) -> bool:
    """Whether burner or igniter switch too often for single swings to be told apart in a picture."""
    tr = result.trajectory
    return any(len(tr.intervals(c, result.cycle_time)) > TOO_MANY for c in (S.IGNITER, S.FLAME, S.HEATER))


def dial_panel(ax: Axes, result: CycleResult) -> None:
    """Travel of the dial in minutes of timer-motor time, with the end of its heat stretch."""
    p = result.parameters
    knots, travel = [0.0], [0.0]
    for a, b in result.trajectory.intervals(S.TIMER_MOTOR, result.cycle_time):
        rate = p.timer_works
        knots += [a, b]
        travel += [travel[-1], travel[-1] + rate * (b - a)]
    knots.append(result.cycle_time)
    travel.append(travel[-1])
    x, y = np.array(knots) / MINUTE, np.array(travel) / MINUTE
    whole = max((p.dial_heat + p.dial_cool_down) / MINUTE, 1e-3)
    s = STROKES["dial"]
    ax.fill_between(x, 0.0, y, facecolor=PALE, linewidth=0.0)
    ax.plot(x, y, color=s.color, linewidth=s.width)
    level = STROKES["set point"]
    marks = [("cool-down from", p.dial_heat / MINUTE), ("off at", whole)]
    for _, at in marks:
        ax.axhline(at, color=level.color, linewidth=level.width, linestyle=level.dashes)
    ax.set_ylim(0.0, 1.08 * whole)
    label_ends(ax, [EndLabel(at, f"{words} {digits(at, 3)} min", "set point") for words, at in marks])
    ax.set_ylabel("dial travel\n[min]")
