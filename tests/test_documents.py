"""Tables and numbers of the documents are what the program says; after a change that moves them:
``python -m tests.documents --write``."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from dryermodel.findings.ending import WET
from dryermodel.findings.pieces import DAMP, pieces_left
from dryermodel.scenario.model import load_scenario
from dryermodel.scenario.pieces import kinds
from dryermodel.vocabulary import known
from tests import documents as D


@pytest.mark.parametrize("file", D.documents(), ids=lambda f: f.name)
def test_document_says_what_the_program_says(file: Path) -> None:
    text = file.read_text(encoding="utf-8")
    assert D.filled(text) == text, "python -m tests.documents --write"


def test_the_documents_of_faults_and_comparisons_are_among_them() -> None:
    assert {"faults.md", "compare.md"} <= {file.name for file in D.documents()}


def test_a_wrong_number_is_put_right() -> None:
    text = "It takes <!--= healthy; cycle_time -->wrong<!--/-->; <!--= healthy; burner_cycles -->x<!--/-->."
    fresh = D.filled(text)
    assert "wrong" not in fresh and " min<!--/-->" in fresh and ">x<" not in fresh
    assert D.filled(fresh) == fresh


def test_a_reading_that_there_is_not_is_named() -> None:
    with pytest.raises(ValueError, match="cycle_tyme"):
        D.value("healthy; cycle_tyme")


def test_an_onset_is_where_the_limit_begins_to_trip() -> None:
    """A step of the scale below it the machine has fewer trips than asked for, at it as many."""
    share = D.value("vent_blockage; high_limit_trips; onset of 3")
    assert share.endswith(" %")
    below = f"{float(share[:-2]) - 1.0:g} %"
    trips = [known(D.readings((f"vent_blockage={at}",)), "high_limit_trips") for at in (below, share)]
    assert trips[0] < 3 <= trips[1]
    assert D.value("humid_room; high_limit_trips; onset of 3") == "no amount"


def test_comparisons_with_the_healthy_run() -> None:
    """The same number in each of the forms: a ratio r is a share of 100 (r - 1) percent."""
    cycle = "wash_spin_poor=30 %"
    ratio = known(D.readings((cycle,)), "cycle_time") / known(D.readings(("healthy",)), "cycle_time")
    assert D.value(f"{cycle}; cycle_time; times") == f"{ratio:.1f} times"
    assert D.value(f"{cycle}; cycle_time; share") == f"{100.0 * (ratio - 1.0):.0f} %"
    more, less = (D.value(f"{cycle}; cycle_time; {how}") for how in ("more", "less"))
    assert less == f"-{more}"


def test_part_of_what_a_command_prints() -> None:
    whole, second = D.table("scenario list"), D.table("scenario list", "1")
    assert second.strip() in whole
    with pytest.raises(ValueError, match="no scenario file"):
        D.table("simulate nosuch")


def test_numbers_of_another_scenario() -> None:
    """On family_load: its own, also where it is compared with its healthy run."""
    on = "on family_load; controls.dryness=very dry"
    result = D.cycle(("on family_load", "controls.dryness=very dry"))
    assert D.value(f"{on}; cycle_time") == f"{result.cycle_time / 60.0:.1f} min"
    assert D.value(f"{on}; pieces") == pieces_left(result) != ""
    assert D.value("on family_load; cycle_time; times") == "1.0 times"
    assert D.value(f"{on}; burner_cycles; more") == "0"


def shown_on(page: Path) -> set[Path]:
    """Pictures on a page."""
    found = re.findall(r"!\[[^\]]*\]\(([^)]+)\)", page.read_text(encoding="utf-8"))
    return {(page.parent / target).resolve() for target in found}


def test_every_picture_has_the_command_that_draws_it() -> None:
    study = D.DOCS / "validation.md"
    assert "\n    python -m tests.validation\n" in study.read_text(encoding="utf-8")
    shown = {picture for page in D.pages() for picture in shown_on(page)}
    drawn = set(D.pictures()) | shown_on(study)
    assert drawn == shown == {file.resolve() for file in (D.DOCS / "pictures").iterdir()}


def test_pictures_are_drawn_afresh(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    picture = tmp_path / "with space.png"
    monkeypatch.setattr(D, "documents", list)
    monkeypatch.setattr(D, "pictures", lambda: {picture: "simulate standard"})
    D.main([])
    assert not picture.exists()
    D.main(["--write"])
    assert picture.stat().st_size > 10_000


def test_the_pieces_in_the_document_are_read_as_it_says(tmp_path: Path) -> None:
    (snippet,) = re.findall(
        r"```toml\n(\[\[load\.pieces.*?)```", (D.DOCS / "scenarios.md").read_text(encoding="utf-8"), re.S
    )
    (tmp_path / "mine.toml").write_text(snippet, encoding="utf-8")
    shirts, jeans = load_scenario(tmp_path / "mine.toml").pieces
    assert (shirts.name, jeans.name) == ("shirts and sheets", "his jeans")
    assert jeans.exposure == float(kinds()["jeans"].exposure) and jeans.initial_moisture == 0.8


def test_the_document_names_every_kind_of_cloth_and_what_is_called_damp() -> None:
    text = (D.DOCS / "scenarios.md").read_text(encoding="utf-8")
    assert f"Kinds: {', '.join(kinds())}," in text
    assert f"above {100 * DAMP:g} %" in text and f"above {100 * WET:g} %" in text


def test_what_takes_minutes_is_made_only_when_it_is_written(monkeypatch: pytest.MonkeyPatch) -> None:
    text = "a\n<!-- made by tests.field.errors -->\n\nold\n\n<!-- end -->\nb\n"
    monkeypatch.setattr("tests.field.errors.table", lambda: "| new |")
    assert D.filled(text) == text
    assert D.made(text) == text.replace("old", "| new |")
    assert D.made(D.made(text)) == D.made(text)
