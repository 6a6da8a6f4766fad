"""Numbers in the units people read, and text any console can print."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dryermodel.kinds import KINDS
from dryermodel.readings import quantities as Q
from dryermodel.units import convert


@pytest.mark.parametrize("kind", sorted(KINDS))
@pytest.mark.parametrize("si", [False, True])
def test_every_kind_has_a_unit_that_converts(kind: str, si: bool) -> None:
    shown = Q.display(kind, si)
    assert float(Q.scaled(300.0, kind, si)) == pytest.approx(convert(300.0, shown.unit))
    assert shown.label.isascii()


def test_defined_conversions() -> None:
    """By definition: 32 degF = 273.15 K, 1 in w.c. = 249.08891 Pa, 1 cfm = 0.3048**3/60 m3/s."""
    assert Q.text(273.15, "temperature", False) == "32 degF"
    assert Q.text(273.15, "temperature", True) == "0 degC"
    assert Q.text(249.08891, "pressure", False) == "1.00 in w.c."
    assert Q.text(100.0 * 0.3048**3 / 60.0, "flow", False) == "100 cfm"
    assert Q.text(3.6e6 / 0.45359237, "energy per water", False) == "1.00 kWh/lb"
    assert Q.text(10.0, "temperature difference", False) == "18 degF"


def test_a_ratio_has_no_unit_and_no_trailing_space() -> None:
    assert Q.text(1.25, "ratio", False, 2) == "1.25"


@given(st.floats(min_value=-1e-3, max_value=1e-3))
def test_no_minus_before_a_zero(value: float) -> None:
    assert Q.number(value, "mass", False) in {"0.00"}


@given(st.text())
def test_printable_is_one_line_as_typed(words: str) -> None:
    shown = Q.printable(words)
    assert shown == "" or shown.isprintable()
    assert all(c == "?" or c in words or c == " " for c in shown)
    assert shown == words or not words.isprintable() or words != " ".join(words.split())


@pytest.mark.parametrize(
    ("words", "shown"),
    [
        ("Caf\u00e9 \u4e7e", "Caf\u00e9 \u4e7e"),
        ("a\nb\tc", "a b c"),
        ("25 \u00b0C", "25 \u00b0C"),
        ("", ""),
        ("\x1b[31mred", "?[31mred"),
    ],
)
def test_printable_examples(words: str, shown: str) -> None:
    assert Q.printable(words) == shown
