"""Pictures of the study, readable in greyscale: reliability, and the worth of the next test's advice."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import matplotlib

matplotlib.use("Agg")

import matplotlib.pyplot as plt
import numpy as np
from numpy.typing import NDArray

from tests.validation.scores import reliability, share
from tests.validation.study import Outcome

Array = NDArray[np.float64]

MARKS = ("o", "s", "^")
SHADES = ("0.0", "0.35", "0.6")


def draw_reliability(found: Mapping[str, Mapping[str, Outcome]], path: Path) -> None:
    """How often an answer is right against how probable it was said to be, with 95 % intervals."""
    figure, axes = plt.subplots(1, len(found), figsize=(5.2 * len(found), 4.8), sharey=True, squeeze=False)
    for axis, (kind, sets) in zip(axes[0], found.items(), strict=True):
        axis.plot([0, 100], [0, 100], color="0.7", lw=1.0, zorder=0)
        for i, (name, o) in enumerate(sets.items()):
            said, right = np.array(o.method.said), o.method.within(1)
            bins = reliability(said, right)
            place = np.minimum((said * 10).astype(int), 9)
            spans = [share(right[place == min(int(b.said * 10), 9)]) for b in bins]
            x = np.array([100 * b.said for b in bins]) + 0.7 * (i - 1)
            y = np.array([100 * b.right for b in bins])
            ends = np.array([[100 * s.low, 100 * s.high] for s in spans]).T
            error = np.abs(ends - y)
            axis.errorbar(
                x, y, error, marker=MARKS[i], color=SHADES[i], ls="-", lw=1.2, ms=5, capsize=2, label=name
            )
        axis.set(xlim=(0, 100), ylim=(0, 100), xlabel="probability said of the first group [%]")
        axis.set_title(f"{kind} machines", fontsize=11)
        axis.grid(color="0.92")
        axis.legend(title="evidence", frameon=False, loc="lower right")
    axes[0][0].set_ylabel("right [%]")
    figure.tight_layout()
    figure.savefig(path, dpi=110)
    plt.close(figure)


def draw_advice(minutes: Array, curves: Mapping[str, Array], ceiling: float, count: int, path: Path) -> None:
    """Share of visits with the right fault on top against minutes of work."""
    figure, axis = plt.subplots(figsize=(7.2, 4.6))
    for (name, shares), dash, shade in zip(curves.items(), ("-", "--"), ("0.0", "0.4"), strict=True):
        axis.plot(minutes, 100 * shares, dash, color=shade, lw=2.0, label=name)
    axis.axhline(100 * ceiling, color="0.3", lw=1.0, ls=":")
    for words, height, above in (
        ("ceiling: every look, six and a log", ceiling, 3), ("5 points below", ceiling - 0.05, -11),
    ):  # fmt: skip
        at = (0.78 * minutes[-1], 100 * height)
        axis.annotate(words, at, (0, above), textcoords="offset points", ha="center", fontsize=9)
    axis.axhline(100 * ceiling - 5.0, color="0.7", lw=0.8)
    axis.set(
        xlim=(0, minutes[-1]),
        ylim=(0, 100),
        xlabel="minutes of work",
        ylabel="right fault on top [% of visits]",
    )
    axis.set_title(f"From a complaint alone, {count} visits", fontsize=11)
    axis.grid(color="0.92")
    axis.legend(frameon=False, loc="lower right")
    figure.tight_layout()
    figure.savefig(path, dpi=110)
    plt.close(figure)
