"""Findings about how the cycle ended: the thermostat, the timer, and what is left in the load."""

from __future__ import annotations

from collections.abc import Iterator

from dryermodel.cycle.engine import causes, switching
from dryermodel.cycle.engine import parameters as P
from dryermodel.cycle.engine import state as Y
from dryermodel.cycle.reasons import EndReason
from dryermodel.findings.drying import LARGE_GASKET_LEAK
from dryermodel.findings.facts import Facts, Finding, times
from dryermodel.findings.standstill import LET_GO, stood_still, why_stopped
from dryermodel.readings import measures as M

SETTLED = 1800.0
"""Seconds a dry load must have been heated before "it never gets there" is said."""

WET, BONE_DRY = 0.15, 0.03
"""Moisture above which a load is wet rather than damp, and below which it is over-dried [kg/kg]."""

LONG_DRY = 300.0
"""Seconds at 4 % before the first cut-out, beyond which the wet load is not all that held it up."""

HELD_BACK = 0.90
"""Share of the time with heat before the first cut-out, below which a high limit that opened is what
held it up (the standard machine: 0.98) [1]."""

TOGETHER = 1.0
"""Seconds within which two switchings count as one."""


def ending(f: Facts) -> Iterator[Finding]:
    """Why and how it ended: always one."""
    r = f.result
    after, left = f.say(r.cycle_time, "time"), f.say(r.final_moisture, "moisture")
    if r.end is EndReason.STOPPED:
        yield Finding(10, _stopped(f))
    elif r.end is EndReason.MOISTURE_REACHED:
        yield Finding(
            10,
            f"The computation ends after {after}, when the load reaches the {left} asked for; "
            "the machine itself would go on.",
        )
    elif r.end is EndReason.SCORCHED:
        yield Finding(10, _scorched(f, after))
    elif r.end is EndReason.DIAL_RAN_OUT:
        how = {
            P.AUTO: "The timer ran its course",
            P.TIMED: "The timer ran its set time, which takes no notice of the load,",
            P.AIR_ONLY: "The timer ran its set time without heat, as air only (air fluff) does,",
        }[f.p.program]
        yield Finding(10, f"{how} and ended the cycle after {after}, with the load at {left} moisture.")
    else:
        yield _unended(f, after)


def _scorched(f: Facts, after: str) -> str:
    hot = f.say(f.p.scorch_temp, "temperature")
    return (
        f"After {after} the hottest cloth passes {hot}, at which cotton scorches; the computation ends here. "
        "Fire risk: a machine that can do this is unplugged and not run until its limits are put right."
    )


def _stopped(f: Facts) -> str:
    tr = f.result.trajectory
    loose = ("interruption", LET_GO)
    outside = [e for e in f.result.events if e.cause in loose and "motor stops" in e.changes]
    if not outside or not (tr.discrete[:, switching.RUNNING] == 1).any():
        return "The motor did not run."
    last = outside[-1]
    why = why_stopped(last)
    stop = f"The motor stopped after {f.say(last.time, 'time')}" + (f" when {why}" if why else "")
    return f"{stop}, and does not restart by itself."


def _unended(f: Facts, after: str) -> Finding:
    limit = f"The cycle had not ended when the computation stopped at its limit of {after}"
    if f.p.timer_works == 0.0 and f.cut_out_at is not None:
        text = f"{limit}: the timer motor has voltage but does not turn the dial."
        return Finding(7, text, ("unplug",))
    if not f.auto or f.result.timer_time > 0.0:
        return Finding(10, f"{limit}: the timer had run for {f.say(f.result.timer_time, 'time')}.")
    hottest = f.say(f.hottest_thermostat, "temperature")
    if f.cut_out_at is not None:
        return _timer_starved(f, limit)
    if f.p.cut_out >= 0.5 * P.NEVER:
        text = (
            f"{limit}: the exhaust thermostat stays closed whatever it feels (up to {hottest}), so it "
            f"neither cycles the {f.source} nor lets the timer run."
        )
        return Finding(3, text, ("limit", "unplug"))
    cut_out = f.say(f.p.cut_out, "temperature")
    so_far = f"{limit}: the exhaust thermostat felt at most {hottest}, its cut-out is {cut_out}"
    dry_for = f.result.cycle_time - (f.dry_at if f.dry_at is not None else f.result.cycle_time)
    if dry_for < SETTLED:
        return Finding(10, f"{so_far}, and in auto the timer runs only once it has opened.")
    if not f.heat:
        return Finding(10, f"{so_far}; without heat it cannot get there, and the timer never runs.")
    why = "too little heat for this airflow and room" if f.result.high_limit_trips == 0 else ""
    why = why or f"the high limit holds the {f.source} back"
    return Finding(
        9,
        f"{so_far}, and the load had been dry for {f.say(dry_for, 'time')}: {why}. "
        "It never reaches the cut-out, so the timer never runs and the machine runs on.",
    )


def _timer_starved(f: Facts, limit: str) -> Finding:
    opened = f.cut_out_at or 0.0
    text = (
        f"{limit}: the exhaust thermostat opened after {f.say(opened, 'time')} and felt up to "
        f"{f.say(f.hottest_thermostat, 'temperature')}, but the timer motor never turned. In series with the "
        f"{f.source}'s parts it gets too low a voltage to pull in: check the timer motor "
        f"({f.p.timer_resistance:.0f} ohm) and its wiring."
    )
    if M.share_on(f.heat, opened, f.result.cycle_time) > HELD_BACK:
        text += f" Through it they keep enough voltage for the {f.source} to stay on."
    return Finding(3, text, ("limit", "unplug"))


def left_wet(f: Facts) -> Iterator[Finding]:
    """The load is not dry at the end."""
    r = f.result
    asked = r.end is EndReason.MOISTURE_REACHED or not f.with_heat
    if r.final_moisture <= M.TEST_DRYNESS or asked:
        return
    word = "wet" if r.final_moisture > WET else "damp"
    water = f.say(r.final_moisture * f.p.dry_mass, "mass")
    ended = r.end in (EndReason.DIAL_RAN_OUT, EndReason.STOPPED)
    state = f"{'left' if ended else 'still'} {word}"
    text = f"The load is {state}: {f.say(r.final_moisture, 'moisture')} moisture, {water} of water."
    yield Finding(14, text)


def over_dried(f: Facts) -> Iterator[Finding]:
    """Time and energy spent after the load was dry."""
    r, at = f.result, f.dry_at
    if not f.heat or r.end is EndReason.MOISTURE_REACHED:
        return
    if at is None or r.final_moisture >= BONE_DRY or Y.start_moisture(f.p) <= M.TEST_DRYNESS or at <= 0.0:
        return
    whole = r.gas_energy + r.electric_energy
    extra = whole - M.energy_until(r, at)
    start = M.cool_down_start(r)
    cooling = 0.0 if start is None else r.cycle_time - start
    cool = f", {f.say(cooling, 'time')} of it cool-down," if cooling >= 6.0 else ""
    yield Finding(
        24,
        f"4 % moisture was reached after {f.say(at, 'time')}. "
        f"The {f.say(r.cycle_time - at, 'time')} after that{cool} dried the load on to "
        f"{f.say(r.final_moisture, 'moisture')} and took {f.say(extra, 'energy')}, "
        f"{100 * extra / whole:.0f} % of the cycle's energy "
        "(published tests: 20 % on average, up to 62 %, PNNL-23616).",
    )


def timer_story(f: Facts) -> Iterator[Finding]:
    """The timer stands still while the burner runs."""
    opened, turning = f.cut_out_at, f.spans(switching.TIMER_MOTOR)
    # A thermostat that stands open, or a timer that something else starts, tells another story.
    if not f.auto or opened is None or opened < 60.0 or not turning or not f.heat or f.p.timer_works == 0.0:
        return
    if abs(turning[0][0] - opened) > TOGETHER:
        return
    stop = M.cool_down_start(f.result)
    runs = [(a, b if stop is None else min(b, stop)) for a, b in turning if stop is None or a < stop]
    counted = f.say(sum(b - a for a, b in runs), "time")
    stretches = "one stretch" if len(runs) == 1 else f"{len(runs)} stretches"
    idle = stood_still(f, opened)
    standing = f" ({f.say(idle, 'time')} of them with the machine at a standstill)" if idle > 0.0 else ""
    yield Finding(
        20,
        f"The timer stood still for the first {f.say(opened, 'time')}{standing}, {_why_still(f, opened)}; "
        "the closed thermostat shunts the timer motor. It counts only the time the thermostat is open: "
        f"{counted} in {stretches} before the {'end' if stop is None else 'cool-down'}.",
    )


def _why_still(f: Facts, opened: float) -> str:
    limit = f"{f.say(f.p.cut_out, 'temperature')} cut-out"
    if f.p.low_heat == 1.0:
        limit += f" (its bias heater adds {f.say(f.p.bias_rise, 'temperature difference')})"
    began, then = (
        Y.start_moisture(f.p),
        Y.mean_moisture(f.result.trajectory.at(opened), f.result.constants.pieces),
    )
    trips = f.high_limit_openings(opened)
    running = 1.0 - stood_still(f, opened) / opened
    if trips and M.share_on(f.heat, 0.0, opened) < HELD_BACK * running:
        early = f.dry_at is not None and f.dry_at <= opened
        dry = f" (4 % moisture came after {f.say(f.dry_at or 0.0, 'time')})" if early else ""
        return (
            f"because the high limit, open {times(trips)} by then, kept stopping the heat and the exhaust "
            f"thermostat stayed below its {limit}{dry}"
        )
    if began > Y.critical_moisture(f.p) and f.dry_at is not None and opened - f.dry_at > LONG_DRY:
        cooled = M.leaks(f.result).gasket > LARGE_GASKET_LEAK
        held = "room air let in at the outlet gasket" if cooled else "too little heat to spare"
        return (
            f"because first the wet load (4 % moisture after {f.say(f.dry_at, 'time')}) and then {held} "
            f"kept the exhaust thermostat below its {limit}"
        )
    # Only a load that was wet before and is nearly dry now can be what held the exhaust down.
    if began > Y.critical_moisture(f.p) and then < WET:
        return f"because the wet load kept the exhaust thermostat below its {limit}"
    return f"while the exhaust thermostat was below its {limit}"


def thermostat_silent(f: Facts) -> Iterator[Finding]:
    """The exhaust thermostat never opened although the cycle ended."""
    if f.result.end is not EndReason.DIAL_RAN_OUT or not f.heat or f.cut_out_at is not None:
        return
    hottest = f.say(f.hottest_thermostat, "temperature")
    if not M.is_threshold(f.p.cut_out):
        if f.p.cut_out >= 0.5 * P.NEVER:
            text = f"The exhaust thermostat stays closed whatever it feels (up to {hottest})."
            yield Finding(11, text, ("limit", "unplug"))
        return
    cut_out = f.say(f.p.cut_out, "temperature")
    text = f"The exhaust thermostat never opened: it felt at most {hottest}, its cut-out is {cut_out}."
    yield Finding(21, text)


def duty(f: Facts) -> Iterator[Finding]:
    """Burner duty falls once the thermostat cycles it."""
    opened = f.cut_out_at
    if opened is None or len(f.heat) < 2 or f.result.high_limit_trips or len(outside(f)):
        return
    (lit, out), stop = f.heat[0], M.cool_down_start(f.result) or f.result.cycle_time
    if abs(out - opened) > TOGETHER or stop - out < 60.0:
        return
    later = 100.0 * M.share_on(f.heat, out, stop)
    yield Finding(
        26,
        f"The {f.source} ran without a break for {f.say(out - lit, 'time')}, "
        f"then {times(len(f.heat) - 1)} more on the exhaust thermostat, "
        f"for {later:.0f} % of the time until the heat was switched off.",
    )


def outside(f: Facts) -> list[float]:
    """Times [s] of interruptions."""
    tr = f.result.trajectory
    return [float(t) for t in tr.time[tr.cause == causes.CAUSE_INTERRUPTION]]
