"""Why a run ended: every reason on a run of its own, and the same for one run and for many."""

from __future__ import annotations

from dataclasses import fields
from math import nan
from typing import Any

import pytest

from dryermodel.cycle.engine import endings
from dryermodel.cycle.engine.outcome import Outcome
from dryermodel.cycle.engine.parameters import AIR_ONLY, TIMED, Parameters
from dryermodel.cycle.reasons import EndReason
from dryermodel.cycle.run.many import OUTCOME_ROW, simulate_many
from dryermodel.cycle.run.simulate import run_cycle
from dryermodel.machine.circuit import DOOR_OPENED
from dryermodel.scenario.faults import apply_faults
from dryermodel.studies.sweep.outcomes import end_reasons
from tests.cycle.cases import on_whole_chain, parameters

HOURS = 3600.0


def stuck_closed() -> Parameters:
    return apply_faults(parameters(), {"thermostat_stuck_closed": 1.0})._replace(time_limit=2.0 * HOURS)


def dead_timer(**fields: Any) -> Parameters:
    return parameters()._replace(timer_works=0.0, time_limit=1.5 * HOURS, **fields)


CASES: dict[EndReason, Parameters] = {
    EndReason.DIAL_RAN_OUT: parameters(),
    EndReason.MOISTURE_REACHED: parameters()._replace(stop_moisture=0.3),
    EndReason.NOT_DRY: parameters()._replace(time_limit=600.0),
    EndReason.TIME_LIMIT: parameters()._replace(time_limit=2100.0),
    EndReason.NEVER_CUTS_OUT: parameters("burner.firing_rate=11000 Btu/h"),
    EndReason.THERMOSTAT_NEVER_OPENS: stuck_closed(),
    EndReason.TIMER_ONLY_IN_TRIPS: on_whole_chain(stuck_closed())._replace(
        high_limit_cut_out=360.0, high_limit_cut_in=350.0, dial_heat=HOURS
    ),
    EndReason.TIMER_STILL: dead_timer(),
}


@pytest.mark.parametrize("reason", CASES, ids=lambda r: r.slug)
def test_each_reason_is_told_alike_by_one_run_and_by_many(reason: EndReason) -> None:
    p = CASES[reason]
    single, many = run_cycle(p), simulate_many([p])
    assert single.end is reason
    assert end_reasons(many) == [reason]
    assert many["end_code"][0] == single.outcome.end_code == reason.code


def test_a_stopped_motor_is_told_alike() -> None:
    plan = ((600.0, DOOR_OPENED),)
    assert run_cycle(parameters(), plan).end is EndReason.STOPPED
    assert end_reasons(simulate_many([parameters()], interruptions=plan)) == [EndReason.STOPPED]


def test_timer_still_only_where_the_timer_was_due_and_did_not_run() -> None:
    for reason, p in CASES.items():
        r = run_cycle(p)
        if reason is EndReason.TIMER_STILL:
            assert r.timer_time == 0.0
        elif reason is EndReason.TIMER_ONLY_IN_TRIPS:
            assert r.timer_time > 0.0
            assert r.high_limit_trips > 0


@pytest.mark.parametrize("program", [TIMED, AIR_ONLY])
def test_a_dead_timer_is_told_whatever_the_program(program: float) -> None:
    assert run_cycle(dead_timer(program=program)).end is EndReason.TIMER_STILL


def test_no_heat_is_not_blamed_on_the_thermostat() -> None:
    """It never opens because nothing warms it: the load is what did not get where it should."""
    cold = apply_faults(stuck_closed(), {"igniter_open": 1.0})
    assert run_cycle(cold).end is EndReason.NOT_DRY
    blank = Outcome(time_to_marked_s=100.0)
    assert endings.why_unended(stuck_closed(), blank) == endings.TIME_LIMIT


def test_words_say_time_limit_exactly_where_it_was_met() -> None:
    for reason in EndReason:
        assert reason.value.startswith("time limit") != (reason.code in endings.ENDED)


def test_code_and_reason_belong_together() -> None:
    for reason in EndReason:
        assert EndReason.of(float(reason.code)) is reason
        assert reason.code == getattr(endings, reason.name)
        assert reason.slug == reason.name.lower()


def test_a_row_has_the_fields_of_an_outcome() -> None:
    assert list(OUTCOME_ROW.names or ()) == [f.name for f in fields(Outcome)]
    assert repr(Outcome().first_cut_out_s) == repr(nan), "nothing has happened yet"
