"""The reading of a log drawn over the log itself."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from dryermodel.field.traces.power import ELECTRIC
from dryermodel.readings import quantities as Q
from dryermodel.show.plots.style import DARK, FONT_PT, HEAT, INK, MID, PALE, RC, WATER
from dryermodel.show.plots.titles import fitted_title

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure
    from numpy.typing import NDArray

    from dryermodel.field.traces.reading import Trace
    from dryermodel.field.traces.spells import Spell

MINUTE = 60.0
WIDTH_IN = 9.8
HEIGHTS = {"plug": 1.7, "motor": 2.0, "exhaust": 2.0, "strips": 0.75, "duty": 0.8}
DOTS = 400
"""More readings than this are not drawn as dots."""

NAMES = -0.085
"""Where the names of the scales stand, in widths of a panel."""


def plot_trace(trace: Trace, name: str = "", *, si: bool = False) -> Figure:
    """Draw the log as it was recorded, with what was read from it.

    Panels, as far as the log has them: power at the plug; the same near the motor's own power, where
    the valve coils show; exhaust temperature with the readings at burner-off and at the next call; bars of
    igniter and burner; share of the time with heat. Shaded is when the burner, or the heater, was on.

    Parameters
    ----------
    trace : Trace
        The log.
    name : str
        Of the file, for the title.
    si : bool
        degC instead of degF.
    """
    import matplotlib
    from matplotlib.figure import Figure

    with matplotlib.rc_context(RC):
        wanted = _panels(trace)
        tall = sum(HEIGHTS[n] for n in wanted) + 0.17 * (len(wanted) - 1) + 1.15
        figure = Figure(figsize=(WIDTH_IN, tall), dpi=110)
        axes = _axes(figure, wanted, tall)
        draw = {"plug": _plug, "motor": _motor, "duty": _duty, "strips": _strips}
        for panel in wanted:
            _exhaust(axes[panel], trace, si) if panel == "exhaust" else draw[panel](axes[panel], trace)
        _finish(figure, axes, trace, name, tall)
    return figure


def _panels(trace: Trace) -> list[str]:
    power = ["plug"] if trace.power else []
    if trace.power and trace.power.kind != ELECTRIC:
        power.append("motor")
    return [*power, *(["exhaust"] if trace.temperatures else []), "strips", "duty"]


def _axes(figure: Figure, wanted: list[str], tall: float) -> dict[str, Axes]:
    axes: dict[str, Axes] = {}
    top = tall - 0.62
    for panel in wanted:
        place = (0.115, (top - HEIGHTS[panel]) / tall, 0.715, HEIGHTS[panel] / tall)
        axes[panel] = figure.add_axes(place, sharex=next(iter(axes.values()), None), label=panel)
        top -= HEIGHTS[panel] + 0.17
    return axes


def _shade(ax: Axes, spells: tuple[Spell, ...]) -> None:
    for s in spells:
        ax.axvspan(
            s.on.time / MINUTE, s.off.time / MINUTE, facecolor=PALE, alpha=0.55, linewidth=0.0, zorder=0.2
        )


def _raw(ax: Axes, trace: Trace, values: NDArray[np.float64]) -> None:
    """The log: dots where they can be told apart, a thin line otherwise."""
    time = trace.run.log.time / MINUTE
    (line,) = ax.plot(time, values, color=MID, linewidth=0.6, zorder=1.0)
    if len(time) < DOTS:
        line.set(marker="o", markersize=2.2)
    if not trace.run.log.steady:
        line.set_drawstyle("steps-post")


def _beside(ax: Axes, lines: list[str]) -> None:
    ax.text(1.015, 0.98, "\n".join(lines), transform=ax.transAxes, va="top", linespacing=1.35)


def _plug(ax: Axes, trace: Trace) -> None:
    p = trace.power
    assert p is not None
    power = trace.run.log.values["power"]
    _shade(ax, trace.burns)
    _raw(ax, trace, power)
    ax.set_ylim(0.0, 1.08 * float(np.nanmax(power)))
    ax.set_ylabel("power at the plug\n[W]")
    lines = (
        ["dots and thin line: log", "shaded: burner on"]
        if p.kind != ELECTRIC
        else ["thin line: log", "shaded: heater on"]
    )
    lines += [f"igniter: {len(p.glows)} glows seen"] if p.kind != ELECTRIC else []
    lines += [f"{p.unseen} between readings"] if p.unseen else []
    _beside(ax, lines)


def _motor(ax: Axes, trace: Trace) -> None:
    """Power near the motor's own, with the level that was read and the step of the coils on it."""
    p = trace.power
    assert p is not None
    time, power = trace.run.log.time, trace.run.log.values["power"]
    finite = np.isfinite(power)
    level = _level(time[finite], p.motor)
    step = p.coil_step.value if p.coil_step else 0.0
    _shade(ax, trace.burns)
    _raw(ax, trace, power)
    fine = np.linspace(float(time[0]), float(time[-1]), 2400)
    base = np.interp(fine, time[finite], level)
    on = np.any(
        [(fine >= b.on.time) & (fine < b.off.time) for b in trace.burns] or [np.zeros(2400, bool)], axis=0
    )
    ax.plot(fine / MINUTE, base + step * on, color=WATER, linewidth=1.3, zorder=3.0)
    ax.set_ylim(float(np.min(level)) - 12.0, float(np.max(level)) + step + 14.0)
    ax.set_ylabel("motor and coils\n[W]")
    lines = ["heavy line: as read"]
    lines += [f"coils' step {step:.1f} W"] if step else []
    lines += [f"start {p.motor_early.value:.0f} W"] if p.motor_early else []
    lines += [f"end {p.motor_late.value:.0f} W"] if p.motor_late else []
    _beside(ax, lines)


def _level(time: NDArray[np.float64], motor: NDArray[np.float64]) -> NDArray[np.float64]:
    """The motor's power smoothed over two minutes [W]."""
    good = np.isfinite(motor)
    t, m = time[good], motor[good]
    first, last = np.searchsorted(t, time - 60.0), np.searchsorted(t, time + 60.0)
    total = np.concatenate([[0.0], np.cumsum(m)])
    count = np.maximum(last - first, 1)
    mean = (total[last] - total[first]) / count
    return np.where(last > first, mean, float(np.median(m)))


def _exhaust(ax: Axes, trace: Trace, si: bool) -> None:
    t = trace.temperatures
    assert t is not None
    _shade(ax, trace.burns)
    _raw(ax, trace, Q.scaled(trace.run.log.values["temperature"], "temperature", si))
    offs, calls = [b.off.time / MINUTE for b in trace.burns], [g.off.time / MINUTE for g in trace.gaps]
    ax.plot(
        offs,
        Q.scaled(list(t.cut_outs), "temperature", si),
        "v",
        color=INK,
        markersize=5,
        linestyle="none",
        zorder=3,
    )
    ax.plot(
        calls, Q.scaled(list(t.cut_ins), "temperature", si), "^", color=INK, markerfacecolor="white",
        markersize=5, linestyle="none", zorder=3,
    )  # fmt: skip
    unit = Q.display("temperature", si).label
    ax.set_ylabel(f"exhaust\n[{unit}]")
    lines = ["full: burner goes off", "open: heat is called for"]
    names = {
        "cut-out temperature": "cut-out",
        "cut-in temperature": "cut-in",
        "exhaust temperature": "steady",
    }
    lines += [f"{names[f.name]} {Q.text(f.value, 'temperature', si)}" for f in trace.found if f.name in names]
    _beside(ax, lines)


def _strips(ax: Axes, trace: Trace) -> None:
    gas = trace.power is not None and trace.power.kind != ELECTRIC
    rows = [("igniter", trace.power.glows if trace.power else (), "#ffffff", "//////")] if gas else []
    rows.append(("burner" if gas or not trace.power else "heater", trace.burns, HEAT, ""))
    for rank, (_, spells, fill, hatch) in enumerate(rows):
        bars = [(s.on.time / MINUTE, max(s.length.time, 4.0) / MINUTE) for s in spells]
        ax.axhline(-rank - 0.32, color=MID, linewidth=0.5)
        ax.broken_barh(
            bars, (-rank - 0.32, 0.64), facecolors=fill, hatch=hatch or None, edgecolors=INK if hatch else
            "none", linewidth=0.5 if hatch else 0.0,
        )  # fmt: skip
        total = sum(s.length.time for s in spells) / MINUTE
        ax.text(
            1.015,
            -rank,
            f"on {total:.1f} min, {len(spells)} times",
            transform=ax.get_yaxis_transform(),
            va="center",
        )
    ax.set_yticks([-float(i) for i in range(len(rows))], [row[0] for row in rows])
    ax.tick_params(axis="y", length=0)
    ax.set_ylim(-len(rows) + 0.4, 0.6)
    ax.spines["left"].set_visible(False)


def _duty(ax: Axes, trace: Trace) -> None:
    end = (trace.run.end.time - trace.run.start.time) / MINUTE
    edges = [start / MINUTE for start, _ in trace.duty] + [end]
    ax.stairs([100.0 * share for _, share in trace.duty], edges, fill=True, color=PALE, linewidth=0.0)
    ax.stairs([100.0 * share for _, share in trace.duty], edges, color=DARK, linewidth=1.0)
    ax.set_ylim(0.0, 108.0)
    ax.set_ylabel("with heat\n[%]")
    ax.set_yticks([0, 50, 100])
    _beside(ax, ["of each 5 min"])


def _finish(figure: Figure, axes: dict[str, Axes], trace: Trace, name: str, tall: float) -> None:
    """Time axis, names and title."""
    from matplotlib.ticker import MaxNLocator

    end = (trace.run.end.time - trace.run.start.time) / MINUTE
    last = list(axes.values())[-1]
    for panel in axes.values():
        panel.set_xlim(0.0, max(end, 1e-3))
        panel.tick_params(axis="x", labelbottom=panel is last)
        panel.yaxis.set_label_coords(NAMES, 0.5)
    last.xaxis.set_major_locator(MaxNLocator(nbins=10, steps=[1, 2, 3, 5, 10]))
    last.set_xlabel("time since the machine started [min]" if trace.run.whole[0] else "time [min]")
    title, size = fitted_title(name, FONT_PT + 3, "A log")
    figure.text(0.115, 1.0 - 0.16 / tall, title, va="top", weight="bold", size=size, parse_math=False)
    told = f"a run of {end:.1f} min; {len(trace.burns)} stretches with heat"
    figure.text(0.115, 1.0 - 0.37 / tall, told, va="top", size=FONT_PT + 1, color=DARK)
