"""``simulate``: what is asked for is seen to first, and a refusal leaves nothing behind."""

from __future__ import annotations

from pathlib import Path

import pytest
from typer.testing import CliRunner

from dryermodel.cli import app


def run(*arguments: str) -> tuple[int, str, str]:
    done = CliRunner().invoke(app, ["simulate", *arguments])
    assert done.exception is None or isinstance(done.exception, SystemExit), done.exception
    return done.exit_code, done.stdout, done.stderr


REFUSED = [
    (["standard", "--csv", "a.csv", "--plot", "nodir/x.png"], "nodir/x.png: there is no directory 'nodir'"),
    (["standard", "--plot", "a.png", "--csv", "nodir/x.csv"], "nodir/x.csv: there is no directory 'nodir'"),
    (["standard", "--csv", "a.csv", "--plot", "x.bmp"], "a picture's name ends in .png"),
    (["standard", "--plot", "a.png", "--csv", "x.txt"], "a table's name ends in .csv, not '.txt'"),
    (["standard", "--plot", "a" * 300 + ".png"], "cannot be written"),
    (["standard", "--stop-at-moisture", "80 %"], "must be below load.initial_moisture (57.5 %)"),
    (
        ["standard", "--stop-at-moisture", "4"],
        "error: --stop-at-moisture: is '4', outside the allowed 0 % to 200 %, or 'none' (for 4 percent",
    ),
    (["standard", "--stop-at-moisture", "4 ft"], "error: --stop-at-moisture: is a fraction"),
    (["standard", "--set", "controls.stop_at_moisture=80 %"], "error: --set: controls.stop_at_moisture: "),
    (["standard", "--seed", "3"], "--seed: is for the draws of --samples"),
    (["standard.csv"], "no scenario file 'standard.csv' (did you mean standard"),
    (["a\nb"], "no scenario file 'a b'"),
    (["a" * 300], "no scenario file"),
    (["standard", "--set", "vent.len\ngth=3 ft"], "vent.len gth: unknown key (did you mean vent.length?)"),
]


@pytest.mark.parametrize(("arguments", "told"), REFUSED)
def test_refused_in_one_line_with_nothing_written(
    arguments: list[str], told: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    code, out, err = run(*arguments)
    assert (code, out) == (2, "")
    assert err.startswith("error: ") and err.count("\n") == 1
    assert told in err
    assert list(tmp_path.iterdir()) == []


def test_table_and_picture_in_one_go(tmp_path: Path) -> None:
    table, picture = tmp_path / "a.csv", tmp_path / "a.png"
    code, out, _ = run("standard", "--csv", str(table), "--plot", str(picture))
    assert code == 0 and "cycle time" in out
    assert table.read_bytes().count(b"\n") > 10
    assert picture.read_bytes().startswith(b"\x89PNG")


def test_help_says_what_si_does_to_json() -> None:
    told = " ".join(run("--help")[1].replace("|", " ").split())
    assert "--json keys always carry their unit in the name" in told
