"""``--si`` of what is made of a visit: the same numbers in metric units, and none of the trade's left."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from typer.testing import CliRunner

from dryermodel import units
from dryermodel.cli import app
from dryermodel.field.visit import load_visit, visit_of
from dryermodel.kinds import KINDS, metric_unit

TRADE = re.compile(r"\d (?:degF|in w\.c\.|inH2O|cfm|Btu(?:/h)?|therm|lb|fpm|ft)\b")
QUICK = ("--bank", "1000", "--fresh", "0")

VISIT = """\
scenario = "standard"
[[measurement]]
name = "vent static"
value = "1.11 in w.c."
[[measurement]]
name = "exhaust temperature"
value = "111 degF"
accuracy = "1 delta_degF"
[[measurement]]
name = "exhaust flow"
value = "69 cfm"
[[measurement]]
name = "gas input"
value = "22000 Btu/h"
[[work]]
did = "Vent cleared"
fault = "vent_blockage"
[[after]]
name = "vent static"
value = "0.49 in w.c."
"""


@pytest.fixture
def visit(tmp_path: Path) -> Path:
    file = tmp_path / "visit.toml"
    file.write_text(VISIT, encoding="utf-8")
    return file


def run(*words: str) -> str:
    done = CliRunner().invoke(app, list(words))
    assert done.exit_code == 0, done.output
    return done.stdout


def test_diagnose(visit: Path) -> None:
    """Same likelihoods and order; values as units converts them; not one of the trade's units."""
    trade, si = run("diagnose", str(visit), *QUICK), run("diagnose", str(visit), *QUICK, "--si")
    assert TRADE.search(trade)
    assert not TRADE.search(si)
    for value, unit in (
        ("1.11 in w.c.", "Pa"),
        ("111 degF", "degC"),
        ("69 cfm", "L/s"),
        ("22000 Btu/h", "kW"),
    ):
        kind = next(
            k for k in ("pressure", "temperature", "volume flow", "power") if units.kind_of(unit) == k
        )
        shown = units.digits(units.convert(units.parse(value, kind), unit), 3)
        assert f"{shown} {unit}" in si
    assert re.findall(r"^\S+ %", trade, re.M) == re.findall(r"^\S+ %", si, re.M)


@pytest.mark.parametrize("reader", ["customer", "technician"])
def test_report(reader: str, visit: Path, tmp_path: Path) -> None:
    pages = {}
    for name, option in (("trade", ()), ("si", ("--si",))):
        out = tmp_path / f"{name}.html"
        run("report", str(visit), "--for", reader, "-o", str(out), *QUICK, *option)
        pages[name] = re.sub(
            r"<style>.*?</style>|<svg.*?</svg>", "", out.read_text(encoding="utf-8"), flags=re.S
        )
    assert TRADE.search(pages["trade"])
    assert not TRADE.search(pages["si"])
    # 1.11 and 0.49 in w.c., 111 degF +- 1, 69 cfm
    for told in ("276 \u00b1 ", "122 \u00b1 ", "43.9 \u00b1 0.56 degC", "32.6 \u00b1 "):
        assert told in pages["si"]
    assert pages["si"].count(" kWh") >= 4


def test_tune_up_and_its_units() -> None:
    trade, si = run("tune-up"), run("tune-up", "--si")
    assert re.sub(r"(__ ).*", r"\1", trade) == re.sub(r"(__ ).*", r"\1", si)
    assert {"Pa", "L/s", "degC", "kW", "kg"} <= set(re.findall(r"__ (\S+)", si))


def test_the_metric_unit_measures_the_same() -> None:
    for kind in KINDS.values():
        if kind.trade.unit and "/lb" not in kind.trade.unit:
            assert units.kind_of(metric_unit(kind.trade.unit)) == units.kind_of(kind.trade.unit)


def test_a_recording_that_cannot_be_read_is_still_told(tmp_path: Path) -> None:
    shipped = load_visit("slow_towels")
    assert [m.value for m in shipped.in_si().evidence().measured] == [
        m.value for m in shipped.evidence().measured
    ]
    broken = visit_of('logs = ["none.csv"]\n', tmp_path / "visit.toml")
    assert [str(p) for p in broken.in_si().problems()] == [str(p) for p in broken.problems()] != []
