"""Times of a log's lines: stamps in many forms, counters, clock changes, restarts, double lines.

Chunk by chunk, since a log may be long: a `Clock` keeps what it must know of the lines before.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from dryermodel.errors import InputError, shortened

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Vector = NDArray[np.float64]

HOUR = 3600.0
SLACK = 600.0
"""A step that is an hour longer than usual, or less than this more, is a clock that was changed [s]."""

BACK = 5.0
"""Lines this much before the last one are only out of order [s]."""

FORMS = (
    "%m/%d/%Y %H:%M:%S", "%d/%m/%Y %H:%M:%S", "%d.%m.%Y %H:%M:%S", "%m/%d/%y %H:%M:%S",
    "%d/%m/%y %H:%M:%S", "%m/%d/%Y %H:%M", "%d/%m/%Y %H:%M", "%d.%m.%Y %H:%M", "%m/%d/%y %H:%M",
    "%d/%m/%y %H:%M", "%d.%m.%y %H:%M:%S", "%d.%m.%y %H:%M",
    "%m/%d/%Y %H:%M:%S.%f", "%d/%m/%Y %H:%M:%S.%f", "%d.%m.%Y %H:%M:%S.%f",
    "%m/%d/%Y %I:%M:%S %p", "%m/%d/%y %I:%M:%S %p", "%m/%d/%Y %I:%M %p", "%m/%d/%y %I:%M %p",
    "%m-%d-%Y %H:%M:%S", "%d-%m-%Y %H:%M:%S", "%Y/%m/%d %H:%M:%S", "%Y/%m/%d %H:%M",
    "%H:%M:%S", "%H:%M:%S.%f", "%H:%M", "%I:%M:%S %p", "%I:%M %p",
)  # fmt: skip
"""Forms of a stamp beside those of ISO 8601; of two that fit all lines, the one listed first."""

_ZONE = re.compile(r".*\d(Z|[+-]\d{2}:?\d{2})")
_ISO = re.compile(r"\d{4}-\d{2}-\d{2}([ T].*)?")
_DAY_WRAP = 86400.0


class Stamp(NamedTuple):
    """How times are written."""

    form: str  # "iso", a strptime form, or "number"
    scale: float  # seconds of one unit of a number
    zoned: bool  # the offset from universal time is written
    notes: tuple[str, ...]


def stamp(cells: list[str], unit: str, decimal: str, where: str) -> Stamp:
    """Find out how times are written.

    Parameters
    ----------
    cells : list of str
        Some of them, in their order.
    unit : str
        Of plain numbers, empty if not known.
    decimal : str
        Decimal sign.
    where : str
        File and column, for messages.

    Raises
    ------
    InputError
        They are in no form that is known.
    """
    plain = [c.replace(decimal, ".", 1) for c in cells]
    numbers = [float(c) for c in plain if re.fullmatch(r"[-+]?\d+\.?\d*([eE][-+]?\d+)?", c)]
    if len(numbers) > 0.5 * len(cells):
        return _counter(numbers, unit)
    if sum(bool(_ISO.fullmatch(c)) for c in cells) > 0.5 * len(cells):
        zoned = sum(bool(_ZONE.fullmatch(c)) for c in cells) > 0.5 * len(cells)
        return Stamp("iso", 1.0, zoned, ())
    return _formed(cells, where)


def _counter(numbers: list[float], unit: str) -> Stamp:
    """Seconds of an epoch, in thousandths or whole, or time since a start."""
    scales = {"ms": 0.001, "s": 1.0, "min": 60.0, "h": 3600.0}
    if not unit:
        unit = "ms" if max(numbers) > 1e11 else "s"
        epoch = ", since 1970" if max(numbers) > 9e8 else ""
        return Stamp("number", scales[unit], True, (f"times taken as {unit}{epoch}",))
    return Stamp("number", scales[unit], True, ())


def _formed(cells: list[str], where: str) -> Stamp:
    fits = [form for form in FORMS if _share(cells, form) > 0.9]
    if not fits:
        raise InputError(
            f"'{shortened(cells[0])}' is no time that is understood; write 2026-01-31 18:05:00", where
        )
    runs = [form for form in fits if np.nanmin(np.diff(_seconds(cells, form)), initial=0.0) >= 0.0] or fits
    least = min(runs, key=lambda form: (float(np.ptp(_known(cells, form))), runs.index(form)))
    both = [f for f in runs if f != least and sorted(f) == sorted(least)]
    order = "month" if least.startswith("%m") else "day"
    notes = (
        (f"dates taken with the {order} first",)
        if both or (least[:2] in ("%m", "%d") and "/" in least)
        else ()
    )
    return Stamp(least, 1.0, False, notes)


def _known(cells: list[str], form: str) -> Vector:
    seconds = _seconds(cells, form)
    return seconds[np.isfinite(seconds)]


def _share(cells: list[str], form: str) -> float:
    return float(np.isfinite(_seconds(cells, form)).mean())


def _seconds(cells: list[str], form: str) -> Vector:
    return seconds_of(cells, Stamp(form, 1.0, False, ()))


def seconds_of(cells: object, how: Stamp) -> Vector:
    """Times [s] of cells, NaN where a cell has none.

    Parameters
    ----------
    cells : sequence of str or of numbers
        As they stand in the file, decimals with a point.
    how : Stamp
        How they are written.
    """
    import pandas as pd

    series = pd.Series(cells)
    if how.form == "number":
        return np.asarray(pd.to_numeric(series, errors="coerce"), dtype=np.float64) * how.scale
    form = "ISO8601" if how.form == "iso" else how.form
    times = pd.to_datetime(series, format=form, errors="coerce", utc=True)
    whole = times.astype("datetime64[ns, UTC]").astype("int64").to_numpy(dtype=np.float64) / 1e9
    return np.where(times.isna().to_numpy(), np.nan, whole)


class Clock:
    """Sees to it that times only go forward, and keeps count of all that was put right.

    Parameters
    ----------
    how : Stamp
        How times are written. Those without an offset from universal time are local ones.
    """

    def __init__(self, how: Stamp) -> None:
        self.local = how.form != "number" and not how.zoned
        self.of_day = (
            self.local and "%H:%M" in how.form + "%H:%M" * ("%I" in how.form) and "%d" not in how.form
        )
        self.of_day = self.of_day and how.form != "iso"
        self.last = np.nan
        self.shift = 0.0
        self.usual = np.nan
        self.restarts = 0
        self.disordered = 0
        self.notes: list[str] = []

    def forward(self, raw: Vector, line: int) -> Vector:
        """Return times [s] without the jumps of clock changes and restarts.

        Parameters
        ----------
        raw : array of float, shape (n,)
            As written [s]; no NaN.
        line : int
            Number of the first one's line, for the notes.
        """
        if len(raw) == 0:
            return raw
        first = raw[0] if np.isnan(self.last) else self.last
        steps = np.diff(raw, prepend=first)
        if np.isnan(self.usual) and len(raw) > 2:
            self.usual = float(np.median(np.abs(steps[1:])))
        offsets = np.zeros(len(raw))
        usual = 0.0 if np.isnan(self.usual) else self.usual
        odd = np.flatnonzero((steps < -max(BACK, usual)) | (steps >= HOUR))
        for i in odd:
            offsets[i] = self._put_right(float(steps[i]), usual, float(raw[i]), line + int(i))
        small = steps < 0.0
        small[odd] = False
        self.disordered += int(small.sum())
        fixed = raw + self.shift + np.cumsum(offsets)
        self.last, self.shift = float(raw[-1]), self.shift + float(offsets.sum())
        return np.asarray(fixed)

    def _put_right(self, step: float, usual: float, at: float, line: int) -> float:
        """What is added to all times from an odd step on [s]."""
        if self.of_day and step < -0.5 * _DAY_WRAP:
            self.notes.append(f"line {line}: past midnight")
            return _DAY_WRAP
        if self.local and step < 0.0 and -HOUR - SLACK < step <= -HOUR + SLACK:
            self.notes.append(
                f"line {line}: the clock was set back by an hour (end of summer time); times put right"
            )
            return HOUR
        if step < 0.0:
            self.restarts += 1
            if self.restarts <= 3:
                self.notes.append(
                    f"line {line}: times go back by {-step:.0f} s, as after a restart of the logger; "
                    f"they go on from there, and how long it paused is not known"
                )
            return usual - step
        spare = step - HOUR - usual
        if self.local and spare < max(2.0 * usual, 5.0) and _spring(at, step):
            self.notes.append(
                f"line {line}: the clock was set ahead by an hour (summer time); times put right"
            )
            return -HOUR
        return 0.0

    def told(self) -> list[str]:
        """All that was put right, in words."""
        notes = list(self.notes)
        if self.restarts > 3:
            notes.append(f"{self.restarts} restarts in all")
        if self.disordered:
            notes.append(f"{self.disordered} lines were out of order of time and are sorted in")
        return notes


def _spring(at: float, step: float) -> bool:
    """Whether a step over an hour or more could be the start of summer time: a Sunday between 1 and 4."""
    day = int(at // _DAY_WRAP)
    hour = (at % _DAY_WRAP) / HOUR
    return (day + 4) % 7 == 0 and hour - step / HOUR + 1.0 >= 1.0 and 2.0 <= hour < 4.0
