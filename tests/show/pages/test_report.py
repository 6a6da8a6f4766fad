"""``dryermodel report``: what must stand on the page, and what must never get onto it."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from dryermodel.field.measurements import measurements
from dryermodel.field.safety import DANGERS, RULES
from dryermodel.field.visit import load_visit
from dryermodel.inference.diagnosis import Interval, Ranked
from dryermodel.inference.priors import HEALTHY
from dryermodel.scenario.faults import catalogue
from dryermodel.show.pages.report import words
from dryermodel.show.pages.report.page import printable
from tests.show.pages.report_visits import AFTER, BEFORE, QUICK, WORK, Reading, command, page, write

READERS = list(words.READERS)


@pytest.fixture(scope="module", params=READERS)
def whole(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Reading:
    """A visit with everything in it, for one reader."""
    return Reading(page(tmp_path_factory.mktemp("whole"), BEFORE + WORK + AFTER, request.param))


def test_every_measured_value_stands_on_it_with_its_accuracy(whole: Reading) -> None:
    for told in ("69 ± 2 degF", "74 ± 1.8 min", "1.11 ± 0.03 in w.c.", "69 ± 6.3 cfm"):
        assert told in whole.text
    for told in ("51 ± 1.4 min", "0.49 ± 0.022 in w.c."):
        assert told in whole.text


def test_its_parts_come_in_the_order_in_which_they_are_read(whole: Reading) -> None:
    parts = (
        "Complaint", "In short", "What was measured", "What it means", "What was done", "Before and after",
        "What it saves", "What is left to do", "Cautions", "How sure", "seed 1",
    )  # fmt: skip
    places = [whole.text.index(part) for part in parts]
    assert places == sorted(places)


def test_complaint_work_cautions_and_what_it_stands_on_are_told(whole: Reading) -> None:
    visit = load_visit("slow_towels")
    for told in ("Towels take well over an hour", "Vent cleared to the hood", "2026-03-12", *RULES):
        assert told in whole.text
    assert visit.scenario.hash in whole.text and "not validated" in whole.text and "assumed" in whole.text
    assert catalogue()["vent_blockage"].caution in whole.text


def test_nothing_is_fetched(whole: Reading) -> None:
    assert not {"script", "img", "iframe", "object", "embed", "form", "base"} & set(whole.tags)
    asked = [value for name, value in whole.attributes if name in ("src", "href", "data", "action", "srcset")]
    assert asked and all(re.match(r"#|data:,$", value) for value in asked)
    policy = next(value for name, value in whole.attributes if "default-src" in value)
    assert policy.startswith("default-src 'none'") and "script-src" not in policy


def test_before_and_after_are_drawn_once(whole: Reading) -> None:
    assert whole.tags.count("svg") == 1 and "path" in whole.tags and "metadata" not in whole.tags
    assert "xmlns" not in whole.text and whole.tags.count("title") == 1


def test_it_is_small_and_the_same_bytes_each_time(tmp_path: Path) -> None:
    one, other = (page(tmp_path, BEFORE + WORK + AFTER) for _ in range(2))
    assert one == other and len(one.encode()) < 200_000
    assert "url(" not in one.replace("url(#", "") and "@import" not in one


def test_the_customer_reads_no_keys_and_no_bits(tmp_path: Path) -> None:
    text = Reading(page(tmp_path, BEFORE + WORK + AFTER, "customer")).text
    body = text.replace("in w.c.", "")
    for jargon in ("static", "manifold", "posterior", "effective", "vent_blockage", " bit", "catalogue"):
        assert jargon not in body
    assert "in 10" in body or "in 20" in body


@pytest.mark.parametrize("reader", READERS)
def test_danger_comes_before_all_else(reader: str, tmp_path: Path) -> None:
    text = Reading(page(tmp_path, '[safety]\n"smell of gas" = true\n', reader)).text
    assert "next:" not in text, "nobody stays to measure"
    assert DANGERS[0].advice in text
    assert text.index(DANGERS[0].advice) < text.index("In short")


@pytest.mark.parametrize("reader", READERS)
def test_nothing_known_and_nothing_done_is_told_as_that(reader: str, tmp_path: Path) -> None:
    text = Reading(page(tmp_path, 'scenario = "standard"\n', reader)).text
    assert "Nothing was measured" in text and "Nothing has been done yet" in text
    assert "What it saves" not in text and "by the model" not in text.lower()


def test_before_any_work_it_tells_what_mending_would_change(tmp_path: Path) -> None:
    text = Reading(page(tmp_path, BEFORE)).text
    assert "Now, and mended" in text and "What it would save" in text and "Before and after" not in text
    assert "Nothing was done yet" in text and "To be put right" in text


def test_work_without_readings_asks_for_them(tmp_path: Path) -> None:
    text = Reading(page(tmp_path, BEFORE + WORK)).text
    assert "Nothing was measured after the work" in text and "Measure again" in text
    assert "Measure again" not in Reading(page(tmp_path, BEFORE + WORK + AFTER)).text


def test_work_of_no_fault_and_of_one_this_machine_cannot_have(tmp_path: Path) -> None:
    unnamed = '[[work]]\ndid = "Wiped the lid"\n'
    text = Reading(page(tmp_path, BEFORE + unnamed)).text
    assert (
        "Wiped the lid" in text and "names no fault of the catalogue" in text and "What it saves" not in text
    )
    electric = BEFORE.replace('"standard"', '"electric"').replace('"flame seen" = true\n', "")
    gas = WORK.replace("vent_blockage", "weak_burner")
    assert "can have what the work names" in Reading(page(tmp_path, electric + gas)).text


def test_a_reading_that_should_have_changed_and_did_not_is_told(tmp_path: Path) -> None:
    still = AFTER.replace("0.49 in w.c.", "1.10 in w.c.")
    assert "higher than expected" in Reading(page(tmp_path, BEFORE + WORK + still)).text
    assert "higher than expected" not in Reading(page(tmp_path, BEFORE + WORK + AFTER)).text


EVIL = "<script>alert(1)</script><img src=x onerror=alert(2)>{{ 7*7 }}\\\"'&lt;\\u202e\\u0000"
HOSTILE = f"""\
scenario = "standard"
date = "{EVIL} 1"
complaint = "{EVIL} 2"
[conditions]
load = "{EVIL} 4"
controls = "{EVIL} 5"
notes = "{EVIL} 6"
[[measurement]]
name = "vent static"
value = "1.11 in w.c."
note = "{EVIL} 7"
[[work]]
date = "{EVIL} 8"
did = "{EVIL} 9"
[[after]]
name = "vent static"
value = "0.49 in w.c."
note = "{EVIL} 10"
"""


@pytest.mark.parametrize("reader", READERS)
def test_hostile_text_in_every_field_stays_text(reader: str, tmp_path: Path) -> None:
    raw = page(tmp_path, HOSTILE, reader)
    told = Reading(raw)
    assert not {"script", "img"} & set(told.tags) and not any(
        name == "onerror" for name, _ in told.attributes
    )
    shown = [1, 2, 4, 5, 8, 9] if reader == "customer" else [1, 2, *range(4, 11)]
    for number in shown:
        assert re.search(
            rf"<script>alert\(1\)</script>[^0-9]*alert\(2\)>\{{\{{ 7\*7 \}}\}}.{{1,9}} {number}\b", told.text
        )
    assert "\x00" not in raw and "\u202e" not in raw


def test_letters_without_a_form_are_seen() -> None:
    assert printable("\u2066a\x07\t\u3000é") == "\ufffda\ufffd  é"


@pytest.mark.parametrize("reader", READERS)
def test_a_text_without_end_is_cut_and_long_work_counted(reader: str, tmp_path: Path) -> None:
    work = "".join(f'[[work]]\ndid = "step {i}"\n' for i in range(40))
    raw = page(tmp_path, f'complaint = "{"slow " * 40_000}"\n' + work, reader)
    assert len(raw) < 60_000 and "and 28 more" in raw


# Bad input -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("options", "told"),
    [
        (["slow_towels", "-o", "DIR/a.txt"], "a page's name ends in .html"),
        (["slow_towels", "-o", "DIR/no/a.html"], "no directory"),
        (["slow_towels", "-o", "DIR/a.html", "--for", "custommer"], "did you mean customer"),
        (["slow_towel", "-o", "DIR/a.html"], "slow_towels"),
        (["slow_towels", "-o", "DIR/a.html", "--bank", "10"], "allowed 500"),
        (["slow_towels", "-o", "DIR/a.html", "--seed", "-1"], "allowed 0"),
    ],
)
def test_what_cannot_be_is_one_line_and_nothing_is_written(
    options: list[str], told: str, tmp_path: Path
) -> None:
    done = command(*(word.replace("DIR", tmp_path.as_posix()) for word in options))
    lines = done.stderr.strip().splitlines()
    assert done.exit_code == 2 and len(lines) == 1 and told in lines[0]
    assert list(tmp_path.iterdir()) == []


def test_a_visit_that_contradicts_itself_gives_no_report(tmp_path: Path) -> None:
    twice = BEFORE + '[[measurement]]\nname = "vent static"\nvalue = "0.2 in w.c."\n'
    out = tmp_path / "a.html"
    done = command(str(write(tmp_path, twice)), "-o", str(out), *QUICK)
    assert done.exit_code == 2 and "vent static" in done.stderr and not out.exists()


# Words -----------------------------------------------------------------------------------------------


def test_every_fault_and_measurement_has_plain_words() -> None:
    plain = words._plain()
    assert set(plain["faults"]) == set(catalogue()) and set(plain["measurements"]) == set(measurements())
    names = list(plain["measurements"].values())
    assert len(set(names)) == len(names)
    for text in plain["faults"].values():
        assert text.endswith(".") and text.count(". ") == 0
        assert not re.search(r"static|manifold|orifice|venturi|cut-out|coil|plenum|solenoid|winding", text)


def ranked(together: bool, **severities: Interval) -> Ranked:
    keys = tuple(severities)
    members = dict.fromkeys(keys, 0.6 if together else 0.6 / len(keys))
    return Ranked(keys, together, 0.6, members, severities, ())


SLIGHT, BAD = Interval(0.1, 0.2, 0.3), Interval(0.7, 0.8, 0.9)


def test_how_bad_is_a_span_over_faults_that_look_alike_and_told_apart_for_two_at_once() -> None:
    alike = ranked(False, vent_blockage=SLIGHT, drum_drags=BAD)
    both = ranked(True, vent_blockage=SLIGHT, drum_drags=BAD)
    assert words.how_bad(alike, "customer") == "slight to severe"
    assert words.how_bad(both, "customer") == "the first slight, the second severe"
    assert words.how_bad(ranked(True, vent_blockage=BAD, drum_drags=BAD), "customer") == "severe"
    assert "10 % to 30 %: slight; " in words.how_bad(alike, "technician")
    assert words.how_bad(Ranked((HEALTHY,), False, 0.6, {HEALTHY: 0.6}, {}, ()), "customer") == ""
    assert words.how_bad(
        Ranked(("igniter_open",), False, 0.6, {}, {}, ())._replace(together=True), "customer"
    ) == ("there or not")


def test_a_member_of_a_tenth_is_named_and_a_smaller_one_is_not() -> None:
    r = ranked(False, vent_blockage=BAD, drum_drags=BAD)
    assert words.members(r._replace(members={"vent_blockage": 0.55, "drum_drags": 0.05})) == ["vent_blockage"]
    assert len(words.members(r._replace(members={"vent_blockage": 0.53, "drum_drags": 0.07}))) == 2


@pytest.mark.parametrize("reader", READERS)
def test_what_fits_nothing_is_not_called_by_a_name(reader: str) -> None:
    told = words.summary(ranked(False, vent_blockage=BAD), 0.51, reader)
    assert "duct" not in told and "Vent" not in told and "closer look" in told
    assert "closer look" not in words.summary(ranked(False, vent_blockage=BAD), 0.49, reader)


def test_words_for_a_probability_rise_with_it() -> None:
    shares = [i / 200.0 for i in range(201)]
    told = list(dict.fromkeys(words.share_words(p).partition(",")[0] for p in shares))
    assert told == [text for _, text in reversed(words.SHARES)]
    assert "10 in 10" not in " ".join(map(words.share_words, shares))
