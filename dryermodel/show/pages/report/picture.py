"""Before and after as a small picture that stands in a page and is read without colour."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from dryermodel.inference.gains import interval
from dryermodel.show.pages.report.change import core_unit
from dryermodel.show.plots.style import FONT_PT, INK, MID, RC
from dryermodel.units import convert

if TYPE_CHECKING:
    from collections.abc import Mapping

    from matplotlib.axes import Axes

    from dryermodel.field.evidence import Measured
    from dryermodel.inference.gains import Mending

SHOWN = {
    "cycle_time": "minutes a load",
    "gas_energy": "gas a load [Btu]",
    "electric_energy": "electricity a load [kWh]",
}
"""Numbers that are drawn, and their words."""

SIDES = ("before", "after")


def change_picture(
    mending: Mending,
    before: Mapping[str, Measured],
    after: Mapping[str, Measured],
    done: bool,
    si: bool = False,
) -> str:
    """Return the picture as an SVG element.

    Parameters
    ----------
    mending : Mending
        Machines before and after.
    before, after : mapping of str to Measured
        By their numbers, what was measured.
    done : bool
        Whether the work was done; otherwise it is what it would change.
    si : bool
        In metric units.
    """
    import matplotlib
    from matplotlib.figure import Figure

    from dryermodel.show.plots.pictures import figure_bytes

    words = SIDES if done else ("now", "mended")
    with matplotlib.rc_context(RC):
        figure = Figure(figsize=(3.5, 2.4), layout="constrained")
        for ax, (number, title) in zip(figure.subplots(len(SHOWN), 1), SHOWN.items(), strict=True):
            sides = (mending.before[number], mending.after[number])
            for i, (values, measured) in enumerate(zip(sides, (before, after), strict=True)):
                s = interval(values)
                _side(ax, i, [convert(v, core_unit(number, si)) for v in s])
                if number in measured:
                    at = convert(measured[number].value, core_unit(number, si))
                    ax.plot([at], [i], "x", color=INK, markersize=7.0, markeredgewidth=1.6, zorder=4)
            ax.set_yticks([0, 1], list(words))
            ax.set_ylim(1.6, -0.6)
            ax.set_xlim(left=0.0)
            ax.locator_params(axis="x", nbins=5)
            ax.set_title(
                title.replace("Btu", core_unit("gas_energy", si)), fontsize=FONT_PT, loc="left", pad=2.0
            )
        text = figure_bytes(figure, ".svg", {"Format": None, "Type": None}).decode("utf-8")
    return text[text.index("<svg") :]


def _side(ax: Axes, i: int, s: list[float]) -> None:
    """Draw one interval: filled before, open after."""
    if any(math.isnan(v) for v in s):
        return
    low, middle, high = s
    ax.plot([low, high], [i, i], color=MID, linewidth=3.0, solid_capstyle="butt", zorder=2)
    ax.plot([middle], [i], "o", color="white" if i else INK, markeredgecolor=INK, markersize=6.0, zorder=3)
