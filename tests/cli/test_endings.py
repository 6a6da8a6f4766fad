"""How a command ends when its reader has enough, the disk is full, or Ctrl-C is pressed."""

from __future__ import annotations

import errno
import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest
import typer
from typer.testing import CliRunner

from dryermodel.cli import _endings, app, main
from dryermodel.cli._run import exit_on_input_error
from dryermodel.errors import InputError, Stopped
from dryermodel.scenario.model import load_scenario
from dryermodel.studies.sweep.frame import record_type
from dryermodel.studies.sweep.plan import plan_sweep

RUN = [sys.executable, "-m", "dryermodel"]
FULL = Path("/dev/full")
POSIX = os.name == "posix"
ENVIRONMENT = {**os.environ, "PYTHONPATH": str(Path(__file__).parents[2])}


def write_fails(error: OSError) -> InputError:
    problem = InputError("cannot be written", "cycle.csv")
    problem.__cause__ = error
    return problem


@pytest.mark.parametrize(
    ("problem", "code", "told"),
    [
        (InputError("is missing", "mine.toml"), 2, "error: mine.toml: is missing\n"),
        (
            OSError(errno.ENOSPC, "No space left on device"),
            1,
            "error: the output cannot be written: No space",
        ),
        (OSError(errno.ENOSPC, "No space left", "a.csv"), 1, "error: a.csv: No space left\n"),
        (write_fails(OSError(errno.ENOSPC, "No space left")), 1, "error: cycle.csv: cannot be written\n"),
        (write_fails(OSError(errno.EACCES, "Permission denied")), 2, "error: cycle.csv: cannot be written\n"),
        (PermissionError(errno.EACCES, "Permission denied", "a.csv"), 2, "error: a.csv: Permission denied\n"),
        (KeyboardInterrupt(), 130, "stopped\n"),
        (Stopped("3 of 9 cycles are kept"), 130, "stopped: 3 of 9 cycles are kept\n"),
    ],
)
def test_each_ending_has_its_code_and_one_line(
    problem: BaseException, code: int, told: str, capsys: pytest.CaptureFixture[str]
) -> None:
    @exit_on_input_error
    def command() -> None:
        raise problem

    with pytest.raises(typer.Exit) as ending:
        command()
    assert ending.value.exit_code == code
    shown = capsys.readouterr()
    assert shown.out == "" and shown.err.startswith(told) and shown.err.count("\n") == 1


def test_a_reader_that_went_away_is_not_worth_a_line(capsys: pytest.CaptureFixture[str]) -> None:
    assert _endings.end(BrokenPipeError(errno.EPIPE, "Broken pipe")) == 141
    assert capsys.readouterr().err == ""


def test_what_ends_the_program_outside_of_a_command_is_told_too(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def fail(**_: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr("dryermodel.cli.app", fail)
    with pytest.raises(SystemExit) as ending:
        main()
    assert ending.value.code == 1
    assert "the output cannot be written" in capsys.readouterr().err


def test_a_sweep_on_a_full_disk_keeps_what_is_finished(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    calls = []

    def sync(handle: int) -> None:
        calls.append(handle)
        if len(calls) > 2:  # the first line and one block found room
            raise OSError(errno.ENOSPC, "No space left on device")

    out, arguments = tmp_path / "a.csv", ["sweep", "standard", "--vary", "load.dry_mass=8:9 lb:1500"]
    monkeypatch.setattr("dryermodel.studies.sweep.part_file.os.fsync", sync)
    full = CliRunner().invoke(app, [*arguments, "--out", str(out)])
    assert (full.exit_code, full.stdout) == (1, "")
    assert "cannot be written: No space left on device; what is finished is kept" in full.stderr
    assert full.stderr.count("\n") == 1
    assert [file.name for file in tmp_path.iterdir()] == ["a.csv.part"]
    monkeypatch.undo()
    done = CliRunner().invoke(app, [*arguments, "--out", str(out)])
    assert done.exit_code == 0 and out.read_bytes().count(b"\n") == 1501


PRINTING = [["faults"], ["--help"], [], ["scenario", "show", "standard", "--json"], ["simulate", "--help"]]


@pytest.mark.parametrize("arguments", PRINTING)
def test_a_closed_pipe_ends_quietly(arguments: list[str]) -> None:
    read_end, write_end = os.pipe()
    os.close(read_end)
    done = subprocess.run(
        [*RUN, *arguments], stdout=write_end, stderr=subprocess.PIPE, text=True, check=False
    )
    os.close(write_end)
    assert (done.returncode, done.stderr) == (141, "")


if FULL.exists():  # a device that is always full; only some systems have it

    @pytest.mark.parametrize("arguments", PRINTING)
    def test_a_full_disk_is_told_in_one_line(arguments: list[str]) -> None:
        with FULL.open("w") as output:
            done = subprocess.run(
                [*RUN, *arguments], stdout=output, stderr=subprocess.PIPE, text=True, check=False
            )
        assert done.returncode == 1
        assert (
            done.stderr.startswith("error: the output cannot be written: ") and done.stderr.count("\n") == 1
        )


if POSIX:  # a limit on the size of files, which Windows has not
    # The engine is loaded before the limit holds: the output is to find no room, not its machine code.
    WITHOUT_ROOM = """
import resource
from dryermodel.cli import main
from dryermodel.cycle.run.many import prepare, prepare_many
prepare()
prepare_many()
resource.setrlimit(resource.RLIMIT_FSIZE, (2000, 2000))
main()
"""

    @pytest.mark.parametrize(
        "arguments",
        [
            ["simulate", "standard", "--csv", "a.csv"],
            ["simulate", "standard", "--plot", "a.svg"],
            ["scenario", "new", "a.toml"],
        ],
    )
    def test_a_file_that_finds_no_room_is_not_left_behind(arguments: list[str], tmp_path: Path) -> None:
        done = subprocess.run(
            [sys.executable, "-c", WITHOUT_ROOM, *arguments],
            cwd=tmp_path,
            capture_output=True,
            text=True,
            check=False,
            env=ENVIRONMENT,
        )
        assert (done.returncode, done.stdout) == (1, "")
        assert done.stderr.startswith("error: a.") and "cannot be written" in done.stderr
        assert done.stderr.count("\n") == 1
        assert list(tmp_path.iterdir()) == []

    def hears_the_interrupt() -> None:
        # A shell's background job is started deaf to it, and what it starts inherits that.
        signal.signal(signal.SIGINT, signal.SIG_DFL)

    def stopped(arguments: list[str], when: Callable[[], bool], where: Path) -> tuple[int, str, str]:
        running = subprocess.Popen(
            [*RUN, *arguments],
            cwd=where,
            env=ENVIRONMENT,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
            preexec_fn=hears_the_interrupt,
        )
        try:
            while not when() and running.poll() is None:
                time.sleep(0.05)
            running.send_signal(signal.SIGINT)
            out, err = running.communicate(timeout=300.0)
        finally:
            running.kill()
        return running.returncode, out, err

    def test_a_stopped_sweep_says_how_to_go_on_and_does(tmp_path: Path) -> None:
        vary = "load.dry_mass=4:9 lb:100000"
        arguments = ["sweep", "standard", "--vary", vary, "--out", "a.csv", "--yes"]
        part = tmp_path / "a.csv.part"
        size = record_type(plan_sweep(load_scenario("standard"), [vary])).itemsize

        def kept() -> int:
            return len(part.read_bytes().partition(b"\n")[2]) // size if part.exists() else 0

        code, out, err = stopped(arguments, lambda: kept() > 0, tmp_path)
        assert (code, out) == (130, "")
        cycles = f"stopped: {kept():,} of 100,000 cycles are kept in 'a.csv.part'"
        assert err == f"{cycles}; the same command goes on from there\n"
        before, done = part.read_bytes(), kept()
        stopped(arguments, lambda: kept() > done, tmp_path)
        assert part.read_bytes().startswith(before)


def test_matrices_take_one_core_unless_somebody_says_otherwise(monkeypatch: pytest.MonkeyPatch) -> None:
    """The cores are the engine's; what a person has set is left."""
    monkeypatch.setattr(sys, "argv", ["dryermodel", "--version"])
    monkeypatch.setenv("MKL_NUM_THREADS", "3")
    monkeypatch.setenv("OPENBLAS_NUM_THREADS", "4")  # so that it is put back as it was
    monkeypatch.delenv("OPENBLAS_NUM_THREADS")
    monkeypatch.setenv("VECLIB_MAXIMUM_THREADS", "1")
    with pytest.raises(SystemExit):
        main()
    assert (os.environ["OPENBLAS_NUM_THREADS"], os.environ["MKL_NUM_THREADS"]) == ("1", "3")
