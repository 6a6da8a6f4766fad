"""``trace``: what it prints and draws, and how it refuses."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from typer.testing import CliRunner

from dryermodel.cli import app

ROOT = Path(__file__).parents[2]
LOG = str(ROOT / "docs" / "logs" / "family_load.csv")
ELECTRIC = str(ROOT / "tests" / "data" / "tumble_1hz" / "tumble_raw_watts_1Hz.csv")


def run(*arguments: str) -> tuple[int, str, str]:
    done = CliRunner().invoke(app, ["trace", *arguments])
    assert done.exception is None or isinstance(done.exception, SystemExit), done.exception
    return done.exit_code, done.stdout, done.stderr


def test_page_for_people() -> None:
    code, out, _ = run(LOG)
    assert code == 0
    head, measured, burns, more, notes = out.strip().split("\n\n")
    assert "a gas machine" in head and "2026-03-07" in head
    assert "cut-out temperature" in measured and "degF" in measured
    assert len(burns.splitlines()) == 2 + 8
    assert "share of each 5 min with heat" in more and "igniter: 8 glows" in more
    assert notes.startswith("how the file was read:") and "171 lines of data" in notes


def test_long_lists_are_cut_unless_asked_for() -> None:
    short, whole = (run(ELECTRIC, "--interval", "1 s", *more)[1] for more in ((), ("--intervals",)))
    assert "..." in short and "..." not in whole
    assert len(whole.splitlines()) - len(short.splitlines()) == 48 - 31


def test_json_is_the_same_reading_in_si() -> None:
    code, out, _ = run(LOG, "--json")
    found = json.loads(out)
    assert code == 0 and found["machine"] == "gas" and found["scenario_hash"] is None
    by_name = {m["measurement"]: m for m in found["measurements"]}
    assert (
        by_name["cut-out temperature"]["unit"] == "K" and 330 < by_name["cut-out temperature"]["value"] < 350
    )
    assert len(found["heat"]) == by_name["burner cycles"]["value"] == len(found["gaps"]) + 1
    assert found["duty"][0]["start_s"] == 0.0
    assert found["exhaust"]["time_constant_off_s"] > 20.0


@pytest.mark.parametrize("ending", ["png", "svg"])
def test_picture_is_drawn_the_same_each_time(ending: str, tmp_path: Path) -> None:
    files = [tmp_path / f"{i}.{ending}" for i in range(2)]
    for file in files:
        assert run(LOG, "-o", str(file))[0] == 0
    assert files[0].read_bytes() == files[1].read_bytes()
    assert files[0].stat().st_size > 20_000


def test_measurements_go_into_a_visit(tmp_path: Path) -> None:
    visit = tmp_path / "visit.toml"
    visit.write_text('scenario = "family_load"\n', encoding="utf-8")
    code, out, _ = run(LOG, "--visit", str(visit))
    assert code == 0 and "added to" in out and "burner off late" in out.partition("added to")[2]
    assert CliRunner().invoke(app, ["visit", "check", str(visit)]).exit_code == 0
    code, out, err = run(LOG, "--visit", str(visit), "--json")
    assert code == 0 and json.loads(out) and "measured already" in err


REFUSED = [
    (["none.csv"], "none.csv: there is no such file"),
    ([LOG, "--machine", "steam"], "--machine: is 'steam'"),
    ([LOG, "--run", "7"], "--run: is 7; the log holds 1"),
    ([LOG, "--power", "volts"], "--power: there is no column 'volts'"),
    ([LOG, "--delimiter", "comma and more"], "--delimiter: is 'comma and more'"),
    ([LOG, "--decimal", "dot"], "--decimal: is 'dot'; it is point or comma"),
    ([LOG, "--interval", "1 ft"], "--interval: is a time"),
    ([LOG, "--interval", "1 s", "--time-column", "1"], "leave out one of the two"),
    ([ELECTRIC], "holds no times; say how far apart its lines are"),
    ([LOG, "-o", "x.bmp"], "a picture's name ends in .png"),
    ([LOG, "--visit", "none.toml"], "none.toml: no such visit file"),
]


@pytest.mark.parametrize(("arguments", "told"), REFUSED)
def test_refused_in_one_line(
    arguments: list[str], told: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    code, out, err = run(*arguments)
    assert (code, out) == (2, "")
    assert err.startswith("error: ") and err.count("\n") == 1 and told in err
    assert list(tmp_path.iterdir()) == []


def test_a_machine_that_never_runs(tmp_path: Path) -> None:
    log = tmp_path / "idle.csv"
    log.write_text("time,power\n" + "".join(f"{i},2.{i % 7}\n" for i in range(200)), encoding="utf-8")
    code, _, err = run(str(log), "--unit", "power=W")
    assert code == 2 and "the machine never runs in this log" in err and "idle.csv" in err


MEASURE = """
import resource, sys
from pathlib import Path
from dryermodel.field.traces.table import read_log
def peak():
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
read_log(Path(sys.argv[1])); small = peak()
log = read_log(Path(sys.argv[2]))
print(small, peak(), len(log.time))
"""


@pytest.mark.skipif(os.name == "nt", reason="the system does not tell a program's peak memory")
def test_memory_grows_by_far_less_than_the_file(tmp_path: Path) -> None:
    """A log twenty times a chunk costs no more than half a chunk of memory more than one chunk's log."""
    pytest.importorskip("resource")
    line = "2026-01-31 12:{:02d}:{:02d},{}.5\n"
    body = "".join(line.format(i // 60, i % 60, 230 + i % 13) for i in range(3600))
    for name, hours in (("small.csv", 30), ("large.csv", 200)):
        (tmp_path / name).write_text("time,power\n" + body * hours, encoding="utf-8")
    done = subprocess.run(
        [sys.executable, "-c", MEASURE, str(tmp_path / "small.csv"), str(tmp_path / "large.csv")],
        capture_output=True, text=True, check=True, env={**os.environ, "PYTHONPATH": str(ROOT)},
    )  # fmt: skip
    small, large, count = map(float, done.stdout.split())
    assert count > 0 and large < small + 120.0, (small, large)  # MB; the file is 19 MB
