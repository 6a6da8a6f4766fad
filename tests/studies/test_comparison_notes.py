"""What must be read with a comparison's numbers, by rule, from made-up numbers."""

from __future__ import annotations

import pytest

from dryermodel.studies.comparison.figures import NAMES, Figures
from dryermodel.studies.comparison.notes import _hot, _unended, _unlike, _wet

DEGF = 5.0 / 9.0  # K


def case(*, ended: bool = True, wet: bool = False, **changed: float | None) -> Figures:
    usual: dict[str, float | None] = dict.fromkeys(NAMES, 1.0)
    return Figures({**usual, "final_moisture": 0.02, "load_temp_max": 350.0, **changed}, ended, wet)


def test_letters_are_those_of_the_cases_meant() -> None:
    (one,) = _unended([case(), case(ended=False)])
    assert one.startswith("B does not end by itself")
    (more,) = _unended([case(ended=False), case(), case(ended=False), case(ended=False)])
    assert more.startswith("A, C and D do not end by itself")
    assert _unended([case(), case()]) == []


def test_each_wet_load_is_named_with_its_moisture() -> None:
    told = _wet([case(wet=True, final_moisture=0.223), case(), case(wet=True, final_moisture=0.051)])
    assert [text[:31] for text in told] == [
        "A ends wet, at 22.3 % moisture:",
        "C ends wet, at 5.1 % moisture: ",
    ]
    assert _wet([case(final_moisture=0.3)]) == []


@pytest.mark.parametrize(("other", "said"), [(0.0209, False), (0.0212, True), (0.0188, True)])
def test_moistures_are_unlike_from_a_tenth_of_a_percent_on(other: float, said: bool) -> None:
    assert bool(_unlike([case(), case(final_moisture=other)])) is said


def test_a_wet_load_has_a_note_of_its_own_and_is_not_called_unlike() -> None:
    assert _unlike([case(), case(final_moisture=0.3, wet=True)]) == []
    (text,) = _unlike([case(), case(final_moisture=0.3, wet=True), case(final_moisture=0.03)])
    assert "A 2.0 %, C 3.0 %" in text


@pytest.mark.parametrize(("more", "said"), [(14.9, False), (15.1, True)])
def test_a_load_is_hotter_from_fifteen_degrees_on(more: float, said: bool) -> None:
    told = _hot([case(), case(load_temp_max=350.0 + more * DEGF)], False)
    assert bool(told) is said
    if told:
        assert told[0].startswith("B heats the load to 185 degF against 170 degF in A")


def test_the_hottest_is_measured_against_the_first_case() -> None:
    hot = 350.0 + 20.0 * DEGF
    assert _hot([case(load_temp_max=hot), case()], False) == []
    assert _hot([case(load_temp_max=None), case(load_temp_max=hot)], False) == []
    (both,) = _hot([case(), case(load_temp_max=hot), case(load_temp_max=hot)], True)
    assert both.startswith("B and C heat the load to 88 degC, 88 degC against 77 degC in A")
