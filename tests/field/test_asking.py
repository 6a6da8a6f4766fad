"""Answers put into a visit file one at a time: the rest of the file stays as it is."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dryermodel.errors import InputError
from dryermodel.field.asking import AWAY, QUANTITY, TEXT, YES_NO, Question, answered, put_answer, questions
from dryermodel.field.measurements import measurements
from dryermodel.field.observations import observations
from dryermodel.field.safety import DANGERS
from dryermodel.field.visit import load_visit, visit_of
from dryermodel.field.visit_text import Spot, spots, with_key, without_block

BY_NAME = {question.name: question for question in questions()}
MINE = """\
# my own words
complaint = "slow"  # said on the phone

[[measurement]]
name = "static"  # at the collar
value = "0.9 in w.c."  # screen clean
accuracy = "0.05 in w.c."

# answers
[seen]
flame = true  # blue
"""


@pytest.fixture
def mine(tmp_path: Path) -> Path:
    path = tmp_path / "visit.toml"
    path.write_text(MINE, encoding="utf-8")
    return path


def put(path: Path, name: str, answer: str) -> str:
    """Put an answer and return the text there is then."""
    put_answer(path, BY_NAME[name], answer)
    return path.read_text(encoding="utf-8")


def test_every_name_is_asked_for_once_and_safety_first() -> None:
    names = [question.name for question in questions()]
    assert len(names) == len(set(names))
    assert set(names) >= {*measurements(), *observations()}
    assert names[:3] == [danger.name for danger in DANGERS]
    assert {q.kind for q in questions()} == {TEXT, YES_NO, QUANTITY}
    cautions = {m.name: m.caution for m in measurements().values()}
    cautions |= {o.name: o.caution for o in observations().values()}
    assert all(BY_NAME[name].caution == caution for name, caution in cautions.items())


def test_only_what_the_tools_at_hand_can_tell() -> None:
    few = questions(["watch", "scale"])
    assert {"cycle time", "start weight", "drum turns", "complaint"} <= {q.name for q in few}
    assert not {"vent static", "igniter open", "gas input"} & {q.name for q in few}
    assert "gas input" in {q.name for q in questions(["watch", "gas meter"])}
    assert questions(["hand", "Watch", "scale"]) == few
    with pytest.raises(
        InputError, match=r"--have: 'manometre': no test needs that \(did you mean manometer,"
    ):
        questions(["manometre"])


@pytest.mark.parametrize(
    ("name", "answer", "before", "after"),
    [
        ("complaint", 'too "slow"', 'complaint = "slow"', 'complaint = "too \\"slow\\""'),
        ("vent static", "0.8 in w.c. +- 0.05 in w.c.", 'value = "0.9 in w.c."', 'value = "0.8 in w.c."'),
        ("flame seen", "NO", "flame = true", "flame = false"),
    ],
)
def test_an_answer_takes_the_place_of_the_one_before_and_no_comment_is_lost(
    mine: Path, name: str, answer: str, before: str, after: str
) -> None:
    assert before in MINE
    assert put(mine, name, answer) == MINE.replace(before, after)


def test_new_answers_leave_every_line_there_is(mine: Path) -> None:
    answers = {
        "smell of gas": "n", "scenario": "long_vent", "load": "towels", "room temperature": "70 degF",
        "drum turns": "y", "cycle time": "62 min", "limit trips": "no",
    }  # fmt: skip
    for name, answer in answers.items():
        put(mine, name, answer)
    text = mine.read_text(encoding="utf-8")
    rest = iter(text.splitlines())
    assert all(line in rest for line in MINE.splitlines()), "the old lines in their order"
    visit = load_visit(mine)
    for name, answer in answers.items():
        assert answered(visit, BY_NAME[name]) == {"n": "no", "y": "yes"}.get(answer, answer)
    assert text.count("[seen]") == text.count("[safety]") == text.count("[conditions]") == 1


def test_a_measurement_in_another_state_stands_beside_the_one_there_is(mine: Path) -> None:
    put(mine, "vent static", "0.7 in w.c. @ running empty")
    put(mine, "vent static", "0.75 in w.c. @ running empty")
    visit = load_visit(mine)
    assert answered(visit, BY_NAME["vent static"]) == (
        "0.9 in w.c. +- 0.05 in w.c.; 0.75 in w.c. @ running empty"
    )
    assert "static" not in put(mine, "vent static", AWAY)
    assert load_visit(mine).complaint == "slow"


def test_a_clocked_meter_and_a_plain_input_replace_each_other(tmp_path: Path) -> None:
    path = tmp_path / "visit.toml"
    for answer in ("1/2 ft3 in 82 s", "21000 Btu/h", "1/2 ft3 in 2 min 43 s, 2 turns"):
        put(path, "gas input", answer)
        visit = load_visit(path)
        assert [m.item.name for m in visit.measured] == ["gas input"]
        assert answered(visit, BY_NAME["gas input"]) == answer


def test_the_timers_advance_is_kept_for_each_interval(tmp_path: Path) -> None:
    path = tmp_path / "visit.toml"
    for answer in ("4 min from 20 to 40", "9 min, 40-60 min", "5 min from 20 min to 40 min"):
        put(path, "timer advance", answer)
    assert [m.item.number for m in load_visit(path).measured] == ["dial 20-40", "dial 40-60"]
    assert answered(load_visit(path), BY_NAME["timer advance"]) == (
        "5 min from 20 min to 40 min; 9 min from 40 min to 60 min"
    )


@pytest.mark.parametrize(
    ("name", "answer", "told"),
    [
        ("vent static", "0.9", "has no unit"),
        ("vent static", "5 in w.c.", "builds 1.45 in w.c."),
        ("vent static", "0.9 in w.c. @ upside down", "is taken in 'steady drying'"),
        ("vent static", "@ running empty", "a value is wanted"),
        ("timer advance", "4 min", 'needs from = "20 min"'),
        ("timer advance", "4 min from 21 to 40", "the dial is read at"),
        ("gas input", "1/2 ft3 in 2 s", "times the plate's"),
        ("gas input", "1/2 ft3 in 82 lb", "is a time"),
        ("scenario", "standrad", "did you mean standard"),
        ("drum turns", "perhaps", "answer yes or no"),
        ("room temperature", "20", "has no unit"),
        ("wettest pieces", "moist", "is not a fraction"),
    ],
)
def test_what_cannot_be_is_not_kept(mine: Path, name: str, answer: str, told: str) -> None:
    with pytest.raises(InputError) as problem:
        put_answer(mine, BY_NAME[name], answer)
    assert told in problem.value.message
    assert mine.read_text(encoding="utf-8") == MINE


def test_a_refused_first_answer_makes_no_file(tmp_path: Path) -> None:
    with pytest.raises(InputError):
        put_answer(tmp_path / "visit.toml", BY_NAME["vent static"], "0.9")
    assert list(tmp_path.iterdir()) == []


def test_a_contradiction_is_kept_and_told(mine: Path) -> None:
    visit, told = put_answer(mine, BY_NAME["flame returns"], "yes")
    assert told == []
    visit, told = put_answer(mine, BY_NAME["flame seen"], "no")
    assert [c.message for c in told] == ["'flame returns' is answered yes, but 'flame seen' no"]
    assert load_visit(mine).file == visit.file and len(visit.problems()) == 1
    assert put_answer(mine, BY_NAME["drum turns"], "yes")[1] == []  # an old one is not told again


def test_words_for_damp_pieces(tmp_path: Path) -> None:
    path = tmp_path / "visit.toml"
    put(path, "wettest pieces", "Damp")
    assert load_visit(path).evidence().measured[0].value == pytest.approx(0.15)


@pytest.mark.parametrize(
    ("text", "name", "answer"),
    [
        ('seen = {"flame seen" = true}\n', "drum turns", "yes"),
        ("complaint = '''\nslow\n'''\n", "complaint", "late"),
        ('measurement = [{name = "flow", value = "90 cfm"}]\n', "cycle time", "60 min"),
    ],
)
def test_a_file_of_unusual_form_is_told_what_is_usual_and_left(
    tmp_path: Path, text: str, name: str, answer: str
) -> None:
    path = tmp_path / "visit.toml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(InputError, match="nothing can be put into it as it is written"):
        put_answer(path, BY_NAME[name], answer)
    assert path.read_text(encoding="utf-8") == text


ANSWERS: dict[str, st.SearchStrategy[str]] = {
    TEXT: st.text(st.characters(exclude_categories=["Cs"]), min_size=1, max_size=20).filter(str.strip),
    YES_NO: st.sampled_from(["yes", "no"]),
    QUANTITY: st.just(""),
}


@settings(max_examples=40)
@given(
    st.lists(
        st.sampled_from([q for q in questions() if q.kind != QUANTITY and q.name != "scenario"]), max_size=6
    ),
    st.data(),
)
def test_any_order_of_answers_is_kept(asked: list[Question], data: st.DataObject) -> None:
    """In memory: the text that holds all answers so far is a visit, and the last of each is there."""
    from dryermodel.field.asking import with_answer

    text, path = MINE, Path("visit.toml")
    given_last: dict[str, tuple[Question, str]] = {}
    for question in asked:
        answer = data.draw(ANSWERS[question.kind])
        text = with_answer(text, path, question, answer)
        given_last[question.name] = (question, answer)
    visit = visit_of(text, path)
    for question, answer in given_last.values():
        if answer != AWAY:
            assert answered(visit, question) == answer


# The text itself ------------------------------------------------------------------------------------


def test_a_key_taken_out_takes_its_line_only() -> None:
    text = "a = 1\n[seen]\nx = true\ny = false\n"
    assert with_key(text, Spot("seen", 0, "x"), None) == "a = 1\n[seen]\ny = false\n"
    assert with_key(text, Spot("seen", 0, "z"), None) == text
    assert with_key(text, Spot("safety", 0, "z"), None) == text


@pytest.mark.parametrize(
    "text", ["", "# only a comment\n", "[seen]\n", "# head\n\n[seen]\n", "a = [\n  1,\n]\n[seen]\n", "a = 1"]
)
def test_a_key_above_all_sections_goes_above_them(text: str) -> None:
    import tomllib

    new = with_key(text, Spot("", 0, "complaint"), '"slow"')
    assert tomllib.loads(new)["complaint"] == "slow"
    assert [line for line in new.split("\n") if line != 'complaint = "slow"'] == text.split("\n")


def test_a_block_goes_with_its_keys_and_no_further() -> None:
    text = "[[after]]\na = 1\n# so\nb = 2\n\n# kept\n[[after]]\nc = 3\n"
    assert without_block(text, Spot("after", 0)) == "\n# kept\n[[after]]\nc = 3\n"
    assert without_block(text, Spot("after", 1)) == "[[after]]\na = 1\n# so\nb = 2\n\n# kept\n"
    assert without_block(text, Spot("after", 2)) == text


def test_spots_know_quotes_and_counts() -> None:
    text = '\'k 1\' = 1\n[[m]]\n"k\\"2" = 2\n[[m]] # x\nk3=3\n["s"]\n# k4 = 4\n'
    assert [spot for spot, _ in spots(text)] == [
        Spot("", 0, "k 1"), Spot("m", 0), Spot("m", 0, 'k"2'), Spot("m", 1), Spot("m", 1, "k3"), Spot("s"),
    ]  # fmt: skip
