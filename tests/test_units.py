"""People's units: spellings, kinds, messages. Conversion factors against their definitions."""

from __future__ import annotations

import math
import subprocess
import sys

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dryermodel import units
from dryermodel.physics import fuel

INCH = 0.0254  # [m] exact by definition (international yard and pound agreement, 1959)
POUND = 0.45359237  # [kg] exact, same agreement
BTU_IT = 1055.05585262  # [J] international table Btu (ISO 31-4:1992 annex A)
INCH_OF_WATER = 249.08891  # [Pa] conventional (water at 4 degC, standard gravity), NIST SP 811 app. B.8


@pytest.mark.parametrize(
    ("text", "kind", "si"),
    [
        ("20 ft", "length", 20 * 12 * INCH),
        ("4 in", "length", 4 * INCH),
        ("8.45 lb", "mass", 8.45 * POUND),
        ("22000 Btu/h", "power", 22000 * BTU_IT / 3600),
        ("3.5 inH2O", "pressure", 3.5 * INCH_OF_WATER),
        ("320 cfm", "volume flow", 320 * (12 * INCH) ** 3 / 60),
        ("1025 Btu/ft3", "heating value", 1025 * BTU_IT / (12 * INCH) ** 3),
        ("1 psi", "pressure", POUND * 9.80665 / INCH**2),
        ("20 cm2", "area", 0.0020),
        ("0.5 1/h", "rate", 0.5 / 3600),
        ("490 J/(kg K)", "specific heat", 490.0),
        ("57.5 %", "fraction", 0.575),
        ("0.575", "fraction", 0.575),
        ("32 degF", "temperature", 273.15),
        ("212 degF", "temperature", 373.15),
        ("25 degC", "temperature", 298.15),
        ("18 delta_degF", "temperature difference", 10.0),
        ("18 degF", "temperature difference", 10.0),
        ("4000 ohm", "resistance", 4000.0),
        ("1/2 ft3", "volume", 0.5 * (12 * INCH) ** 3),
        ("3 1/2 in", "length", 3.5 * INCH),
    ],
)
def test_conversions(text: str, kind: str, si: float) -> None:
    assert units.parse(text, kind) == pytest.approx(si, rel=1e-9)


def test_inch_of_water_and_btu_are_those_of_the_gas_equations() -> None:
    assert units.parse("1 inH2O", "pressure") == pytest.approx(fuel.INCH_OF_WATER, rel=1e-12)
    assert units.parse("1 Btu", "energy") == pytest.approx(fuel.BTU, rel=1e-12)


@pytest.mark.parametrize(
    "text",
    [
        "3.5 inH2O", "3.5 in H2O", "3.5 in w.c.", "3.5 in. w.c.", "3.5 in wc", "3.5 inwc", "3.5 in W.C.",
        '3.5" w.c.', "3.5 inches of water", "3.5 inches water column", "3.5 in w.g.", "3.5 iwc", "3.5inH2O",
        "  3.5  inH2O ",
    ],
)  # fmt: skip
def test_spellings_of_inches_of_water(text: str) -> None:
    assert units.parse(text, "pressure") == units.parse("3.5 inH2O", "pressure")


@pytest.mark.parametrize(
    ("text", "same", "kind"),
    [
        ("75 F", "75 degF", "temperature"),
        ("75 deg F", "75 degF", "temperature"),
        ("75 degrees F", "75 degF", "temperature"),
        ("75 \N{DEGREE SIGN}F", "75 degF", "temperature"),
        ("22000 BTU/hr", "22000 Btu/h", "power"),
        ("22,000 Btu/hour", "22000 Btu/h", "power"),
        ("22000 Btuh", "22000 Btu/h", "power"),
        ("22 MBH", "22000 Btu/h", "power"),
        ("5.4 kW", "5400 W", "power"),
        ("140 CFM", "140 cfm", "volume flow"),
        ("140 ft3/min", "140 cfm", "volume flow"),
        ("140 cu ft/min", "140 cfm", "volume flow"),
        ("1025 BTU/cu ft", "1025 Btu/ft3", "heating value"),
        ("2 sq in", "2 in2", "area"),
        ("2 in^2", "2 in2", "area"),
        ("2 ft\N{SUPERSCRIPT THREE}", "2 ft3", "volume"),
        ("8.45 lbs", "8.45 lb", "mass"),
        ("8.45 pounds", "8.45 lb", "mass"),
        ("40 minutes", "40 min", "time"),
        ("2 hrs", "2 h", "time"),
        ("50 % RH", "50 %", "fraction"),
        ("50 rh", "50 %", "fraction"),
        ("50 percent", "50 %", "fraction"),
        ("0.5 ACH", "0.5 1/h", "rate"),
        ("0.5 air changes per hour", "0.5 1/h", "rate"),
        ("20 FEET", "20 ft", "length"),
    ],
)
def test_common_spellings(text: str, same: str, kind: str) -> None:
    assert units.parse(text, kind) == pytest.approx(units.parse(same, kind), rel=1e-12)


@pytest.mark.parametrize(
    ("text", "kind", "message"),
    [
        ("20", "length", "'20' has no unit; it is a length, written e.g. '20 ft'"),
        ("20 psi", "length", "is a length, e.g. '20 ft'; '20 psi' is a pressure"),
        ("4 in", "pressure", "is a pressure, e.g. '3.5 in w.c.'; '4 in' is a length"),
        ("20 ft", "fraction", "is a fraction, e.g. '57.5 %'; '20 ft' is a length"),
        ("5 delta_degF", "temperature", "'5 delta_degF' is a temperature difference"),
        ("3 Btu/ft3", "pressure", "'3 Btu/ft3' is a heating value"),
        ("1025 psi", "heating value", "'1025 psi' is a pressure"),
        ("20 parsec", "length", "unknown unit 'parsec'"),
        ("7 inH20", "pressure", "did you mean in w.c."),
        ("3,5 in", "length", "decimals take a point"),
        ("wide", "length", "'wide' is not a length"),
        ("", "length", "'' is not a length"),
        ("1e999 ft", "length", "too large"),
        ("20 ft**9999", "length", "unknown unit"),
        ("20 ft/0", "length", "unknown unit"),
        ("20 ((", "length", "unknown unit"),
        ("20 degF/ft", "length", "measures something else"),
        ("nan ft", "length", "is not a length"),
    ],
)
def test_messages(text: str, kind: str, message: str) -> None:
    with pytest.raises(ValueError) as problem:
        units.parse(text, kind)
    assert message in str(problem.value)


@pytest.mark.parametrize("kind", units.KINDS)
def test_every_kind_reads_its_own_example_and_units(kind: str) -> None:
    wanted = units.KINDS[kind]
    assert math.isfinite(units.parse(wanted.example, kind))
    for unit in wanted.written_in:
        assert units.parse(f"1 {unit}", kind) > 0.0


@given(kind=st.sampled_from(sorted(units.KINDS)), number=st.floats(1e-3, 1e6), data=st.data())
def test_format_is_undone_by_parse(kind: str, number: float, data: st.DataObject) -> None:
    unit = data.draw(st.sampled_from(units.KINDS[kind].written_in or ("",)))
    if kind == "temperature difference" and not unit.startswith("delta"):
        unit = "delta_degF"
    si = units.parse(f"{number!r} {unit}", kind)
    assert units.parse(units.format(si, unit, significant=15), kind) == pytest.approx(si, rel=1e-12)


@given(st.integers(0, 10**6), st.sampled_from([1, 10, 100]))
def test_a_percentage_is_rounded_once(number: int, parts: int) -> None:
    assert units.parse(f"{number / parts!r} %", "fraction") == number / parts / 100


@given(st.floats(-1e15, 1e15), st.integers(1, 12))
def test_digits_keep_every_whole_digit(number: float, significant: int) -> None:
    text = units.digits(number, significant)
    assert "e+" not in text
    assert float(text) == pytest.approx(number, rel=0.51 * 10.0 ** (1 - significant))
    if abs(number) >= 10.0**significant:
        assert float(text) == pytest.approx(number, abs=0.5)


@given(st.text(max_size=30), st.sampled_from(sorted(units.KINDS)))
def test_any_text_gives_a_number_or_a_value_error(text: str, kind: str) -> None:
    try:
        assert isinstance(units.parse(text, kind), float)
    except ValueError as problem:
        assert str(problem)


@given(st.text("0123456789abcdefFHWhmkst.%/*^() -", max_size=20).map(lambda t: "1 " + t))
def test_any_unit_gives_a_number_or_a_value_error(text: str) -> None:
    try:
        assert isinstance(units.parse(text, "length"), float)
    except ValueError as problem:
        assert str(problem)


def test_a_missing_units_library_is_not_called_an_unknown_unit() -> None:
    code = "import sys; sys.modules['pint'] = None; from dryermodel import units; units.parse('1 kg', 'mass')"
    done = subprocess.run([sys.executable, "-c", code], check=False, capture_output=True, text=True)
    assert "ModuleNotFoundError: import of pint" in done.stderr or "No module named 'pint'" in done.stderr
    assert "unknown unit" not in done.stderr


def test_a_units_library_that_does_not_start_is_not_called_an_unknown_unit(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def fails() -> None:
        raise TypeError("parts of it do not fit together")

    monkeypatch.setattr(units, "registry", fails)
    units._known_unit.cache_clear()
    with pytest.raises(TypeError, match="do not fit together"):
        units.parse("1 kg", "mass")


def test_importing_the_module_does_not_import_pint() -> None:
    code = "import sys, dryermodel.units; sys.exit('pint' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
