"""Spellings of quantities: what each means, whatever its capitals, and what is refused as unclear."""

from __future__ import annotations

import math
import re
import unicodedata
from functools import cache
from pathlib import Path

import pint
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from dryermodel import units
from dryermodel.unit_names import DEGREES, UNIT_WORDS
from dryermodel.written import typed_plainly, unquoted

DOC = Path(__file__).parent.parent / "docs" / "scenarios.md"
CASE_MATTERS = {"mw", "mj", "mpa", "mv", "ma", "mwh", "mohm"}
SPELLINGS = sorted(
    {word for name, others in UNIT_WORDS.items() for word in (name, *others.split())} - {"ft**3"}
)
IN_SEVERAL_WORDS = ["in w.c.", "inches of water", "cu ft", "cubic feet", "sq in", "deg F", "degrees Celsius",
                    "Btu per hour", "btuh", "mbh", "ft3/min", "BTU/cu ft", "Btu/cf", "air changes per hour",
                    "kg/m3", "kJ/(kg K)", "W/K", "USD/therm", "% rh"]  # fmt: skip
OF_OUR_OWN = {"CCF", "MCF", "cfh", "fpm", "MMBtu", "inH2O", "mmH2O", "inHg", "cfm", "%", "gal", "ft**3",
              "delta_degC", "delta_degF", "degC", "degF", "money", "mil",
              *re.findall(r"[A-Z]{3}", " ".join(UNIT_WORDS))}  # fmt: skip


@cache
def library() -> pint.UnitRegistry[float]:
    """Return the units library with its own full list, as a judge of ours."""
    return pint.UnitRegistry()


# ------------------------------------------------------------------------------------- the document


def rows(heading: str) -> list[tuple[list[str], str, tuple[float, float] | None, str]]:
    """Return the rows of the table under a heading: spellings, kind, range, last column."""
    section = DOC.read_text(encoding="utf-8").partition(f"\n### {heading}\n")[2].partition("\n#")[0]
    found = []
    for line in section.splitlines():
        cells = [cell.strip() for cell in line.strip("|").split("|")]
        wanted = (
            re.fullmatch(r"([a-z ]+?)(?: \(([^()]+) to ([^()]+)\))?", cells[1]) if len(cells) == 3 else None
        )
        if wanted and wanted[1] in units.KINDS:
            kind = wanted[1]
            within = (units.parse(wanted[2], kind), units.parse(wanted[3], kind)) if wanted[2] else None
            found.append((re.findall(r"`([^`]+)`", cells[0]), kind, within, cells[2]))
    return found


@pytest.mark.parametrize(("spellings", "kind", "within", "meaning"), rows("Spellings that are read"))
def test_documented_spelling_means_what_stands_beside_it(
    spellings: list[str], kind: str, within: tuple[float, float] | None, meaning: str
) -> None:
    assert spellings
    for text in spellings:
        assert units.parse(text, kind, within) == pytest.approx(
            units.parse(meaning.strip("`"), kind), rel=1e-12
        ), text


@pytest.mark.parametrize(("spellings", "kind", "within", "why"), rows("Spellings that are refused"))
def test_documented_refusal(
    spellings: list[str], kind: str, within: tuple[float, float] | None, why: str
) -> None:
    assert spellings
    for text in spellings:
        with pytest.raises(ValueError, match=re.escape(why.strip("`"))):
            units.parse(text, kind, within)


def test_both_tables_are_found() -> None:
    assert len(rows("Spellings that are read")) > 15
    assert len(rows("Spellings that are refused")) > 5


# ----------------------------------------------------------------------------------- units, capitals


@pytest.mark.parametrize("word", sorted(set(UNIT_WORDS) - OF_OUR_OWN))
def test_units_are_those_of_the_library(word: str) -> None:
    # Its own list is five figures at worst (millimetre of mercury, Btu).
    kind = units.kind_of(word)
    ours = units.parse(f"1 {word}", kind) if kind else units.convert(1.0, word) ** -1
    assert ours == pytest.approx(float(library().Quantity(1.0, word).to_base_units().magnitude), rel=2e-5)


@given(st.sampled_from(SPELLINGS), st.integers(1, 10**6))
def test_other_spellings_of_a_unit_are_the_unit(word: str, number: int) -> None:
    name = next(name for name, others in UNIT_WORDS.items() if word in (name, *others.split()))
    kind = units.kind_of(name)
    assume(kind)
    si = units.parse(f"{number} {word}", kind)
    assert si == units.parse(f"{number} {name}", kind)
    if not name.startswith("deg"):
        assert units.parse(units.format(si, name, 15), kind) == pytest.approx(si, rel=1e-12)


def in_any_case(draw: st.DrawFn, word: str) -> str:
    upper = draw(st.lists(st.booleans(), min_size=len(word), max_size=len(word)))
    return "".join(c.upper() if up else c.lower() for c, up in zip(word, upper, strict=True))


@given(st.data(), st.sampled_from([*SPELLINGS, *IN_SEVERAL_WORDS]))
def test_capitals_change_no_meaning(data: st.DataObject, word: str) -> None:
    changed = data.draw(st.composite(in_any_case)(word))
    kind = units.kind_of(word)
    assume(kind)
    try:
        si = units.parse(f"3 {changed}", kind)
    except ValueError as problem:
        assert word.lower() in (*CASE_MATTERS, "m"), problem
        assert "capitals matter" in str(problem) or "'M' is a thousand to some" in str(problem)
    else:
        exact = changed in UNIT_WORDS and word.lower() in CASE_MATTERS
        assert si == units.parse(f"3 {changed if exact else word}", kind)


@pytest.mark.parametrize("small", sorted(CASE_MATTERS))
def test_milli_and_mega_are_read_exactly_or_not_at_all(small: str) -> None:
    exact = [name for name in UNIT_WORDS if name.lower() == small]
    assert len(exact) == 2
    kind = units.kind_of(exact[0])
    milli, mega = (units.convert(1.0, name) for name in sorted(exact, reverse=True))
    assert milli / mega == pytest.approx(1e9)
    for written in {small, small.upper(), small.capitalize()} - set(exact):
        with pytest.raises(ValueError, match=f"capitals matter in '{written}'"):
            units.parse(f"3 {written}", kind or "power")


def test_no_unit_of_another_length_slips_in_by_a_prefix() -> None:
    for odd in ("kft", "cin", "hlb", "Mm", "cd"):
        if odd != "Mm":
            with pytest.raises(ValueError, match="unknown unit"):
                units.kind_of(odd)
    assert units.parse("4 Mm", "length") == units.parse("4 mm", "length")


# ---------------------------------------------------------------------------------- written numbers


@given(st.integers(0, 500), st.integers(1, 63), st.integers(2, 64), st.sampled_from([" ", "-"]))
def test_fractions_of_an_inch(whole: int, top: int, bottom: int, between: str) -> None:
    assume(top < bottom)
    expected = (whole + top / bottom) * 0.0254
    assert units.parse(f"{whole}{between}{top}/{bottom} in", "length") == pytest.approx(expected, rel=1e-12)
    assert units.parse(f"{top}/{bottom}\N{DOUBLE PRIME}", "length") == pytest.approx(top / bottom * 0.0254)


VULGAR = [c for c in map(chr, range(0x2190)) if unicodedata.decomposition(c).startswith("<fraction>")]


@pytest.mark.parametrize(
    "character", [c for c in VULGAR if unicodedata.numeric(c, 0.0) > 0.0 and c != "\u215f"]
)
def test_printed_fractions(character: str) -> None:
    share = unicodedata.numeric(character)
    assert units.parse(f"{character} ft", "length") == pytest.approx(share * 0.3048)
    assert units.parse(f"2{character}'", "length") == pytest.approx((2 + share) * 0.3048)


@given(st.integers(0, 99), st.integers(0, 11), st.integers(0, 15))
def test_several_units_add_up(large: int, inches: int, ounces: int) -> None:
    length = large * 0.3048 + inches * 0.0254
    for text in (
        f"{large} ft {inches} in",
        f"{large}'{inches}\"",
        f"{large}ft{inches}in",
        f"{large} ft, {inches} in",
    ):
        assert units.parse(text, "length") == pytest.approx(length, rel=1e-12)
    assert units.parse(f"-{large} ft {inches} in", "length") == pytest.approx(-length, rel=1e-12)
    mass = (large * 16 + ounces) * 0.45359237 / 16
    assert units.parse(f"{large} lb {ounces} oz", "mass") == pytest.approx(mass, rel=1e-12)
    assert units.parse(f"{large} pounds and {ounces} ounces", "mass") == pytest.approx(mass, rel=1e-12)


@given(st.integers(0, 99), st.integers(0, 59), st.integers(0, 59))
def test_times_in_several_units_and_with_colons(hours: int, minutes: int, seconds: int) -> None:
    whole = hours * 3600.0 + minutes * 60.0 + seconds
    for text in (
        f"{hours} h {minutes} min {seconds} s",
        f"{hours}h{minutes}min{seconds}s",
        f"{hours}:{minutes:02}:{seconds:02}",
    ):
        assert units.parse(text, "time") == whole
    assert units.parse(f"{minutes}:{seconds:02} min", "time") == minutes * 60.0 + seconds
    assert units.parse(f"{hours}:{minutes:02} h", "time") == hours * 3600.0 + minutes * 60.0


@given(st.integers(0, 300), st.integers(0, 59), st.floats(0.0, 1e6), st.floats(0.0, 1e6))
def test_a_colon_is_read_where_it_can_mean_one_thing(first: int, last: int, a: float, b: float) -> None:
    low, high = sorted((a, b))
    text, stopwatch, clock = f"{first}:{last:02}", first * 60.0 + last, first * 3600.0 + last * 60.0
    if low <= stopwatch <= high and not low <= clock <= high:
        assert units.parse(text, "time", (low, high)) == stopwatch
    else:
        with pytest.raises(ValueError, match=f"{first} min {last:02} s or {first} h {last:02} min"):
            units.parse(text, "time", (low, high))


def test_the_other_reading_of_a_colon_counts_up_to_the_very_end_of_the_range() -> None:
    assert units.parse("1:12", "time", (0.0, 4319.9)) == 72.0
    with pytest.raises(ValueError, match="could be"):
        units.parse("1:12", "time", (0.0, 4320.0))


@pytest.mark.parametrize("text", ["1:12:30", "1:12:30 h", "1:12:30 H", "1:12:30 Hours"])
def test_three_numbers_with_colons(text: str) -> None:
    assert units.parse(text, "time") == 4350.0
    assert units.parse("1:12 H", "time") == 4320.0
    with pytest.raises(ValueError, match="no time in minutes"):
        units.parse("1:12:30 min", "time")


@pytest.mark.parametrize("text", ["1 8/8 in", "1 9/8 in", "8/0 in", "2 0/0 in"])
def test_what_is_no_fraction(text: str) -> None:
    with pytest.raises(ValueError, match="is no fraction"):
        units.parse(text, "length")


@pytest.mark.parametrize(
    ("text", "bare"),
    [
        ("'4 in'", "4 in"),
        (' "4 in" ', "4 in"),
        ("' 4 in '", "4 in"),
        ('4"', '4"'),
        ("5' 6\"", "5' 6\""),
        ("'4\"'", '4"'),
        ('"', '"'),
        ("4 in", "4 in"),
        ("xyx", "xyx"),
        ("", ""),
    ],
)
def test_quotes_around_a_value_go_and_inch_marks_stay(text: str, bare: str) -> None:
    assert unquoted(text) == bare


@pytest.mark.parametrize("text", [" 20 ft ", "\n20 ft", "20 ft\t", "+20 ft", "- 20 ft", "-20 ft 0 in"])
def test_spaces_and_signs_around_a_number(text: str) -> None:
    assert abs(units.parse(text, "length")) == 20 * 12 * 0.0254
    assert (units.parse(text, "length") < 0.0) == ("-" in text)


@given(st.integers(-60, 800), st.sampled_from(DEGREES), st.sampled_from([(250.0, 320.0), (300.0, 420.0)]))
def test_degrees_of_no_scale_are_read_where_they_can_only_be_fahrenheit(
    number: int, word: str, within: tuple[float, float]
) -> None:
    fahrenheit, celsius = (number + 459.67) / 1.8, number + 273.15
    text = f"{number} {word}"
    if within[0] <= fahrenheit <= within[1] and not within[0] <= celsius <= within[1]:
        assert units.parse(text, "temperature", within) == pytest.approx(fahrenheit)
    else:
        with pytest.raises(ValueError, match=f"could be {number} degF or {number} degC"):
            units.parse(text, "temperature", within)


@given(st.sampled_from(["F", "degF", "C", "degC", "deg C", "\N{DEGREE SIGN}F"]), st.integers(-40, 400))
def test_a_difference_of_temperature_stays_another_kind(scale: str, number: int) -> None:
    step = 1.0 if scale.upper().endswith("C") else 1.0 / 1.8
    assert units.parse(f"{number} {scale}", "temperature difference") == pytest.approx(number * step)
    zero = units.parse(f"0 {scale}", "temperature")
    assert units.parse(f"{number} {scale}", "temperature") == pytest.approx(zero + number * step)
    with pytest.raises(ValueError, match="is a temperature difference"):
        units.parse(f"{number} delta_deg{scale[-1]}", "temperature")


@given(st.integers(1, 999), st.sampled_from(["k ", "K "]), st.sampled_from(["Btu/h", "BTU/H", "W"]))
def test_a_k_after_the_number_is_a_thousand(number: int, k: str, unit: str) -> None:
    assert units.parse(f"{number}{k}{unit}", "power") == pytest.approx(
        units.parse(f"{number}000 {unit}", "power")
    )


@pytest.mark.parametrize("text", ["297K", "297 K", "297 k", "297k"])
def test_kelvin_is_not_a_thousand(text: str) -> None:
    assert units.parse(text, "temperature") == 297.0


@given(
    st.text(alphabet="0123456789 /:.,½¼'\"”°kKftinlbozhms-", max_size=14),
    st.sampled_from(sorted(units.KINDS)),
)
def test_odd_numbers_give_a_finite_number_or_a_value_error(text: str, kind: str) -> None:
    try:
        assert math.isfinite(units.parse(text, kind))
    except ValueError as problem:
        assert str(problem)


@given(st.text(max_size=20))
def test_marks_of_a_keyboard_stay(text: str) -> None:
    once = typed_plainly(text)
    assert typed_plainly(once) == once or "''" in once or '"' in once
