"""Logs of any logger: layout, columns, units, and files that are none."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from dryermodel.errors import InputError
from dryermodel.field.traces.columns import Wanted
from dryermodel.field.traces.table import Log, Options, read_log

POWER = [2.0, 2.0, 700.0, 260.5, 259.5, 251.0, 700.0, 260.0, 2.0, 2.0]
START = 12 * 3600


def clock(seconds: int, form: str = "{:02d}:{:02d}:{:02d}") -> str:
    at = START + seconds
    return form.format(at // 3600, at // 60 % 60, at % 60)


def written(path: Path, lines: list[str], encoding: str = "utf-8", end: str = "\n") -> Path:
    path.write_bytes((end.join(lines) + end).encode(encoding))
    return path


LAYOUTS: dict[str, list[str]] = {
    "commas and ISO stamps": [
        "timestamp,power_W", *(f"2026-01-31T{clock(30 * i)},{p}" for i, p in enumerate(POWER))
    ],
    "semicolons and decimal commas": [
        "Zeit;Leistung [W]",
        *(f"31.01.2026 {clock(30 * i)};" + f"{p}".replace(".", ",") for i, p in enumerate(POWER)),
    ],
    "tabs, no header": [f"2026-01-31 {clock(30 * i)}\t{p}" for i, p in enumerate(POWER)],
    "month first": ["Date,Power (W)", *(f"1/31/2026 {clock(30 * i)},{p}" for i, p in enumerate(POWER))],
    "day first": ["Date,Power (W)", *(f"31/01/2026 {clock(30 * i)},{p}" for i, p in enumerate(POWER))],
    "date and time apart": ["Date,Time,W", *(f"2026-01-31,{clock(30 * i)},{p}" for i, p in enumerate(POWER))],
    "time of day only": ["Time;W", *(f"{clock(30 * i)};{p}" for i, p in enumerate(POWER))],
    "seconds and kilowatts": ["t [s],P [kW]", *(f"{30 * i},{p / 1000}" for i, p in enumerate(POWER))],
    "minutes": ["elapsed (min),power (W)", *(f"{0.5 * i},{p}" for i, p in enumerate(POWER))],
    "epoch": ["time,power", *(f"{1769860800 + 30 * i},{p}" for i, p in enumerate(POWER))],
    "epoch in thousandths": [
        "time,power", *(f"{1769860800000 + 30000 * i},{p}" for i, p in enumerate(POWER))
    ],
    "units in the cells": ["time,power", *(f"2026-01-31 {clock(30 * i)},{p} W" for i, p in enumerate(POWER))],
    "lines before the header": [
        "Logger model X", "serial,12", "", "time,power",
        *(f"2026-01-31 {clock(30 * i)},{p}" for i, p in enumerate(POWER)),
    ],
    "other columns": [
        "time,voltage (V),power factor,power (W),energy (kWh),total power (W)",
        *(f"2026-01-31 {clock(30 * i)},121.2,0.6,{p},0.{i},999" for i, p in enumerate(POWER)),
    ],
    "offsets from universal time": [
        "time,power", *(f"2026-01-31T{clock(30 * i)}-05:00,{p}" for i, p in enumerate(POWER))
    ],
    "quotes": ['"time","power"', *(f'"2026-01-31 {clock(30 * i)}","{p}"' for i, p in enumerate(POWER))],
    "twelve hours": ["time,power", *(f"01/31/2026 {clock(30 * i)} PM,{p}" for i, p in enumerate(POWER))],
    "blanks": [f"{30 * i}   {p}" for i, p in enumerate(POWER)],
}  # fmt: skip


@pytest.mark.parametrize("lines", LAYOUTS.values(), ids=LAYOUTS)
def test_the_same_readings_however_they_are_written(lines: list[str], tmp_path: Path) -> None:
    log = read_log(written(tmp_path / "a.csv", lines))
    assert log.values["power"] == pytest.approx(POWER, rel=1e-5)
    assert log.time == pytest.approx(30.0 * np.arange(len(POWER)))
    assert log.steady and log.usual == 30.0


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252", "latin-1"])
@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_encodings(encoding: str, end: str, tmp_path: Path) -> None:
    lines = [
        "Zeit;Wäschetrockner Leistung [W];Abluft [°C]",
        *(f"{30 * i};{p};{40 + i}" for i, p in enumerate(POWER)),
    ]
    log = read_log(written(tmp_path / "a.csv", lines, encoding, end), Options(Wanted(time="Zeit")))
    assert log.values["power"] == pytest.approx(POWER)
    assert log.values["temperature"] == pytest.approx(313.15 + np.arange(len(POWER)), abs=1e-3)


def test_mixed_encodings_are_told(tmp_path: Path) -> None:
    lines = [f"{30 * i},{p},ein".encode() for i, p in enumerate(POWER)]
    content = (
        "Zeit,Leistung (W),Schaltzustand für Gerät\n".encode()
        + b"\n".join(lines[:5])
        + b"\xe4\n"
        + b"\n".join(lines[5:])
    )
    (tmp_path / "a.csv").write_bytes(content)
    log = read_log(tmp_path / "a.csv")
    assert log.values["power"] == pytest.approx(POWER)
    assert any("mixed" in note and "line 6" in note for note in log.notes)


def read(tmp_path: Path, lines: list[str], options: Options = Options()) -> Log:  # noqa: B008
    return read_log(written(tmp_path / "a.csv", lines), options)


def test_what_is_guessed_can_be_said_instead(tmp_path: Path) -> None:
    lines = ["when,a,b", *(f"{30 * i},{p},{p / 2}" for i, p in enumerate(POWER))]
    log = read(tmp_path, lines, Options(Wanted(time="when", power="b", units=("power=kW", "time=min"))))
    assert log.values["power"] == pytest.approx([500.0 * p for p in POWER])
    assert log.time[1] == 1800.0
    second = read(tmp_path, lines, Options(Wanted(time="1", power="2")))
    assert second.values["power"] == pytest.approx(POWER)


def test_a_file_without_times_needs_the_interval(tmp_path: Path) -> None:
    lines = [str(p) for p in POWER]
    with pytest.raises(InputError, match="--interval '1 s'"):
        read(tmp_path, lines)
    assert read(tmp_path, lines, Options(interval=2.0)).time[-1] == 18.0


def test_decimal_commas_of_a_single_column(tmp_path: Path) -> None:
    log = read(tmp_path, [f"{p}".replace(".", ",") for p in POWER], Options(interval=1.0))
    assert log.values["power"] == pytest.approx(POWER)


def test_kinds_of_unnamed_columns(tmp_path: Path) -> None:
    """Watts, amperes and degrees told apart by their size."""
    lines = [f"{30 * i},{p},{p / 120:.2f},{75 + 9 * i}" for i, p in enumerate(POWER)]
    log = read(tmp_path, lines)
    assert set(log.values) == {"power", "current", "temperature"}
    assert log.values["temperature"][0] == pytest.approx((75 + 459.67) / 1.8, abs=1e-3)


def test_lines_that_hold_no_number_are_counted(tmp_path: Path) -> None:
    good = [f"2026-01-31 {clock(30 * i)},{p}" for i, p in enumerate(POWER)]
    lines = [
        "time,power",
        *good[:4],
        "time,power",
        "2026-01-31 12:01:45,unavailable",
        "gap,3",
        *good[4:],
        "2026-01-31,,,,",
    ]
    log = read(tmp_path, lines)
    assert log.values["power"] == pytest.approx(POWER)
    told = "\n".join(log.notes)
    assert "2 lines without a time" in told and "2 lines have no power" in told and "line 6" in told


BAD = {
    "nothing": b"",
    "blank lines": b"\n\n  \n",
    "holds a single line": b"time,power\n",
    "a single line of numbers": b"time,power\n2026-01-31 12:00:00,5\n",
    "holds no numbers": b"this is\na letter\nto my mother\n",
    "is not text": bytes(range(256)) * 40,
    "no column of power": b"time,mood\n2026-01-31 12:00:00,good\n2026-01-31 12:00:30,bad\n",
    "is no time that is understood": b"time,power\n12:00:00 31st Jan,5\n12:00:30 31st Jan,6\n",
}


@pytest.mark.parametrize(("told", "content"), BAD.items(), ids=BAD)
def test_what_is_no_log_is_refused_in_one_line(told: str, content: bytes, tmp_path: Path) -> None:
    (tmp_path / "a.csv").write_bytes(content)
    with pytest.raises(InputError) as refused:
        read_log(tmp_path / "a.csv")
    assert "a.csv" in str(refused.value) and "\n" not in str(refused.value)
    assert told in str(refused.value) or told == "blank lines"


@pytest.mark.parametrize(
    ("wanted", "told"),
    [
        (
            Wanted(power="watts"),
            "--power: there is no column 'watts' among 1 to 2; there are 'time', 'power'",
        ),
        (Wanted(power="7"), "--power: there is no column '7'"),
        (Wanted(units=("power=degF",)), "--unit: is 'power=degF'; power is in W, kW"),
        (Wanted(units=("pover=W",)), "did you mean power"),
    ],
)
def test_columns_and_units_that_there_are_not(wanted: Wanted, told: str, tmp_path: Path) -> None:
    with pytest.raises(InputError) as refused:
        read(tmp_path, LAYOUTS["epoch"], Options(wanted))
    assert told in str(refused.value)


def test_no_such_file(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="no such file"):
        read_log(tmp_path / "none.csv")
