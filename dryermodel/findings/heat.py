"""Findings about heat: combustion, ignition, limits. What can hurt someone comes first."""

from __future__ import annotations

import math
from collections.abc import Iterator

from dryermodel.cycle.engine import parameters as P
from dryermodel.cycle.engine import switching
from dryermodel.cycle.engine.causes import CAUSE_COIL
from dryermodel.findings.facts import CHART_LIMIT, LOST_BEFORE, Facts, Finding, times
from dryermodel.readings import measures as M

LEAST_AIR_RATIO = 1.5
"""Combustion air over the stoichiometric least, below which a burner is suspect (assumed)."""

LITTLE_AIR_RATIO = 5.0
"""The same, below which carbon monoxide is mentioned; a healthy machine has 20 to 30 (assumed)."""

PLATE_TOLERANCE = 0.05
"""Share of the plate's input by which a clocked input may be off (common practice) [1]."""

STATIC_LIMIT = 149.45
"""0.6 in w.c., limit of a service manual (machine running, no load) [Pa]."""

THIN_AIR = 0.9
"""Air pressure over that at sea level [1], about 3000 ft, below which it is named as what overheats a burner
whose orifice was left as it is (assumed)."""

MOST_BYPASS = 0.35
"""Share of the blower's air past the burner's path, twice the standard machine's, from which that is named
as what overheats the burner (assumed) [1]."""


def combustion(f: Facts) -> Iterator[Finding]:
    """Too little air for the flame."""
    ratio = M.combustion_air_ratio(f.result)
    if ratio is None or ratio >= LITTLE_AIR_RATIO or f.heat_called <= 0.0:
        return
    if ratio >= LEAST_AIR_RATIO:
        yield _little_air(f, ratio)
        return
    least = f"{ratio:.1f} times the least that its gas needs (caution below {LEAST_AIR_RATIO:g})"
    if f.heat:
        text = f"While the burner is lit, the air through it falls to {least}: it may make carbon monoxide."
    else:
        text = f"The air through the burner is {least}: lit, it would be likely to make carbon monoxide."
    if f.unburned_share > 0.005:
        text += f" {100 * f.unburned_share:.0f} % of the gas leaves unburned."
    yield Finding(0, text, ("co", "gas"))


def _little_air(f: Facts, ratio: float) -> Finding:
    lit = (
        "While the burner is lit, the air through it falls to" if f.heat else "The air through the burner is"
    )
    text = (
        f"{lit} {ratio:.1f} times the least that its gas needs (caution below {LITTLE_AIR_RATIO:g}, a "
        "threshold of this program; a healthy machine has 20 to 30): a burner short of air can make "
        "carbon monoxide."
    )
    return Finding(1, text, ("co", "gas"))


def vent_joint(f: Facts) -> Iterator[Finding]:
    """Exhaust that comes back into the room."""
    if f.p.joint_area <= 0.0 or f.running is None:
        return
    share = f.result.air(f.running["time_s"]).flows.leak_share
    text = (
        f"About {100 * share:.0f} % of the exhaust leaks from the vent into the room, whose humidity "
        f"rises from {100 * f.room_rh:.0f} to a peak of {100 * f.room_rh_peak:.0f} % RH: "
        f"walls and windows below {f.say(f.room_dew_point_peak, 'temperature')} get wet."
    )
    if f.gas and f.heat:
        yield Finding(5, f"{text} It carries the products of combustion.", ("co",))
    else:
        yield Finding(45, text)


def thermal_cutoff(f: Facts) -> Iterator[Finding]:
    """The one-shot cut-off is open."""
    at = f.cutoff_opened_at
    if at is None:
        return
    when = "was open from the start" if at == 0.0 else f"opened for good after {f.say(at, 'time')}"
    text = (
        f"The thermal cut-off {when}: no heat from then on. Find what overheated it, "
        "the vent and its airflow first, before it is replaced."
    )
    yield Finding(2, text, ("limit", "fire", "unplug"))


def high_limit(f: Facts) -> Iterator[Finding]:
    """The high limit does the cycling."""
    trips = f.result.high_limit_trips
    if trips == 0:
        return
    lit = 100.0 * f.result.burner_time / f.heat_called if f.heat_called > 0.0 else 0.0
    text = f"The high limit opened {times(trips)}"
    if f.result.burner_cycles:
        text += f"; the {f.source} gave heat for {lit:.0f} % of the time heat was called"
    text += f". {_why_hot(f)}{_after_drying(f)}"
    yield Finding(4, text, ("fire", "limit", "unplug"))
    shared = _overlap(f.spans(switching.TIMER_MOTOR), _open_spans(f, switching.HIGH_LIMIT))
    if f.auto and f.p.timer_wiring == P.SHUNT_WHOLE_CHAIN and shared > 1.0:
        yield Finding(
            12,
            "On this wiring the timer also runs while the high limit is open: the trips alone moved the dial "
            f"by {f.say(shared, 'time')}, whatever the load still held.",
        )


def _after_drying(f: Facts) -> str:
    """Why little air need not have made the drying longer, where the limit only opened afterwards."""
    static, dry_at = f.vent_static or 0.0, f.dry_at
    if static <= STATIC_LIMIT or not dry_at or f.result.outcome.high_limit_first_trip_s <= dry_at:
        return ""
    return (
        f" It opened only after the load was dry: up to there the {f.source} gave the same heat to less air "
        "and less was blown out, so less air did not slow it (not validated against measured blockage)."
    )


def _why_hot(f: Facts) -> str:
    if f.exhaust_flow is None or f.vent_static is None:
        return "The motor did not run."
    air = f"{f.say(f.exhaust_flow, 'flow')} at a vent static pressure of {f.say(f.vent_static, 'pressure')}"
    limits = f"limit in a service manual {f.say(STATIC_LIMIT, 'pressure')}"
    if f.vent_resists:
        # A weak blower keeps the static pressure low behind a vent that is restricted all the same.
        too = "" if f.vent_static > STATIC_LIMIT else "; check the blower too"
        return (
            f"Too little air takes the heat away, {air} ({limits}): the vent is restricted or too long{too}."
        )
    if f.gas and f.rated_input and f.p.firing_rate > (1.0 + PLATE_TOLERANCE) * f.rated_input:
        return f"The vent is not what stops the air ({air}): the burner is overfired, see the gas input."
    leak = M.leaks(f.result)
    if leak.total > MOST_BYPASS:
        return (
            f"Too little air passes the {f.source}: of the blower's {air}, {100 * leak.total:.0f} % leaks in "
            f"behind it, {100 * leak.drum_seal:.0f} % at the drum seal and {100 * leak.gasket:.0f} % at the "
            "outlet gasket. The vent is not what stops the air."
        )
    if f.gas and f.thin_air < THIN_AIR and f.share_lost <= LOST_BEFORE:
        return _thin_air(f, air)
    if STATIC_LIMIT < f.vent_static <= CHART_LIMIT:
        checks = "check the vent, then lint screen, blower and firing rate"
        return f"The airflow is {air} ({limits}), borderline: {checks}."
    part = "clock the meter, and test the high limit itself" if f.gas else "test the high limit itself"
    return f"The vent is not what stops the air ({air}): look at lint screen, blower wheel and belt, {part}."


def _thin_air(f: Facts, air: str) -> str:
    less, input_less = 100.0 * (1.0 - f.thin_air), 100.0 * (1.0 - math.sqrt(f.thin_air))
    return (
        f"The air is thin here: of the same volume ({air}) the burner gets {less:.0f} % less by weight, and "
        f"an orifice left as it is gives only {input_less:.0f} % less gas. No fault of machine or vent; the "
        "code's derating for altitude is there for it."
    )


def _open_spans(f: Facts, column: int) -> list[tuple[float, float]]:
    edges = [0.0, *(t for span in f.spans(column) for t in span), f.result.cycle_time]
    return [(a, b) for a, b in zip(edges[::2], edges[1::2], strict=True) if b > a]


def _overlap(one: list[tuple[float, float]], other: list[tuple[float, float]]) -> float:
    return sum(M.share_on(other, a, b) * (b - a) for a, b in one)


def no_heat(f: Facts) -> Iterator[Finding]:
    """Heat was called and none came."""
    if not f.with_heat or f.heat or f.cutoff_opened_at == 0.0 or f.heat_called <= 0.0:
        return
    waited = f.say(f.heat_called, "time")
    text = f"No heat at all in {waited} of heat call: {_why_no_heat(f)}"
    yield Finding(6, text, ("unplug", "gas") if f.gas else ("unplug",))


def _why_no_heat(f: Facts) -> str:
    p, tries = f.p, M.ignition_tries(f.result)
    stands_open = not M.is_threshold(p.cut_out) and p.cut_out < 0.5 * P.NEVER
    if stands_open:
        extra = ", and in auto the timer runs from the first moment" if f.auto else ""
        return f"the exhaust thermostat stands open, so the {f.source} never has the voltage{extra}."
    if not f.gas:
        return "the heater never had the voltage."
    if p.sensor_stuck == 2.0:
        return "the flame sensor stands open, so the igniter never glows and the valves never open."
    if p.igniter_warm_up >= 0.5 * P.NEVER:
        return "the igniter never glows, so the flame sensor never opens and no gas flows."
    if p.sensor_stuck == 1.0:
        glowed = f.say(sum(b - a for a, b in f.spans(switching.IGNITER)), "time")
        return f"the igniter glows for {glowed} but the flame sensor never opens, so no gas flows."
    if p.firing_rate <= 0.0:
        return f"the igniter glows ({times(tries)}) and the valves open, but there is no gas to light."
    if f.result.high_limit_trips:
        return "the high limit opens before the gas can light; in so little air the igniter alone heats it."
    if f.heat_called <= p.igniter_warm_up:
        return "the igniter needs longer than that to warm up."
    return f"the burner did not light in {tries} tries."


def coil(f: Facts) -> Iterator[Finding]:
    """A valve coil that fails when it is hot."""
    tr = f.result.trajectory
    failed = int(((tr.cause == CAUSE_COIL) & (tr.discrete[:, switching.COIL_WHOLE] == 0)).sum())
    if failed == 0:
        return
    lit = f.say(f.heat[0][1] - f.heat[0][0], "time") if f.heat else ""
    first = f" The first burn lasted {lit}." if lit else ""
    yield Finding(
        8,
        f"The main valve coil went open {times(failed)} when hot "
        "and stopped the gas although heat was called; "
        f"the igniter then tries in vain until the coil has cooled.{first}",
        ("unplug", "gas"),
    )
