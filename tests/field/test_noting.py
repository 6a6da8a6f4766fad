"""Measurements from a log in a visit file."""

from __future__ import annotations

from pathlib import Path

import pytest

from dryermodel.errors import InputError
from dryermodel.field.traces.noting import note
from dryermodel.field.traces.outcome import KINDS, Found
from dryermodel.field.visit import load_visit

VISIT = """\
# mine
scenario = "standard"

[[measurement]]
name = "cycle time"  # with a watch
value = "50 min"
"""

FOUND = (
    Found("cycle time", 2905.0, 0.5),
    Found("burner off late", 66.0, 0.3),
    Found("burner cycles", 8.0, 0.2),
    Found("cut-out temperature", 345.0, 1.2),
    Found("motor power early", 250.0, 2.9),
    Found("electricity used", 7.7e5, 8e3),
    Found("igniter current", 6.9, 0.1),
)


@pytest.fixture
def visit(tmp_path: Path) -> Path:
    path = tmp_path / "visit.toml"
    path.write_text(VISIT, encoding="utf-8")
    return path


def test_values_come_back_in_si_with_their_accuracy(visit: Path, tmp_path: Path) -> None:
    done = note(visit, tmp_path / "plug.csv", FOUND)
    assert done.added == tuple(f.name for f in FOUND[1:])
    assert done.there == ("cycle time",) and not done.refused
    measured = {m.item.name: m.item for m in load_visit(visit).measured}
    for f in FOUND[1:]:
        assert measured[f.name].value == pytest.approx(f.value, rel=1e-4)
        assert measured[f.name].accuracy == pytest.approx(f.accuracy, rel=0.05)
    assert measured["cycle time"].value == 3000.0


def test_the_rest_of_the_file_stays(visit: Path, tmp_path: Path) -> None:
    note(visit, tmp_path / "plug.csv", FOUND)
    text = visit.read_text(encoding="utf-8")
    assert all(line in text.splitlines() for line in VISIT.splitlines())
    assert load_visit(visit).file.logs == ("plug.csv",)
    assert 'note = "from plug.csv"' in text


def test_twice_is_as_once(visit: Path, tmp_path: Path) -> None:
    note(visit, tmp_path / "plug.csv", FOUND)
    once = visit.read_bytes()
    done = note(visit, tmp_path / "plug.csv", FOUND)
    assert visit.read_bytes() == once and not done.added


def test_what_cannot_be_is_left_out_and_told(visit: Path, tmp_path: Path) -> None:
    done = note(visit, tmp_path / "plug.csv", (Found("motor power late", 5.0e8, 1.0), FOUND[1]))
    assert done.added == ("burner off late",)
    assert done.refused[0].startswith("motor power late: ")


def test_a_visit_that_is_broken_stays_as_it_is(visit: Path, tmp_path: Path) -> None:
    visit.write_text("scenario = [", encoding="utf-8")
    with pytest.raises(InputError):
        note(visit, tmp_path / "plug.csv", FOUND)
    assert visit.read_text(encoding="utf-8") == "scenario = ["
    with pytest.raises(InputError, match="no such visit"):
        note(tmp_path / "none.toml", tmp_path / "plug.csv", FOUND)


def test_every_name_can_be_noted(visit: Path, tmp_path: Path) -> None:
    fitting = {
        "time": 60.0,
        "number": 5.0,
        "temperature": 330.0,
        "power": 240.0,
        "current": 3.0,
        "energy": 8e5,
    }
    found = tuple(Found(name, fitting[kind], 0.02 * fitting[kind]) for name, kind in KINDS.items())
    done = note(visit, tmp_path / "plug.csv", found)
    assert len(done.added) == len(KINDS) - 1
