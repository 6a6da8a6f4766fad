"""The scenario commands: results on stdout, errors in one line on stderr, exit code 2."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
import typer
from typer.testing import CliRunner

from dryermodel.cli._run import exit_on_input_error
from dryermodel.cli.scenario import app
from dryermodel.errors import InputError
from dryermodel.scenario import load_scenario, shipped_scenarios
from dryermodel.scenario.schema import keys
from dryermodel.show.text.tables import plain_table, print_table

ROOT = Path(__file__).parents[2]
runner = CliRunner()


def run(*arguments: str) -> tuple[int, str, str]:
    done = runner.invoke(app, list(arguments))
    return done.exit_code, done.stdout, done.stderr


def test_list_names_every_shipped_scenario() -> None:
    code, out, err = run("list")
    assert (code, err) == (0, "")
    lines = out.splitlines()
    assert [line.split()[0] for line in lines[2:]] == shipped_scenarios()
    assert load_scenario("standard").title in out


def test_list_as_json() -> None:
    code, out, _ = run("list", "--json")
    assert code == 0
    assert [entry["name"] for entry in json.loads(out)] == shipped_scenarios()


def test_show_has_a_line_for_every_key_in_full() -> None:
    code, out, err = run("show", "standard")
    assert (code, err) == (0, "")
    first_words = [line.split()[0] for line in out.splitlines() if line.strip()]
    assert [word for word in first_words if word in keys()] == list(keys())
    row = next(line for line in out.splitlines() if line.startswith("vent.roughness"))
    assert "chart roughness of ASHRAE Fundamentals ch. 21; flexible and foil: usual values" in row
    assert out.isascii()


def test_show_with_si_and_a_setting() -> None:
    code, out, _ = run("show", "standard", "--si", "--set", "vent.length=35 ft")
    assert code == 0
    row = next(line for line in out.splitlines() if line.startswith("vent.length"))
    assert row.split() == ["vent.length", "35", "ft", "10.668", "m", "given", "--set"]


def test_show_as_json_is_only_json_and_complete() -> None:
    code, out, _ = run("show", "electric", "--json")
    data = json.loads(out)
    assert code == 0
    assert data["scenario_hash"] == load_scenario("electric").hash
    assert [row["key"] for row in data["values"]] == list(keys())
    heater = next(row for row in data["values"] if row["key"] == "machine.heat")
    assert (heater["si"], heater["origin"], heater["status"]) == (
        "electric",
        "scenarios/electric.toml",
        "given",
    )


def test_check_of_a_fine_file() -> None:
    code, out, err = run("check", "standard")
    assert (code, err) == (0, "")
    assert out.startswith("scenarios/standard.toml: fine")


def test_check_of_a_wrong_file(tmp_path: Path) -> None:
    path = tmp_path / "mine.toml"
    path.write_text("[vent]\nlength = '20 psi'\n", encoding="utf-8")
    code, out, err = run("check", str(path))
    assert (code, out) == (2, "")
    assert err == (
        f"error: {path.as_posix()}, line 2: vent.length: is a length, e.g. '20 ft'; '20 psi' is a pressure\n"
    )


@pytest.mark.parametrize(
    "arguments",
    [
        ["show", "no_such"],
        ["check", "no_such.toml"],
        ["show", "standard", "--set", "vent.lenght=2 ft"],
        ["show", "standard", "--json", "--set", "vent.length=2"],
    ],
)
def test_bad_input_is_one_line_on_stderr(arguments: list[str]) -> None:
    code, out, err = run(*arguments)
    assert (code, out) == (2, "")
    assert err.startswith("error: ")
    assert err.count("\n") == 1


def test_new_writes_a_file_that_checks(tmp_path: Path) -> None:
    path = tmp_path / "mine.toml"
    assert run("new", str(path)) == (0, f"wrote {path.as_posix()}\n", "")
    assert run("check", str(path))[0] == 0
    before = path.read_bytes()
    code, _, err = run("new", str(path))
    assert code == 2
    assert "already exists" in err
    assert path.read_bytes() == before


def test_same_command_gives_the_same_bytes() -> None:
    code = "from dryermodel.cli.scenario import app; app(['show', 'long_vent', '--json'])"
    outs = {
        subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, check=True).stdout
        for _ in range(2)
    }
    assert len(outs) == 1
    assert json.loads(outs.pop())["name"] == "long_vent"


def test_characters_of_an_error_stand_as_they_were_typed(capsys: pytest.CaptureFixture[str]) -> None:
    @exit_on_input_error
    def command() -> None:
        raise InputError("75 \N{DEGREE SIGN}X \x07 caf\N{LATIN SMALL LETTER E WITH ACUTE}", "mine.toml")

    with pytest.raises(typer.Exit) as problem:
        command()
    assert problem.value.exit_code == 2
    shown = "75 \N{DEGREE SIGN}X \\x07 caf\N{LATIN SMALL LETTER E WITH ACUTE}"  # a bell has no shape
    assert capsys.readouterr().err == f"error: mine.toml: {shown}\n"


@pytest.mark.parametrize(
    ("encoding", "shown"),
    [
        ("utf-8", "\N{DEGREE SIGN}\u4e7e"),
        ("cp1252", "\N{DEGREE SIGN}\\u4e7e"),
        ("gb18030", "\N{DEGREE SIGN}\u4e7e"),
    ],
)
def test_a_legacy_console_shows_an_escape_and_does_not_crash(encoding: str, shown: str) -> None:
    setting = "room.temperature=75 \N{DEGREE SIGN}\u4e7e"
    done = subprocess.run(
        [sys.executable, "-m", "dryermodel", "scenario", "check", "standard", "--set", setting],
        capture_output=True,
        check=False,
        env={**os.environ, "PYTHONIOENCODING": encoding},
    )
    assert (done.returncode, done.stdout) == (2, b"")
    assert done.stderr.decode(encoding).startswith("error: --set: room.temperature: unknown unit '" + shown)


@pytest.mark.parametrize(
    ("problem", "line"),
    [
        (OSError(36, "File name too long", "x\ny"), "error: x\\ny: File name too long\n"),
        (OSError("odd"), "error: odd\n"),
        (RecursionError("deep"), "error: the input is nested too deep\n"),
        (
            UnicodeEncodeError("cp1252", "\u4e7e", 0, 1, "no such character"),
            "error: text that cannot be read or printed here: 'cp1252' codec can't encode character "
            "'\\u4e7e' in position 0: no such character\n",
        ),
    ],
)
def test_what_the_system_refuses_is_one_line(
    problem: Exception, line: str, capsys: pytest.CaptureFixture[str]
) -> None:
    @exit_on_input_error
    def command() -> None:
        raise problem

    with pytest.raises(typer.Exit) as ended:
        command()
    assert ended.value.exit_code == 2
    assert capsys.readouterr().err == line


@pytest.mark.parametrize("problem", [AssertionError(), ZeroDivisionError()])
def test_a_mistake_of_the_program_goes_through(problem: Exception) -> None:
    @exit_on_input_error
    def command() -> None:
        raise problem

    with pytest.raises(type(problem)):
        command()


def test_a_title_the_console_cannot_print_is_escaped(tmp_path: Path) -> None:
    path = tmp_path / "mine.toml"
    path.write_text('[scenario]\ntitle = "\u4e7e\u71e5"\n', encoding="utf-8")
    done = subprocess.run(
        [sys.executable, "-m", "dryermodel", "scenario", "show", str(path)],
        cwd=ROOT, env={**os.environ, "PYTHONIOENCODING": "cp1252"}, capture_output=True, check=False,
    )  # fmt: skip
    assert (done.returncode, done.stderr) == (0, b"")
    assert done.stdout.splitlines()[0] == b"mine: \\u4e7e\\u71e5"


def test_new_with_a_name_that_is_too_long(tmp_path: Path) -> None:
    code, out, err = run("new", str(tmp_path / ("a" * 300 + ".toml")))
    assert (code, out) == (2, "")
    assert err.startswith("error: ") and "cannot be written" in err and err.count("\n") == 1
    assert list(tmp_path.iterdir()) == []


def test_decorator_keeps_name_and_result() -> None:
    @exit_on_input_error
    def add(a: int, b: int) -> int:
        """Add."""
        return a + b

    assert (add(2, 3), add.__name__, add.__doc__) == (5, "add", "Add.")


def test_plain_table_is_aligned_and_has_no_trailing_spaces() -> None:
    lines = plain_table(["a", "bb"], [["long cell", "1"], ["x", ""]]).splitlines()
    assert lines == ["a          bb", "---------  --", "long cell  1", "x"]


def test_terminal_table_keeps_brackets_and_is_ascii(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("sys.stdout.isatty", lambda: True, raising=False)
    monkeypatch.setenv("COLUMNS", "80")
    print_table(["key"], [["[vent] length"]])
    out = capsys.readouterr().out
    assert "[vent] length" in out
    assert out.isascii()


def test_importing_the_commands_is_light() -> None:
    code = (
        "import sys, dryermodel.cli.scenario; "
        "print(*sorted({'pint', 'pydantic', 'numpy', 'scipy', 'pandas', 'numba'} & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)
    assert done.stdout.strip() == ""
