"""The reading of a measured log against a reading by hand.

The log: power of an electric tumble dryer with a drum that reverses, one reading a second; source and licence
stand beside it in tests/data/tumble_1hz.
"""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest

from dryermodel.field.traces.reading import Trace, read_trace
from dryermodel.field.traces.table import Options

DATA = Path(__file__).parents[1] / "data" / "tumble_1hz"

BY_HAND = [
    # What, index of the last reading before it, the readings around it [W]. Read by looking at the numbers:
    # a reading is the mean of its second, so one between two levels is the second in which it switched.
    ("motor starts", 2, "0.5 then 366.5"),
    ("heater first on", 4, "682.1 then 2686.0"),
    ("heater first off", 2103, "2622.7 then 391.6, 247.1"),
    ("heater on after the first pause", 2110, "803.5 then 2602.8"),
    ("long pause begins", 4901, "2466.4, 1391.0 then 242.4"),
    ("long pause ends", 5021, "242.9, 1678.2 then 2656.9"),
    ("last heat begins", 5290, "257.4, 1807.5 then 2600.9"),
    ("last heat ends", 5298, "2511.5, 1241.7 then 257.2"),
    ("motor stops", 5970, "168.0, 76.0 then 4.2"),
]  # fmt: skip


@pytest.fixture(scope="module")
def trace() -> Trace:
    return read_trace(DATA / "tumble_raw_watts_1Hz.csv", Options(interval=1.0))


def read_moments(trace: Trace) -> dict[str, float]:
    """The same moments as read by the program, in seconds of the file."""
    zero, burns = trace.run.start.time, trace.burns
    pause = int(np.argmax([gap.length.time for gap in trace.gaps]))
    found = {
        "motor starts": 0.0, "heater first on": burns[0].on.time, "heater first off": burns[0].off.time,
        "heater on after the first pause": burns[1].on.time, "long pause begins": burns[pause].off.time,
        "long pause ends": burns[pause + 1].on.time, "last heat begins": burns[-1].on.time,
        "last heat ends": burns[-1].off.time, "motor stops": trace.run.end.time - zero,
    }  # fmt: skip
    return {what: zero + at for what, at in found.items()}


@pytest.mark.parametrize(("what", "before", "watts"), BY_HAND)
def test_moments_are_those_read_by_hand(trace: Trace, what: str, before: int, watts: str) -> None:
    assert read_moments(trace)[what] == pytest.approx(before + 0.5, abs=1.0), watts


def test_every_stretch_with_heat(trace: Trace) -> None:
    """All 48, against a list made with a threshold of 1000 W, where the whole step is 2235 W."""
    with (DATA / "heater_on_off_intervals.csv").open(encoding="utf-8") as file:
        rows = [row for row in csv.DictReader(file) if row["heater"] == "on"]
    zero = trace.run.start.time
    assert len(trace.burns) == len(rows) == 48
    for burn, row in zip(trace.burns, rows, strict=True):
        start = float(row["start_s"])
        assert burn.on.time + zero == pytest.approx(start - 0.5, abs=1.0)
        assert burn.off.time + zero == pytest.approx(start + float(row["dur_s"]) - 0.5, abs=1.0)


def test_duty_of_each_five_minutes(trace: Trace) -> None:
    """The list counts from the file's first reading, the program from the start three seconds later."""
    with (DATA / "duty_5min.csv").open(encoding="utf-8") as file:
        listed = [float(row["duty"]) for row in csv.DictReader(file)][: len(trace.duty)]
    shift = 3.0 / 300.0
    for (_, share), duty in zip(trace.duty[: len(listed)], listed, strict=True):
        assert share == pytest.approx(duty, abs=2.0 * shift)


def test_what_the_machine_is_and_takes(trace: Trace) -> None:
    """Motor alone 240 W, heater 2235 W, a drum that stops for a second to turn round is no end of the run."""
    p = trace.power
    assert p is not None and p.kind == "electric" and not p.glows
    assert p.heater is not None and p.heater.value == pytest.approx(2235.0, rel=0.02)
    assert p.motor_late is not None and p.motor_late.value == pytest.approx(242.0, abs=3.0)
    watts = np.loadtxt(DATA / "tumble_raw_watts_1Hz.csv")
    assert p.energy.value == pytest.approx(float(watts[3:5971].sum()), rel=1e-3)
    assert all(trace.run.whole)


def test_tumbles_after_the_end_are_no_runs(trace: Trace) -> None:
    assert "runs in the log" not in " ".join(trace.notes)
