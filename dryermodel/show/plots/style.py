"""Inks and line styles of the pictures: told apart by darkness, width and dashes, not by hue alone."""

from __future__ import annotations

from typing import Any, NamedTuple

INK = "#111111"
DARK = "#4a4a4a"
MID = "#8c8c8c"
PALE = "#d4d4d4"
WATER = "#1f3f77"
HEAT = "#e0904a"

FONT_PT = 8.0
"""Size of all small lettering [pt]."""

HASHSALT = "dryermodel"
"""Fixed, so that the identifiers inside an SVG file do not change from run to run."""


class Stroke(NamedTuple):
    """How a line is drawn."""

    color: str
    width: float
    dashes: Any  # a matplotlib line style


STROKES: dict[str, Stroke] = {
    "load": Stroke(WATER, 2.0, "solid"),
    "exhaust air": Stroke(HEAT, 1.0, "solid"),
    "thermostat element": Stroke(INK, 1.3, (0, (4.0, 1.6))),
    "burner outlet": Stroke(HEAT, 1.0, "solid"),
    "drum inlet": Stroke(MID, 1.0, (0, (5.0, 1.5, 1.0, 1.5))),
    "high-limit element": Stroke(INK, 1.3, (0, (4.0, 1.6))),
    "set point": Stroke(DARK, 0.9, (0, (1.0, 1.4))),
    "water": Stroke(WATER, 2.0, "solid"),
    "cloth 1": Stroke(MID, 1.2, "solid"),
    "cloth 2": Stroke(DARK, 1.2, (0, (5.0, 1.5, 1.0, 1.5))),
    "cloth 3": Stroke(INK, 1.3, (0, (4.0, 1.6))),
    "cloth 4": Stroke(DARK, 1.3, (0, (8.0, 2.0))),
    "burner": Stroke(HEAT, 1.4, "solid"),
    "timer": Stroke(INK, 1.4, (0, (4.0, 1.6))),
    "dial": Stroke(INK, 1.3, "solid"),
}

RC: Any = {
    "font.family": ["DejaVu Sans"],
    "font.size": FONT_PT,
    "axes.labelsize": FONT_PT,
    "axes.linewidth": 0.7,
    "axes.edgecolor": DARK,
    "axes.facecolor": "white",
    "axes.spines.top": False,
    "axes.spines.right": False,
    "figure.facecolor": "white",
    "text.color": INK,
    "axes.labelcolor": INK,
    "xtick.color": INK,
    "ytick.color": INK,
    "xtick.labelsize": FONT_PT,
    "ytick.labelsize": FONT_PT,
    "xtick.direction": "out",
    "ytick.direction": "out",
    "hatch.linewidth": 0.7,
    "text.usetex": False,
    "axes.unicode_minus": False,
    "axes.formatter.useoffset": False,
    "axes.formatter.limits": (-4, 9),
    "path.simplify": True,
}
"""Settings that a person's own matplotlib configuration must not change."""
