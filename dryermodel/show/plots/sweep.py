"""Pictures of a sweep: lines over one varied key, a map over two."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from dryermodel.errors import InputError
from dryermodel.kinds import label
from dryermodel.scenario.fault_section import PREFIX
from dryermodel.show.plots.style import DARK, FONT_PT, HEAT, INK, PALE, RC, WATER
from dryermodel.show.plots.titles import fitted_title
from dryermodel.studies.sweep.design import Grid
from dryermodel.studies.sweep.outcomes import TEXT_COLUMN, Outcome, column, find_outcome, time_to_dry_words
from dryermodel.units import digits

if TYPE_CHECKING:
    import pandas as pd
    from matplotlib.axes import Axes
    from matplotlib.cm import ScalarMappable
    from matplotlib.colors import Colormap
    from matplotlib.figure import Figure
    from numpy.typing import NDArray

    from dryermodel.studies.sweep.plan import Sweep
    from dryermodel.studies.sweep.vary import Varied

PANELS = (("cycle_time", "time_to_dry"), ("energy",), ("final_moisture",), ("high_limit_trips",))
"""Outcomes drawn over one key, those of one panel together."""

COUNTS = ("burner_cycles", "high_limit_trips", "ignition_tries")
"""Outcomes that are whole numbers."""

TIME_LIMIT_WORDS = "time limit"
"""How the end reasons begin of runs that were cut off."""

WIDTH_IN, PANEL_IN = 7.0, 1.45
LINES = ((WATER, "solid", "o"), (HEAT, (0, (4.0, 1.6)), "s"))
MAP_COLOURS = ("#ffffff", "#f3d3b4", HEAT)
"""Of a map, least to greatest: each darker than the one before, none too dark for lettering."""


def check_plot(sweep: Sweep, show: str | None) -> None:
    """Raise InputError unless a picture of the sweep can be drawn; before anything is computed.

    Parameters
    ----------
    sweep : Sweep
        What is to be drawn.
    show : str or None
        Name of the outcome wanted.
    """
    if show is not None:
        find_outcome(show, "--show")
    if len(sweep.varied) > 2:
        raise InputError(
            f"a picture shows one or two varied keys, not {len(sweep.varied)}; write the table with --out",
            "--plot",
        )
    if sweep.size < 2 or (isinstance(sweep.design, Grid) and min(v.n for v in sweep.varied) < 2):
        raise InputError("a picture needs at least two values of each varied key", "--plot")


def plot_sweep(
    sweep: Sweep, table: pd.DataFrame, *, show: str | None = None, ax: Axes | None = None
) -> Figure:
    """Draw a sweep.

    Parameters
    ----------
    sweep : Sweep
        One or two varied keys.
    table : DataFrame
        Its rows, all of them.
    show : str, optional
        Name of the outcome to draw; by default cycle time on a map, and times, energy, final
        moisture and high-limit trips over one key.
    ax : Axes, optional
        Axes to draw a map or a single outcome into.

    Returns
    -------
    Figure
        The figure, made without touching any global state.

    Raises
    ------
    InputError
        The sweep cannot be drawn, or there is no such outcome.
    """
    import matplotlib

    check_plot(sweep, show)
    with matplotlib.rc_context(RC):
        if len(sweep.varied) == 2:
            return _map(sweep, table, find_outcome(show or "cycle_time", "--show"), ax)
        panels = PANELS if show is None and ax is None else ((show or "cycle_time",),)
        return _lines(sweep, table, panels, ax)


def words_of(outcome: Outcome, sweep: Sweep) -> str:
    """Words for an outcome with its unit, the marked moisture named."""
    label = outcome.label(sweep.si)
    if outcome.name != "time_to_dry":
        return label
    return label.replace(outcome.words, time_to_dry_words(sweep.marked_moisture))


def axis_words(v: Varied, si: bool) -> str:
    """Key in words with its unit, for an axis.

    >>> from dryermodel.studies.sweep.vary import read_vary
    >>> axis_words(read_vary("gas.supply_pressure=4:9 inH2O:6"), False)
    'gas supply pressure [in w.c.]'
    """
    unit = label(v.unit(si))
    if v.key.startswith(PREFIX):
        return f"severity of {v.words} [1]"
    return f"{v.words} [{unit}]" if unit else v.words


def _numbers(table: pd.DataFrame, name: str) -> NDArray[np.float64]:
    return np.asarray(table[name], dtype=np.float64)


def _values(sweep: Sweep, table: pd.DataFrame, name: str) -> NDArray[np.float64]:
    outcome = find_outcome(name, "--show")
    values = _numbers(table, column(outcome, sweep.marked_moisture, sweep.si))
    return outcome.read(values, si=True) if sweep.si else values


def _cut_off(table: pd.DataFrame) -> NDArray[np.bool_]:
    return np.array([word.startswith(TIME_LIMIT_WORDS) for word in table[TEXT_COLUMN]], dtype=bool)


def _lines(sweep: Sweep, table: pd.DataFrame, panels: tuple[tuple[str, ...], ...], ax: Axes | None) -> Figure:
    """Outcomes over one varied key, panels one above the other."""
    from matplotlib.figure import Figure
    from matplotlib.ticker import MaxNLocator

    if ax is not None:
        figure, axes = _figure_of(ax), [ax]
    else:
        figure = Figure(figsize=(WIDTH_IN, 1.0 + PANEL_IN * len(panels)), dpi=110, layout="constrained")
        axes = list(np.atleast_1d(figure.subplots(len(panels), 1, sharex=True)))
    v = sweep.varied[0]
    x = _numbers(table, v.column(sweep.si))
    order = np.argsort(x, kind="stable")
    cut = _cut_off(table)[order]
    for panel, names in zip(axes, panels, strict=True):
        for name, (colour, dashes, marker) in zip(names, LINES, strict=False):
            y = _values(sweep, table, name)[order]
            style = dashes if isinstance(sweep.design, Grid) else "none"
            words = words_of(find_outcome(name, "--show"), sweep)
            panel.plot(
                x[order], y, color=colour, linestyle=style, linewidth=1.4, marker=marker, markersize=3.2,
                label=words.partition(" [")[0],
            )  # fmt: skip
            panel.plot(
                x[order][cut], y[cut], linestyle="none", marker="x", color=INK, markersize=6.0,
                label="_cut" if not cut.any() or name != names[0] else "stopped by the time limit",
            )  # fmt: skip
        first = words_of(find_outcome(names[0], "--show"), sweep)
        panel.set_ylabel(first if len(names) == 1 else f"time {first[first.index('[') :]}")
        if len(names) > 1 or cut.any():
            panel.legend(frameon=False, loc="best")
        if names[0] in COUNTS:
            panel.yaxis.set_major_locator(MaxNLocator(integer=True, min_n_ticks=1))
            panel.set_ylim(
                min(panel.get_ylim()[0], -0.05), max(panel.get_ylim()[1], 1.0)
            )  # none is no middle
        if v.log:
            _log_scale(panel, "x")
    axes[-1].set_xlabel(axis_words(v, sweep.si))
    _title(axes[0], sweep)
    return figure


def _map(sweep: Sweep, table: pd.DataFrame, outcome: Outcome, ax: Axes | None) -> Figure:
    """One outcome over two varied keys: tint and labelled contours; points where they were drawn."""
    from matplotlib.figure import Figure

    if ax is None:
        figure = Figure(figsize=(WIDTH_IN, 5.2), dpi=110, layout="constrained")
        ax = figure.subplots()
    figure = _figure_of(ax)
    across, up = sweep.varied
    x, y = (_numbers(table, v.column(sweep.si)) for v in (across, up))
    z = _values(sweep, table, outcome.name)
    if isinstance(sweep.design, Grid):
        shape = (across.n, up.n)
        grid = [np.reshape(values, shape).T for values in (x, y, z)]
        tint: ScalarMappable = ax.pcolormesh(*grid, cmap=_colours(), shading="nearest", rasterized=True)
        if np.nanmax(z) > np.nanmin(z):
            lines = ax.contour(*grid, levels=7, colors=INK, linewidths=0.8)
            ax.clabel(lines, fontsize=FONT_PT, fmt=digits)
    else:
        tint = ax.scatter(x, y, c=z, cmap=_colours(), edgecolors=INK, linewidths=0.5, s=26.0)
    cut = _cut_off(table)
    if cut.any():
        ax.plot(
            x[cut], y[cut], linestyle="none", marker="x", color=INK, markersize=5.0,
            label="stopped by the time limit",
        )  # fmt: skip
        ax.legend(loc="upper left", bbox_to_anchor=(0.0, -0.12), frameon=False)
    figure.colorbar(tint, ax=ax, label=words_of(outcome, sweep))
    for name, v in (("x", across), ("y", up)):
        if v.log:
            _log_scale(ax, name)
    ax.set_xlabel(axis_words(across, sweep.si))
    ax.set_ylabel(axis_words(up, sweep.si))
    _title(ax, sweep)
    return figure


def _log_scale(ax: Axes, name: str) -> None:
    """Equal ratios, with plain numbers on the ticks."""
    from matplotlib.ticker import FuncFormatter, LogLocator, NullFormatter

    (ax.set_xscale if name == "x" else ax.set_yscale)("log")
    axis = ax.xaxis if name == "x" else ax.yaxis
    axis.set_major_locator(LogLocator(subs=(1.0, 2.0, 5.0)))
    axis.set_major_formatter(FuncFormatter(lambda value, _: digits(value)))
    axis.set_minor_formatter(NullFormatter())


def _colours() -> Colormap:
    """Colours of a map; grey where the outcome does not apply."""
    from matplotlib.colors import LinearSegmentedColormap

    colours = LinearSegmentedColormap.from_list("pale to warm", MAP_COLOURS)
    return colours.with_extremes(bad=PALE)


def _figure_of(ax: Axes) -> Figure:
    figure = ax.get_figure(root=True)
    if figure is None:
        raise ValueError("ax belongs to no figure")
    return figure


def _title(ax: Axes, sweep: Sweep) -> None:
    """Scenario and number of cycles."""
    title, size = fitted_title(sweep.scenario.full_title, FONT_PT + 1)
    points = "" if sweep.seed is None else f", drawn with seed {sweep.seed}"
    ax.set_title(
        f"{title}\n{sweep.size} cycles{points}; computed, not measured", loc="left", color=DARK,
        fontsize=size, parse_math=False,
    )  # fmt: skip
