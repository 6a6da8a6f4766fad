"""The switchings in plain words."""

from __future__ import annotations

from functools import cache

import pytest
from scipy.optimize import brentq

from dryermodel.cycle.engine import state as Y
from dryermodel.cycle.result import CycleResult
from dryermodel.cycle.run.simulate import run_cycle
from dryermodel.scenario.model import load_scenario
from dryermodel.scenario.run import simulate
from tests.cycle.cases import parameters, run, run_changed

MARKS = {"marked moisture", "moisture asked for", "time limit"}


def texts(r: CycleResult) -> list[str]:
    return [f"{e.cause}: {e.text}" for e in r.events]


def test_events_of_the_standard_cycle(standard_result: CycleResult) -> None:
    """Start, light, first cut-out, relight, cool-down, end: in this order, in the trade's words."""
    said = texts(standard_result)
    assert said[0].startswith("start pressed: motor runs, heat circuit fed, igniter on")
    assert "burner lights" in said[1]
    assert "igniter off" in said[1]
    expected = (
        "marked moisture",
        "exhaust thermostat opens",
        "flame sensor recloses",
        "exhaust thermostat closes",
    )
    places = [next(i for i, text in enumerate(said) if phrase in text) for phrase in expected]
    assert places == sorted(places)
    assert any(text.startswith("timer dial: timer opens its heat contact: cool-down") for text in said[:-1])
    assert said[-1].startswith("timer dial: timer reaches the end of the dial")
    assert "motor stops" in said[-1]


def test_times_ascend_and_end_with_the_cycle(standard_result: CycleResult) -> None:
    times = [e.time for e in standard_result.events]
    assert times == sorted(times)
    assert times[0] == 0.0
    assert times[-1] == standard_result.cycle_time


def test_first_burn_is_told_with_its_time(standard_result: CycleResult) -> None:
    """The igniter's 15 s, to the microsecond."""
    lit = next(e for e in standard_result.events if "burner lights" in e.changes)
    assert lit.time == pytest.approx(15.0, abs=1e-6)


def test_thermostat_opening_puts_the_burner_out_and_starts_the_timer(standard_result: CycleResult) -> None:
    """In one event: the reason an apprentice looks for."""
    opened = next(e for e in standard_result.events if "exhaust thermostat opens" in e.changes)
    assert {"burner goes out", "timer runs"} <= set(opened.changes)
    closed = next(e for e in standard_result.events if "exhaust thermostat closes" in e.changes)
    assert "timer stands still" in closed.changes


@pytest.mark.parametrize(("tolerance", "vent"), [(1e-5, 1.0), (1e-6, 1.0), (1e-7, 1.0), (1e-5, 8.0)])
def test_every_event_changes_something(tolerance: float, vent: float) -> None:
    """Marks apart, an event without a change is none: a lit burner's sensor rests at exactly 1 and does
    not open a second time because its value was rounded on the way."""
    r = run_changed(rel_tolerance=tolerance, vent_resistance_factor=vent)
    assert [e for e in r.events if not e.changes and e.cause not in MARKS] == []


def test_a_sensor_that_cools_without_having_opened_is_no_event() -> None:
    """Timed: the heat ends while the igniter is still warming up; nothing switches half a minute later."""
    r = run("controls.program=timed")
    assert [e for e in r.events if not e.changes and e.cause not in MARKS] == []


def test_electric_heater_has_its_own_words() -> None:
    said = " ".join(texts(run("machine.heat=electric")))
    assert "heater on" in said
    assert "heater off" in said
    assert "igniter" not in said
    assert "burner" not in said


def test_words_are_ascii() -> None:
    """A legacy console prints them when piped."""
    for overrides in ((), ("machine.heat=electric",), ("vent.resistance_factor=8",)):
        assert "".join(texts(run(*overrides))).isascii()


# unlike pieces ----------------------------------------------------------------------------------


@cache
def family(*overrides: str) -> CycleResult:
    return simulate(load_scenario("family_load", list(overrides)))


def marks(r: CycleResult) -> dict[str, float]:
    """What came down to the marked moisture, and when."""
    return {e.text: e.time for e in r.events if e.cause == "marked moisture"}


@pytest.mark.parametrize("level", ["4 %", "10 %", "62.5 %"])
def test_each_kind_is_told_when_it_passes_the_marked_moisture(level: str) -> None:
    """At the zero of its own moisture along the run, found by bracketing between the samples; a kind that
    starts below the mark or never gets there is not told."""
    r = family(f"controls.marked_moisture={level}", "controls.dryness=very dry")
    mark, expected = r.parameters.marked_moisture, {}
    for i, piece in enumerate(r.by_piece):
        wet = piece.moisture > mark
        if wet[0] and not wet.all():
            j = int(wet.argmin())
            times = r.series["time_s"][j - 1], r.series["time_s"][j]
            at = brentq(lambda t, i=i: Y.moisture_of(r.trajectory.at(t), i) - mark, *times, xtol=1e-9)
            expected[f"{piece.name} at {level}"] = at
    assert len(expected) >= 1
    found = {text: at for text, at in marks(r).items() if not text.startswith("whole load")}
    assert found == pytest.approx(expected, abs=1e-6)


def test_the_mark_of_the_load_is_told_from_those_of_its_kinds() -> None:
    r = family("controls.dryness=very dry")
    at = marks(r)["whole load at 4 %"]
    assert at == r.time_to_marked
    assert r.sample([at])["moisture"] == pytest.approx([0.04], abs=1e-6)


def test_events_with_kinds_stay_in_order() -> None:
    r = family()
    times = [e.time for e in r.events]
    assert times == sorted(times) and times[-1] == r.cycle_time
    assert len(times) == len(set(zip(times, (e.text for e in r.events), strict=True)))


def test_equal_kinds_pass_with_the_load() -> None:
    p = parameters()
    halves = {n: (getattr(p, n)[0],) * 2 + getattr(p, n)[2:] for n in p._fields if n.startswith("piece_")}
    r = run_cycle(p._replace(**halves | {"piece_share": (0.5, 0.5, 0.0, 0.0)}))
    found = marks(r)
    assert len(found) == 3
    assert list(found.values()) == pytest.approx([r.time_to_marked] * 3, abs=1e-3)


def test_a_load_of_one_kind_has_its_one_mark(standard_result: CycleResult) -> None:
    assert list(marks(standard_result)) == ["reached"]
