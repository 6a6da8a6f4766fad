"""What is left to do: nothing that was mended, all else that is likely, and what stays open afterwards."""

from __future__ import annotations

from typing import NamedTuple

import pytest

from dryermodel.field.entries import Job
from dryermodel.field.evidence import Evidence, gather
from dryermodel.inference.diagnosis import Diagnosis, Ranked
from dryermodel.inference.priors import HEALTHY
from dryermodel.scenario.faults import find_fault
from dryermodel.show.pages.report.case import Case, to_mend
from dryermodel.show.pages.report.left import fault_cautions, left_to_do


class Found(NamedTuple):
    """Stands for a diagnosis: its ranking is what is read of it here."""

    ranking: tuple[Ranked, ...]
    evidence: Evidence = gather(["vent static=1 in w.c."], [])

    def hidden(self) -> list[tuple[str, float]]:
        return [("drum_drags", 0.5)]

    @property
    def involved(self) -> dict[str, float]:
        return {"drum_drags": 0.2}


class Visited(NamedTuple):
    """Stands for a visit: what was done and whether anything was measured after it."""

    work: tuple[Job, ...] = ()
    after: tuple[str, ...] = ()

    @property
    def looked_again(self) -> bool:
        return bool(self.after)


def one(key: str, p: float, *more: str) -> Ranked:
    keys = (key, *more)
    return Ranked(keys, False, p, dict.fromkeys(keys, p / len(keys)), {}, ())


RANKING = (one("vent_blockage", 0.6), one("drum_drags", 0.3), one(HEALTHY, 0.06), one("weak_burner", 0.04))
VENT = (Job("", "vent cleared", "vent_blockage"),)


def case(visit: Visited, after: Found | None = None, ranking: tuple[Ranked, ...] = RANKING) -> Case:
    return Case(visit, Found(ranking), (), None, after)  # type: ignore[arg-type]


def left(*given: object, reader: str = "technician") -> str:
    return " ".join(left_to_do(case(*given), reader))  # type: ignore[arg-type]


def test_before_any_work_the_leader_is_to_be_mended_and_the_next_to_be_thought_of() -> None:
    told = left(Visited())
    assert find_fault("vent_blockage").remedy in told and "if it is that" in told
    assert (
        "thought of (30 %): Drum drags" in told and "Burner weak" not in told and "Nothing wrong" not in told
    )
    assert "Measure again" not in told


def test_two_that_look_alike_are_both_to_be_mended_whichever_it_is() -> None:
    told = left(Visited(), None, (one("vent_blockage", 0.6, "vent_crushed"), one("drum_drags", 0.3)))
    assert "whichever it is" in told
    assert find_fault("vent_crushed").remedy in told and find_fault("vent_blockage").remedy in told


def test_after_the_work_what_it_names_is_done_and_is_to_be_measured_again() -> None:
    told = left(Visited(VENT))
    assert "Vent blocked" not in told and find_fault("vent_blockage").remedy not in told
    assert "Drum drags" in told and "Measure again" in told
    other = left(Visited((Job("", "belt", "belt_slipping"),)))
    assert "thought of (60 %): Vent blocked" in other and "Drum drags" in other


@pytest.mark.parametrize(
    ("best", "told"),
    [
        (HEALTHY, "fits a dryer with nothing wrong (likely, about 6 in 10)"),
        ("drum_drags", "The drum turns hard"),
    ],
)
def test_readings_afterwards_take_the_place_of_those_before(best: str, told: str) -> None:
    after = Found((one(best, 0.6), one("belt_slipping", 0.2)))
    words = left(Visited(VENT, ("x",)), after, reader="customer")
    assert told in words and "thought of" not in words and "Measure again" not in words


def test_what_could_hide_is_for_the_technician() -> None:
    assert "without having shown: drum drags" in left(Visited())
    assert "without having shown" not in " ".join(left_to_do(case(Visited()), "customer"))


def test_cautions_are_those_of_what_was_mended_and_of_what_leads() -> None:
    job = (Job("", "orifice", "weak_burner"),)
    told = fault_cautions(case(Visited(job)))
    assert told == [find_fault("weak_burner").caution, find_fault("vent_blockage").caution]


def test_what_is_mended_is_what_the_work_names_else_the_leader_if_anything_is_known() -> None:
    found: Diagnosis = Found(RANKING)  # type: ignore[assignment]
    twice: tuple[Job, ...] = (*VENT, *VENT, Job("", "looked", ""))
    assert to_mend(Visited(twice), found) == ("vent_blockage",)  # type: ignore[arg-type]
    assert to_mend(Visited((Job("", "looked", ""),)), found) == ()  # type: ignore[arg-type]
    assert to_mend(Visited(), found) == ("vent_blockage",)  # type: ignore[arg-type]
    sound: Diagnosis = Found((one(HEALTHY, 0.9),))  # type: ignore[assignment]
    unknown: Diagnosis = Found(RANKING, Evidence())  # type: ignore[assignment]
    assert to_mend(Visited(), sound) == to_mend(Visited(), unknown) == ()  # type: ignore[arg-type]
