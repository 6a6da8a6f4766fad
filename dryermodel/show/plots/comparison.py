"""Cycles drawn over each other: exhaust temperature, water left, and when each burner was on."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from dryermodel.cycle.engine.endings import ENDED
from dryermodel.errors import InputError
from dryermodel.readings import measures as M
from dryermodel.readings import quantities as Q
from dryermodel.show.plots.comparison_panels import (
    CASE_STROKES,
    exhaust_panel,
    set_points,
    strip_panel,
    water_panel,
)
from dryermodel.show.plots.pictures import FORMATS
from dryermodel.show.plots.style import DARK, FONT_PT, INK, RC
from dryermodel.show.plots.titles import fitted_title

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from dryermodel.cycle.result import CycleResult
    from dryermodel.studies.comparison.cases import Case

MOST = 6
"""Cases that can still be told apart in one picture, in colour and in grey."""

MINUTE = 60.0
NAME_WIDTH = 29
"""Characters in a line beside the picture."""
WIDTH_IN, LEFT_IN, RIGHT_IN, TOP_IN, BOTTOM_IN, GAP_IN = 9.8, 1.0, 2.5, 0.75, 0.5, 0.2
EXHAUST_IN, WATER_IN, STRIP_IN = 2.7, 2.2, 0.34


class ComparisonPlot(NamedTuple):
    """The picture and its panels: exhaust, water, burner."""

    figure: Figure
    axes: dict[str, Axes]


def check_plot(count: int, path: Path) -> None:
    """Raise InputError unless so many cases can be drawn into a file of this name.

    Parameters
    ----------
    count : int
        Cases.
    path : Path
        File to be written.
    """
    if path.suffix.lower() not in FORMATS:
        raise InputError(
            f"a picture's name ends in {', '.join(FORMATS)}, not '{path.suffix}'", path.as_posix()
        )
    if count > MOST:
        raise InputError(f"{count} cases are too many for one picture, at most {MOST}", "--plot")


def plot_comparison(cases: Sequence[Case], *, si: bool = False) -> Figure:
    """Draw cases over each other on one time axis.

    Panels: what the exhaust thermostat feels, water left in the load with the 4 % line, and a strip
    for each case that is filled while its burner is on. Letters on the curves are those of the table.

    Parameters
    ----------
    cases : sequence of Case
        Two to six.
    si : bool
        degC and kg instead of degF and lb.

    Returns
    -------
    Figure
        Made without touching any global state.
    """
    import matplotlib

    with matplotlib.rc_context(RC):
        return draw(cases, si).figure


def draw(cases: Sequence[Case], si: bool = False) -> ComparisonPlot:
    """Draw the picture and return it with its panels; see :func:`plot_comparison`."""
    figure, axes = _panels(len(cases))
    results = [case.result for case in cases]
    for panel in axes.values():
        panel.set_xlim(0.0, 1.02 * shown_minutes(results))
    exhaust_panel(axes["exhaust"], results, si)
    water_panel(axes["water"], results, si)
    strip_panel(axes["burner"], results)
    _names(axes["exhaust"], cases)
    _title(figure, axes["exhaust"], cases, si)
    return ComparisonPlot(figure, axes)


def shown_minutes(results: Sequence[CycleResult]) -> float:
    """Length of the time axis [min]: all that ends, and of the rest enough to see it dry or stay wet.

    Parameters
    ----------
    results : sequence of CycleResult
        The cycles; one that runs to the time limit is cut off rather than squeezing the others.
    """
    ended = [r.cycle_time for r in results if r.end.code in ENDED]
    longest = max(ended, default=0.0)
    needed = [
        min(r.cycle_time, 1.4 * (M.time_to_4pct(r) or r.cycle_time))
        for r in results
        if r.end.code not in ENDED
    ]
    return max(longest, *needed, 1.0) / MINUTE if needed else max(longest, 1.0) / MINUTE


def _panels(count: int) -> tuple[Figure, dict[str, Axes]]:
    from matplotlib.figure import Figure

    heights = {"exhaust": EXHAUST_IN, "water": WATER_IN, "burner": STRIP_IN * count + 0.15}
    tall = TOP_IN + sum(heights.values()) + 2 * GAP_IN + BOTTOM_IN
    figure = Figure(figsize=(WIDTH_IN, tall), dpi=110)
    axes: dict[str, Axes] = {}
    first: Axes | None = None
    top = 1.0 - TOP_IN / tall
    wide = (WIDTH_IN - LEFT_IN - RIGHT_IN) / WIDTH_IN
    for name, height in heights.items():
        share = height / tall
        axes[name] = figure.add_axes((LEFT_IN / WIDTH_IN, top - share, wide, share), sharex=first, label=name)
        first = first or axes[name]
        top -= share + GAP_IN / tall
        axes[name].tick_params(axis="x", labelbottom=name == "burner")
        axes[name].yaxis.set_label_coords(-0.085, 0.5)
    axes["burner"].set_xlabel("time since start [min]")
    return figure, axes


def _names(ax: Axes, cases: Sequence[Case]) -> None:
    """To the right of the first panel, what each letter stands for, with a sample of its stroke."""
    from matplotlib.lines import Line2D

    line = FONT_PT * 1.3 / (EXHAUST_IN * 72.0)
    y = 1.0
    for rank, case in enumerate(cases):
        s = CASE_STROKES[rank]
        name = f"{chr(ord('A') + rank)}  {Q.printable(case.name)}"
        bold = textwrap.wrap(name, NAME_WIDTH, max_lines=3, placeholder=" ...")
        told = bold + textwrap.wrap(_ending(case.result), NAME_WIDTH)
        sample = Line2D([1.012, 1.06], [y - 0.5 * line] * 2, transform=ax.transAxes, color=s.color)
        sample.set(linewidth=s.width, linestyle=s.dashes, clip_on=False)
        ax.add_line(sample)
        for row, words in enumerate(told):
            ax.text(
                1.075, y - row * line, words, transform=ax.transAxes, va="top", parse_math=False,
                color=INK if row < len(bold) else DARK, weight="bold" if row < len(bold) else "normal",
            )  # fmt: skip
        y -= line * (len(told) + 0.4)


def _ending(result: CycleResult) -> str:
    dry = M.time_to_4pct(result)
    told = "4 % not reached" if dry is None else f"4 % after {Q.text(dry, 'time', False)}"
    if result.end.code not in ENDED:
        return f"{told}, does not end by itself"
    return f"{told}, ends after {Q.text(result.cycle_time, 'time', False)}"


def _title(figure: Figure, top: Axes, cases: Sequence[Case], si: bool) -> None:
    title, size = fitted_title(cases[0].scenario.full_title, FONT_PT + 3, "Comparison")
    figure.text(
        top.get_position().x0, 1.0 - 0.12 / figure.get_figheight(), title,
        ha="left", va="top", weight="bold", size=size, parse_math=False,
    )  # fmt: skip
    points = [f"{words} {Q.text(kelvin, 'temperature', si)}" for words, kelvin in set_points(cases[0].result)]
    words = "letters as in the table" + (f"; dotted: {' and '.join(points)} of A" if points else "")
    at = 1.0 - 0.40 / figure.get_figheight()
    figure.text(top.get_position().x0, at, words, ha="left", va="top", size=FONT_PT + 1, color=DARK)
