"""Panels of the cycle picture that hold curves: temperatures, water and duty."""

from __future__ import annotations

import textwrap
from typing import TYPE_CHECKING

import numpy as np

from dryermodel.cycle.engine.parameters import ELECTRIC_HEAT
from dryermodel.readings import quantities as Q
from dryermodel.readings.measures import TEST_DRYNESS, is_threshold, time_to_moisture
from dryermodel.show.plots.labels import EndLabel, label_ends
from dryermodel.show.plots.style import HEAT, INK, PALE, STROKES, WATER

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from numpy.typing import NDArray

    from dryermodel.cycle.result import CycleResult

BESIDE_SCALE_PT = 36.0
"""Room for the right-hand scale and its name, left of labels [pt]."""

LONGEST_NAME = 15
"""Letters of a kind of cloth's name that find room beside the panel."""

Series = dict[str, "NDArray[np.float64]"]
MINUTE = 60.0
BEHIND = {"facecolor": "white", "edgecolor": "none", "pad": 1.0}
"""Ground for words that lie over guide lines."""


def draw(ax: Axes, x: NDArray[np.float64], y: NDArray[np.float64], stroke: str, dense: bool = False) -> None:
    """Draw one line in its stroke, a key of `STROKES`; a `dense` one as the band it swings in."""
    s = STROKES[stroke]
    if dense:
        middles, low, high = envelope(x, y)
        ax.fill_between(middles, low, high, color=s.color, alpha=0.3, linewidth=0.0)
        for edge in (low, high):
            ax.plot(middles, edge, color=s.color, linewidth=0.6 * s.width, linestyle=s.dashes)
        return
    ax.plot(x, y, color=s.color, linewidth=s.width, linestyle=s.dashes, solid_joinstyle="round", label=stroke)


def envelope(
    x: NDArray[np.float64], y: NDArray[np.float64], bins: int = 240
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
    """Least and greatest `y` in equal bins of `x`: their middles, and the two curves.

    Parameters
    ----------
    x, y : ndarray
        A curve, `x` not decreasing.
    bins : int
        How many; those that hold no point are left out.

    Examples
    --------
    >>> x, y = np.array([0.0, 1.0, 2.0, 3.0]), np.array([5.0, 7.0, 1.0, 4.0])
    >>> [part.tolist() for part in envelope(x, y, 2)]
    [[0.75, 2.25], [5.0, 1.0], [7.0, 4.0]]
    """
    span = max(float(x[-1] - x[0]), 1e-12)
    place = np.minimum(((x - x[0]) / span * bins).astype(int), bins - 1)
    used, first = np.unique(place, return_index=True)
    middles = x[0] + (used + 0.5) * span / bins
    return middles, np.minimum.reduceat(y, first), np.maximum.reduceat(y, first)


def temperature_panel(
    ax: Axes,
    series: Series,
    lines: list[tuple[str, str, str]],
    set_points: list[tuple[str, float]],
    si: bool,
    dense: bool,
) -> None:
    """Temperatures over time, set points as labelled horizontal lines.

    Parameters
    ----------
    ax : Axes
        Time axis in minutes.
    series : dict of ndarray
        From :func:`dryermodel.readings.measures.both_sides`.
    lines : list of (str, str, str)
        Quantity, stroke and words of each curve.
    set_points : list of (str, float)
        Words and temperature [K]; those that stand for a stuck contact are left out.
    si : bool
        degC instead of degF.
    dense : bool
        Curves swing too often to be told apart: draw the band each swings in.
    """
    x = series["time_s"] / MINUTE
    labels, reach = [], []
    for quantity, stroke, words in lines:
        y = Q.scaled(series[quantity], "temperature", si)
        reach += [float(y.min()), float(y.max())]
        swing = envelope(x, y)[2] - envelope(x, y)[1] if dense else np.zeros(1)
        as_band = bool(swing.max() > 0.03 * (y.max() - y.min()) + 1.0)
        end = float(envelope(x, y)[2][-1]) if as_band else float(y[-1])
        draw(ax, x, y, stroke, as_band)
        labels.append(EndLabel(end, f"{words}, range" if as_band else words, stroke))
    for words, kelvin in set_points:
        if not is_threshold(kelvin):
            continue
        level = float(Q.scaled(kelvin, "temperature", si))
        s = STROKES["set point"]
        ax.axhline(level, color=s.color, linewidth=s.width, linestyle=s.dashes, zorder=1.5)
        reach.append(level)
        labels.append(EndLabel(level, f"{words} {Q.text(kelvin, 'temperature', si)}", "set point"))
    low, high = min(reach), max(reach)
    margin = 0.05 * max(high - low, 1.0)
    ax.set_ylim(low - margin, high + margin)
    label_ends(ax, labels)


def exhaust_panel(ax: Axes, result: CycleResult, series: Series, si: bool, dense: bool) -> None:
    """Load, exhaust air and exhaust thermostat with its set points."""
    p = result.parameters
    element = "thermostat element" + (", biased" if p.low_heat == 1.0 else "")
    lines = [
        ("load_temp_K", "load", "load"),
        ("exhaust_temp_K", "exhaust air", "exhaust air"),
        ("exhaust_element_temp_K", "thermostat element", element),
    ]
    temperature_panel(ax, series, lines, [("cut-out", p.cut_out), ("cut-in", p.cut_in)], si, dense)
    ax.set_ylabel(f"load, exhaust\n[{Q.display('temperature', si).label}]")


def burner_panel(ax: Axes, result: CycleResult, series: Series, si: bool, dense: bool) -> None:
    """Burner outlet, drum inlet and high limit with its set points."""
    p = result.parameters
    source = "heater" if p.heat_source == ELECTRIC_HEAT else "burner"
    lines = [
        ("burner_outlet_temp_K", "burner outlet", f"{source} outlet air"),
        ("drum_inlet_temp_K", "drum inlet", "drum inlet air"),
        ("high_limit_element_temp_K", "high-limit element", "high-limit element"),
    ]
    points = [
        ("high limit opens", p.high_limit_cut_out),
        ("closes", p.high_limit_cut_in),
        ("thermal cut-off", p.thermal_cutoff),
    ]
    temperature_panel(ax, series, lines, points, si, dense)
    ax.set_ylabel(f"{source}, high limit\n[{Q.display('temperature', si).label}]")


def water_panel(ax: Axes, result: CycleResult, series: Series, si: bool) -> Axes:
    """Water left in the load; the same as moisture on the right-hand scale, which is returned.

    Of a load of unlike pieces the right-hand scale shows the moisture of each kind too.
    """
    p = result.parameters
    x = series["time_s"] / MINUTE
    y = Q.scaled(series["water_in_load_kg"], "mass", si)
    ax.fill_between(x, 0.0, y, color=PALE, linewidth=0.0)
    draw(ax, x, y, "water")
    # Head room for the sentence in the upper right corner, whatever the curve does.
    dry_mass = float(Q.scaled(p.dry_mass, "mass", si))
    highest = max(float(kind.moisture.max()) for kind in result.by_piece)
    top = 1.3 * max(float(y.max()), max(2.0 * TEST_DRYNESS, highest) * dry_mass)
    ax.set_ylim(0.0, top)
    level = TEST_DRYNESS * dry_mass
    ax.axhline(level, color=INK, linewidth=0.8, linestyle=STROKES["set point"].dashes)
    at = time_to_moisture(result)
    end = f"ends at {Q.text(result.final_moisture, 'moisture', si)}"
    if at is None:
        words = f"4 % not reached, {end}"
    else:
        words = f"4 % after {Q.text(at, 'time', si)}, {end}"
        ax.plot([at / MINUTE], [level], marker="o", markersize=4.5, color=WATER, clip_on=False, zorder=4)
    ax.text(0.995, 0.97, words, transform=ax.transAxes, ha="right", va="top", bbox=BEHIND)
    ax.set_ylabel(f"water in load\n[{Q.display('mass', si).label}]")
    percent = ax.twinx()
    percent.set_ylim(0.0, 100.0 * top / dry_mass)
    percent.set_ylabel("moisture, dry basis [%]", rotation=270, labelpad=12)
    percent.spines["right"].set_visible(True)
    _kinds_of_cloth(percent, result)
    return percent


def _kinds_of_cloth(percent: Axes, result: CycleResult) -> None:
    """Moisture of each kind of a load of unlike pieces, on a scale in percent."""
    kinds = result.by_piece
    if len(kinds) < 2:
        return
    x = result.series["time_s"] / MINUTE
    labels = [EndLabel(100.0 * result.final_moisture, "whole load", "water")]
    for number, kind in enumerate(kinds, 1):
        draw(percent, x, 100.0 * kind.moisture, f"cloth {number}")
        labels.append(EndLabel(100.0 * float(kind.moisture[-1]), _short(kind.name), f"cloth {number}"))
    label_ends(percent, labels, BESIDE_SCALE_PT)


def _short(name: str) -> str:
    """A name of cloth as far as there is room for it beside a scale."""
    words = textwrap.shorten(name, LONGEST_NAME, placeholder=" ...")
    return words if words != "..." else name.strip()[: LONGEST_NAME - 3] + "..."


def bin_minutes(duration: float) -> float:
    """Length of the duty bins [min] for a cycle of `duration` [s]: several burns, yet enough bins.

    Examples
    --------
    >>> bin_minutes(180.0), bin_minutes(2400.0), bin_minutes(28800.0)
    (0.5, 5.0, 15.0)
    """
    for limit, length in ((10.0, 0.5), (25.0, 2.0), (180.0, 5.0), (360.0, 10.0)):
        if duration <= limit * MINUTE:
            return length
    return 15.0


def duty_panel(ax: Axes, result: CycleResult) -> None:
    """Share of the time with heat, and with the timer running, in bins."""
    length = bin_minutes(result.cycle_time)
    duty = result.duty(length * MINUTE)
    edges = np.append(duty["start_s"], result.cycle_time) / MINUTE
    burner, timer = duty["burner_duty"], duty["timer_duty"]
    heat, dial = STROKES["burner"], STROKES["timer"]
    ax.stairs(burner, edges, fill=True, color=HEAT, alpha=0.35, linewidth=0.0)
    ax.stairs(burner, edges, color=heat.color, linewidth=heat.width, baseline=None)
    ax.stairs(timer, edges, color=dial.color, linewidth=dial.width, linestyle=dial.dashes, baseline=None)
    ax.set_ylim(-0.04, 1.08)
    ax.set_yticks([0.0, 0.5, 1.0])
    source = "heater" if result.parameters.heat_source == ELECTRIC_HEAT else "burner"
    last = (float(burner[-1]), float(timer[-1])) if len(burner) else (0.0, 0.0)
    label_ends(ax, [EndLabel(last[0], source, "burner"), EndLabel(last[1], "timer", "timer")])
    ax.set_ylabel(f"duty in {length:g} min\n[share of time]")
