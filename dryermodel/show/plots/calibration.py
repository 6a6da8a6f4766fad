"""A calibration as a picture: values before and after, and measurements beside the machine."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from dryermodel.inference.fit_result import WITHIN
from dryermodel.show.plots.style import DARK, FONT_PT, INK, MID, PALE, RC, WATER
from dryermodel.show.plots.titles import fitted_title
from dryermodel.show.text.calibration import measured_table, span, value

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from dryermodel.inference.fit_result import Calibration, Compared, Fitted

MOST_VALUES = 16
"""Values drawn, the best known ones."""

FARTHEST = 6.0
"""Errors beyond which a reading is drawn at the edge, as an arrow."""

ROW_IN = 0.24


def plot_calibration(c: Calibration, *, si: bool = False) -> Figure:
    """Draw a calibration.

    Parameters
    ----------
    c : Calibration
        What was fitted.
    si : bool
        Metric units.

    Returns
    -------
    Figure
        Above, how far each reading is off before the fit and after it; below, the values that the
        readings determine: intervals of 80 % before and after.
    """
    import matplotlib
    from matplotlib.figure import Figure

    known = sorted((f for f in c.fitted if f.determined), key=lambda f: f.left)[:MOST_VALUES]
    rows = [len(c.compared) + 2.6, max(len(known), 1) + 2.6]
    with matplotlib.rc_context(RC):
        figure = Figure(figsize=(8.6, 0.5 + ROW_IN * sum(rows)), dpi=110, layout="constrained")
        axes: Any = figure.subplots(2, 1, height_ratios=rows)
        _readings(axes[0], c, si)
        _values(axes[1], c, known, si)
        title, size = fitted_title(c.scenario.full_title, FONT_PT + 1)
        figure.suptitle(f"{title}: {_fit(c)}", fontsize=size, color=DARK, parse_math=False)
    return figure


def _fit(c: Calibration) -> str:
    return "fitted" if c.fits else "does NOT fit, diagnose first"


def _readings(ax: Axes, c: Calibration, si: bool) -> None:
    cells = [[cell.strip() for cell in row] for row in measured_table(c, si)[1]]
    ax.axvspan(-1.0, 1.0, color=PALE, alpha=0.6, linewidth=0)
    ax.axvline(0.0, color=INK, linewidth=0.9)
    for i, one in enumerate(c.compared):
        _reading(ax, i, one)
    _rows(ax, [f"{row[0]} {row[1]}" for row in cells], [f"{row[2]}  ->  {row[3]}" for row in cells])
    ax.set_xlim(-FARTHEST - 0.5, FARTHEST + 0.5)
    ax.set_xlabel("machine less measured [error of the reading]; grey: within one; an arrow: farther")
    for face, words in (("white", "before the fit"), (WATER, "fitted")):
        ax.plot([], [], "o", color=face, markeredgecolor=INK, markersize=5.0, label=words)
    _legend(ax)


def _reading(ax: Axes, row: int, one: Compared) -> None:
    before, after = one.misses
    ends = [max(-FARTHEST, min(FARTHEST, v)) for v in (before, after) if not math.isnan(v)]
    if len(ends) == 2:
        ax.plot(ends, [row, row], color=MID, linewidth=0.8)
    for off, face, size in ((before, "white", 5.5), (after, WATER, 5.0)):
        if not math.isnan(off):
            mark = "o" if abs(off) <= FARTHEST else ">" if off > 0.0 else "<"
            at = max(-FARTHEST, min(FARTHEST, off))
            ax.plot([at], [row], mark, color=face, markeredgecolor=INK, markeredgewidth=0.8, markersize=size)


def _values(ax: Axes, c: Calibration, known: list[Fitted], si: bool) -> None:
    """Intervals in spreads of what was believed: of that itself, and of the fit."""
    for i, one in enumerate(known):
        reach = WITHIN * one.left
        ax.barh([i], [2.0 * WITHIN], 0.62, -WITHIN, color=PALE, edgecolor=MID, linewidth=0.6)
        ax.plot(
            [one.point - reach, one.point + reach], [i, i], color=WATER, linewidth=4.0, solid_capstyle="butt"
        )
        ax.plot([one.point], [i], "o", color="white", markeredgecolor=INK, markersize=4.2)
    told = [f"{value(f.key, f.value, si)}  ({span(f.key, f.interval, si)})" for f in known]
    _rows(ax, [f.words for f in known], told)
    ax.set_xlim(-3.2, 3.2)
    ax.set_xlabel(f"spreads of what was believed [1]; {_rest(c, known)}")
    ax.plot([], [], color=PALE, linewidth=8.0, label="80 % before")
    ax.plot([], [], color=WATER, linewidth=4.0, label="80 % fitted")
    _legend(ax)


def _rest(c: Calibration, known: list[Fitted]) -> str:
    left = len(c.undetermined)
    more = len(c.fitted) - left - len(known)
    also = f"{more} more narrowed; " if more else ""
    return (
        f"{also}{left} of {len(c.fitted)} values not determined" if left else f"{also}all of them determined"
    )


def _rows(ax: Axes, left: list[str], right: list[str]) -> None:
    """Names to the left of rows and numbers to the right of them, the first row on top."""
    ax.set_yticks(range(len(left)), left)
    ax.tick_params(axis="y", length=0)
    ax.set_ylim(max(len(left), 1) - 0.4, -0.6)
    for i, words in enumerate(right):
        ax.text(1.015, i, words, transform=ax.get_yaxis_transform(), va="center", fontsize=FONT_PT - 0.5)


def _legend(ax: Axes) -> None:
    ax.legend(loc="lower right", bbox_to_anchor=(1.0, 1.0), ncols=2, frameon=False, borderaxespad=0.1)
