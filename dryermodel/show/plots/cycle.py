"""One cycle on one time axis: temperatures, water, contacts, dial and duty."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from dryermodel.cycle.engine import causes
from dryermodel.readings.measures import both_sides, cool_down_start, first_cut_out
from dryermodel.show.plots.curves import burner_panel, duty_panel, exhaust_panel, water_panel
from dryermodel.show.plots.labels import height_pt, label_moments
from dryermodel.show.plots.pictures import save_figure
from dryermodel.show.plots.strips import crowded_switching, dial_panel, strip_panel, strips
from dryermodel.show.plots.style import DARK, FONT_PT, MID, RC
from dryermodel.show.plots.titles import fitted_title

if TYPE_CHECKING:
    import numpy as np
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure, FigureBase
    from numpy.typing import NDArray

    from dryermodel.cycle.result import CycleResult

__all__ = ["CyclePlot", "plot_cycle", "save_figure"]

Box = tuple[float, float, float, float]
"""Left, bottom, width and height, as shares of a figure."""

MINUTE = 60.0
WIDTH_IN = 9.8
LEFT_IN, RIGHT_IN, TOP_IN, BOTTOM_IN = 1.7, 2.05, 0.95, 0.5
GAP_IN = 0.17
SCALE_NAMES, STRIP_NAMES = -0.075, -0.215
"""Where the names of the scales stand, in widths of a panel."""
ROW_IN = 0.2
MOST_INTERRUPTIONS = 4
"""Interruptions of the cycle named above the picture; more are in the event list."""


class CyclePlot(NamedTuple):
    """The picture of a cycle and its panels, top to bottom."""

    figure: Figure
    axes: dict[str, Axes]


def plot_cycle(result: CycleResult, *, si: bool = False, ax: Axes | None = None) -> CyclePlot:
    """Draw one cycle on one time axis.

    Panels: load and exhaust temperatures; burner and high-limit temperatures; water left; loads and
    contacts as bars; travel of the dial; duty of burner and timer. Bars begin and end at the exact
    switching times.

    Parameters
    ----------
    result : CycleResult
        The cycle.
    si : bool
        degC and kg instead of degF and lb.
    ax : Axes, optional
        Axes whose place the panels take; it is emptied. By default a figure of its own is made,
        without touching any global state.

    Returns
    -------
    CyclePlot
        Figure, and the axes by name: exhaust, burner, water, moisture, strips, dial, duty.
    """
    import matplotlib

    with matplotlib.rc_context(RC):
        heights = _heights(result)
        figure, box = _canvas(heights, ax)
        axes = _panels(figure, box, heights)
        series = _until_end(both_sides(result), result.cycle_time)
        for panel in axes.values():
            panel.set_xlim(0.0, max(result.cycle_time, 1e-3) / MINUTE)
        dense = crowded_switching(result)
        exhaust_panel(axes["exhaust"], result, series, si, dense)
        burner_panel(axes["burner"], result, series, si, dense)
        axes["moisture"] = water_panel(axes["water"], result, series, si)
        strip_panel(axes["strips"], result)
        dial_panel(axes["dial"], result)
        duty_panel(axes["duty"], result)
        _moments(axes, result)
        _time_axis(axes)
        _title(figure, axes["exhaust"], box, result)
    return CyclePlot(_root(figure), axes)


def _until_end(series: dict[str, NDArray[np.float64]], duration: float) -> dict[str, NDArray[np.float64]]:
    """Without the instant of the end itself, when the air already stands and its temperature jumps."""
    keep = series["time_s"] < duration
    return {name: values[keep] for name, values in series.items()} if keep.any() else series


def _heights(result: CycleResult) -> dict[str, float]:
    """Height of each panel [in], top to bottom."""
    rows = ROW_IN * (len(strips(result)) + 0.8)
    return {"exhaust": 2.1, "burner": 2.0, "water": 1.45, "strips": rows, "dial": 0.8, "duty": 0.85}


def _canvas(heights: dict[str, float], ax: Axes | None) -> tuple[FigureBase, Box]:
    """Figure, or part of one, to draw on, and the place in it to fill."""
    from matplotlib.figure import Figure

    if ax is not None:
        place = ax.get_position()
        ax.set_axis_off()
        return ax.figure, (place.x0, place.y0, place.width, place.height)
    return Figure(figsize=(WIDTH_IN, _total(heights)), dpi=110), (0.0, 0.0, 1.0, 1.0)


def _root(part: FigureBase) -> Figure:
    """The whole figure that a part belongs to."""
    from matplotlib.figure import Figure

    whole = part
    while not isinstance(whole, Figure):
        whole = whole.figure
    return whole


def _total(heights: dict[str, float]) -> float:
    return TOP_IN + sum(heights.values()) + GAP_IN * (len(heights) - 1) + BOTTOM_IN


def _panels(figure: FigureBase, box: Box, heights: dict[str, float]) -> dict[str, Axes]:
    """Stacked axes that share one time axis."""
    left, bottom, width, height = box
    inch = height / _total(heights)
    x0 = left + width * LEFT_IN / WIDTH_IN
    wide = width * (WIDTH_IN - LEFT_IN - RIGHT_IN) / WIDTH_IN
    top = bottom + height - TOP_IN * inch
    axes: dict[str, Axes] = {}
    first: Axes | None = None
    for name, tall in heights.items():
        axes[name] = figure.add_axes((x0, top - tall * inch, wide, tall * inch), sharex=first, label=name)
        first = first or axes[name]
        top -= (tall + GAP_IN) * inch
    return axes


def _moments(axes: dict[str, Axes], result: CycleResult) -> None:
    """Vertical lines through all panels at the moments that matter, named above the first."""
    tr = result.trajectory
    moments = [(first_cut_out(result), "first cut-out"), (cool_down_start(result), "cool-down")]
    outside = tr.time[tr.cause == causes.CAUSE_INTERRUPTION]
    for event in result.events:
        if event.cause == "interruption" and len(outside) <= MOST_INTERRUPTIONS:
            moments.append((event.time, event.changes[0] if event.changes else "start pressed"))
    known = sorted((t / MINUTE, words) for t, words in moments if t is not None and t < result.cycle_time)
    for name, panel in axes.items():
        for x, _ in known:
            if name != "moisture":
                panel.axvline(x, color=MID, linewidth=0.6, linestyle=(0, (6, 3)), zorder=0.5)
    label_moments(axes["exhaust"], [(x, f"{words}\n{x:.1f} min") for x, words in known])


def _time_axis(axes: dict[str, Axes]) -> None:
    from matplotlib.ticker import MaxNLocator

    last = axes["duty"]
    last.xaxis.set_major_locator(MaxNLocator(nbins=10, steps=[1, 2, 3, 5, 10]))
    for name, panel in axes.items():
        panel.tick_params(axis="x", labelbottom=panel is last)
        if name in ("exhaust", "burner", "water"):
            panel.locator_params(axis="y", nbins=6)
        if name != "moisture":
            # One column of names for all scales, clear of the longest tick label beside it.
            panel.yaxis.set_label_coords(STRIP_NAMES if name == "strips" else SCALE_NAMES, 0.5)
    last.set_xlabel("time since start [min]")


def _title(figure: FigureBase, top: Axes, box: Box, result: CycleResult) -> None:
    """Scenario, end reason and time, above everything."""
    x = top.get_position().x0
    y = box[1] + box[3]
    point = top.get_position().height / height_pt(top)
    # A dollar sign in a person's title is a dollar sign.
    title, size = fitted_title(result.title, FONT_PT + 3, "One cycle")
    figure.text(x, y - 12.0 * point, title, ha="left", va="top", weight="bold", size=size, parse_math=False)
    ended = f"{result.end.value}; {result.cycle_time / MINUTE:.1f} min after the start"
    figure.text(x, y - 29.0 * point, ended, ha="left", va="top", size=FONT_PT + 1, color=DARK)
