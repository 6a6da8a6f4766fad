"""``dryermodel sweep``: results on stdout, one-line errors, and a kill in the middle that costs nothing."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
import typer
from typer.testing import CliRunner

from dryermodel.cli.sweep import sweep
from dryermodel.scenario.model import load_scenario
from dryermodel.studies.sweep import size as sweep_size
from dryermodel.studies.sweep.frame import record_type
from dryermodel.studies.sweep.plan import Block, Sweep, plan_sweep, run_blocks

ROOT = Path(__file__).parents[2]
PROGRAM = "import typer; from dryermodel.cli.sweep import sweep; typer.run(sweep)"

app = typer.Typer()
app.command()(sweep)
runner = CliRunner()


def run(*arguments: object) -> tuple[int, str, str]:
    done = runner.invoke(app, [str(a) for a in arguments])
    assert done.exception is None or isinstance(done.exception, SystemExit), done.exception
    return done.exit_code, done.stdout, done.stderr


def command(*arguments: object) -> list[str]:
    return [sys.executable, "-c", PROGRAM, *map(str, arguments)]


def start(*arguments: object) -> subprocess.Popen[bytes]:
    return subprocess.Popen(
        command(*arguments),
        cwd=ROOT,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    )


def test_rows_on_stdout_and_nothing_else() -> None:
    code, out, _ = run("standard", "--vary", "load.dry_mass=3:12 lb:3")
    lines = out.splitlines()
    assert code == 0
    assert lines[0].split()[:3] == ["run", "load_dry_mass_lb", "cycle_time_min"]
    assert [line.split()[1] for line in lines[2:5]] == ["3", "7.5", "12"]
    assert lines[-1].startswith("dryermodel ") and "scenario hash" in lines[-1]
    assert len(lines) == 6
    assert out.isascii()


def test_json_is_only_json() -> None:
    code, out, _ = run("standard", "--vary", "load.dry_mass=3:12 lb:3", "--json")
    told = json.loads(out)
    assert code == 0
    assert len(told["rows"]) == 3 and len(told["rows"][0]) == len(told["columns"])
    assert told["end_reasons"] == {"timer ran out": 3}
    assert told["largest_balance_gaps"]["balance_energy"] < 1e-6


def test_file_and_picture(tmp_path: Path) -> None:
    out, picture = tmp_path / "s.csv", tmp_path / "s.svg"
    code, told, _ = run("standard", "--vary", "load.dry_mass=3:12 lb:4", "--out", out, "--plot", picture)
    assert code == 0
    assert out.read_text(encoding="ascii").count("\n") == 5
    assert picture.read_text(encoding="utf-8").startswith("<?xml")
    assert "4 of 4: timer ran out" in told
    assert sorted(p.name for p in tmp_path.iterdir()) == ["s.csv", "s.csv.about.json", "s.svg"]


def test_settings_and_sobol(tmp_path: Path) -> None:
    files = [tmp_path / name for name in ("a.csv", "b.csv", "c.csv")]
    for file, seed in zip(files, (7, 7, 8), strict=True):
        code, _, _ = run(
            "standard", "--set", "vent.length=40 ft", "--vary", "load.dry_mass=3:12 lb", "--vary",
            "room.temperature=60:80 degF", "--sobol", 16, "--seed", seed, "--out", file,
        )  # fmt: skip
        assert code == 0
    first, again, other = (file.read_bytes() for file in files)
    assert first == again != other
    assert first.count(b"\n") == 17


def test_faults_are_set_or_varied_but_not_both() -> None:
    healthy = run("standard", "--vary", "load.dry_mass=8:9 lb:2", "--json")[1]
    weak = run("standard", "--vary", "load.dry_mass=8:9 lb:2", "--fault", "weak_burner=76 %", "--json")[1]
    assert json.loads(weak)["least"]["time_to_4pct_min"] > json.loads(healthy)["greatest"]["time_to_4pct_min"]
    code, out, _ = run("standard", "--vary", "faults.weak_burner=severity 0:0.4:2")
    assert code == 0 and "faults_weak_burner" in out.splitlines()[0]
    code, _, err = run(
        "standard", "--vary", "faults.weak_burner=severity 0:0.4:2", "--fault", "weak_burner=88 %"
    )
    assert code == 2 and "set to one value" in err


BAD = [
    (["nosuch", "--vary", "load.dry_mass=3:12 lb:3"], "no scenario file 'nosuch'"),
    (["standard"], "nothing varies"),
    (["standard", "--vary", "load.dry_mas=3:12 lb:3"], "did you mean load.dry_mass"),
    (["standard", "--vary", "load.dry_mass=3:120 lb:3"], "0.2 lb to 40 lb"),
    (["standard", "--vary", "machine.heat=1:2:3"], "'dryermodel compare'"),
    (["standard", "--vary", "load.dry_mass=3:12 lb:0"], "n is 0"),
    (["standard", "--vary", "load.dry_mass=3:12 lb:\N{SUPERSCRIPT TWO}"], "it is a whole number of values"),
    (["standard", "--vary", "vent.elbows=0:\N{SUPERSCRIPT TWO}:3"], "it is a plain whole number, 0 to 20"),
    (["standard", "--vary", "load.dry_mass=3:12 lb:3", "--plot", "a" * 300 + ".png"], "cannot be written"),
    (["standard", "--vary", "load.dry_mass=3:12 lb:3", "--out", "a" * 245 + ".csv"], "cannot be written"),
    (
        ["standard", "--vary", "room.pressure=900:1000 hPa:2", "--vary", "room.altitude=0:10 ft:2"],
        "room.altitude has no effect beside room.pressure",
    ),
    (["standard", "--vary", "load.dry_mass=3:12 lb:3", "--vary", "load.dry_mass=3:9 lb:3"], "twice"),
    (["standard", "--vary", "load.dry_mass=3:12 lb:3", "--set", "load.dry_mass=5 lb"], "set to one value"),
    (["standard", "--vary", "load.dry_mass=3:12 lb:3", "--out", "s.xls"], ".csv or .parquet"),
    (["standard", "--vary", "load.dry_mass=3:12 lb:3", "--plot", "s.bmp"], ".png"),
    (["standard", "--vary", "load.dry_mass=3:12 lb:3", "--plot", "s.png", "--show", "cost"], "no outcome"),
    (["standard", "--vary", "load.dry_mass=3:12 lb:1", "--plot", "s.png"], "at least two values"),
    (
        [
            "standard",
            "--vary",
            "machine.exhaust_cut_out=130:160 degF:3",
            "--set",
            "machine.exhaust_cut_in=140 degF",
        ],
        "must be below",
    ),
    (["standard", "--vary", "load.dry_mass=3:12 lb", "--sobol", "0"], "--sobol"),
    (["standard", "--vary", "load.dry_mass=3:12 lb:3", "--seed", "4"], "--seed: draws nothing from a grid"),
]


@pytest.mark.parametrize(("arguments", "told"), BAD)
def test_bad_input_is_one_line_and_code_2(
    arguments: list[str], told: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    code, out, err = run(*arguments)
    assert (code, out) == (2, "")
    assert err.startswith("error: ") and err.count("\n") == 1
    assert told in err
    assert err.strip().isprintable()
    assert list(tmp_path.iterdir()) == []


def test_a_file_of_anothers_is_not_replaced(tmp_path: Path) -> None:
    out = tmp_path / "s.csv"
    mine = ("standard", "--vary", "load.dry_mass=3:12 lb:3", "--out", out)
    other = ("standard", "--vary", "load.dry_mass=3:12 lb:4", "--out", out)
    out.write_text("my notes\n", encoding="utf-8")
    code, told, err = run(*mine)
    assert (code, told) == (2, "") and "no record of a sweep" in err and "--yes" in err
    assert out.read_text(encoding="utf-8") == "my notes\n"
    assert [p.name for p in tmp_path.iterdir()] == ["s.csv"]
    assert run(*mine, "--yes")[0] == 0
    table = out.read_bytes()
    assert run(*mine)[0] == 0, "the same sweep may be run again"
    assert out.read_bytes() == table
    code, _, err = run(*other)
    assert code == 2 and "holds another sweep (other runs, varied)" in err
    assert out.read_bytes() == table
    assert run(*other, "--yes")[0] == 0
    assert out.read_bytes().count(b"\n") == 5


def test_three_keys_have_no_picture(tmp_path: Path) -> None:
    vary = ["load.dry_mass=3:12 lb:2", "vent.length=5:60 ft:2", "vent.elbows=0:2:2"]
    options = [part for text in vary for part in ("--vary", text)]
    code, _, err = run("standard", *options, "--plot", tmp_path / "s.png")
    assert code == 2
    assert "one or two varied keys, not 3" in err


def test_absurd_grid_is_asked_about_first(tmp_path: Path) -> None:
    vary = ["--vary", "load.dry_mass=3:12 lb:100000", "--vary", "vent.length=5:60 ft:100000"]
    began = time.perf_counter()
    code, _, err = run("standard", *vary, "--out", tmp_path / "s.csv")
    assert code == 2
    assert "10,000,000,000 cycles" in err and "--yes" in err and "--sobol" in err
    assert "days" in err or "years" in err
    assert "TB" in err or "GB" in err
    assert list(tmp_path.iterdir()) == []
    assert time.perf_counter() - began < 60.0


def test_yes_goes_ahead(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sweep_size, "MANY", 2)
    assert run("standard", "--vary", "load.dry_mass=3:12 lb:3")[0] == 2
    assert run("standard", "--vary", "load.dry_mass=3:12 lb:3", "--yes")[0] == 0


def test_unfinished_file_of_another_sweep(tmp_path: Path) -> None:
    (tmp_path / "s.csv.part").write_text("something of mine\n", encoding="utf-8")
    code, _, err = run("standard", "--vary", "load.dry_mass=3:12 lb:3", "--out", tmp_path / "s.csv")
    assert code == 2
    assert "s.csv.part" in err and "delete the file" in err


def kill(process: subprocess.Popen[bytes]) -> None:
    """End the process the hard way: no cleaning up, no last words."""
    if sys.platform == "win32":
        process.terminate()
    else:
        os.kill(process.pid, signal.SIGKILL)
    process.wait(30)


VARY = ["vent.length=5 ft:60 ft:80", "load.dry_mass=3:12 lb:100"]  # 8,000 cycles
OPTIONS = [part for text in VARY for part in ("--vary", text)]


def rows_of(part: Path) -> bytes:
    """Whole rows of an unfinished file."""
    rows = part.read_bytes().partition(b"\n")[2] if part.exists() else b""
    size = record_type(plan_sweep(load_scenario("standard"), VARY)).itemsize
    return rows[: len(rows) // size * size]


def wait_for_rows(part: Path, process: subprocess.Popen[bytes]) -> None:
    """Wait until the first block is on disk."""
    deadline = time.monotonic() + 120.0  # a first compilation and a busy machine included
    while time.monotonic() < deadline:
        if rows_of(part) or process.poll() is not None:
            return
        time.sleep(0.005)
    raise AssertionError("the sweep did not get going")


def test_killed_in_the_middle_it_goes_on_to_the_same_bytes(tmp_path: Path) -> None:
    killed, whole = tmp_path / "killed.csv", tmp_path / "whole.csv"
    part = tmp_path / "killed.csv.part"
    process = start("standard", *OPTIONS, "--out", killed)
    wait_for_rows(part, process)
    kill(process)
    assert not killed.exists()
    left = rows_of(part)
    assert left and len(left) < 8000 * record_type(plan_sweep(load_scenario("standard"), VARY)).itemsize
    with part.open("ab") as file:
        file.write(left[:50])  # as a kill in the middle of a write leaves it

    resumed = start("standard", *OPTIONS, "--out", killed)
    told, complaints = resumed.communicate(timeout=300)
    assert resumed.returncode == 0, complaints
    straight = start("standard", *OPTIONS, "--out", whole)
    assert straight.communicate(timeout=300)[0] == told
    assert killed.read_bytes() == whole.read_bytes()
    assert not part.exists()


@pytest.mark.parametrize(
    ("out", "told"),
    [
        ("s.csv", "500 of 8,000 cycles are kept in 's.csv.part'; the same command goes on"),
        (None, "--out FILE"),
    ],
)
def test_stopped_by_hand_it_says_how_to_go_on(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, out: str | None, told: str
) -> None:
    def stopped(sweep: Sweep, start: int = 0) -> Iterator[Block]:
        yield next(run_blocks(sweep, start))
        raise KeyboardInterrupt

    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr("dryermodel.studies.sweep.frame.run_blocks", stopped)
    options = () if out is None else ("--out", out)
    done = runner.invoke(app, ["standard", *OPTIONS, *options])
    assert done.exit_code == 130 and done.stdout == ""
    assert told in done.stderr
    assert [p.name for p in tmp_path.iterdir()] == ([] if out is None else ["s.csv.part"])


def test_progress_is_quiet_when_stderr_is_no_terminal(tmp_path: Path) -> None:
    run("standard", "--vary", "load.dry_mass=3:12 lb:3")  # the engine is compiled by now
    process = start("standard", "--vary", "load.dry_mass=3:12 lb:30", "--out", tmp_path / "s.csv")
    out, err = process.communicate(timeout=300)
    assert process.returncode == 0
    assert b"\x1b" not in out + err
    assert b"cycles" not in err


def test_help_loads_nothing_heavy() -> None:
    code = (
        "import sys\nimport dryermodel.cli.sweep, dryermodel.cli.sensitivity\n"
        "print({'numpy', 'scipy', 'numba', 'matplotlib', 'pint', 'pydantic', 'rich'} & set(sys.modules))"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, env={**os.environ, "PYTHONPATH": str(ROOT)},
        capture_output=True, text=True, check=True,
    )  # fmt: skip
    # typer itself brings rich; nothing else may come along.
    assert done.stdout.strip() in ("set()", "{'rich'}")
