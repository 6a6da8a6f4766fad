"""Text pages: numbers stay with their units, columns end at one place, nothing is lost."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dryermodel.show.text.columns import right_aligned, wrap

words = st.lists(st.text("abcdefg123%-.", min_size=1, max_size=7), min_size=1, max_size=30)


@given(words, st.integers(24, 80))
def test_wrapping_loses_no_word_and_keeps_the_width(parts: list[str], width: int) -> None:
    text = " ".join(parts)
    lines = wrap(text, width, "- ", "  ")
    assert " ".join(" ".join(lines).split()).removeprefix("- ") == text
    # A number and its unit stay together even where the two do not fit with another word.
    assert all(len(line) <= width for line in lines)


@pytest.mark.parametrize("unit", ["%", "min", "degF", "in w.c.", "kWh", "cm2", "trips", "s"])
@pytest.mark.parametrize("width", [14, 17, 20, 23])
def test_a_number_stays_with_its_unit(unit: str, width: int) -> None:
    lines = wrap(f"one two three 12.5 {unit} four five 7 {unit} six", width)
    assert sum(f"12.5 {unit.split()[0]}" in line for line in lines) == 1
    assert sum(f" 7 {unit.split()[0]}" in f" {line}" for line in lines) == 1


def test_hyphens_do_not_break() -> None:
    assert wrap("the cut-out and the cut-in", 12) == ["the cut-out", "and the", "cut-in"]


def test_a_number_before_an_ordinary_word_may_break() -> None:
    assert wrap("after 12 standstills", 9) == ["after 12", "standstil", "ls"]


cells = st.text("abc 12.", max_size=8)


@given(st.integers(1, 5).flatmap(lambda n: st.lists(st.lists(cells, min_size=n, max_size=n), min_size=1)))
def test_columns_end_at_one_place(table: list[list[str]]) -> None:
    headers, rows = right_aligned(table[0], table[1:], 1)
    for i in range(len(headers)):
        widths = {len(line[i]) for line in [headers, *rows]}
        if i >= 1:
            assert len(widths) == 1
    stripped = [[cell.lstrip() for cell in line] for line in [headers, *rows]]
    assert stripped == [[cell.lstrip() for cell in line] for line in table]
    assert [headers[0], *(row[0] for row in rows)] == [line[0] for line in table]
