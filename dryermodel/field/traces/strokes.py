"""Glows and burns of a gas machine, put together from the states of its valve coils."""

from __future__ import annotations

import itertools
import math
from typing import TYPE_CHECKING

import numpy as np

from dryermodel.field.traces.placing import placed
from dryermodel.field.traces.runs import COARSE, Moment, Run, moment, stretches
from dryermodel.field.traces.samples import FREE, GLOW, HELD, Coils, Readings
from dryermodel.field.traces.spells import Level, Spell, spell
from dryermodel.field.traces.table import Log

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Vector = NDArray[np.float64]

RECLOSES = 75.0
"""No flame after a glow: within this the flame sensor recloses and the igniter glows again [s]; 15 to 60 s is
common practice."""


class Strokes:
    """Glows and burns, put together from the states of the coils."""

    def __init__(self, run: Run, log: Log, readings: Readings, coils: Coils) -> None:
        self.run, self.log, self.readings, self.coils = run, log, readings, coils
        self.coarse = log.steady and log.usual > COARSE
        self.glows: list[Spell] = []
        self.burns: list[Spell] = []
        self.failed = self.unseen = 0
        self.length = self._mean_glow()
        self._walk()

    def _mean_glow(self) -> float:
        """Mean length of a glow [s] where readings are so far apart that they meet some and miss others."""
        s = self.coils.states
        tries = len(stretches(s == GLOW)) + int(((s[:-1] == FREE) & (s[1:] == HELD)).sum())
        met = int((s == GLOW).sum())
        return self.log.usual * met / tries if tries else 0.0

    def _walk(self) -> None:
        s = self.coils.states
        edges = [0, *(int(i) + 1 for i in np.flatnonzero(np.diff(s))), len(s)]
        parts = [(int(s[a]), a, b - 1) for a, b in itertools.pairwise(edges)]
        lit: Moment | None = None
        for rank, (state, a, b) in enumerate(parts):
            after = parts[rank + 1][0] if rank + 1 < len(parts) else None
            if state == GLOW:
                spell = self._glow(a, b)
                self.glows.append(spell)
                lit = spell.off
            elif state == HELD:
                lit = self._burn(lit or self._unseen(a), a, b, after)
            else:
                # The igniter glowed, the coils did not hold, and it glows again.
                self.failed += int(lit is not None and after == GLOW and self._brief(lit, b))
                lit = None

    def _brief(self, since: Moment, last: int) -> bool:
        return float(self.log.time[last]) - since.time < RECLOSES

    def _glow(self, a: int, b: int) -> Spell:
        if not self.coarse or b > a:
            return spell(self.log, self.run, a, b)
        # One reading met it: it began within its length before and ended within it after.
        t, g = float(self.log.time[a]), self.length
        before = float(self.log.time[a - 1]) if a else 0.0
        since = max(before, self.burns[-1].off.time if self.burns else 0.0)
        after = float(self.log.time[min(b + 1, len(self.log.time) - 1)])
        on = min(max(since, t - 0.5 * g), t)
        return Spell(Moment(on, g / math.sqrt(12.0)), Moment(max(t, min(on + g, after)), g / math.sqrt(12.0)))

    def _unseen(self, a: int) -> Moment:
        """Light between two readings, neither of which met the glow."""
        self.unseen += 1
        if a == 0:
            return Moment(self.length, 0.5 * self.length + 1.0)
        before, after = float(self.log.time[a - 1]), float(self.log.time[a])
        spare = max(1.0, after - before - self.length)
        return Moment(after - 0.5 * spare, spare / math.sqrt(12.0))

    def _burn(self, lit: Moment, a: int, b: int, after: int | None) -> Moment | None:
        """A stretch with the coils held: a burn, or a try that failed."""
        if after == GLOW and self._brief(lit, b):
            self.failed += 1
            return None
        if after is None:
            off = Moment(self.run.end.time - self.run.start.time, self.run.end.accuracy)
        elif after == FREE:
            off = self._release(b)
        else:
            off = moment(self.log, b)
        self.burns.append(Spell(lit, off._replace(time=max(off.time, lit.time))))
        return None

    def _release(self, at: int) -> Moment:
        """When the coils let go, from all places it may have been."""
        places, weight = placed(self.readings, self.coils, at)
        moments = [moment(self.log, int(p)) for p in places]
        times = np.array([m.time for m in moments])
        mean = float(weight @ times)
        spread = float(weight @ (times - mean) ** 2) + float(
            weight @ np.array([m.accuracy for m in moments]) ** 2
        )
        return Moment(mean, math.sqrt(spread))

    def time_to_flame(self) -> Level | None:
        """Igniter-on to flame, mean [s]."""
        tries = len(self.glows) + self.unseen
        if not tries or not self.burns:
            return None
        if self.coarse:
            met = self.length / self.log.usual % 1.0
            return Level(self.length, self.log.usual * math.sqrt((met * (1.0 - met) + 0.1) / tries))
        lights = {burn.on.time for burn in self.burns}
        lit = [g.length for g in self.glows if g.off.time in lights]
        if not lit:
            return None
        mean = sum(g.time for g in lit) / len(lit)
        return Level(mean, math.sqrt(sum(g.accuracy**2 for g in lit)) / len(lit))
