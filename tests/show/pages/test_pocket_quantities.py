"""Quantities as people write them: the page reads and refuses what the command line reads and refuses."""

from __future__ import annotations

import math
import random
import re
from typing import Any

import pytest

from dryermodel import units
from dryermodel.show.pages.pocket.quantities import COMPOUND, KINDS, spellings
from dryermodel.unit_names import UNIT_WORDS
from tests.cycle.node import needs_node
from tests.show.pages.pocket_node import in_page

_PARSE = """
const answer = given.question.map(([text, kind, within]) => {
  try {
    return { si: written.parse(text, kind, within ?? undefined) };
  } catch (error) {
    return { problem: error.message };
  }
});
"""
SCRIPTS = ("core", "written")

WRITTEN = [
    ("13 lb 5 oz", "mass"),
    ("13lb5oz", "mass"),
    ("12 1/2 in", "length"),
    ('12-1/2"', "length"),
    ("3\u00bd\u201d", "length"),
    ("5' 6\"", "length"),
    ("5 ft and 6 in", "length"),
    ("1/2 cu ft", "volume"),
    ("1/2 ft\u00b3", "volume"),
    ("22k Btu/h", "power"),
    ("22,000 BTU/HR", "power"),
    ("22 000 Btu/h", "power"),
    ("0.9 in w.c.", "pressure"),
    ('0.9" WC', "pressure"),
    (".9 iwc", "pressure"),
    ("3.5 inches of water", "pressure"),
    ("75 deg F", "temperature"),
    ("75\u00b0F", "temperature"),
    ("75 degrees", "temperature"),
    ("24 C", "temperature"),
    ("+-3", "number"),
    ("- 4 degC", "temperature"),
    ("\u22124 degC", "temperature"),
    ("1:12", "time"),
    ("1:12:30", "time"),
    ("1:12 h", "time"),
    ("1:75", "time"),
    ("1h 5 min", "time"),
    ("1 min 75 s", "time"),
    ("1.5 min 5 s", "time"),
    ("74 mins.", "time"),
    ("57 % RH", "fraction"),
    ("0.57", "fraction"),
    ("57 percent", "fraction"),
    ("9e2 Pa", "pressure"),
    ("1e999 Pa", "pressure"),
    ("1/0 in", "length"),
    ("5 3/2 in", "length"),
    ("3,5 in w.c.", "pressure"),
    ("1,234 Pa", "pressure"),
    ("1,23 Pa", "pressure"),
    ("5 lb", "length"),
    ("5", "length"),
    ("", "length"),
    ("five ft", "length"),
    ("5 ducks", "length"),
    ("5 mA", "current"),
    ("5 ma", "current"),
    ("5 M", "length"),
    ("20 MBH", "power"),
    ("20 mbtu/h", "power"),
    ("70 cubic feet per minute", "volume flow"),
    ("70 CFM", "volume flow"),
    ("70 m3 / h", "volume flow"),
    ("700 ft/min", "speed"),
    ("12 sq in", "area"),
    ("12 in^2", "area"),
    ("12 in2", "area"),
    ("1025 Btu/ft3", "heating value"),
    ("1025 btu per cu ft", "heating value"),
    ("5 delta_degF", "temperature difference"),
    ("5 F", "temperature difference"),
    ("5 constructor", "mass"),
    ("9" * 300, "number"),
    ("5 kg 3", "mass"),
    ("120 volts", "voltage"),
    ("2.5 KWH", "energy"),
    ("1 therm", "energy"),
    ("1\u00a0000 Pa", "pressure"),
]


def drawn(count: int, seed: int) -> list[tuple[str, str]]:
    """Numbers and units put together in all the ways that look like something."""
    draw = random.Random(seed)
    numbers = ["5", "0.5", ".5", "5.", "1/2", "2 1/2", "2-1/2", "1,250", "12e2", "0",
               "007", "-3", "+ 3", "1:05",
               "22k ", "\u00bc", "5,5", "1.2.3", "5/4"]  # fmt: skip
    names = [
        *UNIT_WORDS,
        *COMPOUND,
        "deg",
        "deg f",
        "\u00b0C",
        '"',
        "'",
        "lbs.",
        "hrs",
        "in. w.c.",
        "sq. ft.",
        "rh",
        "xyz",
    ]
    found = []
    for _ in range(count):
        kind = draw.choice(KINDS)
        own = names if draw.random() < 0.3 else [*spellings(kind)]
        text = f"{draw.choice(numbers)}{draw.choice(['', ' ', '  '])}{draw.choice(own)}"
        if draw.random() < 0.25:
            text += f"{draw.choice([' ', ', ', ' and ', ''])}{draw.choice(numbers)} {draw.choice(own)}"
        if draw.random() < 0.2:
            text = draw.choice([str.upper, str.lower])(text)
        found.append((text, kind))
    return found


def by_command(text: str, kind: str, within: tuple[float, float] | None) -> float | None:
    """What the command line makes of it; None if it refuses."""
    try:
        return units.parse(text, kind, within)
    except ValueError:
        return None


@needs_node
@pytest.mark.parametrize("within", [None, (0.0, 3600.0)], ids=["anything", "up to an hour"])
def test_page_and_command_read_the_same(within: tuple[float, float] | None) -> None:
    """Values to rounding; where they differ, the page refuses and never guesses."""
    cases = [*WRITTEN, *drawn(3000, seed=11)]
    question = [[text, kind, within] for text, kind in cases]
    told: list[dict[str, Any]] = in_page(_PARSE, question, SCRIPTS)
    refused = []
    read = 0
    for (text, kind), page in zip(cases, told, strict=True):
        value = by_command(text, kind, within)
        if value is None:
            assert "si" not in page, (text, kind, page)
        elif "si" in page:
            read += 1
            assert math.isclose(page["si"], value, rel_tol=1e-12, abs_tol=1e-12), (text, kind)
        else:
            refused.append((text, kind, page["problem"]))
    assert read > 250
    assert [one for one in refused if not re.search(r"%\s*\d", one[0])] == []  # "5 % 2 1/2" is no unit


@needs_node
def test_a_bare_number_is_meant_in_the_unit_shown() -> None:
    script = "const answer = given.question.map((one) => reading.withUnit(...one));"
    cases = {("75", "time", "min"): "75 min", ("12 1/2", "length", "in"): "12 1/2 in",
             ("1:15", "time", "min"): "1:15", (" 75 s", "time", "min"): "75 s",
             ("26", "number", ""): "26", ("x", "time", "min"): "x"}  # fmt: skip
    assert in_page(script, [list(case) for case in cases], (*SCRIPTS, "reading")) == list(cases.values())
