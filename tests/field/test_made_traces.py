"""Logs made from the model, read back: errors against the cycle's own readings."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pytest

from dryermodel.cycle.result import CycleResult
from dryermodel.field.measurements import find_measurement
from dryermodel.field.traces.limit import trips, turn
from dryermodel.field.traces.outcome import KINDS, SI_UNITS
from dryermodel.field.traces.reading import Trace, read_run, read_trace
from dryermodel.field.traces.runs import cut_out
from dryermodel.scenario.model import load_scenario
from dryermodel.scenario.run import simulate
from dryermodel.units import KINDS as UNIT_KINDS
from tests.field import errors
from tests.field.logs import CHANGES, HALF_MINUTE, SECOND, Made, Manner, examples, made

DOCUMENT = Path(__file__).parents[2] / "docs" / "traces.md"


@pytest.fixture(scope="module")
def family() -> CycleResult:
    return simulate(load_scenario("family_load"))


@pytest.fixture(scope="module")
def limited() -> CycleResult:
    """The high limit ends the first seven burns, the thermostat the others."""
    return simulate(load_scenario("long_vent"))


def read(result: CycleResult, manner: Manner, seed: int) -> tuple[Made, Trace]:
    log = made(result, manner, seed)
    return log, read_run(cut_out(log.log))


WITHIN = {
    # Of a log with a reading every second [SI]: switchings to the second, a probe's lag, a meter's noise.
    "cycle time": 1.0, "first burn": 1.5, "burner on early": 1.0, "burner off early": 1.0,
    "burner on late": 1.0, "burner off late": 1.0, "burner cycles": 0.0, "ignition tries": 0.0,
    "time to flame": 0.5, "exhaust temperature": 1.5, "cut-out temperature": 1.5, "cut-in temperature": 2.0,
    "peak exhaust temperature": 1.5, "motor power early": 3.0, "motor power late": 1.5, "igniter power": 2.0,
}  # fmt: skip


@pytest.mark.parametrize("seed", [1, 2])
def test_a_reading_every_second_gives_all(family: CycleResult, seed: int) -> None:
    log, trace = read(family, SECOND, seed)
    found = {f.name: f for f in trace.found}
    assert set(found) == set(WITHIN) | {"electricity used"}
    for name, within in WITHIN.items():
        assert found[name].value == pytest.approx(log.truth[name], abs=within), name
    assert found["electricity used"].value == pytest.approx(log.truth["electricity used"], rel=1e-3)


def test_reports_of_changes_are_as_good_as_a_reading_every_second(family: CycleResult) -> None:
    log, trace = read(family, CHANGES, 1)
    assert not trace.run.log.steady
    assert 4.0 < trace.run.log.least < 6.0  # it reports a change of 5 W
    for f in trace.found:
        if f.name in ("cycle time", "first burn", "burner on early", "burner off late"):
            assert f.value == pytest.approx(log.truth[f.name], abs=3.0), f.name


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_half_minutes_miss_glows_and_say_so(family: CycleResult, seed: int) -> None:
    log, trace = read(family, HALF_MINUTE, seed)
    found = {f.name: f for f in trace.found}
    p = trace.power
    assert p is not None and p.unseen + len(p.glows) == found["ignition tries"].value
    assert p.unseen > 0 and any("misses glows" in note for note in trace.notes)
    for name in ("burner on late", "burner off late", "cycle time", "time to flame"):
        assert abs(found[name].value - log.truth[name]) < 4.0 * found[name].accuracy, name
        assert found[name].accuracy > 2.0


def test_trips_of_the_limit_are_told_from_the_thermostat(limited: CycleResult) -> None:
    """The limit's gaps are those of the flame sensor, the thermostat's four times as long."""
    log, trace = read(limited, SECOND, 1)
    found = {f.name: f for f in trace.found}
    assert abs(found["high-limit trips"].value - log.truth["high-limit trips"]) <= 1.0
    assert found["burner off early"].value == pytest.approx(log.truth["burner off early"], abs=1.0)
    assert found["burner on late"].value == pytest.approx(log.truth["burner on late"], abs=1.0)
    assert trace.wet[0] and not trace.wet[-1]


def test_no_trips_are_read_into_a_healthy_log(family: CycleResult) -> None:
    for manner in (SECOND, HALF_MINUTE):
        assert "high-limit trips" not in {f.name for f in read(family, manner, 4)[1].found}


def test_where_gaps_change_their_length() -> None:
    assert turn([34.0, 32.0, 33.0, 90.0, 91.0]) == 3
    assert turn([33.0]) is None and turn([]) is None
    assert turn([60.0, 62.0, 66.0, 71.0, 77.0, 84.0]) is None  # a drift is no turn
    assert trips((True, False, False), [34.0, 62.0], ()) == pytest.approx((1.0, 1.011, 1), abs=1e-3)
    assert trips((False, False, False), [34.0, 62.0], (345.0, 345.0, 345.0)) is None


def test_early_and_late_are_halves(family: CycleResult) -> None:
    """Of seven gaps the fourth counts in both halves, as in the engine."""
    trace = read(family, SECOND, 1)[1]
    lengths = [gap.length.time for gap in trace.gaps]
    found = {f.name: f.value for f in trace.found}
    assert len(lengths) == 7
    assert found["burner off early"] == pytest.approx(np.mean(lengths[:4]))
    assert found["burner off late"] == pytest.approx(np.mean(lengths[3:]))
    strokes = [burn.length.time for burn in trace.burns[1:]]
    assert found["burner on early"] == pytest.approx(np.mean(strokes[:4]))


def test_temperature_without_power(family: CycleResult) -> None:
    """A probe alone: burns within some seconds, no igniter, no length of the run."""
    log = made(family, SECOND, 3)
    alone = log.log._replace(values={"temperature": log.log.values["temperature"]})
    found = {f.name: f for f in read_run(cut_out(alone)).found}
    for name in ("burner on late", "burner off late"):
        assert found[name].value == pytest.approx(log.truth[name], abs=6.0), name
    assert found["cut-out temperature"].value == pytest.approx(log.truth["cut-out temperature"], abs=2.0)
    assert not set(found) & {"cycle time", "ignition tries", "motor power early"}


def test_a_log_of_current(family: CycleResult, tmp_path: Path) -> None:
    """Current as a clamp shows it: switchings and amperes are read, watts are not."""
    from dryermodel.machine.motor import line_current

    log = made(family, SECOND, 5)
    power = log.log.values["power"]
    motor = np.where(power > 450.0, 235.0, power)
    amperes = [line_current(m, p - m, 120.0) for m, p in zip(motor, power, strict=True)]
    rows = (f"{t:.0f},{a:.3f}" for t, a in zip(log.log.time, amperes, strict=True))
    (tmp_path / "clamp.csv").write_text("\n".join(["s,amps", *rows]) + "\n", encoding="utf-8")
    trace = read_trace(tmp_path / "clamp.csv")
    found = {f.name: f.value for f in trace.found}
    assert found["burner on late"] == pytest.approx(log.truth["burner on late"], abs=2.0)
    assert found["igniter current"] == pytest.approx(max(amperes), abs=0.1)
    assert found["motor current"] == pytest.approx(line_current(229.0, 0.0, 120.0), abs=0.1)
    assert not set(found) & {"motor power early", "igniter power", "electricity used"}
    assert any("assumed" in note for note in trace.notes)


def test_names_and_kinds_are_those_of_the_table() -> None:
    for name, kind in KINDS.items():
        entry = find_measurement(name)
        assert (entry.name, entry.kind) == (name, kind)
        assert UNIT_KINDS[kind].si_unit == (SI_UNITS[kind] or "1")


def test_example_logs_are_those_of_the_model() -> None:
    for file, text in examples().items():
        assert file.read_text(encoding="utf-8") == text, "python -m tests.field.logs --write"


def test_errors_in_the_document_are_those_of_a_second_look(family: CycleResult) -> None:
    """A few logs more: each error within the spread that the document states for that manner."""
    told = (
        DOCUMENT.read_text(encoding="utf-8")
        .partition("**A reading every second**")[2]
        .partition("**A reading")[0]
    )
    rows = dict(re.findall(r"^\| ([a-z -]+) \| (?:\w* )?\| (.*) \|$", told, re.M))
    assert len(rows) > 15
    found = errors.errors([("family_load", family)], "every second", [11])
    for name, pairs in found.items():
        _, bias, spread, sigma, _ = (float(x) for x in rows[name].split(" | "))
        scale = errors.UNITS[KINDS[name]][0]
        limit = abs(bias) + 4.0 * spread + sigma
        assert all(abs(e) * scale <= limit for e, _ in pairs), name
