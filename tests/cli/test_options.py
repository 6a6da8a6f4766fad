"""Options that several commands share: spelt once, with one meaning and one default."""

from __future__ import annotations

from pathlib import Path

import pytest
import typer
from typer.testing import CliRunner

from dryermodel.cli import app
from dryermodel.cli._options import BANK, FRESH
from dryermodel.inference.bank import SIZE
from dryermodel.inference.posterior import FRESH as MOST_FRESH

COMMANDS = {
    "--measured": ("diagnose", "calibrate"),
    "--bank": ("diagnose", "report"),
    "--fresh": ("diagnose", "report"),
    "--seed": ("diagnose", "report", "calibrate"),
    "--set": ("diagnose", "calibrate"),
}


def option(command: str, name: str) -> tuple[object, ...]:
    commands = typer.main.get_command(app).commands  # type: ignore[attr-defined]
    (found,) = [p for p in commands[command].params if name in p.opts]
    return found.opts, found.metavar, found.help, found.default


@pytest.mark.parametrize("name", COMMANDS)
def test_an_option_of_several_commands_is_the_same_in_each(name: str) -> None:
    first, *others = (option(command, name) for command in COMMANDS[name])
    assert all(other == first for other in others)


def test_usual_numbers_of_machines_are_those_of_the_inference() -> None:
    assert (BANK, FRESH) == (SIZE, MOST_FRESH)


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["diagnose", "standard", "--bank", "499"], "--bank: is 499, allowed 500 to 1000000"),
        (["report", "vent_cleared", "-o", "x.html", "--fresh", "-1"], "--fresh: is -1, allowed 0"),
        (["calibrate", "standard", "--seed", "-1"], "--seed: is -1, allowed 0 and above"),
        (["diagnose", "standard", "--have", "sieve"], "'sieve': no test needs that; tools: anemometer,"),
        (["diagnose", "standard", "--measured", "gas clocking=60 s"], "'gas input=1/2 ft3 in 82 s'"),
        (["diagnose", "standard", "--measured", "static=0.9 inh2"], "did you mean in w.c."),
        (
            ["visit", "new", "x.toml", "--scenario", "standrad"],
            "error: --scenario: no scenario file 'standrad'",
        ),
        (["trace", "."], "error: .: is a folder; name the log in it: a.csv, b.txt"),
    ],
)
def test_what_cannot_be_is_told_in_one_line(
    words: list[str], told: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    for name in ("a.csv", "b.txt", "c.toml"):
        (tmp_path / name).touch()
    done = CliRunner().invoke(app, words)
    assert (done.exit_code, done.stdout) == (2, "") and told in done.stderr and done.stderr.count("\n") == 1
