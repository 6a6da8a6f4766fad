"""Direct labels beside lines, moved apart just enough not to touch."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

from dryermodel.show.plots.style import FONT_PT, INK, MID, STROKES

if TYPE_CHECKING:
    from matplotlib.axes import Axes

LINE_PT = FONT_PT * 1.25
"""Height that one line of lettering takes [pt]."""


class EndLabel(NamedTuple):
    """Words for a line, at the height of its end, with a sample of the stroke."""

    y: float
    words: str
    stroke: str  # a key of STROKES


def spread(wanted: Sequence[float], gap: float, low: float, high: float) -> list[float]:
    """Positions nearest to the wanted ones that keep a distance and stay within bounds.

    Least squares by pooling neighbours that would overlap. Without room for all at the full gap,
    they are spaced evenly from `low` to `high`.

    Parameters
    ----------
    wanted : sequence of float
        Wanted positions, in any order and any one unit.
    gap : float
        Least distance, same unit.
    low, high : float
        Bounds, same unit.

    Returns
    -------
    list of float
        In the order of `wanted`.

    Examples
    --------
    >>> spread([5.0, 5.0, 9.0], 2.0, 0.0, 10.0)
    [4.0, 6.0, 9.0]
    """
    n = len(wanted)
    if n > 1:
        gap = min(gap, (high - low) / (n - 1))
    order = sorted(range(n), key=lambda i: wanted[i])
    # Subtracting the gaps turns "keep a distance" into "do not fall": pool until it holds.
    pools: list[list[float]] = []  # [sum, count]
    for rank, i in enumerate(order):
        pools.append([wanted[i] - rank * gap, 1.0])
        while len(pools) > 1 and pools[-2][0] / pools[-2][1] > pools[-1][0] / pools[-1][1]:
            total, count = pools.pop()
            pools[-1][0] += total
            pools[-1][1] += count
    flat = [total / count for total, count in pools for _ in range(int(count))]
    top = high - max(n - 1, 0) * gap
    placed = [0.0] * n
    for rank, i in enumerate(order):
        placed[i] = min(max(flat[rank], low), top) + rank * gap
    return placed


def height_pt(ax: Axes) -> float:
    """Height of an axes [pt]."""
    return float(ax.bbox.height / ax.figure.dpi * 72.0)


def width_pt(ax: Axes) -> float:
    """Width of an axes [pt]."""
    return float(ax.bbox.width / ax.figure.dpi * 72.0)


def label_ends(ax: Axes, labels: Sequence[EndLabel], offset_pt: float = 0.0) -> None:
    """Write labels to the right of an axes, each with a leader and a sample of its stroke.

    Parameters
    ----------
    ax : Axes
        With its limits already set.
    labels : sequence of EndLabel
        Heights in the data unit of the axes.
    offset_pt : float
        Room to leave for tick labels on that side [pt].
    """
    from matplotlib.lines import Line2D

    low, high = ax.get_ylim()
    full = height_pt(ax)
    ends = [(label.y - low) / (high - low) * full for label in labels]
    places = spread(ends, LINE_PT, 0.0, full)
    point = 1.0 / width_pt(ax)
    start = 1.0 + offset_pt * point
    for label, end, place in zip(labels, ends, places, strict=True):
        stroke = STROKES[label.stroke]
        y0, y1 = end / full, place / full
        xs = [start + 2.0 * point, start + 10.0 * point]
        ax.add_line(Line2D(xs, [y0, y1], transform=ax.transAxes, color=MID, lw=0.5, clip_on=False))
        xs = [start + 11.0 * point, start + 29.0 * point]
        sample = Line2D(xs, [y1, y1], transform=ax.transAxes, color=stroke.color, clip_on=False)
        sample.set_linewidth(stroke.width)
        sample.set_linestyle(stroke.dashes)
        ax.add_line(sample)
        ax.text(
            start + 33.0 * point, y1, label.words, transform=ax.transAxes, va="center", ha="left", color=INK
        )


def label_moments(ax: Axes, moments: Sequence[tuple[float, str]]) -> None:
    """Write labels of vertical lines above an axes, with leaders.

    Parameters
    ----------
    ax : Axes
        With its limits already set.
    moments : sequence of (float, str)
        Place on the time axis in its unit, and the words; in two lines if they hold a line break.
    """
    from matplotlib.lines import Line2D

    low, high = ax.get_xlim()
    full = width_pt(ax)
    ends = [(x - low) / (high - low) * full for x, _ in moments]
    widest = max((len(part) for _, words in moments for part in words.split("\n")), default=0)
    margin = 0.3 * widest * FONT_PT
    places = spread(ends, 2.0 * margin + FONT_PT, margin, full - margin)
    point = 1.0 / height_pt(ax)
    for (_, words), end, place in zip(moments, ends, places, strict=True):
        xs = [end / full, place / full]
        ys = [1.0 + 1.0 * point, 1.0 + 9.0 * point]
        ax.add_line(Line2D(xs, ys, transform=ax.transAxes, color=MID, lw=0.5, clip_on=False))
        ax.text(
            place / full, 1.0 + 10.0 * point, words, transform=ax.transAxes, va="bottom", ha="center",
            color=INK, linespacing=1.05,
        )  # fmt: skip
