"""Picture of a sensitivity study."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from dryermodel.show.plots.style import DARK, FONT_PT, INK, PALE, RC, WATER
from dryermodel.show.plots.titles import fitted_title

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from dryermodel.studies.uncertainty.sensitivity import Index, Sensitivity, Study

WIDTH_IN, ROW_IN = 7.5, 0.26


def plot_sensitivity(study: Study, *, ax: Axes | None = None) -> Figure:
    """Draw the indices as bars with their intervals, the most important value on top.

    Parameters
    ----------
    study : Study
        What to draw; one panel for each outcome.
    ax : Axes, optional
        Axes for the first outcome alone.

    Returns
    -------
    Figure
        The figure, made without touching any global state.
    """
    import matplotlib
    from matplotlib.figure import Figure

    with matplotlib.rc_context(RC):
        if ax is not None:
            figure = ax.get_figure(root=True)
            if figure is None:
                raise ValueError("ax belongs to no figure")
            _bars(ax, study, study.outcomes[0])
            return figure
        rows = len(study.uncertain)
        tall = 1.3 + ROW_IN * rows
        figure = Figure(figsize=(WIDTH_IN, 0.5 + tall * len(study.outcomes)), dpi=110, layout="constrained")
        axes = np.atleast_1d(figure.subplots(len(study.outcomes), 1))
        for panel, outcome in zip(axes, study.outcomes, strict=True):
            _bars(panel, study, outcome)
        title, size = fitted_title(study.scenario.full_title, FONT_PT + 1)
        figure.suptitle(
            f"{title}: {study.runs} cycles, seed {study.seed}",
            fontsize=size, color=DARK, parse_math=False,
        )  # fmt: skip
    return figure


def _bars(ax: Axes, study: Study, outcome: Sensitivity) -> None:
    """Total index as a pale bar, first-order index as a dark one below it."""
    places = -np.arange(len(outcome.influences), dtype=np.float64)
    height = 0.38
    for name, shift, face in (("total", 0.5 * height, PALE), ("first", -0.5 * height, WATER)):
        indices: list[Index] = [getattr(i, name) for i in outcome.influences]
        value = np.array([i.value for i in indices])
        below = np.array([max(i.value - i.low, 0.0) for i in indices])
        above = np.array([max(i.high - i.value, 0.0) for i in indices])
        label = "in all, with others" if name == "total" else "alone"
        ax.barh(places + shift, value, height, color=face, edgecolor=INK, linewidth=0.6, label=label)
        ax.errorbar(
            value, places + shift, xerr=[below, above], fmt="none", ecolor=INK, elinewidth=0.8, capsize=2.0
        )
    ax.axvline(0.0, color=INK, linewidth=0.7)
    words = {u.key: u.words for u in study.uncertain}
    ax.set_yticks(places, [words[i.key] for i in outcome.influences])
    ax.tick_params(axis="y", length=0)
    ax.set_xlabel(f"share of the spread (variance) of {outcome.outcome.words} [1], with 95 % intervals")
    ax.legend(frameon=False, loc="lower right")
