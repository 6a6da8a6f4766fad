"""``dryermodel sensitivity``: table, JSON, picture and one-line errors."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
import typer
from typer.testing import CliRunner

from dryermodel.cli.sensitivity import sensitivity
from dryermodel.show.text.sensitivity import MEANING

app = typer.Typer()
app.command()(sensitivity)
runner = CliRunner()


def run(*arguments: object) -> tuple[int, str, str]:
    done = runner.invoke(app, [str(a) for a in arguments])
    assert done.exception is None or isinstance(done.exception, SystemExit), done.exception
    return done.exit_code, done.stdout, done.stderr


def test_table_is_sorted_by_the_whole_share_and_says_what_it_means() -> None:
    code, out, _ = run("standard", "--n", 64, "--outcome", "energy")
    assert code == 0
    lines = out.splitlines()
    assert lines[0].startswith("gas and electricity: from ")
    header = next(i for i, line in enumerate(lines) if line.startswith("what is not known "))
    rows = lines[header + 2 : lines.index("", header)]
    total = lines[header].index("in all")
    totals = [float(row[total:].split()[0]) for row in rows]
    assert len(rows) >= 12
    assert totals == sorted(totals, reverse=True)
    assert MEANING in out
    assert "seed 0" in lines[-1] and "scenario hash" in lines[-1]
    assert out.isascii()


def test_json_is_only_json_and_the_same_each_time() -> None:
    arguments = [
        "standard",
        "--n",
        64,
        "--vary",
        "load.dry_mass=5:12 lb",
        "--vary",
        "vent.elbows=0:6",
        "--json",
    ]
    first, again = run(*arguments), run(*arguments)
    assert first[1] == again[1]
    told = json.loads(first[1])
    assert list(told["outcomes"]) == ["cycle_time", "energy"]
    assert told["runs"] == 64 * 4
    assert [r["status"] for r in told["ranges"]] == ["given", "given"]
    assert told["outcomes"]["energy"][0]["key"] == "load.dry_mass"


def test_picture(tmp_path: Path) -> None:
    picture = tmp_path / "s.png"
    code, _, _ = run("standard", "--n", 64, "--vary", "load.dry_mass=5:12 lb", "--plot", picture)
    assert code == 0
    assert picture.read_bytes().startswith(b"\x89PNG")


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (["--n", 100], "power of two"),
        (["--n", 8], "outside the allowed 64"),
        (["--n", 65536], "cycles; take a smaller --n, or add --yes"),
        (["--outcome", "tme"], "no outcome 'tme'"),
        (["--vary", "machine.heat=a:b"], "is words"),
        (["--vary", "load.dry_mass=5 lb"], "low:high"),
        (["--vary", "load.dry_mass=5:500 lb"], "0.2 lb to 40 lb"),
        (["--plot", "s.bmp"], ".png"),
        (["--seed", -1], "--seed"),
    ],
)
def test_bad_input_is_one_line_and_code_2(
    arguments: list[object], told: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    code, out, err = run("standard", *arguments)
    assert (code, out) == (2, "")
    assert err.startswith("error: ") and err.count("\n") == 1
    assert told in err
    assert list(tmp_path.iterdir()) == []
