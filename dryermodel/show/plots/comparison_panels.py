"""Panels of the picture that draws cycles over each other."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from dryermodel.cycle.engine.parameters import ELECTRIC_HEAT
from dryermodel.readings import measures as M
from dryermodel.readings import quantities as Q
from dryermodel.show.plots.curves import BEHIND
from dryermodel.show.plots.style import DARK, FONT_PT, HEAT, INK, MID, STROKES, WATER, Stroke

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from numpy.typing import NDArray

    from dryermodel.cycle.result import CycleResult

MINUTE = 60.0

CROWDED = 60
"""Burns of one cycle beyond which they are drawn as their share of the time."""


CASE_STROKES = (
    Stroke(INK, 1.8, "solid"),
    Stroke(HEAT, 1.8, "solid"),
    Stroke(WATER, 1.5, (0, (5.0, 1.8))),
    Stroke(MID, 2.4, (0, (2.2, 0.9))),
    Stroke(DARK, 1.3, (0, (1.2, 1.4))),
    Stroke(HEAT, 1.5, (0, (6.0, 1.8, 1.2, 1.8))),
)
"""One a case: told apart by darkness and dashes as well as by hue."""


def line(ax: Axes, rank: int, x: NDArray[np.float64], y: NDArray[np.float64], mark_at: float) -> None:
    """Draw the curve of one case with its letter on it.

    Parameters
    ----------
    ax : Axes
        With the limits of its time axis set.
    rank : int
        Of the case: 0 is A.
    x, y : ndarray
        Time [min], and what is drawn in the unit of the axes.
    mark_at : float
        Where the letter goes [min].
    """
    s = CASE_STROKES[rank]
    ax.plot(x, y, color=s.color, linewidth=s.width, linestyle=s.dashes, zorder=3.0 - 0.1 * rank)
    # Without clipping the dot of a cycle that goes on beyond the axis would stand among the words.
    if x[-1] <= ax.get_xlim()[1]:
        ax.plot(x[-1:], y[-1:], marker="o", markersize=3.5, color=s.color, zorder=4, clip_on=False)
    at = float(np.interp(mark_at, x, y))
    letter(ax, rank, mark_at, at)


def letter(ax: Axes, rank: int, x: float, y: float) -> None:
    """Write the letter of a case in a circle that hides what is behind.

    Parameters
    ----------
    ax : Axes
        Where.
    rank : int
        Of the case: 0 is A.
    x, y : float
        Place in the units of the axes.
    """
    ring = {"boxstyle": "circle,pad=0.15", "facecolor": "white", "edgecolor": CASE_STROKES[rank].color}
    ax.text(
        x, y, chr(ord("A") + rank), ha="center", va="center", size=FONT_PT - 0.5, weight="bold",
        bbox={**ring, "linewidth": 0.9}, zorder=6,
    )  # fmt: skip


def exhaust_panel(ax: Axes, results: Sequence[CycleResult], si: bool) -> None:
    """What the exhaust thermostat's element feels; it follows the air by its lag.

    Parameters
    ----------
    ax : Axes
        Time axis in minutes.
    results : sequence of CycleResult
        The cycles, in the order of their letters.
    si : bool
        degC instead of degF.
    """
    for rank, result in enumerate(results):
        series = result.series
        x, y = series["time_s"] / MINUTE, Q.scaled(series["exhaust_element_temp_K"], "temperature", si)
        line(ax, rank, x, y, _place(rank, len(results), result))
    ax.set_ylabel(f"exhaust, as the\nthermostat feels it [{Q.display('temperature', si).label}]")
    ax.locator_params(axis="y", nbins=7)
    ax.margins(y=0.06)
    s = STROKES["set point"]
    for _, kelvin in set_points(results[0]):
        level = float(Q.scaled(kelvin, "temperature", si))
        ax.axhline(level, color=s.color, linewidth=s.width, linestyle=s.dashes, zorder=1.0)


def _place(rank: int, count: int, result: CycleResult) -> float:
    """Minute at which a curve carries its letter: in bulk drying, one case after the other."""
    dry = M.time_to_4pct(result) or result.cycle_time
    return dry / MINUTE * (0.3 + 0.55 * rank / max(count - 1, 1))


def set_points(result: CycleResult) -> list[tuple[str, float]]:
    """Words and temperature [K] of the set points that a machine can reach.

    Parameters
    ----------
    result : CycleResult
        Its cycle.
    """
    p = result.parameters
    points = [("cut-out", p.cut_out), ("cut-in", p.cut_in)]
    return [(words, kelvin) for words, kelvin in points if M.is_threshold(kelvin)]


def water_panel(ax: Axes, results: Sequence[CycleResult], si: bool) -> None:
    """Water left in each load, with a diamond where 4 % moisture is reached.

    Parameters
    ----------
    ax, results, si
        As in :func:`exhaust_panel`; kg instead of lb.
    """
    for rank, result in enumerate(results):
        s = result.series
        x, y = s["time_s"] / MINUTE, Q.scaled(s["water_in_load_kg"], "mass", si)
        line(ax, rank, x, y, _place(rank, len(results), result))
        dry = M.time_to_4pct(result)
        if dry is not None:
            level = float(Q.scaled(M.TEST_DRYNESS * result.parameters.dry_mass, "mass", si))
            ring = CASE_STROKES[rank].color
            ax.plot([dry / MINUTE], [level], "D", ms=5.0, mec=ring, mfc="white", zorder=5)
    ax.set_ylim(bottom=0.0)
    ax.set_ylabel(f"water in load\n[{Q.display('mass', si).label}]")
    ax.text(0.995, 0.96, "diamond: 4 % moisture", transform=ax.transAxes, ha="right", va="top", bbox=BEHIND)


def strip_panel(ax: Axes, results: Sequence[CycleResult]) -> None:
    """A strip for each case, filled while it gives heat, outlined for as long as it runs.

    Parameters
    ----------
    ax, results
        As in :func:`exhaust_panel`.
    """
    for rank, result in enumerate(results):
        y, s = -float(rank), CASE_STROKES[rank]
        ax.broken_barh(
            [(0.0, result.cycle_time / MINUTE)], (y - 0.34, 0.68), facecolors="white", edgecolors=MID, lw=0.6
        )
        heat = M.heat_intervals(result)
        if len(heat) > CROWDED:
            _share(ax, heat, y - 0.34, result.cycle_time, s.color)
            continue
        bars = [(a / MINUTE, (b - a) / MINUTE) for a, b in heat]
        ax.broken_barh(bars, (y - 0.34, 0.68), facecolors=s.color, edgecolors="none")
    ax.set_ylim(-len(results) + 0.5, 0.5)
    ax.set_yticks([-float(r) for r in range(len(results))], [chr(ord("A") + r) for r in range(len(results))])
    ax.tick_params(axis="y", length=0)
    electric = all(r.parameters.heat_source == ELECTRIC_HEAT for r in results)
    crowded = any(len(M.heat_intervals(result)) > CROWDED for result in results)
    how = "\n(height: share of time)" if crowded else ""
    ax.set_ylabel(f"{'heater' if electric else 'burner'} on{how}")
    _duties(ax, results)


def _share(ax: Axes, heat: list[tuple[float, float]], bottom: float, duration: float, color: str) -> None:
    """Burns too many to be told apart, as their share of the time: a full strip is always on."""
    edges = np.linspace(0.0, duration, 121)
    share = np.array([M.share_on(heat, a, b) for a, b in itertools.pairwise(edges)])
    ax.stairs(bottom + 0.68 * share, edges / MINUTE, baseline=bottom, fill=True, color=color, linewidth=0.0)


def _duties(ax: Axes, results: Sequence[CycleResult]) -> None:
    """Beside each strip how long the burner was on, and how often."""
    for rank, result in enumerate(results):
        on = sum(b - a for a, b in M.heat_intervals(result))
        burns = "once" if result.burner_cycles == 1 else f"{result.burner_cycles} times"
        share = 100.0 * on / result.cycle_time if result.cycle_time > 0.0 else 0.0
        text = f"on {on / MINUTE:.1f} min, {burns} ({share:.0f} %)" if on > 0.0 else "stays off"
        ax.text(1.012, -float(rank), text, transform=ax.get_yaxis_transform(), va="center")
