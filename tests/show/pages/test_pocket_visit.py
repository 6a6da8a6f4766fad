"""Visit files in the page: written and read as the command line does."""

from __future__ import annotations

import random
import tomllib
from pathlib import Path

import pytest

from dryermodel.field.visit import find_visit, shipped_visits, visit_of
from dryermodel.field.visit_file import VisitFile
from dryermodel.field.visit_write import to_toml
from tests.cycle.node import needs_node
from tests.show.pages.pocket_node import in_page

SCRIPTS = ("core", "moves", "toml")
_BOTH_WAYS = "const answer = given.question.map((text) => toml.write(toml.read(text)));"
_READ = """
const answer = given.question.map((text) => {
  try { return { read: toml.read(text) }; } catch (error) { return { problem: error.message }; }
});
"""

HOSTILE = "</script><script>alert(1)</script> \" ' \\ \t \x7f \u2028 &amp; [[work]] # x"


@needs_node
def test_shipped_visits_come_back_as_they_were() -> None:
    texts = [find_visit(name).read_text(encoding="utf-8") for name in shipped_visits()]
    for text, told in zip(texts, in_page(_BOTH_WAYS, texts, SCRIPTS), strict=True):
        assert tomllib.loads(told) == tomllib.loads(text)
        assert in_page(_BOTH_WAYS, [told], SCRIPTS) == [told]


@needs_node
def test_the_command_line_reads_what_the_page_wrote() -> None:
    """Text that could end a quote, a line or an element comes through as it is."""
    raw = {
        "complaint": HOSTILE,
        "seen": {"flame seen": False},
        "conditions": {"room_temperature": "67 degF", "notes": HOSTILE},
        "measurement": ({"name": "vent static", "value": "0.9 in w.c.", "note": HOSTILE},),
        "work": ({"did": HOSTILE},),
    }
    file = VisitFile.model_validate(raw)
    told = in_page(_BOTH_WAYS, [to_toml(file)], SCRIPTS)[0]
    assert told == to_toml(file)
    visit = visit_of(told, Path("page.toml"))
    assert visit.file == file
    assert [m.name for m in visit.evidence().measured] == ["room temperature", "vent static"]


def drawn_texts(count: int, seed: int) -> list[str]:
    """Texts of letters that could mean something, and of any others."""
    draw = random.Random(seed)
    telling = "\"'\\#[]=\n\t\x00\x1f\x7f\u2028</>&, ab"
    letters = [*telling, *(chr(draw.randrange(0xA0, 0xD7FF)) for _ in range(20)), "\U0001f525"]
    return ["".join(draw.choices(letters, k=draw.randrange(25))) for _ in range(count)]


@needs_node
def test_any_text_comes_through() -> None:
    raw = [{"complaint": text, "conditions": {"notes": text}} for text in drawn_texts(300, seed=5)]
    files = [to_toml(VisitFile.model_validate(one)) for one in raw]
    for one, told in zip(files, in_page(_BOTH_WAYS, files, SCRIPTS), strict=True):
        assert tomllib.loads(told) == tomllib.loads(one)


@needs_node
def test_files_as_people_write_them() -> None:
    text = """\
# by hand
scenario = 'standard' # the machine
date = 2026-03-16
set = ["load.dry_mass=9 lb",
  'vent.elbows=3', # three
]
[seen]
"flame seen" = "yes"
drum-turns = true
[[measurement]]
name = "burner cycles"
value = 1_0.5
"""
    told = in_page(_READ, [text], SCRIPTS)[0]["read"]
    assert told == {
        "scenario": "standard", "date": "2026-03-16", "set": ["load.dry_mass=9 lb", "vent.elbows=3"],
        "seen": {"flame seen": "yes", "drum-turns": True},
        "measurement": [{"name": "burner cycles", "value": 10.5}],
    }  # fmt: skip


@needs_node
@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("[machine]\n", "line 1: 'machine' is no part of a visit"),
        ("[measurement]\n", "line 1: 'measurement' is no part of a visit"),
        ("a = 1\na = 2", "line 2: 'a' is there twice"),
        ('a = "x', "line 1: '\"x' is not understood"),
        ('a = """x"""', "line 1: text over several lines"),
        ("a", "line 1: a line without ="),
        ("a = 01", "line 1: '01' is not understood"),
        ("a = 1 b", "line 1: 'b' is not understood"),
        ("[seen", "line 1: a heading without its end"),
    ],
)
def test_what_is_not_understood_is_told_with_its_line(text: str, said: str) -> None:
    assert said in in_page(_READ, [text], SCRIPTS)[0]["problem"]


@needs_node
def test_no_name_reaches_what_every_object_has() -> None:
    told = in_page(
        "toml.read('[seen]\\n__proto__ = true\\n'); const answer = ({}).polluted ?? 'clean';", None, SCRIPTS
    )
    assert told == "clean"
