"""Visit files: what is written is read again, what is wrong is told with line, key and the nearest name."""

from __future__ import annotations

import math
import tomllib
from pathlib import Path

import pytest
from hypothesis import given, settings

from dryermodel import units
from dryermodel.bench.gas import MeterReading, clocked_rate
from dryermodel.errors import InputError, SeveralErrors
from dryermodel.field.evidence import Evidence
from dryermodel.field.visit import Visit, load_visit, shipped_visits, visit_of
from dryermodel.field.visit_file import VisitFile, read_visit_file
from dryermodel.field.visit_template import new_visit, template
from dryermodel.field.visit_write import to_toml
from tests.field.visit_texts import files

HERE = Path("visit.toml")


def read(text: str) -> Visit:
    return visit_of(text, HERE)


def measurement(name: str, value: str, *more: str) -> str:
    return "\n".join(["[[measurement]]", f'name = "{name}"', f'value = "{value}"', *more, ""])


# Writing and reading --------------------------------------------------------------------------------


@settings(max_examples=80)
@given(files())
def test_what_is_written_is_read_again(file: VisitFile) -> None:
    assert read_visit_file(tomllib.loads(to_toml(file)), "x") == file


@pytest.mark.parametrize("name", shipped_visits())
def test_shipped_visits_are_written_as_they_are_read(name: str) -> None:
    visit = load_visit(name)
    again = read(to_toml(visit.file))
    assert again.file == visit.file
    assert again.evidence() == visit.evidence()


def test_every_part_of_a_visit() -> None:
    visit = read(
        """
scenario = "standard"
set = ["vent.length=35 ft"]
date = 2026-03-11
complaint = '''
takes
  two hours'''
[safety]
"limit trips" = "yes"
smell_of_gas = false
exhaust-in-the-room = true
[conditions]
room_temperature = "68 degF"
room_humidity = "45 %"
load = "towels"
[seen]
flame = "yes"
"drum turns" = false
[[measurement]]
name = "static"
value = "0.9 in w.c."
accuracy = "12 Pa"
state = "running empty"
[[measurement]]
name = "burner cycles"
value = 4
[[measurement]]
name = "timer advance"
value = "4 min"
from = "20 min"
to = "40 min"
[[work]]
date = 2026-03-11
did = "vent cleared"
fault = "vent_blockage"
[[work]]
did = "screen washed"
[[after]]
name = "static"
value = "0.4 in w.c."
"""
    )
    assert visit.complaint == "takes two hours"
    assert visit.scenario.texts["vent.length"] == "35 ft"
    assert [d.name for d in visit.dangers] == [
        "exhaust in the room",
        "limit trips",
    ]  # to be left at once first
    assert [(s.item.name, s.item.yes) for s in visit.seen] == [("flame seen", True), ("drum turns", False)]
    evidence = visit.evidence()
    numbers = ["room_temp", "room_humidity", "collar_static", "burner_cycles", "dial 20-40"]
    assert [m.number for m in evidence.measured] == numbers
    assert (evidence.measured[2].accuracy, evidence.measured[3].value) == (12.0, 4.0)
    assert evidence.complaint == visit.complaint
    assert visit.work[0] == ("2026-03-11", "vent cleared", "vent_blockage")
    assert visit.work[1] == ("", "screen washed", "")
    (after,) = visit.evidence_after().measured
    assert (after.number, round(after.value)) == ("mid_drying_static", 100)


def test_answers_afterwards_stand_among_the_measurements_afterwards() -> None:
    text = '[[after]]\nname = "static"\nvalue = "0.4 in w.c."\n'
    text += '[[after]]\nname = "weak air"\nvalue = false\nnote = "at last"\n'
    text += '[[after]]\nname = "Drum turning"\nvalue = "yes"\n'
    visit = read(text)
    after = visit.evidence_after()
    assert [m.name for m in after.measured] == ["vent static"] and visit.evidence() == Evidence()
    assert [(s.name, s.yes) for s in after.seen] == [("weak air at the hood", False), ("drum turns", True)]
    assert visit_of(to_toml(visit.file), Path("visit.toml")).evidence_after() == after


def test_answers_afterwards_may_not_contradict_each_other() -> None:
    text = '[[after]]\nname = "weak air"\nvalue = "yes"\n'
    text += '[[after]]\nname = "strong air at the hood"\nvalue = "yes"\n'
    (problem,) = read(text).problems()
    assert "line" in problem.where and "strong air at the hood" in str(problem)


SLIPS = """\
scenarioo = "standard"
scenario = "standrad"
[seen]
"drum turns" = 3
flam = true
"flame seen" = true
[safety]
smell = true
[[measurement]]
name = "static"
vlaue = "0.9 in w.c."
[[measurement]]
name = "cycle time"
value = "75 lb"
[[measurement]]
name = "cycle time"
value = "75 min"
turns = 0
[[measurement]]
name = "flame seen"
value = "yes"
[[after]]
name = "weak air"
value = "0.4"
[[after]]
name = "weak air"
value = "no"
state = "end"
[[work]]
fault = "vent_blokage"
"""


def test_all_slips_of_a_file_are_told_in_the_order_of_its_lines() -> None:
    with pytest.raises(SeveralErrors) as several:
        read(SLIPS)
    told = [(problem.where.rpartition(" ")[2], problem.message) for problem in several.value.problems]
    assert [int(line) for line, _ in told] == [1, 2, 4, 5, 8, 11, 14, 18, 20, 24, 25, 30]
    for (_, message), words in zip(
        told,
        ("unknown key", "did you mean standard", "yes or no", "unknown observation", "unknown", "unknown key",
         "is a time", "whole number", "answer stands under [seen]", "it is yes or no", "yes or no; leave",
         "did you mean"),
        strict=True,
    ):  # fmt: skip
        assert words in message
    assert str(several.value) == str(several.value.problems[0])


def test_an_empty_file_is_a_visit_that_knows_nothing() -> None:
    visit = read("")
    assert visit.scenario.name == "standard"
    assert visit.evidence() == Evidence()


def test_a_scenario_beside_the_visit(tmp_path: Path) -> None:
    (tmp_path / "mine.toml").write_text('[vent]\nlength = "31 ft"\n', encoding="utf-8")
    path = tmp_path / "visit.toml"
    path.write_text('scenario = "mine.toml"\nlogs = ["a.csv"]\n', encoding="utf-8")
    visit = load_visit(path)
    assert visit.scenario.texts["vent.length"] == "31 ft"
    assert visit.logs == (tmp_path / "a.csv",)


def test_a_clocked_meter_gives_the_gas_input_with_a_second_of_reading_error() -> None:
    (found,) = read('[[measurement]]\ndial = "1/2 ft3"\nseconds = "41 s"\n').evidence().measured
    (turns,) = (
        read('[[measurement]]\ndial = "1/2 ft3"\nseconds = "2 min 3 s"\nturns = 3\n').evidence().measured
    )
    half = units.parse("1/2 ft3", "volume")
    expected = clocked_rate(MeterReading(half, 41.0, 1, units.parse("1025 Btu/ft3", "heating value")))
    assert found.name == "gas input" and found.value == pytest.approx(expected, rel=1e-12)
    parts = units.parse("200 Btu/h", "power"), 0.025 * expected, expected / 41.0
    assert found.accuracy == pytest.approx(math.hypot(*parts), rel=1e-9)
    assert turns.value == pytest.approx(found.value, rel=1e-12) and turns.accuracy < found.accuracy


def test_gas_is_that_of_the_machine() -> None:
    text = 'scenario = "propane_altitude"\n[[measurement]]\ndial = "1 ft3"\nseconds = "500 s"\n'
    (found,) = read(text).evidence().measured
    assert found.value == pytest.approx(units.parse("18000 Btu/h", "power"), rel=1e-3)  # 2500 Btu/ft3


def test_several_readings_of_one_thing_are_their_mean_and_no_more_accurate() -> None:
    text = measurement("static", "0.90 in w.c.", 'accuracy = "10 Pa"')
    text += measurement("vent static", "0.94 in w.c.", 'accuracy = "20 Pa"')
    text += measurement("vent static", "0.5 in w.c.", 'state = "heat off"')
    first, other = read(text).evidence().measured
    assert first.value == pytest.approx((4.0 * 0.90 + 0.94) / 5.0 * 249.08891, rel=1e-9)
    assert first.accuracy == 10.0 and other.number == "heat_off_static"
    assert (first.times, other.times) == (2, 1)


# Bad input ------------------------------------------------------------------------------------------

STATIC, GAS, DIAL = (f"measurement 1 ({name})" for name in ("vent static", "gas input", "timer advance"))

BAD = [
    ('complaint = "slow"\nscenarioo = "x"', 2, "scenarioo", "unknown key (did you mean scenario?)"),
    ("complaint = 3", 1, "complaint", "it is text in quotes"),
    ('scenario = "standrad"', 1, "scenario", "did you mean standard?"),
    ('set = ["vent.lenght=3 ft"]', 1, "set", "vent.lenght: unknown key (did you mean vent.length?)"),
    ('set = ["vent.length"]', 1, "set", "is not section.key=value"),
    ('\n\nlogs = "x.csv"', 3, "logs", 'is a list of texts, e.g. logs = ["..."]'),
    ("logs = [3]", 1, "logs", ""),
    ("seen = 3", 1, "seen", "is a section, written [seen]"),
    ('[seen]\n# so\nflame = "maybe"', 3, "seen, flame", "it is yes or no"),
    ('[seen]\n"flam seen" = true', 2, "seen, flam seen", "did you mean flame seen"),
    ("[safety]\nsmell = true", 2, "safety, smell", "unknown"),
    ("[conditions]\nroom_temprature = '70 degF'", 2, "conditions, room_temprature", "did you mean"),
    ("[conditions]\nroom_temperature = '70'", 2, "conditions, room_temperature", "has no unit"),
    ("[conditions]\nroom_humidity = '70 degF'", 2, "conditions, room_humidity", "is a fraction"),
    ("measurement = 3", 1, "measurement 1", "each written [[measurement]]"),
    ("[measurement]\nname = 'static'", 1, "measurement 1", "each written [[measurement]]"),
    ("[[measurement]]\nvalue = '1 Pa'", 1, "measurement 1", "has no name"),
    ("[[measurement]]\nname = ' '\nvalue = '1 Pa'", 1, "measurement 1", "has no name"),
    ("[[measurement]]\nname = 'static'", 1, STATIC, "has no value"),
    (measurement("statics", "1 Pa"), 2, "measurement 1, name", "did you mean vent static?"),
    (measurement("static", "1 Pa") * 2 + measurement("flow", "1 Pa"), 9,
     "measurement 3 (exhaust flow), value",
     "is a volume flow"),
    (measurement("static", "0.9"), 3, STATIC + ", value", "has no unit"),
    (measurement("static", ""), 3, STATIC + ", value", "has no value"),
    (measurement("static", "... in w.c."), 3, STATIC + ", value", "is not a pressure"),
    (measurement("static", "99 in w.c."), 3, STATIC + ", value", "cannot be: 0 in w.c. to 10"),
    (measurement("static", "1 Pa", "accuracy = '0 Pa'"), 4, STATIC + ", accuracy", "above nought"),
    (measurement("cut out", "150 degF", "accuracy = '3 s'"), 4,
     "measurement 1 (cut-out temperature), accuracy", "temperature difference"),
    (measurement("static", "1 Pa", "state = 'empty'"), 4, STATIC + ", state", "running empty"),
    (measurement("static", "1 Pa", "from = '20 min'"), 4, STATIC + ", from", "timer advance"),
    (measurement("static", "1 Pa", "vaule = '20 min'"), 4, "measurement 1, vaule", "did you mean value?"),
    (measurement("static", "1 Pa", "dial = '1 ft3'"), 1, STATIC, "belong to 'gas input'"),
    (measurement("static", "1 Pa", "turns = 0"), 4, "measurement 1, turns", "whole number of turns"),
    (measurement("static", "1 Pa", "turns = 1.5"), 4, "measurement 1, turns", "whole number of turns"),
    ("[[measurement]]\nname = 'static'\nvalue = nan", 3, "measurement 1, value", "text in quotes"),
    ("[[measurement]]\nname = 'static'\nvalue = true", 3, "measurement 1, value", "text in quotes"),
    ("[[measurement]]\nname = 'static'\nvalue = [1]", 3, "measurement 1, value", "text in quotes"),
    (measurement("timer advance", "4 min"), 1, DIAL, "needs from"),
    (measurement("timer advance", "4 min", "from = '20 min'"), 1, DIAL, "needs to"),
    (measurement("timer advance", "4 min", "from = '40 min'", "to = '20 min'"), 4,
     DIAL + ", from", "the first before the second"),
    (measurement("timer advance", "4 min", "from = '20 lb'", "to = '20 min'"), 4,
     DIAL + ", from", "is a time"),
    (measurement("gas input", "1 kW", "dial = '1 ft3'", "seconds = '3 s'"), 1, GAS,
     "give one of the two"),
    ("[[measurement]]\ndial = '1 ft3'", 1, GAS, "needs both"),
    ("[[measurement]]\ndial = '1 ft3'\nseconds = '82 lb'", 3, GAS + ", seconds", "is a time"),
    ("[[measurement]]\ndial = '1 ft3'\nseconds = '-82 s'", 3, GAS + ", seconds", "cannot be"),
    ("[[measurement]]\ndial = '0 ft3'\nseconds = '82 s'", 2, GAS + ", dial", "cannot be"),
    ("[[work]]\nfault = 'vent_blockge'", 2, "work 1, fault", "did you mean vent_blockage?"),
    ("[[work]]\nby = 'me'", 2, "work 1, by", "unknown key; keys: date, did, fault"),
    ("[[after]]\nname = 'static'\nvalue = '1 lb'", 3, "after 1 (vent static), value", "is a pressure"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "line", "key", "told"), BAD, ids=range(len(BAD)))
def test_bad_input_is_told_with_line_key_and_what_is_allowed(
    text: str, line: int, key: str, told: str
) -> None:
    with pytest.raises(InputError) as problem:
        read(text)
    assert problem.value.where == f"visit.toml, line {line}"
    assert problem.value.key == key
    assert told in problem.value.message
    assert "\n" not in str(problem.value)


@pytest.mark.parametrize(
    ("text", "told"),
    [("a = ", "is not valid TOML"), ("complaint = slow", "put the value in quotes"),
     ("[seen]\nflame = True", "in small letters"), ("a = " + "[" * 5000, "too deep")],
)  # fmt: skip
def test_what_is_no_toml_is_told(text: str, told: str) -> None:
    with pytest.raises(InputError, match=told):
        read(text)


def test_bytes_that_are_no_text(tmp_path: Path) -> None:
    path = tmp_path / "visit.toml"
    path.write_bytes(b"\xff\xfe\x00s")
    with pytest.raises(InputError, match="is not UTF-8"):
        load_visit(path)


@pytest.mark.parametrize("name", ["slow_towls", "no/such/place.toml", "", "x" * 5000, "scenarios"])
def test_a_file_that_is_not_there(name: str) -> None:
    with pytest.raises(InputError, match="no visit file"):
        load_visit(name)


def test_near_names_of_visits_are_suggested(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="did you mean slow_towels"):
        load_visit("slow_towls")
    (tmp_path / "monday.toml").write_text("", encoding="utf-8")
    with pytest.raises(InputError, match=r"did you mean monday\.toml"):
        load_visit(tmp_path / "mondey.toml")


HOSTILE = [
    'complaint = "\\u0000\\u001b[31m \\" # [seen] \N{SNOWMAN}"',
    "complaint = '''\n[[measurement]]\nname = \"static\"\n'''\n[seen]\n\"flam\" = true",
    '"" = 1',
    "[seen]\n'' = true",
    '["a b.c"]\nx = 1',
    "[[measurement]]\n'' = ''",
    "[measurement.x]\ny = 1",
    "measurement = [[1]]",
    "measurement = [{name = {a = 1}}]",
    "seen.flame.x = true",
    "safety = []",
    "work = ['x']",
    "after = [1, 2]",
    "scenario = '/dev/null/x'",
    "scenario = '" + "x" * 9000 + "'",
    "conditions.room_humidity = [[[]]]",
    "turns = 10000000000000000000000000000000000",
    "set = ['load.dry_mass=" + "9" * 400 + " lb']",
    "set = ['=']",
    measurement("\\u0000", "0.9 in w.c."),
    measurement("vent static", "9" * 400 + " Pa"),
    measurement("vent static", "1e400 Pa"),
    measurement("vent static", "1/0 Pa"),
    measurement("timer advance", "4 min", "from = '99999999999999999999 min'", "to = '1e308 min'"),
]


@pytest.mark.parametrize("text", HOSTILE, ids=range(len(HOSTILE)))
def test_hostile_text_is_read_or_refused_in_one_line(text: str) -> None:
    try:
        visit = read(text)
    except InputError as problem:
        assert len(str(problem).splitlines()) == 1
        assert len(str(problem)) < 700
    else:
        assert visit.evidence().measured == ()


def test_the_line_is_right_after_text_of_many_lines() -> None:
    text = "complaint = '''\n[[measurement]]\n[seen]\nflam = 1\n'''\n[seen]\n\"flam\" = true"
    with pytest.raises(InputError) as problem:
        read(text)
    assert problem.value.where == "visit.toml, line 7"


# New files and appended measurements ----------------------------------------------------------------


def test_a_new_file_reads_as_nothing_known_and_every_comment_can_be_taken_away() -> None:
    text = template("visit.toml", "long_vent", 'he said "slow"\n')
    visit = read(text)
    assert visit.evidence() == Evidence(complaint='he said "slow"') and visit.scenario.name == "long_vent"
    lines = [
        line[1:] if line[:1] == "#" and line[1:2] not in ("", " ") else line for line in text.splitlines()
    ]
    raw = tomllib.loads("\n".join(lines))
    file = read_visit_file(raw, "x")
    names = [entry.name for entry in file.measurement]
    assert len(names) == len(set(names)) > 35 and len(file.seen) > 50 and len(file.safety) == 3
    assert file.work and file.after and file.logs and file.set


def test_a_new_file_takes_the_place_of_no_other(tmp_path: Path) -> None:
    path = tmp_path / "visit.toml"
    assert new_visit(path) == path
    before = path.read_bytes()
    with pytest.raises(InputError, match="already exists"):
        new_visit(path)
    with pytest.raises(InputError, match=r"must end in \.toml"):
        new_visit(tmp_path / "visit.txt")
    with pytest.raises(InputError, match="did you mean standard"):
        new_visit(tmp_path / "other.toml", "standrad")
    assert path.read_bytes() == before and [p.name for p in tmp_path.iterdir()] == ["visit.toml"]
