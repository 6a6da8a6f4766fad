"""When something was on, and numbers with their standard deviation."""

from __future__ import annotations

import math
from typing import NamedTuple

from dryermodel.field.traces.runs import Moment, Run, moment
from dryermodel.field.traces.table import Log


class Spell(NamedTuple):
    """Something was on."""

    on: Moment
    off: Moment

    @property
    def length(self) -> Moment:
        """How long [s]."""
        return Moment(self.off.time - self.on.time, math.hypot(self.on.accuracy, self.off.accuracy))


class Level(NamedTuple):
    """A number and its standard deviation."""

    value: float
    accuracy: float


def spell(log: Log, run: Run, a: int, b: int) -> Spell:
    """On from reading `a` to reading `b`."""
    n = len(log.time)
    on = moment(log, a - 1) if a > 0 else Moment(0.0, run.start.accuracy)
    off = moment(log, b) if b < n - 1 else Moment(run.end.time - run.start.time, run.end.accuracy)
    return Spell(on, off)
