"""Picture of what is not known: bands over time and how the outcomes spread."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from dryermodel.readings import quantities as Q
from dryermodel.show.plots.style import DARK, FONT_PT, INK, MID, PALE, RC
from dryermodel.show.plots.titles import fitted_title
from dryermodel.show.text.spread import spread_words
from dryermodel.studies.sweep.outcomes import find_outcome
from dryermodel.studies.uncertainty.spread import PERCENTILES

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure
    from numpy.typing import NDArray

    from dryermodel.studies.uncertainty.spread import Spread

MINUTE = 60.0
WIDTH_IN, HEIGHT_IN = 9.5, 6.6
BINS = 20
HISTOGRAMS = ("cycle_time", "time_to_dry", "energy", "final_moisture")
PANELS = (
    ("exhaust_temp_K", "exhaust air", "temperature"),
    ("moisture", "moisture, dry basis", "moisture"),
    ("burner_duty", "burner duty", "share"),
)
"""Band, words and kind of quantity, top to bottom."""


def plot_spread(spread: Spread, *, si: bool = False) -> Figure:
    """Draw bands over time beside how the outcomes spread.

    Bands hold the middle nine tenths of the samples at each moment; the line is their median.

    Parameters
    ----------
    spread : Spread
        From :func:`dryermodel.studies.uncertainty.spread.spread_summary`.
    si : bool
        degC instead of degF, and seconds and joules on the histograms.

    Returns
    -------
    Figure
        The figure, made without touching any global state.
    """
    import matplotlib
    from matplotlib.figure import Figure

    with matplotlib.rc_context(RC):
        figure = Figure(figsize=(WIDTH_IN, HEIGHT_IN), dpi=110, layout="constrained")
        halves: Any = figure.subfigures(1, 2, width_ratios=(1.7, 1.0))
        left, right = halves
        panels = np.atleast_1d(left.subplots(len(PANELS), 1, sharex=True))
        for panel, (name, words, kind) in zip(panels, PANELS, strict=True):
            _band(panel, spread, name, words, kind, si)
        panels[0].legend(frameon=False, loc="best")
        panels[-1].set_xlabel("time since start [min]")
        for panel, name in zip(np.atleast_1d(right.subplots(len(HISTOGRAMS), 1)), HISTOGRAMS, strict=True):
            _histogram(panel, spread, name, si)
        title, size = fitted_title(spread.scenario.full_title, FONT_PT + 1)
        figure.suptitle(
            f"{title}: {spread.n} samples of load, room and thermostat, seed {spread.seed}",
            fontsize=size, color=DARK, parse_math=False,
        )  # fmt: skip
    return figure


def _band(ax: Axes, spread: Spread, name: str, words: str, kind: str, si: bool) -> None:
    band = spread.bands[name]
    low, middle, high = Q.scaled(band.values, kind, si)
    x = band.time / MINUTE
    share = f"{PERCENTILES[0]:g} to {PERCENTILES[-1]:g} % of samples"
    ax.fill_between(x, low, high, color=PALE, linewidth=0.0, label=share)
    for edge in (low, high):
        ax.plot(x, edge, color=MID, linewidth=0.8)
    ax.plot(x, middle, color=INK, linewidth=1.5, label="median")
    if kind == "share":
        ax.set_ylim(-4.0, 104.0)
    ax.set_ylabel(f"{words}\n[{Q.display(kind, si).label}]")


def _edges(values: NDArray[np.float64]) -> NDArray[np.float64]:
    """Edges of the bins; of some width even when all values are the same but for rounding."""
    low, high = float(values.min()), float(values.max())
    least = 1e-6 * max(abs(low), 1e-6)
    margin = max(0.5 * (least - (high - low)), 0.0)
    return np.linspace(low - margin, high + margin, BINS + 1)


def _histogram(ax: Axes, spread: Spread, name: str, si: bool) -> None:
    """How often each value; the median as a line, percentiles as ticks of the caption."""
    outcome = find_outcome(name, "--samples")
    values: NDArray[np.float64] = spread.outcomes[name]
    there = outcome.read(values[~np.isnan(values)], si)
    unit = outcome.read_unit(si)
    words = f"{spread_words(spread, name)} [{unit}]" if unit else spread_words(spread, name)
    ax.set_xlabel(words)
    ax.set_ylabel("samples")
    if len(there) == 0:
        ax.text(0.5, 0.5, "in no sample", transform=ax.transAxes, ha="center", va="center")
        return
    ax.hist(there, bins=_edges(there).tolist(), color=PALE, edgecolor=DARK, linewidth=0.6)
    ax.axvline(float(np.median(there)), color=INK, linewidth=1.5)
