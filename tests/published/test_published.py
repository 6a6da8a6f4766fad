"""Published values against the model, and the table of them in the guide."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.documents import MADE
from tests.published import table as T
from tests.published.check import CHECKED, Check, printed, within

PAGE = Path(__file__).parents[2] / "docs" / "checks.md"


@pytest.mark.parametrize("check", T.checks(), ids=lambda c: c.what)
def test_a_value_is_met_or_it_is_told_why_not(check: Check) -> None:
    """Nobody moves a tolerance: one that is met has no excuse, one that is missed has one."""
    assert check.low < check.high
    assert check.met == (not check.missed), f"{check.here} is not in {check.low} to {check.high}"
    assert check.value is None or check.low <= check.value <= check.high


def test_the_guide_has_the_table_as_it_is_now() -> None:
    found = MADE.search(PAGE.read_text(encoding="utf-8"))
    assert found and found["module"] == "tests.published.table"
    assert found[3].strip("\n") == T.table().strip("\n"), "python -m tests.documents --write"


def test_every_check_is_named_once_and_has_its_source() -> None:
    names = [(c.what, c.source) for c in T.checks()]
    assert len(names) == len(set(names)) > 50
    assert all(c.source and c.status for c in T.checks())


def of(value: float | None, low: float, high: float, here: float, missed: str = "") -> Check:
    return Check("x", low, high, value, 1, "min", "book", "published", lambda: here, CHECKED, missed)


def test_rows_say_value_error_and_verdict() -> None:
    assert T.row(of(2.0, *within(2.0, 0.1), 2.1)) == "| x | 2.0 min | 2.1 | +5.0 % | book (published) | met |"
    assert "| in it |" in T.row(of(None, 1.0, 3.0, 2.0))
    assert "| -20.0 % | book (published) | **missed**: why |" in T.row(of(None, 1.0, 3.0, 0.8, "why"))


def test_an_error_of_a_temperature_is_a_difference_and_nought_has_no_sign() -> None:
    warm = of(7.0, *printed(7.0, 0), 7.4)._replace(unit="degC")
    assert T.told(warm) == "+0.4 degC"
    assert T.told(of(2.0, 1.0, 3.0, 1.9999)) == T.told(of(2.0, 1.0, 3.0, 2.0001)) == "0.0 %"


def test_printed_digits_are_half_a_digit_wide() -> None:
    low, high = printed(106_000.0, -3)
    assert (low, high) == (105_500.0, 106_500.0)
