"""Exhaust temperature: burner on and off where its curve bends, set points, time constants.

The exhaust warms while the burner is on and cools while it is off, and the air answers within seconds, so
every switching is a corner in the curve. Corners are found as highest and lowest points that stand out of
the noise, then placed by the broken line that fits best around them.
"""

from __future__ import annotations

import itertools
import math
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from dryermodel.field.traces.runs import Moment, Run

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from dryermodel.field.traces.spells import Spell

    Vector = NDArray[np.float64]

STANDS_OUT = 2.0
"""Least rise and fall of a burner's stroke [K]; thermostats in use differ by 8 to 14, common practice."""

NOISES = 6.0
"""Noises that a stroke must stand out by [1]."""

REACH = 25.0
"""Readings so far from a corner, or three on each side, place it [s]."""

PROBE = 1.1
"""Accuracy of a thermocouple or kitchen probe [K], that is 2 degF, common practice."""

STEADY = (0.35, 0.6)
"""Part of the first burn in which the exhaust is steady and half of the water leaves [1]: in the model's
healthy cycles half is gone at 0.42 to 0.50 of it."""


class Corner(NamedTuple):
    """A bend of the curve."""

    at: Moment
    temperature: float  # [K]
    warm: bool  # the burner went off; otherwise it came on


class Constants(NamedTuple):
    """Time constants of the exhaust with the burner off and on [s], medians; None where none was found."""

    off: float | None
    on: float | None


def noise_of(temperature: Vector) -> float:
    """Noise of a reading [K], from second differences, and not below the rounding of its numbers."""
    if len(temperature) < 5:
        return 0.5
    bends = np.diff(temperature, 2)
    steps = np.unique(np.round(np.abs(np.diff(temperature)), 4))
    rounding = (
        float(steps[steps > 0.0][0]) / math.sqrt(12.0) if (steps > 0.0).any() and len(steps) < 60 else 0.0
    )
    return max(0.02, rounding, float(1.4826 * np.median(np.abs(bends))) / math.sqrt(6.0))


def corners(time: Vector, temperature: Vector) -> tuple[Corner, ...]:
    """Bends where the burner came on or went off, in order of time; the first is a light.

    Parameters
    ----------
    time, temperature : array of float, shape (n,)
        Readings [s], [K].
    """
    from scipy.signal import find_peaks

    noise = noise_of(temperature)
    least = max(STANDS_OUT, NOISES * noise)
    smooth = _smooth(time, temperature)
    padded = np.concatenate([[smooth.min() - 99.0], smooth, [smooth.min() - 99.0]])
    high = find_peaks(padded, prominence=least)[0] - 1
    found = _alternating(smooth, [int(i) for i in high if i < len(smooth) - 1], least)
    placed = [_placed(time, temperature, i, warm, noise) for i, warm in found]
    order = np.maximum.accumulate([c.at.time for c in placed]) if placed else np.zeros(0)
    return tuple(c._replace(at=c.at._replace(time=float(t))) for c, t in zip(placed, order, strict=True))


def _smooth(time: Vector, temperature: Vector) -> Vector:
    """A running mean over some ten seconds, if readings are closer than that."""
    width = round(10.0 / max(float(np.median(np.diff(time))), 1e-3)) if len(time) > 1 else 1
    if width < 3:
        return temperature
    width += 1 - width % 2
    padded = np.pad(temperature, width // 2, mode="edge")
    return np.convolve(padded, np.ones(width) / width, mode="valid")


def _alternating(curve: Vector, high: list[int], least: float) -> list[tuple[int, bool]]:
    """Highest points with the lowest between them, the corner where the first rise begins before them."""
    found: list[tuple[int, bool]] = []
    before = 0
    for top in high:
        low = before + int(np.argmin(curve[before : top + 1]))
        if curve[top] - curve[low] < least:
            continue
        # What lies flat before a rise is not part of it.
        flat = np.flatnonzero(curve[low : top + 1] <= curve[low] + 0.02 * (curve[top] - curve[low]))
        found += [(low + int(flat[-1]) if not found else low, False), (top, True)]
        before = top
    return found


def _placed(time: Vector, temperature: Vector, at: int, warm: bool, noise: float) -> Corner:
    """The corner of the broken line that fits best around reading `at`."""
    near = np.abs(time - time[at]) <= REACH
    a, b = int(np.argmax(near)), len(near) - 1 - int(np.argmax(near[::-1]))
    a, b = min(a, max(0, at - 3)), max(b, min(len(time) - 1, at + 3))
    t, x = time[a : b + 1], temperature[a : b + 1]
    places = np.linspace(t[1], t[-2], 161) if len(t) > 4 else np.array([time[at]])
    misfit, heights = _broken(t, x, places)
    misfit /= noise**2
    spread = max(1.0, float(misfit.min()) / max(1, len(t) - 4))
    weight = np.exp(-0.5 * (misfit - misfit.min()) / spread)
    weight /= weight.sum()
    when = float(weight @ places)
    gap = float(np.median(np.diff(t))) if len(t) > 1 else 1.0
    error = math.sqrt(float(weight @ (places - when) ** 2) + gap * gap / 12.0)
    return Corner(Moment(when, error), float(weight @ heights), warm)


def _broken(t: Vector, x: Vector, corner: Vector) -> tuple[Vector, Vector]:
    """Misfit of two lines that meet at each of the corners [K2], and their height there [K]."""
    off = t[None, :] - corner[:, None]
    design = np.stack([np.ones_like(off), np.minimum(off, 0.0), np.maximum(off, 0.0)], axis=2)
    middle = float(x.mean())
    # A grain on the diagonal stands for a side that has no reading.
    normal = design.transpose(0, 2, 1) @ design + 1e-9 * np.eye(3)
    found = np.linalg.solve(normal, (design.transpose(0, 2, 1) @ (x - middle))[:, :, None])[:, :, 0]
    left = x - middle - np.einsum("cnk,ck->cn", design, found)
    return np.einsum("cn,cn->c", left, left), found[:, 0] + middle


def temperature_at(time: Vector, temperature: Vector, at: float, since: float) -> float:
    """Temperature just before a moment, from a line through the readings up to it [K].

    Parameters
    ----------
    time, temperature : array of float, shape (n,)
        Readings [s], [K].
    at : float
        The moment [s].
    since : float
        When the rise or fall began that ends there [s].
    """
    gap = float(np.median(np.diff(time)))
    use = (time <= at + 0.5) & (time >= max(since, at - max(20.0, 2.6 * gap)))
    if use.sum() < 2:
        return float(np.interp(at, time, temperature))
    return float(np.polyfit(time[use] - at, temperature[use], 1)[1])


def steady(time: Vector, temperature: Vector, first: Spell) -> float | None:
    """Exhaust half way through drying [K]: median over the middle of the first burn; None if it is short."""
    length = first.off.time - first.on.time
    use = (time >= first.on.time + STEADY[0] * length) & (time <= first.on.time + STEADY[1] * length)
    return float(np.median(temperature[use])) if length > 300.0 and use.any() else None


def time_constants(time: Vector, temperature: Vector, burns: tuple[Spell, ...]) -> Constants:
    """Time constants of the exhaust, from exponentials fitted to its falls and rises.

    Parameters
    ----------
    time, temperature : array of float, shape (n,)
        Readings [s], [K].
    burns : tuple of Spell
        With heat.
    """
    falls = [(a.off.time, b.on.time) for a, b in itertools.pairwise(burns)]
    rises = [(b.on.time, b.off.time) for b in burns[1:]]
    return Constants(_constant(time, temperature, falls), _constant(time, temperature, rises))


def _constant(time: Vector, temperature: Vector, parts: list[tuple[float, float]]) -> float | None:
    from scipy.optimize import curve_fit

    found = []
    for a, b in parts:
        use = (time >= a) & (time <= min(b, a + 300.0))
        if use.sum() < 6:
            continue
        t, x = time[use] - a, temperature[use]
        guess = (float(x[-1]), float(x[0] - x[-1]), max(10.0, 0.4 * float(t[-1])))
        try:
            fit, _ = curve_fit(_decay, t, x, guess, bounds=([200.0, -200.0, 2.0], [600.0, 200.0, 2000.0]))
        except (RuntimeError, ValueError):
            continue
        if fit[2] < 2.0 * t[-1]:
            found.append(float(fit[2]))
    return float(np.median(found)) if found else None


def _decay(t: Vector, end: float, height: float, constant: float) -> Vector:
    return np.asarray(end + height * np.exp(-t / constant))


def readings_of(run: Run) -> tuple[Vector, Vector]:
    """Times [s] and temperatures [K] of a run, those without a number left out."""
    values = run.log.values["temperature"]
    good = np.isfinite(values)
    return run.log.time[good], values[good]
