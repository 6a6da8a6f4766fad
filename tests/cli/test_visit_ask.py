"""Asking for a visit in the terminal: one question at a time, and nothing that was answered is lost."""

from __future__ import annotations

from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

from dryermodel.cli import app
from dryermodel.field.asking import questions
from dryermodel.field.visit import load_visit

NAMES = [question.name for question in questions()]
SAFE = ["no", "no", "no"]


@pytest.fixture
def path(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return tmp_path / "visit.toml"


def ask(*lines: str, arguments: tuple[str, ...] = ()) -> Result:
    """Type the lines and then end the input."""
    return CliRunner().invoke(app, ["visit", "ask", *arguments], input="".join(f"{line}\n" for line in lines))


def asked(result: Result) -> list[str]:
    """Return the names that were asked for, in order."""
    heads = [line for line in result.stdout.splitlines() if line[:1].isdigit() and "/" in line[:5]]
    return [line.partition(" ")[2].partition(":")[0] for line in heads]


def until(name: str) -> list[str]:
    """Return as many empty lines as it takes to come to a question."""
    return [""] * NAMES.index(name)


def test_enter_passes_over_and_nothing_is_written_for_it(path: Path) -> None:
    result = ask(*[""] * len(NAMES))
    assert result.exit_code == 0 and asked(result) == NAMES
    assert "nothing answered" in result.stdout and not path.exists()


def test_safety_stands_before_the_first_question(path: Path) -> None:
    out = ask().stdout
    assert out.index("Unplug before opening") < out.index("Does it smell of gas?")


def test_answers_are_in_the_file_and_a_second_sitting_goes_on(path: Path) -> None:
    first = ask(*SAFE, "takes two hours", "", "towels", "stop")
    assert first.exit_code == 0 and "dryermodel visit check visit.toml" in first.stdout
    visit = load_visit(path)
    assert (visit.complaint, visit.file.conditions.load) == ("takes two hours", "towels")
    second = ask("", "auto", "stop")
    assert "5 answered already" in second.stdout
    assert asked(second)[:2] == ["scenario", "controls"]
    assert load_visit(path).file.conditions.controls == "auto"


@pytest.mark.parametrize("name", ["smell of gas", "exhaust in the room"])
def test_a_danger_ends_the_questions_with_what_to_do_and_is_asked_again(path: Path, name: str) -> None:
    result = ask(*["no"] * NAMES.index(name), "yes", "takes two hours")
    assert result.exit_code == 0 and asked(result)[-1] == name
    assert {"smell of gas": "everybody out", "exhaust in the room": "carbon monoxide. Stop"}[
        name
    ] in result.stdout
    assert [d.name for d in load_visit(path).dangers] == [name]
    again = ask("no")
    assert asked(again)[0] == name and load_visit(path).dangers == ()


def test_a_tripping_limit_is_warned_of_and_the_questions_go_on(path: Path) -> None:
    result = ask("no", "no", "yes", "slow")
    assert "never bypass it" in result.stdout and load_visit(path).complaint == "slow"


def test_back_shows_the_answer_and_enter_keeps_it(path: Path) -> None:
    result = ask(*SAFE, "slow", "back", "", "", "stop")
    assert "now: slow (Enter keeps it)" in result.stdout
    assert asked(result)[3:] == ["complaint", "scenario", "complaint", "scenario", "load"]
    assert load_visit(path).complaint == "slow"


def test_back_changes_an_answer_or_takes_it_away(path: Path) -> None:
    ask(*SAFE, "slow", "back", "late", "", "towels", "back", "-", "stop")
    visit = load_visit(path)
    assert visit.complaint == "late" and visit.file.conditions.load == ""


def test_back_at_the_first_question_stays_there(path: Path) -> None:
    assert asked(ask("back", "back", "no"))[:4] == [NAMES[0]] * 3 + [NAMES[1]]


def test_next_goes_to_the_next_part_and_help_asks_again(path: Path) -> None:
    result = ask("next", "?", "next", "next")
    parts = [question.part for question in questions()]
    starts = [NAMES[parts.index(part)] for part in dict.fromkeys(parts)]
    assert asked(result) == [starts[0], starts[1], starts[1], starts[2], starts[3]]
    assert result.stdout.count("Enter passes over") == 2


def test_what_cannot_be_is_told_and_asked_again(path: Path) -> None:
    lines = [*until("vent static"), "0.9", "9 in w.c.", "0.9 in w.c. @ running empty", "stop"]
    result = ask(*lines)
    assert asked(result).count("vent static") == 3
    told = [line for line in result.stdout.splitlines() if line.startswith(("   no:", ">    no:", "> "))]
    assert any("has no unit" in line for line in told)
    assert "builds 1.45 in w.c." in result.stdout
    assert [m.item.number for m in load_visit(path).measured] == ["collar_static"]


def test_a_contradiction_is_told_at_once_and_kept(path: Path) -> None:
    result = ask(*until("flame seen"), "no", "yes", "stop")
    assert "BUT: 'flame returns' is answered yes, but 'flame seen' no. Both are kept" in result.stdout
    assert len(load_visit(path).problems()) == 1


def test_only_what_the_tools_can_tell(path: Path) -> None:
    result = ask(*[""] * len(NAMES), arguments=("--have", "watch, scale"))
    assert "cycle time" in asked(result) and "vent static" not in asked(result)
    bad = ask(arguments=("--have", "sieve"))
    assert bad.exit_code == 2 and "--have: 'sieve': no test needs that" in bad.stderr


def test_an_electric_machine_is_not_asked_for_gas(path: Path) -> None:
    result = ask(*SAFE, "", "electric", *[""] * len(NAMES))
    names = asked(result)
    assert "cycle time" in names and "thermostat open cold" in names
    assert not {"gas input", "igniter glows", "gas cock shut", "orifice wrong", "flame yellow"} & set(names)
    assert asked(ask(*[""] * len(NAMES)))[-len(names) + 5 :] == names[5:]  # nor at the next sitting


def test_cautions_stand_before_the_answer(path: Path) -> None:
    out = ask(*until("igniter open")).stdout
    assert "CAUTION: Unplug before measuring resistance." in out[out.rindex("igniter open:") :]


@pytest.mark.parametrize("answers", [0, 1, 5])
def test_ctrl_c_loses_nothing(path: Path, monkeypatch: pytest.MonkeyPatch, answers: int) -> None:
    typed = iter([*SAFE, "takes two hours", "long_vent"][:answers])

    def interrupted(prompt: str = "") -> str:
        try:
            return next(typed)
        except StopIteration:
            raise KeyboardInterrupt from None

    monkeypatch.setattr("builtins.input", interrupted)
    result = CliRunner().invoke(app, ["visit", "ask", "visit.toml"])
    assert result.exit_code == 130
    assert [p.name for p in path.parent.iterdir()] == (["visit.toml"] if answers else [])
    if answers:
        assert result.stderr == (
            "stopped: every answer is in visit.toml; 'dryermodel visit ask visit.toml' goes on from there\n"
        )
        visit = load_visit(path)
        assert (
            len(visit.file.safety) + bool(visit.complaint) + (visit.scenario.name == "long_vent") == answers
        )
    else:
        assert result.stderr == "stopped: nothing was answered yet\n"


def test_ctrl_c_while_writing_leaves_the_answers_before(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    ask(*SAFE, "slow", "stop")
    before = path.read_bytes()

    def interrupted(_: int) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("os.fsync", interrupted)
    result = ask("long_vent")
    assert result.exit_code == 130 and path.read_bytes() == before
    assert [p.name for p in path.parent.iterdir()] == ["visit.toml"]


def test_comments_of_a_file_written_by_hand_stay(path: Path) -> None:
    path.write_text(
        '# mine\ncomplaint = "slow"  # said twice\n\n[seen]  # today\nflame = true\n', encoding="utf-8"
    )
    old = path.read_text(encoding="utf-8").splitlines()
    ask(*SAFE, *[""] * 40, "stop")
    kept = iter(path.read_text(encoding="utf-8").splitlines())
    assert all(line in kept for line in old)


HOSTILE = ['"""', "'''", "[seen]", "x = 1 # y", "\\", '"', "\x1b[31m", "\N{SNOWMAN}" * 500, "{}", "="]


@pytest.mark.parametrize("words", HOSTILE)
def test_hostile_words_are_kept_as_they_are(path: Path, words: str) -> None:
    result = ask(*SAFE, words, "", words, "stop")
    assert result.exit_code == 0
    visit = load_visit(path)
    assert (visit.file.complaint, visit.file.conditions.load) == (words, words)


def test_bytes_of_a_terminal_that_are_no_text_are_told(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    typed = iter(["no\udcff", "no", "stop"])
    monkeypatch.setattr("builtins.input", lambda prompt="": next(typed))
    result = CliRunner().invoke(app, ["visit", "ask"])
    assert result.exit_code == 0 and "no: holds what is no text" in result.stdout
    assert load_visit(path).file.safety == {"smell of gas": False}


@pytest.mark.parametrize("name", ["visit.txt", "no/such/visit.toml"])
def test_a_file_that_cannot_be_is_told_before_the_first_question(path: Path, name: str) -> None:
    result = ask("no", arguments=(name,))
    assert result.exit_code == 2 and result.stdout == "" and result.stderr.count("\n") == 1


def test_a_broken_file_is_told_before_the_first_question(path: Path) -> None:
    path.write_text("complaint = slow", encoding="utf-8")
    result = ask("no")
    assert result.exit_code == 2 and "put the value in quotes" in result.stderr and result.stdout == ""
