"""Door, start button and mains on the way."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from dryermodel.cycle.engine import state as Y
from dryermodel.cycle.reasons import EndReason
from dryermodel.cycle.result import CycleResult
from dryermodel.cycle.run.many import simulate_many
from dryermodel.cycle.run.simulate import run_cycle
from dryermodel.machine.circuit import DOOR_CLOSED, DOOR_OPENED, POWER_BACK, POWER_CUT, START_PRESSED
from dryermodel.studies.sweep.outcomes import end_reasons
from tests.cycle.cases import parameters, run

TEN = 600.0


def interrupted(*what: tuple[float, int], **fields: Any) -> CycleResult:
    return run_cycle(parameters()._replace(**fields), what)


def window(
    r: CycleResult, begin: float, end: float
) -> dict[str, np.ndarray[tuple[int], np.dtype[np.float64]]]:
    return r.sample(np.linspace(begin, end, 40))


def lit_after(r: CycleResult, t: float) -> float:
    return next(e.time for e in r.events if e.time > t and "burner lights" in e.changes)


@pytest.mark.parametrize(("event", "words"), [(DOOR_OPENED, "door opens"), (POWER_CUT, "power is cut")])
def test_it_stops_everything_and_does_not_restart_by_itself(event: int, words: str) -> None:
    """Motor, flame, timer: all at once; the run ends there, for nothing more can happen."""
    r = interrupted((TEN, event))
    assert r.end is EndReason.STOPPED
    assert r.cycle_time == TEN
    last = r.events[-1]
    assert {words, "motor stops", "burner goes out"} <= set(last.changes)
    assert "does not restart by itself" in r.end.value


@pytest.mark.parametrize(("event", "undone"), [(DOOR_OPENED, DOOR_CLOSED), (POWER_CUT, POWER_BACK)])
def test_closing_the_door_or_mains_coming_back_is_not_enough(event: int, undone: int) -> None:
    """Start is momentary and the motor latches itself: somebody must press it again."""
    r = interrupted((TEN, event), (TEN + 60.0, undone))
    assert r.end is EndReason.STOPPED
    assert r.cycle_time == TEN + 60.0
    assert not window(r, TEN + 1.0, TEN + 59.0)["motor"].any()


@pytest.mark.parametrize(("event", "undone"), [(DOOR_OPENED, DOOR_CLOSED), (POWER_CUT, POWER_BACK)])
def test_pressing_start_resumes_where_the_dial_stood(event: int, undone: int) -> None:
    r = interrupted((TEN, event), (TEN + 60.0, undone), (TEN + 90.0, START_PRESSED))
    assert r.end is EndReason.DIAL_RAN_OUT
    still = window(r, TEN + 0.5, TEN + 89.0)
    for name in ("motor", "heat", "timer_motor", "heat_call", "igniter", "electric_power_W"):
        assert not still[name].any(), name
    assert window(r, TEN + 91.0, TEN + 100.0)["motor"].all()
    assert r.timer_time == pytest.approx(780.0, abs=1e-6), "the dial lost nothing"
    assert 0.0 < r.cycle_time - run().cycle_time < 300.0


def test_dial_is_kept_over_a_stop_in_the_middle_of_its_travel() -> None:
    """Opened while the timer runs (late in the cycle): the dial stands until start."""
    opened = next(e.time for e in run().events if "timer runs" in e.changes) + 5.0
    r = interrupted((opened, DOOR_OPENED), (opened + 100.0, DOOR_CLOSED), (opened + 100.0, START_PRESSED))
    before, after = (float(r.trajectory.at(t)[Y.DIAL]) for t in (opened - 1e-6, opened + 99.0))
    began = next(e.time for e in r.events if "timer runs" in e.changes)  # moved by the last step's length
    assert opened - began == pytest.approx(5.0, abs=0.01)
    assert before == pytest.approx(opened - began, abs=1e-5)
    assert after == pytest.approx(before, abs=1e-5)
    assert r.end is EndReason.DIAL_RAN_OUT


@pytest.mark.parametrize("pause", [2.0, 15.0, 29.0, 40.0, 90.0])
def test_no_gas_before_the_flame_sensor_has_reclosed(pause: float) -> None:
    """After a lost heat call: 30 s to reclose from flame-out, and 15 s of igniter from the restart at
    the soonest, however quickly somebody presses start."""
    r = interrupted((TEN, DOOR_OPENED), (TEN + 1.0, DOOR_CLOSED), (TEN + pause, START_PRESSED))
    expected = max(TEN + 30.0, TEN + pause) + 15.0
    assert lit_after(r, TEN) == pytest.approx(expected, abs=1e-6)
    assert window(r, TEN + 0.1, expected - 0.1)["heat_released_W"].max() == 0.0


def test_start_pressed_while_running_or_with_the_door_open_does_nothing() -> None:
    assert interrupted((TEN, START_PRESSED)).cycle_time == pytest.approx(run().cycle_time, abs=1e-2)
    r = interrupted((TEN, DOOR_OPENED), (TEN + 10.0, START_PRESSED), (TEN + 20.0, DOOR_CLOSED))
    assert r.end is EndReason.STOPPED
    assert not window(r, TEN + 1.0, TEN + 20.0)["motor"].any()


def test_events_in_any_order_are_sorted() -> None:
    given = ((TEN + 90.0, START_PRESSED), (TEN, DOOR_OPENED), (TEN + 60.0, DOOR_CLOSED))
    a, b = interrupted(*given), interrupted(*sorted(given))
    assert a.cycle_time == b.cycle_time
    assert (a.final == b.final).all()


def test_event_at_the_very_start() -> None:
    r = interrupted((0.0, DOOR_OPENED))
    assert r.end is EndReason.STOPPED
    assert r.cycle_time == 0.0
    assert r.gas_energy == 0.0


def test_event_after_the_end_changes_nothing() -> None:
    assert interrupted((7200.0, DOOR_OPENED)).cycle_time == run().cycle_time


def test_two_events_at_the_same_time() -> None:
    """Closed and started in the same second, as written; the machine resumes."""
    r = interrupted((TEN, DOOR_OPENED), (TEN + 60.0, DOOR_CLOSED), (TEN + 60.0, START_PRESSED))
    assert r.end is EndReason.DIAL_RAN_OUT


@pytest.mark.parametrize(
    ("stops", "undone"), [(DOOR_OPENED, DOOR_CLOSED), (POWER_CUT, POWER_BACK)], ids=["door", "mains"]
)
def test_of_one_time_the_first_written_is_first(stops: int, undone: int) -> None:
    """Start pressed with the door still open or the mains gone does nothing, in one run and in many."""
    for pair, end in (
        ((undone, START_PRESSED), EndReason.DIAL_RAN_OUT),
        ((START_PRESSED, undone), EndReason.STOPPED),
    ):
        plan = [(TEN, stops), *((TEN + 60.0, code) for code in pair)]
        assert interrupted(*plan).end is end
        assert end_reasons(simulate_many([parameters()], interruptions=plan)) == [end]


def test_load_cools_and_dries_a_little_while_the_machine_stands() -> None:
    """Only the natural draught passes; the load neither jumps nor gains water."""
    r = interrupted((TEN, DOOR_OPENED), (TEN + 600.0, DOOR_CLOSED), (TEN + 600.0, START_PRESSED))
    s = window(r, TEN, TEN + 599.0)
    assert (np.diff(s["moisture"]) <= 1e-9).all()
    assert s["moisture"][0] - s["moisture"][-1] < 0.02
    assert s["exhaust_flow_m3_per_s"].max() < 0.003


def test_time_limit_ends_the_run_on_the_second() -> None:
    r = interrupted(time_limit=600.0)
    assert r.cycle_time == 600.0
    assert r.end is EndReason.NOT_DRY, "a healthy machine cut short: nothing is wrong with its cut-out"
    waiting = interrupted((300.0, DOOR_OPENED), (900.0, DOOR_CLOSED), time_limit=600.0)
    assert waiting.cycle_time == 600.0, "with the door open as well"


def test_stop_moisture_ends_the_run_there() -> None:
    r = run("controls.stop_at_moisture=20 %")
    assert r.end is EndReason.MOISTURE_REACHED
    assert r.final_moisture == pytest.approx(0.20, abs=1e-9)
    already = interrupted(stop_moisture=1.0)
    assert already.cycle_time == 0.0
    assert already.energy_per_water is None
    assert already.balance_energy == 0.0
