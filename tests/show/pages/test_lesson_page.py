"""The lesson as a file: one that asks for nothing, the same every time, its questions whole."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from dryermodel.cli import app
from dryermodel.errors import InputError
from dryermodel.scenario.model import load_scenario
from dryermodel.show.pages.lesson import questions as asked
from dryermodel.show.pages.lesson.page import data, lesson_page
from dryermodel.show.pages.lesson.questions import questions
from dryermodel.show.pages.lesson.settings import LEAST_DIFFERENTIAL, MIXES, SETTINGS, cloths
from dryermodel.units import parse

MOST_BYTES = 2_000_000


def test_one_file_that_asks_for_nothing(tmp_path: Path) -> None:
    file = tmp_path / "lesson.html"
    done = CliRunner().invoke(app, ["lesson", "-o", str(file)])
    assert done.exit_code == 0, done.output
    assert "without a network" in done.stdout
    text = file.read_text(encoding="utf-8")
    assert len(text.encode("utf-8")) < MOST_BYTES
    assert not re.search(r"""(src|href)=["'](?!#|data:)""", text)
    assert not re.search(r"@import|url\(|fetch\(|XMLHttpRequest|https?://(?!www\.w3\.org/2000/svg)", text)
    assert "default-src 'none'" in text
    assert [path.name for path in tmp_path.iterdir()] == ["lesson.html"]


def test_same_page_every_time_and_text_is_text() -> None:
    scenario = load_scenario("standard")
    assert lesson_page("1", scenario) == lesson_page("1", scenario)
    assert lesson_page("<b>", scenario).count("dryermodel &lt;b&gt;") == 1


def test_a_hostile_title_stays_text(tmp_path: Path) -> None:
    file = tmp_path / "mine.toml"
    hostile = "</script><img src=x onerror=alert(1)>"
    file.write_text(f'[scenario]\nextends = "standard"\ntitle = "{hostile}"\n', encoding="utf-8")
    page = lesson_page("1", load_scenario(str(file)))
    assert "<img" not in page
    assert page.count("</script>") == page.count("<script")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["-o", "page.pdf"], "ends in .html"),
        (["-o", "page.html", "--scenario", "standart"], "standard"),
        (["-o", "missing/page.html"], "missing"),
        (["-o", "page.html", "--scenario", "electric"], "machine.heat: is electric"),
    ],
)
def test_what_cannot_be_done_leaves_nothing(
    words: list[str], said: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    done = CliRunner().invoke(app, ["lesson", *words])
    assert done.exit_code == 2
    assert said in done.stderr
    assert not list(tmp_path.iterdir())


def test_a_program_without_heat_is_refused() -> None:
    with pytest.raises(InputError, match="air only; the lesson needs a program with heat"):
        lesson_page("1", load_scenario("standard", ["controls.program=air only"]))


def test_the_scenario_is_the_machine_of_the_page() -> None:
    told = data(load_scenario("old_high_cutout"))["machine"]
    assert told["parameters"] == load_scenario("old_high_cutout").with_faults({}).to_parameters()._asdict()
    assert told["values"]["machine.exhaust_cut_out"] == told["parameters"]["cut_out"]


def test_ends_of_sliders_are_what_a_scenario_admits(tmp_path: Path) -> None:
    """Low ends and high ends of all sliders at once, and set points as near as the page lets them come."""
    for end in ("low", "high"):
        values = {s.control.key: f"{getattr(s.control, end):g} {s.control.unit}" for s in SETTINGS}
        own = [f"{key}={text}" for key, text in values.items() if "." in key]
        told = load_scenario("standard", own)
        faults = {s.fault: values[s.control.key] for s in SETTINGS if s.fault}
        file = tmp_path / f"{end}.toml"
        lines = [f'{key} = "{text}"' for key, text in faults.items()]
        file.write_text("\n".join(['[scenario]\nextends = "standard"\n[faults]', *lines]), encoding="utf-8")
        load_scenario(str(file), own)
        assert told.value("load.dry_mass") == parse(values["load.dry_mass"], "mass")
    high = parse("155 degF", "temperature")
    near = [
        f"machine.exhaust_cut_out={high} K",
        f"machine.exhaust_cut_in={high - LEAST_DIFFERENTIAL} K",
    ]
    p = load_scenario("standard", near).to_parameters()
    assert p.cut_out - p.cut_in == pytest.approx(LEAST_DIFFERENTIAL)


def test_cloth_of_the_page_is_that_of_the_table() -> None:
    told = {kind["name"]: kind for kind in cloths(load_scenario("standard"))["kinds"]}
    p = load_scenario("towels_and_jeans").to_parameters()
    for i, name in enumerate(("towels", "jeans")):
        for field in set(told[name]) - {"name", "piece_share"}:
            assert told[name][field] == pytest.approx(getattr(p, field)[i], rel=1e-12), (name, field)
    assert {name for parts in MIXES.values() for name in parts} <= set(told)


@pytest.mark.parametrize(
    ("entry", "said"),
    [
        ({"why": {}}, "no explanation for a"),
        ({"runs": [{"wiring": "lamp"}]}, "is no wiring of the lesson"),
    ],
)
def test_a_question_that_is_not_whole_is_refused(entry: dict[str, Any], said: str) -> None:
    whole = {"id": "x", "choices": {"a": "A"}, "why": {"a": "b"}, "runs": [{"wiring": "line"}]}
    assert asked._question(whole)["choices"] == [["a", "A"]]
    with pytest.raises(ValueError, match=said):
        asked._question({**whole, **entry})


def test_every_question_can_be_told_and_looked_at() -> None:
    for question in questions():
        assert question["look"][0] < len(question["runs"]), question["id"]
        assert len({words for _, words in question["choices"]}) == len(question["choices"]) >= 3
        assert "other" in question["why"] or question["measure"] == "left"
        if any("vent_blockage" in run["values"] for run in question["runs"]):
            assert "not validated" in question["caution"]
    json.dumps(questions(), allow_nan=False)
