"""Findings about air, energy, the load and the room, and how far to trust them."""

from __future__ import annotations

from collections.abc import Iterator

from dryermodel.cycle.engine import parameters as P
from dryermodel.cycle.engine import state as Y
from dryermodel.findings.facts import CHART_FLOW, CHART_LIMIT, LOST_BEFORE, NO_FLOW, Facts, Finding
from dryermodel.findings.heat import MOST_BYPASS, STATIC_LIMIT
from dryermodel.findings.less_air import NOT_VALIDATED, AirCase, less_air, only_air_differs
from dryermodel.findings.trust import rests_on_high_limit
from dryermodel.physics.moist_air import humidity_ratio_from_rh
from dryermodel.readings import measures as M
from dryermodel.readings import quantities as Q

HUMID_ROOM = (297.039, 0.70)
"""75 degF [K] and a relative humidity well above the 50 +- 10 % of the energy test's room [1]. Air that
holds more water than this is humid: what it can still take up falls with its humidity ratio, and cold air
is dry at any relative humidity."""

COLD_ROOM = 283.15
"""50 degF, a garage in winter [K]."""

WET_FROM_WASHER = 0.80
"""Moisture well above the 57.5 % of the energy test's load [kg/kg]."""

FULL_DRUM = 0.75
"""Share of the over-full load from which tumbling suffers [1]."""

LARGE_GASKET_LEAK = 0.10
"""Share of the blower's flow, about twice that of the standard machine [1]."""

LOW_STATIC = 0.75
"""Share of the manual's limit below which a static is called low (assumed) [1]."""

CLEARLY = 1.03
"""Factor beyond a limit from which the two no longer print as the same number [1]."""

ENERGY_FAMILY = (1.15 * 3.6e6, 1.30 * 3.6e6)
"""1.15 to 1.30 kWh per kg of water: what the US energy-test limits come to for a gas machine stopped
at dryness (10 CFR 430.32(h) with its field-use factor removed) [J/kg]."""


def airflow(f: Facts) -> Iterator[Finding]:
    """Flow at the collar and static pressure against the manuals' limits."""
    # With a tripping high limit the same numbers are said there, as its cause.
    if f.exhaust_flow is None or f.vent_static is None or f.result.high_limit_trips:
        return
    flow, static = f.say(f.exhaust_flow, "flow"), f.say(f.vent_static, "pressure")
    limit, chart = f.say(STATIC_LIMIT, "pressure"), f.say(CHART_LIMIT, "pressure")
    text = f"About {flow} leaves at the collar at a vent static pressure of {static}"
    above = f"{text}, above the {limit} limit of service manuals and the {chart} of vent-length charts"
    if f.vent_static > CHART_LIMIT and f.vent_resists:
        yield Finding(16, f"{above}: the vent is restricted or too long.{_not_slower(f)}")
    elif f.vent_static > CHART_LIMIT:
        yield Finding(18, f"{above}. The vent is not restricted: {_much_air(f)}.")
    elif f.vent_static > CLEARLY * STATIC_LIMIT:
        yield Finding(
            18,
            f"{text}: above the {limit} limit of a service manual, within the {chart} of vent-length charts.",
        )
    elif f.vent_resists:
        yield Finding(
            16,
            f"{text} (limit in a service manual {limit}). That is much pressure for so little air: the vent "
            f"is restricted or too long; check the blower too.{_not_slower(f)}",
        )
    else:
        yield Finding(60, f"{text} (limit in a service manual {limit}).{_low_static(f)}")


def _low_static(f: Facts) -> str:
    """What a low static means: a loss before the collar, or a short free vent that passes much air."""
    if f.exhaust_flow is None or f.vent_static is None or f.p.joint_area > 0.0:
        return ""  # of a vent that leaks, its own finding tells
    if f.share_lost > LOST_BEFORE:
        return (
            f" That is {100.0 * f.share_lost:.0f} % less pressure than this vent gives on a clean machine: "
            "the air is lost before the collar. Look at the lint screen, its housing, blower and belt."
        )
    if f.vent_static > LOW_STATIC * f.thin_air * STATIC_LIMIT or f.exhaust_flow < CHART_FLOW:
        return ""
    return " Low because the vent is short and free and passes much air: the limit is no target."


def _not_slower(f: Facts) -> str:
    if not f.heat:
        return ""
    hottest = float(f.result.series["high_limit_element_temp_K"].max())
    opens = f.p.high_limit_cut_out
    margin = (
        f": its element got to {f.say(hottest, 'temperature')} and opens at {f.say(opens, 'temperature')}"
        if M.is_threshold(opens)
        else ""
    )
    return (
        f" The cycle need not be longer for it: the {f.source} gives the same heat to less air and less is "
        f"blown out, so less air does not slow it until the high limit starts to cycle{margin} "
        f"({NOT_VALIDATED})."
    )


def _much_air(f: Facts) -> str:
    leak = M.leaks(f.result)
    if leak.total > MOST_BYPASS:
        return f"much air is moved, {100 * leak.total:.0f} % of it let in behind the {f.source}"
    return "the static pressure is high because much air is moved"


def leakage(f: Facts) -> Iterator[Finding]:
    """Air that does not pass the burner, and what a leaking outlet gasket hides."""
    if f.exhaust_flow is None or f.exhaust_flow < NO_FLOW:
        return
    leak = M.leaks(f.result)
    shares = f"{100 * leak.drum_seal:.0f} % at the drum seal, {100 * leak.gasket:.0f} % at the outlet gasket"
    text = (
        f"{100 * leak.total:.0f} % of the blower's air does not pass the {f.source}: {shares} "
        "(published measurements 20 to 60 %, OSTI 1649634)."
    )
    exhaust, load = f.tops
    if leak.gasket > LARGE_GASKET_LEAK and f.heat and load > exhaust:
        text += (
            " Room air let in past the drum cools the exhaust thermostat: the load got to "
            f"{f.say(load, 'temperature')}, the exhaust only to {f.say(exhaust, 'temperature')}."
        )
        yield Finding(22, text, ("unplug",))
    else:
        yield Finding(64, text)


def energy(f: Facts) -> Iterator[Finding]:
    """Energy per water up to dryness, and the electric share."""
    r = f.result
    if not f.gas or not f.heat or Y.start_moisture(f.p) <= M.TEST_DRYNESS:
        return
    if f.dry_at is not None and f.dry_at > 0.0:
        water = (Y.start_moisture(f.p) - M.TEST_DRYNESS) * f.p.dry_mass
        spent = M.energy_until(r, f.dry_at) / water
        low, high = ENERGY_FAMILY
        # Compared as printed, so that the sentence agrees with its own numbers.
        printed = [float(Q.number(e, "energy per water", f.si)) for e in (low, spent, high)]
        place = "below" if printed[1] < printed[0] else "above" if printed[1] > printed[2] else "within"
        span = f"{Q.number(low, 'energy per water', f.si)} to {f.say(high, 'energy per water')}"
        yield Finding(
            66,
            f"Up to 4 % moisture it took {f.say(spent, 'energy per water')} of water, {place} the {span} "
            "that the US energy-test limits come to for a gas dryer stopped at dryness.",
        )
    share = 100.0 * r.electric_energy / (r.electric_energy + r.gas_energy)
    yield Finding(
        68,
        f"Electricity is {share:.0f} % of the cycle's energy (convention for gas dryers about 7 %, "
        "ANSI/RESNET 301).",
    )


def load(f: Facts) -> Iterator[Finding]:
    """What the washer and the person put in."""
    p = f.p
    if p.dry_mass >= FULL_DRUM * p.overload_mass:
        full = f.say(p.overload_mass, "mass", 0)
        text = (
            f"The load is large: {f.say(p.dry_mass, 'mass', 1)} bone-dry "
            f"in a drum taken as over-full at {full}. It tumbles badly; two smaller loads dry better. "
            "That is the load, not the dryer."
        )
        yield Finding(30, text)
    if Y.start_moisture(p) >= WET_FROM_WASHER:
        text = (
            f"The load came in at {f.say(Y.start_moisture(p), 'moisture', 0)} moisture (test load 57.5 %): "
            "look at the washer's spin. That is not the dryer."
        )
        yield Finding(31, text)
    if p.tumbling < 0.8:
        text = (
            f"The load tumbles at {100 * p.tumbling:.0f} % of normal: little of it meets the air. "
            "Check belt, idler and rollers."
        )
        yield Finding(13, text, ("unplug",))


def room(f: Facts) -> Iterator[Finding]:
    """What the room does to it."""
    rh, temperature = f.room_rh, f.say(f.p.room_temp, "temperature")
    if f.p.room_humidity_ratio > humidity_ratio_from_rh(*HUMID_ROOM, f.p.pressure):
        test = f.say(HUMID_ROOM[0], "temperature")
        text = (
            f"The room is humid: {100 * rh:.0f} % RH at {temperature} (test room 50 % RH at {test}). Each "
            "pound of air takes up less water, and the load ends moister. That is the room, not the dryer."
        )
        yield Finding(33, text.replace("pound", "kilogram") if f.si else text)
    if f.p.room_temp < COLD_ROOM:
        text = (
            f"The intake air is cold, {temperature}: part of the heat goes into warming it. "
            "That is the room, not the dryer."
        )
        yield Finding(34, text)


def against_healthy(f: Facts) -> Iterator[Finding]:
    """The same load in a machine in good order."""
    if f.healthy is None:
        return
    good = Facts(f.healthy, f.si)
    if good.dry_at is None or good.dry_at <= 0.0:
        return
    reference = f.say(good.dry_at, "time")
    if f.dry_at is None:
        yield Finding(
            15, f"The healthy machine brings this load to 4 % in {reference}; here it is not reached."
        )
    else:
        ratio = f.dry_at / good.dry_at
        took = f"4 % moisture takes {f.say(f.dry_at, 'time')}"
        text = f"{took}, {ratio:.2f} times the healthy machine's {reference}."
        yield Finding(15 if abs(ratio - 1.0) > 0.05 else 62, text)
    if (
        f.exhaust_flow is None
        or good.exhaust_flow is None
        or f.vent_static is None
        or good.vent_static is None
    ):
        return
    if f.exhaust_flow < 0.85 * good.exhaust_flow:
        flow = f"{f.say(f.exhaust_flow, 'flow')} against the healthy {f.say(good.exhaust_flow, 'flow')}"
        where = _where_air_stops(f.vent_static / good.vent_static)
        yield Finding(17, f"The airflow is low, {flow}{where}.")
    told = _sooner(f, good) if only_air_differs(good.p, f.p) else None
    if told is not None:
        yield Finding(17, told)


def _sooner(f: Facts, good: Facts) -> str | None:
    """Why less air than the healthy machine's dries sooner, where it does."""
    cases = [
        AirCase(
            name, run.exhaust_flow or 0.0, (run.running or {}).get("exhaust_temp_K", run.p.room_temp),
            run.dry_at, run.result.high_limit_trips,
        )
        for name, run in (("the healthy machine", good), ("this one", f))
    ]  # fmt: skip
    return less_air(cases, f.p, si=f.si)


def _where_air_stops(static_ratio: float) -> str:
    if static_ratio > 1.1:
        return ", with a higher vent static pressure: the restriction is in the vent"
    if static_ratio < 0.9:
        return ", with a lower vent static pressure: it is lost before the collar (lint screen, blower, belt)"
    return ""


def trust(f: Facts) -> Iterator[Finding]:
    """Where the numbers rest on an assumption."""
    if not rests_on_high_limit(f.result) or f.p.program == P.AIR_ONLY:
        return
    yield Finding(
        90,
        "How much the high limit, and with it a restricted vent, slows the machine rests on its assumed "
        f"coupling ({100 * f.p.high_limit_coupling:.0f} %) and lag ({f.p.high_limit_lag:.0f} s)"
        f"{_delays(f)}, and is not validated against measured blockage: take times and energies here as a "
        "direction, not as a measurement.",
    )


def _delays(f: Facts) -> str:
    if not f.gas:
        return ""
    named = (("igniter warm-up", f.p.igniter_warm_up), ("flame-sensor cool-down", f.p.sensor_cool_down))
    each = [f"{name}, {wait:.0f} s" if wait < 0.5 * P.NEVER else name for name, wait in named]
    return f", and on the ignition delays that follow each trip ({'; '.join(each)})"
