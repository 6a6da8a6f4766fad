"""The commands of README and of the page of all commands are run, and each does what stands beside it."""

from __future__ import annotations

import re
import shlex
import shutil
import tomllib
from itertools import pairwise
from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

from dryermodel.cli import app

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")
SET_UP = re.findall(r"^    (python3 -m venv .*)$", README, re.M)
ALL = README + (ROOT / "docs" / "commands.md").read_text(encoding="utf-8")
LINES = dict.fromkeys(re.sub(r" +#.*", "", line) for line in re.findall(r"^    (dryermodel\b.*)$", ALL, re.M))
COMMANDS = [shlex.split(line) for line in LINES]
(SNIPPET,) = re.findall(r"```python\n(.*?)```", README, re.S)
MADE = {"--plot", "--csv", "--out", "new"}  # what is followed by the name of a file that the command makes


def run(command: list[str]) -> Result:
    done = CliRunner().invoke(app, command[1:])
    assert done.exit_code == 0, done.output
    return done


def made_by(command: list[str]) -> set[str]:
    return {name for what, name in pairwise(command) if what in MADE}


def test_it_is_short_enough_to_read_standing() -> None:
    assert len(README.splitlines()) < 80 and len(README.split()) < 900


def test_two_commands_do_all_the_set_up() -> None:
    first, second = SET_UP
    assert "dryermodel simulate" in first
    assert "pytest" in second


def test_ci_runs_the_readme_commands() -> None:
    steps = (ROOT / ".ci" / "run").read_text(encoding="utf-8").splitlines()
    assert all(f"  {command}" in steps for command in SET_UP)
    assert SET_UP[1] in (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")


def test_the_first_command_ends_in_what_it_promises(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    command = shlex.split(SET_UP[0].rsplit("&& .venv/bin/", 1)[1])
    assert "cycle time" in run(command).stdout
    assert {p.name for p in tmp_path.iterdir()} == made_by(command) != set()


@pytest.mark.parametrize("command", COMMANDS, ids=lambda command: " ".join(command))
def test_every_command_runs_and_makes_the_files_it_names(
    command: list[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    for word in command:
        if (ROOT / word).is_file():
            (tmp_path / word).parent.mkdir(parents=True, exist_ok=True)
            shutil.copy(ROOT / word, tmp_path / word)
    if "mine.toml" in command and "new" not in command:
        run(["dryermodel", "scenario", "new", "mine.toml"])
    assert run(command).stdout
    for name in made_by(command):
        assert (tmp_path / name).stat().st_size > 0


def test_the_commands_are_those_of_the_program() -> None:
    assert {command[1] for command in COMMANDS if command[1:]} == {
        *(part.name for part in app.registered_commands),
        *(part.name for part in app.registered_groups),
    }
    scripts = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]["scripts"]
    assert {command[0] for command in COMMANDS} == set(scripts)


def test_its_python_runs_and_has_the_columns_it_names(capsys: pytest.CaptureFixture[str]) -> None:
    names: dict[str, object] = {}
    exec(compile(SNIPPET, "README.md", "exec"), names)
    *end, minutes, trips = capsys.readouterr().out.split()
    assert end and float(minutes) > 1 and int(trips) >= 0
    told = re.findall(r"\w+_(?:degF|percent)", SNIPPET)
    assert told and set(told) <= set(getattr(names["table"], "columns", ()))


def test_pictures_and_pages_it_points_to_exist() -> None:
    for target in re.findall(r"\]\(([^)#]+)\)", README):
        if "://" not in target:
            assert (ROOT / target).exists(), target
