"""Tables and numbers of the documents are what the program says; after a change that moves them:
``python -m tests.documents --write``."""

from __future__ import annotations

from pathlib import Path

import pytest

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
