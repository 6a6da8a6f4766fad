"""The visit commands: new, check and sheet."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from typer.testing import CliRunner

from dryermodel.cli.visit import app
from dryermodel.field.measurements import measurements
from dryermodel.field.observations import observations
from dryermodel.field.safety import DANGERS
from dryermodel.field.visit import load_visit
from dryermodel.show.text.visit import LINES, WIDTH, sheet

runner = CliRunner()


def run(*arguments: str) -> tuple[int, str, str]:
    done = runner.invoke(app, list(arguments))
    return done.exit_code, done.stdout, done.stderr


# The sheet ------------------------------------------------------------------------------------------


@pytest.mark.parametrize("title", ["", "Healthy standard machine with the test load", "x" * 500])
def test_the_sheet_fits_a_letter_page_and_any_printer(title: str) -> None:
    lines = sheet(title)
    assert len(lines) <= LINES == 60  # 6 to the inch, ten inches of eleven
    assert max(map(len, lines)) <= WIDTH == 77  # 10 to the inch, 7.7 inches of eight and a half
    assert "".join(lines).isascii()


def test_the_sheet_of_an_electric_machine_has_no_gas() -> None:
    code, out, _ = run("sheet", "--scenario", "electric")
    assert code == 0 and len(out.splitlines()) < len(sheet()) and "smell of gas" in out
    assert not [name for name in ("gas input", "manifold", "igniter", "venturi") if name in out]


def test_the_sheet_has_a_blank_for_everything() -> None:
    text = "\n".join(sheet())
    assert all(f"__ {name}" in text for name in observations())
    assert all(f"{name} __" in text or f"{name}: dial __" in text for name in measurements())
    assert all(f"{danger.name} __" in text for danger in DANGERS)


def test_safety_stands_above_everything_else_and_opening_last() -> None:
    text = " ".join(sheet())
    places = [
        text.index(words) for words in ("smell of gas", "everybody out", "Unplug before opening", "-- ")
    ]
    assert places == sorted(places)
    titles = [line for line in sheet() if line.startswith("-- ")]
    assert "nothing opened" in titles[0] and "Unplugged, gas cock shut" in titles[-1]


def test_sheet_printed_or_written(tmp_path: Path) -> None:
    code, out, err = run("sheet", "--scenario", "long_vent")
    assert (code, err) == (0, "") and out.startswith("VISIT SHEET  machine ")
    assert out.splitlines()[0] != run("sheet")[1].splitlines()[0]
    path = tmp_path / "sheet.txt"
    assert run("sheet", "-o", str(path), "--scenario", "long_vent") == (0, f"wrote {path.as_posix()}\n", "")
    assert path.read_text(encoding="utf-8") == out


# New and check --------------------------------------------------------------------------------------


@pytest.mark.parametrize("option", [[], ["-o"]])
def test_new_writes_a_file_that_checks_and_replaces_none(tmp_path: Path, option: list[str]) -> None:
    path = tmp_path / "visit.toml"
    made = run("new", *option, str(path), "--complaint", "takes two hours", "--scenario", "long_vent")
    assert made == (0, f"wrote {path.as_posix()}\n", "")
    before = path.read_bytes()
    code, out, err = run("check", str(path))
    assert (code, err) == (0, "") and "complaint: takes two hours" in out and "nothing measured" in out
    code, _, err = run("new", *option, str(path))
    assert code == 2 and "already exists" in err and path.read_bytes() == before


def test_new_for_an_electric_machine_asks_for_no_gas(tmp_path: Path) -> None:
    path = tmp_path / "visit.toml"
    assert run("new", str(path), "--scenario", "electric")[0] == 0
    text = path.read_text(encoding="utf-8")
    assert "thermostat open cold" in text and "gas input" not in text and '"igniter' not in text


@pytest.mark.parametrize("arguments", [[], ["a.toml", "-o", "b.toml"], ["a.txt"], ["no/such/folder/a.toml"]])
def test_new_needs_one_file_it_can_make(
    arguments: list[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    code, out, err = run("new", *arguments)
    assert (code, out) == (2, "") and err.startswith("error: ") and err.count("\n") == 1
    assert list(tmp_path.iterdir()) == []


def test_check_tells_what_was_understood(tmp_path: Path) -> None:
    path = tmp_path / "visit.toml"
    path.write_text(
        '[seen]\nflame = true\n"drum turning" = "yes"\n"flap stuck" = "no"\n'
        '[[measurement]]\nname = "static"\nvalue = "281 Pa"\nstate = "running empty"\n',
        encoding="utf-8",
    )
    code, out, err = run("check", str(path))
    assert (code, err) == (0, "")
    (row,) = [line for line in out.splitlines() if line.startswith("vent static")]
    assert re.split("  +", row) == ["vent static", "1.13 in w.c.", "+- 0.03 in w.c.", "running empty"]
    assert "yes: flame seen, drum turns\nno: flap stuck\n" in out and out.endswith("fine\n")


def test_check_tells_work_and_what_came_of_it(tmp_path: Path) -> None:
    path = tmp_path / "visit.toml"
    path.write_text(
        '[safety]\n"limit trips" = true\n[[work]]\ndate = 2026-03-11\ndid = "cleared"\n'
        'fault = "vent_blockage"\n[[after]]\nname = "static"\nvalue = "0.4 in w.c."\n',
        encoding="utf-8",
    )
    code, out, _ = run("check", str(path))
    assert code == 0
    assert "never bypass it" in out.splitlines()[1]  # before anything else
    assert "done: 2026-03-11, cleared, vent_blockage" in out
    assert out.index("afterwards") < out.index("0.4 in w.c.")


def test_check_tells_all_that_is_wrong_at_once(tmp_path: Path) -> None:
    path = tmp_path / "visit.toml"
    path.write_text(
        'logs = ["gone.csv"]\n[seen]\nflame = false\n[[measurement]]\nname = "static"\nvalue = "5 in w.c."\n'
        '[[measurement]]\nname = "burner cycles"\nvalue = 5\n',
        encoding="utf-8",
    )
    code, out, err = run("check", str(path))
    assert (code, out) == (2, "")
    assert [line.split(": ")[1] for line in err.splitlines()] == [
        f"{path.as_posix()}, line {line}" for line in (6, 9, 1)
    ]
    assert all(line.startswith("error: ") for line in err.splitlines())


def test_check_tells_every_slip_of_a_file_that_cannot_be_read(tmp_path: Path) -> None:
    path = tmp_path / "visit.toml"
    path.write_text(
        '[seen]\nflam = true\n[[measurement]]\nname = "statik"\nvalue = "5 Pa"\n', encoding="utf-8"
    )
    code, out, err = run("check", str(path))
    assert (code, out) == (2, "") and [line[:7] for line in err.splitlines()] == ["error: "] * 2
    assert "flame seen" in err.splitlines()[0] and "vent static" in err.splitlines()[1]


def test_check_tells_answers_afterwards(tmp_path: Path) -> None:
    path = tmp_path / "visit.toml"
    path.write_text('[[after]]\nname = "weak air at the hood"\nvalue = false\n', encoding="utf-8")
    code, out, _ = run("check", str(path))
    assert code == 0 and "afterwards\nno: weak air at the hood\n" in out


def test_check_tells_what_is_understood_of_the_complaint(tmp_path: Path) -> None:
    assert "  understood as: takes too long, clothes too hot" in run("check", "slow_towels")[1]
    path = tmp_path / "visit.toml"
    path.write_text('complaint = "sqeaks terribly"\n', encoding="utf-8")
    assert "the nearest known is 'noisy drum'" in " ".join(run("check", str(path))[1].split())


def test_check_as_data_is_what_a_diagnosis_would_stand_on() -> None:
    code, out, err = run("check", "vent_cleared", "--json")
    found = json.loads(out)
    assert (code, err) == (0, "") and found["understood_as"] == ["takes too long", "clothes too hot"]
    visit = load_visit("vent_cleared")
    for told, known in ((found, visit.evidence()), (found["after"], visit.evidence_after())):
        assert [(m["measurement"], m["value_SI"], m["accuracy_SI"]) for m in told["measured"]] == [
            (m.name, pytest.approx(m.value, rel=1e-6), pytest.approx(m.accuracy, rel=1e-6))
            for m in known.measured
        ]
        assert [(s["observation"], s["yes"]) for s in told["seen"]] == [(s.name, s.yes) for s in known.seen]
    assert found["scenario_hash"] == visit.scenario.hash and found["work"][0]["fault"] == "vent_blockage"
    assert {m["unit_SI"] for m in found["measured"] if m["measurement"] == "vent static"} == {"Pa"}


@pytest.mark.parametrize("text", ["flame = 1", "[seen]\nflam = true", "\x00"])
def test_check_of_a_broken_file_is_one_line(tmp_path: Path, text: str) -> None:
    path = tmp_path / "visit.toml"
    path.write_text(text, encoding="utf-8")
    code, out, err = run("check", str(path))
    assert (code, out) == (2, "") and err.count("\n") == 1
