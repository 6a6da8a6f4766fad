"""``simulate --samples``: spread by seed, as a table, as JSON and as a picture."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner

from dryermodel.cli import app

RUN = ["simulate", "standard", "--samples", "16"]


def test_table_says_what_was_drawn_and_from_which_seed() -> None:
    done = CliRunner().invoke(app, [*RUN, "--seed", "4"])
    assert done.exit_code == 0
    for words in ("cycle time", "16 samples, seed 4", "not known, and drawn: load.dry_mass", "percentiles"):
        assert words in done.stdout


def test_same_seed_same_bytes_other_seed_other_numbers() -> None:
    first, again, other = (
        CliRunner().invoke(app, [*RUN, "--json", "--seed", s]).stdout for s in ("1", "1", "2")
    )
    assert first == again != other
    assert json.loads(first)["samples"] == 16


def test_picture(tmp_path: Path) -> None:
    done = CliRunner().invoke(app, [*RUN, "--plot", str(tmp_path / "spread.png")])
    assert done.exit_code == 0
    assert (tmp_path / "spread.png").read_bytes().startswith(b"\x89PNG")


@pytest.mark.parametrize(
    ("options", "message"),
    [
        (["--csv", "a.csv"], "--csv: is for a single cycle"),
        (["--events"], "--events: is for a single cycle"),
        (["--plot", "a.bmp"], "a.bmp"),
    ],
)
def test_refusals(options: list[str], message: str) -> None:
    done = CliRunner().invoke(app, [*RUN, *options])
    assert done.exit_code == 2
    assert done.stdout == ""
    assert message in done.stderr
    assert done.stderr.count("\n") == 1


def test_too_few() -> None:
    done = CliRunner().invoke(app, ["simulate", "standard", "--samples", "3"])
    assert (done.exit_code, done.stdout) == (2, "")
    assert "8 to 5000" in done.stderr
