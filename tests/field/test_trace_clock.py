"""Times of a log: clock changes, restarts, lines out of order, double and missing ones."""

from __future__ import annotations

from datetime import datetime, timedelta
from pathlib import Path

import numpy as np
import pytest

from dryermodel.field.traces.clock import Clock, Stamp, seconds_of, stamp
from dryermodel.field.traces.table import Log, read_log

LOCAL = Stamp("iso", 1.0, False, ())
ZONED = Stamp("iso", 1.0, True, ())


def read(tmp_path: Path, times: list[str], values: list[float] | None = None) -> Log:
    numbers = values or [200.0 + i for i in range(len(times))]
    lines = ["time,power", *(f"{t},{v}" for t, v in zip(times, numbers, strict=True))]
    (tmp_path / "a.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
    return read_log(tmp_path / "a.csv")


def local(start: str, count: int, jump_after: int, jump: float) -> list[str]:
    """Stamps 30 s apart, with the clock changed once by some seconds."""
    at = datetime.fromisoformat(start)
    steps = [at + timedelta(seconds=30 * i + jump * (i > jump_after)) for i in range(count)]
    return [f"{t:%Y-%m-%d %H:%M:%S}" for t in steps]


@pytest.mark.parametrize(
    ("start", "jump", "told"),
    [
        ("2026-11-01 01:58:00", -3600.0, "set back by an hour"),  # first Sunday of November, 2 o'clock
        ("2026-10-25 02:58:00", -3600.0, "set back by an hour"),  # last Sunday of October, 3 o'clock
        ("2026-03-08 01:58:00", 3600.0, "set ahead by an hour"),
        ("2026-03-29 01:58:00", 3600.0, "set ahead by an hour"),
    ],
)
def test_local_time_over_a_clock_change(start: str, jump: float, told: str, tmp_path: Path) -> None:
    log = read(tmp_path, local(start, 20, 3, jump))
    assert log.time == pytest.approx(30.0 * np.arange(20))
    assert any(told in note and "line 6" in note for note in log.notes)


def test_an_hour_without_readings_is_no_clock_change(tmp_path: Path) -> None:
    """On a weekday, or with an offset written, an hour's gap is one."""
    log = read(tmp_path, local("2026-03-11 01:58:00", 20, 3, 3600.0))
    assert log.time[4] - log.time[3] == 3630.0
    zoned = [f"{t}+01:00" for t in local("2026-03-29 01:58:00", 20, 3, 3600.0)]
    assert read(tmp_path, zoned).time[4] == 3720.0


def test_a_counter_that_starts_again(tmp_path: Path) -> None:
    """A restarted logger goes on from the last time; the length of its pause is told to be unknown."""
    log = read(tmp_path, [str(10 * i) for i in range(12)] + [str(10 * i) for i in range(8)])
    assert log.time == pytest.approx(10.0 * np.arange(20))
    assert any("restart of the logger" in note and "line 14" in note for note in log.notes)


def test_midnight_of_a_clock_without_dates(tmp_path: Path) -> None:
    times = [
        f"{(86100 + 60 * i) % 86400 // 3600:02d}:{(86100 + 60 * i) // 60 % 60:02d}:00" for i in range(12)
    ]
    assert read(tmp_path, times).time == pytest.approx(60.0 * np.arange(12))


def test_lines_out_of_order_are_sorted_in(tmp_path: Path) -> None:
    log = read(
        tmp_path, ["0", "2", "1", "3", "4", "5", "6", "7"], [10.0, 12.0, 11.0, 13.0, 14.0, 15.0, 16.0, 17.0]
    )
    assert log.values["power"] == pytest.approx([10.0, 11.0, 12.0, 13.0, 14.0, 15.0, 16.0, 17.0])
    assert any("out of order" in note for note in log.notes)


def test_of_double_times_the_last_counts(tmp_path: Path) -> None:
    log = read(tmp_path, ["0", "10", "10", "20", "30"], [10.0, 20.0, 30.0, 40.0, 50.0])
    assert log.values["power"] == pytest.approx([10.0, 30.0, 40.0, 50.0])
    assert any("same time" in note for note in log.notes)


def test_stamps_of_whole_minutes_are_spread(tmp_path: Path) -> None:
    """Two readings a minute under one stamp are half a minute apart."""
    log = read(tmp_path, [f"2026-01-31 12:{i // 2:02d}" for i in range(20)])
    assert log.time == pytest.approx(30.0 * np.arange(20))


def test_chunks_join_without_a_seam() -> None:
    """The clock change falls between two chunks; both give what one would."""
    raw = seconds_of(local("2026-11-01 01:58:00", 20, 9, -3600.0), LOCAL)
    whole, parts = Clock(LOCAL), Clock(LOCAL)
    joined = np.concatenate([parts.forward(raw[:10], 2), parts.forward(raw[10:], 12)])
    assert joined == pytest.approx(whole.forward(raw, 2))
    assert parts.notes == whole.notes != []
    universal = Clock(ZONED)
    universal.forward(raw, 2)
    assert "restart" in universal.notes[0]


@pytest.mark.parametrize(
    ("cells", "form", "first"),
    [
        (["01/02/2026 10:00:00", "01/02/2026 10:00:30"], "%m/%d/%Y %H:%M:%S", "month first"),
        (["13/02/2026 10:00:00", "13/02/2026 10:00:30"], "%d/%m/%Y %H:%M:%S", "day first"),
        (["01/02/2026 23:59:30", "02/02/2026 00:00:00"], "%d/%m/%Y %H:%M:%S", "day first"),
        (["02/01/2026 23:59:30", "02/02/2026 00:00:00"], "%m/%d/%Y %H:%M:%S", "month first"),
    ],
)
def test_order_of_day_and_month(cells: list[str], form: str, first: str) -> None:
    """By a number past 12, else by what makes the log short, else the month comes first."""
    found = stamp(cells, "", ".", "log")
    assert found.form == form
    assert any(first in note for note in found.notes)
