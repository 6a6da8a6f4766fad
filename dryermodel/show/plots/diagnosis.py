"""A diagnosis as a picture: how likely, how bad, and what was measured beside what was to be expected."""

from __future__ import annotations

import math
import textwrap
from typing import TYPE_CHECKING, Any

from dryermodel.field.evidence import said
from dryermodel.inference.diagnosis import SHOWN, Interval, Ranked, Reason
from dryermodel.show.plots.style import DARK, FONT_PT, INK, MID, PALE, RC, WATER
from dryermodel.show.text.diagnosis import likely_of, name_of, percent, severity_text

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from dryermodel.inference.diagnosis import Diagnosis

MOST_GROUPS, MOST_READINGS, LEADERS = 7, 8, 2
MARKS = ("o", "s")
"""Of the leading groups, told apart by shape and by fill."""


def plot_diagnosis(d: Diagnosis, si: bool = False) -> Figure:
    """Draw a diagnosis.

    Parameters
    ----------
    d : Diagnosis
        What is likely wrong.
    si : bool
        Severities in metric units.

    Returns
    -------
    Figure
        Probabilities, severities with intervals of 80 %, and measured against expected for the two
        leading groups.
    """
    import matplotlib
    from matplotlib.figure import Figure

    shown = [r for r in d.ranking if r.probability >= SHOWN][:MOST_GROUPS]
    with matplotlib.rc_context(RC):
        readings = len(d.evidence.measured[:MOST_READINGS])
        rows = len(shown) + 1
        figure = Figure(figsize=(8.6, 1.5 + 0.42 * rows + 0.4 * max(readings, 1)), layout="constrained")
        grid: Any = figure.add_gridspec(
            2, 2, height_ratios=[rows + 1.5, max(readings, 1) + 1.0], width_ratios=[3, 2]
        )
        _probabilities(figure.add_subplot(grid[0, 0]), d, shown)
        _severities(figure.add_subplot(grid[0, 1]), shown, rows, si)
        _readings(figure.add_subplot(grid[1, :]), d, shown[:LEADERS])
        figure.suptitle("\n".join(textwrap.wrap(d.bank.scenario.title, 100)), fontsize=FONT_PT + 1)
    return figure


def label(r: Ranked) -> str:
    """A group on at most two lines."""
    keys = likely_of(r, 0.05)[:2]
    more = 0 if r.together else len(r.faults) - len(keys)
    words = (" + " if r.together else " / ").join(name_of(key) for key in keys) + (
        f" / {more} more" if more else ""
    )
    return "\n".join(textwrap.wrap(words, 44)[:2])


def _probabilities(ax: Axes, d: Diagnosis, shown: list[Ranked]) -> None:
    values = [r.probability for r in shown] + [d.unexplained]
    names = [label(r) for r in shown] + ["nothing in the catalogue"]
    at = range(len(values))
    ax.barh(at, values, height=0.62, color=[WATER] * len(shown) + [PALE], edgecolor=INK, linewidth=0.6)
    for i, value in enumerate(values):
        ax.text(value + 0.015, i, percent(value), va="center", fontsize=FONT_PT)
    ax.set_yticks(list(at), names, fontsize=FONT_PT - 0.5)
    ax.invert_yaxis()
    ax.set_xlim(0.0, 1.12)
    ax.set_xticks([0.0, 0.25, 0.5, 0.75, 1.0], ["0", "25", "50", "75", "100"])
    ax.set_xlabel("probability [%]")


def _severities(ax: Axes, shown: list[Ranked], rows: int, si: bool) -> None:
    for i, r in enumerate(shown):
        keys = [key for key in r.faults if key in r.severities]
        keys = keys[:2] if r.together else keys[:1]
        for j, key in enumerate(keys):
            s, y = r.severities[key], i + 0.3 * (j - 0.5 * (len(keys) - 1))
            ax.plot([s.low, s.high], [y, y], color=DARK, linewidth=2.2, solid_capstyle="butt")
            ax.plot([s.middle], [y], "o", color="white", markeredgecolor=INK, markersize=4.0)
            ax.text(1.04, y, severity_text(key, s, si), va="center", fontsize=FONT_PT - 1)
        if not keys:
            ax.text(
                0.02,
                i,
                "there or not" if r.faults != ("healthy",) else "",
                va="center",
                fontsize=FONT_PT - 1,
                color=DARK,
            )
    ax.set_ylim(rows - 0.5, -0.5)
    ax.set_xlim(0.0, 1.0)
    ax.set_yticks([])
    ax.set_xticks([0.0, 0.5, 1.0], ["none", "half way", "worst"])
    ax.set_xlabel("how bad, if it is that (80 %)")


def _readings(ax: Axes, d: Diagnosis, leaders: list[Ranked]) -> None:
    """Each reading in units of its own error: measured at nought, what leaders would show around it."""
    measured = d.evidence.measured[:MOST_READINGS]
    if not measured:
        ax.set_axis_off()
        ax.text(
            0.5, 0.5, "nothing measured yet", ha="center", va="center", color=DARK, transform=ax.transAxes
        )
        return
    told = [{x.name: x for x in d.reasons(r)} for r in leaders]
    names = []
    for i, m in enumerate(measured):
        names.append(f"{m.name} {said(m.value, m.measurement.unit)}")
        for j, found in enumerate(told):
            _expected(ax, found.get(m.name), i + 0.22 * (j - 0.5 * (len(told) - 1)), m, j)
    ax.axvline(0.0, color=INK, linewidth=0.9)
    ax.axvspan(-1.0, 1.0, color=PALE, alpha=0.5, linewidth=0)
    ax.set_yticks(range(len(names)), names)
    ax.set_ylim(len(names) - 0.5, -0.5)
    ax.set_xlim(-8.0, 8.0)
    ax.set_xlabel("expected less measured [error of the reading]; grey: within one")
    for j, r in enumerate(leaders):
        face, words = INK if j == 0 else "white", label(r).replace("\n", " ")
        ax.plot([], [], MARKS[j], color=face, markeredgecolor=INK, markersize=4.5, label=words)
    below = (0.4, -0.32 - 0.1 / max(len(names), 1))
    ax.legend(loc="upper center", bbox_to_anchor=below, fontsize=FONT_PT - 1, frameon=False, ncols=1)


def _expected(ax: Axes, x: Reason | None, y: float, m: Any, place: int) -> None:
    from dryermodel.inference.likelihood import spread

    if x is None or not isinstance(x.predicted, Interval) or math.isnan(x.predicted.middle):
        ax.text(7.9, y, "has none", ha="right", va="center", fontsize=FONT_PT - 1, color=DARK)
        return
    import numpy as np

    error = float(spread(m, np.array([m.value]))[0])
    low, middle, high = (max(-8.0, min(8.0, (v - m.value) / error)) for v in x.predicted)
    ax.plot([low, high], [y, y], color=MID if place else DARK, linewidth=1.6, solid_capstyle="butt")
    ax.plot(
        [middle], [y], MARKS[place], color=INK if place == 0 else "white", markeredgecolor=INK, markersize=4.5
    )
