"""The switchings in plain words."""

from __future__ import annotations

import pytest

from dryermodel.cycle.result import CycleResult
from tests.cycle.cases import run, run_changed

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
    assert times[-1] == standard_result.duration


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
