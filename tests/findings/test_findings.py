"""Findings: each said when it applies and only then, with the cycle's own numbers."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest

from dryermodel.cycle.engine import state as Y
from dryermodel.cycle.engine import switching
from dryermodel.cycle.result import CycleResult
from dryermodel.cycle.run.simulate import run_cycle
from dryermodel.findings.facts import Facts
from dryermodel.findings.statements import CAUTIONS, findings
from dryermodel.readings import measures as M
from dryermodel.show.data.cycle import summary_json
from tests.findings.numbers import Numbers

Cycles = Callable[..., CycleResult]

FIRE, LIMIT = CAUTIONS["fire"], CAUTIONS["limit"]
SHUT = ("vent.open_area=0 %", "controls.time_limit=10 min")
BLOWN = ("machine.thermal_cutoff_state=blown", "controls.time_limit=30 min")

# overrides, what must be said (numbers by their name in `Numbers`), what must not
EXPECTED: dict[str, tuple[tuple[str, ...], tuple[str, ...], tuple[str, ...]]] = {
    "standard": (
        (),
        (
            "The timer ran its course and ended the cycle after {minutes} min",
            "The timer stood still for the first {cut_out_at} min, because the wet load kept the exhaust "
            "thermostat below its {cut_out} degF cut-out",
            "It counts only the time the thermostat is open: {dial_heat} min",
            "{cool_down} min of it cool-down, dried the load on to {final} %",
            "ran without a break for {first_burn} min",
            "About {flow} cfm leaves at the collar",
            "within the 0.52 to 0.59 kWh/lb",
            "Electricity is {electric} %",
        ),
        ("high limit", "restricted", "arbon monoxide", "left damp", "left wet", "Lint", "not validated"),
    ),
    "restricted vent": (
        ("vent.resistance_factor=8",),
        (
            "The high limit opened {trips} times",
            "the vent is restricted",
            FIRE,
            LIMIT,
            "not validated against",
            "because the high limit, open {trips_before_cut_out} times by then, kept stopping the heat",
            "(4 % moisture came after {dry_at} min)",
            "ignition delays that follow each trip (igniter warm-up, {warm_up} s; flame-sensor cool-down, "
            "{sensor} s)",
        ),
        ("because the wet load", "arbon monoxide", "left wet", "without a break", "lint screen"),
    ),
    "restricted, whole chain": (
        ("vent.resistance_factor=20", "machine.timer_wiring=whole chain"),
        (
            "On this wiring the timer also runs while the high limit is open",
            "The load is left wet: {final} % moisture",
            "The exhaust thermostat never opened",
        ),
        ("stood still", "was reached after"),
    ),
    "shut vent": (
        SHUT,
        ("the air through it falls to {air_ratio} times", CAUTIONS["co"], "still wet"),
        ("No heat at all",),
    ),
    "starved burner": (
        ("vent.resistance_factor=20", "burner.firing_rate=200000 Btu/h"),
        ("the air through it falls to {air_ratio} times", "{unburned} % of the gas leaves unburned"),
        ("No heat at all",),
    ),
    "weak burner": (
        ("burner.firing_rate=11000 Btu/h",),
        (
            "the exhaust thermostat felt at most {felt} degF, its cut-out is {cut_out} degF",
            "too little heat for this airflow and room",
            "never reaches the cut-out, so the timer never runs",
        ),
        ("The timer ran its course", "stood still", "high limit"),
    ),
    "stopped by a short limit": (
        ("controls.time_limit=3 min",),
        ("had not ended when the computation stopped at its limit of 3.0 min", "still wet"),
        ("never reaches", "too little heat", "left wet"),
    ),
    "blown cut-off": (
        BLOWN,
        ("The thermal cut-off was open from the start", LIMIT),
        ("No heat at all", "Electricity", "stood still"),
    ),
    "no glow": (
        ("burner.igniter_warm_up=never", "controls.time_limit=20 min"),
        ("No heat at all in 20.0 min of heat call: the igniter never glows", CAUTIONS["gas"]),
        ("flame sensor stands open", "high limit"),
    ),
    "sensor open": (
        ("burner.flame_sensor=stuck open", "controls.time_limit=20 min"),
        ("the flame sensor stands open, so the igniter never glows",),
        ("the igniter glows",),
    ),
    "sensor closed": (
        ("burner.flame_sensor=stuck closed", "controls.time_limit=20 min"),
        ("the igniter glows for 20.0 min but the flame sensor never opens",),
        ("never glows",),
    ),
    "no gas": (
        ("burner.orifice_open_area=0 %", "controls.time_limit=20 min"),
        ("there is no gas to light",),
        ("arbon monoxide",),
    ),
    "coil fails hot": (
        ("burner.coil_opens=120 degF", "burner.coil_recloses=100 degF"),
        ("The main valve coil went open", "The first burn lasted {first_burn} min"),
        ("No heat at all", "without a break"),
    ),
    "thermostat stuck open": (
        ("machine.exhaust_thermostat=stuck open",),
        ("the exhaust thermostat stands open", "in auto the timer runs from the first moment", "left wet"),
        ("stood still", "never opened"),
    ),
    "thermostat stuck closed": (
        ("machine.exhaust_thermostat=stuck closed", "controls.time_limit=1 h"),
        (
            "the exhaust thermostat stays closed whatever it feels",
            LIMIT,
            "degF cut-out for {hot_for} min, up to {hottest} degF",
            CAUTIONS["hot"],
        ),
        ("its cut-out is", "too little heat", "high limit opened"),
    ),
    "dead timer": (
        ("machine.timer_motor=dead", "controls.time_limit=1 h"),
        ("the timer motor has voltage but does not turn the dial",),
        ("stood still", "The timer ran its course"),
    ),
    "gasket leak": (
        ("air.gasket_leak=20 cm2",),
        ("{gasket} % at the outlet gasket", "cools the exhaust thermostat: the load got to"),
        ("restricted", "high limit"),
    ),
    "gasket leak that trips": (
        ("air.gasket_leak=80 cm2",),
        (
            "Too little air passes the burner: of the blower's {blower} cfm",
            "{gasket} % at the outlet gasket. The vent is not what stops the air",
            CAUTIONS["hot"],
        ),
        ("restricted or too long", "Too little air takes"),
    ),
    "gasket leak that delays": (
        ("air.gasket_leak=40 cm2",),
        ("(4 % moisture after {dry_at} min) and then room air let in at the outlet gasket kept",),
        ("restricted or too long", "because the wet load", "heat to spare"),
    ),
    "fast blower": (
        ("air.fan_speed=120 %",),
        ("The vent is not restricted: the static pressure is high because much air is moved",),
        ("restricted or too long", "high limit"),
    ),
    "weak blower, restricted vent": (
        ("vent.resistance_factor=8", "air.fan_speed=60 %"),
        ("{static} in w.c. (limit in a service manual", "the vent is restricted", "check the blower"),
        ("The vent is not",),
    ),
    "little air": (
        ("vent.open_area=10 %",),
        ("falls to {air_ratio} times the least that its gas needs (caution below 5", CAUTIONS["co"]),
        ("of the gas leaves unburned",),
    ),
    "timer motor gets too little": (
        ("machine.timer_resistance=100 ohm",),
        (
            "opened after {cut_out_at} min and felt up to {felt} degF, but the timer motor never",
            "too low a voltage to pull in",
            "enough voltage for the burner to stay on",
            CAUTIONS["hot"],
        ),
        ("too little heat", "never reaches"),
    ),
    "joint leak": (
        ("vent.joint_leak=20 cm2",),
        ("rises from 50 to a peak of {wettest} % RH: walls and windows below {dew_point} degF get wet",
          "products of combustion", CAUTIONS["co"]),
        ("restricted",),
    ),
    "electric joint leak": (
        ("vent.joint_leak=20 cm2", "machine.heat=electric"),
        ("of the exhaust leaks from the vent into the room", "The heater ran without a break"),
        ("products of combustion", "arbon monoxide", "Electricity is", "burner"),
    ),
    "screen blocked": (
        ("air.screen_loss=3 inH2O",),
        ("The vent is not what stops the air", "look at lint screen", FIRE),
        ("the vent is restricted",),
    ),
    "long vent": (
        ("vent.length=80 ft",),
        (
            "above the 0.60 in w.c. limit of service manuals",
            "restricted or too long",
            "less air does not slow it until the high limit starts to cycle: its element got to",
            "opens at {high_limit} degF (not validated",
        ),
        ("high limit opened", FIRE),
    ),
    "over-full": (
        ("load.dry_mass=20 lb",),
        ("The load is large: 20.0 lb", "not the dryer", "above the 0.52 to 0.59 kWh/lb"),
        ("washer", "humid"),
    ),
    "poor spin": (("load.initial_moisture=100 %",), ("washer's spin",), ("The load is large", "humid")),
    "humid room": (("room.relative_humidity=90 %",), ("The room is humid: 90 % RH",), ("washer", "cold")),
    "hot humid room": (
        ("room.temperature=95 degF", "room.relative_humidity=50 %"),
        ("The room is humid: 50 % RH at 95 degF (test room 50 % RH at 75 degF)",),
        ("cold",),
    ),
    "cold dry garage": (
        ("room.temperature=20 degF", "room.relative_humidity=70 %"),
        ("The intake air is cold, 20 degF", "because first the wet load", "too little heat to spare kept"),
        ("humid:",),
    ),
    "cold room": (("room.temperature=35 degF",), ("The intake air is cold, 35 degF",), ("humid",)),
    "slipping belt": (("machine.tumbling=20 %",), ("tumbles at 20 % of normal", "Check belt"), ("large",)),
    "air only": (
        ("controls.program=air only",),
        ("without heat, as air only (air fluff) does",),
        ("left wet", "No heat at all", "never opened", "Electricity", "kWh/lb"),
    ),
    "timed": (
        ("controls.program=timed",),
        ("takes no notice of the load",),
        ("stood still", "ran its course"),
    ),
    "asked moisture": (
        ("controls.stop_at_moisture=15 %",),
        ("when the load reaches the 15.0 % asked for; the machine itself would go on",),
        ("left damp", "still damp", "had not ended"),
    ),
    "power cut": (
        ("controls.interruptions=10 min power cut; 14 min power back; 16 min start pressed",),
        (
            "stood still from 10.0 min to 16.0 min because the power was cut: 6.0 min of the time above",
            "It did not restart by itself; start was pressed",
            "(6.0 min of them with the machine at a standstill), because the wet load",
        ),
        ("the door was opened",),
    ),
    "two stops": (
        ("controls.interruptions=5 min door opened; 6 min door closed; 7 min start pressed; "
         "10 min power cut; 11 min power back; 12 min start pressed",),
        ("from 5.0 min to 7.0 min because the door was opened and from 10.0 min to 12.0 min because the",
         ": 4.0 min of the time above"),
        (),
    ),
    "short vent": (
        ("vent.length=5 ft", "vent.elbows=1"),
        ("Low because the vent is short and free", "the limit is no target"),
        ("lost before the collar", "check the blower"),
    ),
    "weak wheel": (
        ("air.fan_speed=75 %", "machine.high_limit_cut_out=290 degF"),
        ("% less pressure than this vent gives on a clean machine: the air is lost before the collar",),
        ("short and free",),
    ),
    "blocked screen": (
        ("air.screen_loss=1.2 inH2O", "machine.high_limit_cut_out=290 degF"),
        ("% less pressure than this vent gives on a clean machine: the air is lost before the collar",),
        ("short and free",),
    ),
    "screen half as free": (
        ("air.screen_loss=0.6 inH2O", "vent.length=10 ft"),
        ("the air is lost before the collar",),
        ("short and free", "The vent is restricted"),
    ),
    "usual static": ((), (), ("short and free", "lost before the collar")),
    "leaking joint": (("vent.joint_leak=40 cm2",), (), ("short and free", "lost before the collar")),
    "no stop": ((), (), ("standstill", "machine stood still")),
    "poor contact": (
        ("machine.motor_stops=10 min", "controls.interruptions=12 min start pressed"),
        ("from 10.0 min to 12.0 min because a contact in its circuit",),
        (),
    ),
    "contact lets go": (
        ("machine.motor_stops=10 min",),
        ("The motor stopped after 10.0 min when a contact in its circuit", "does not restart by itself"),
        ("machine stood still",),
    ),
    "door opened": (
        ("controls.interruptions=10 min door opened",),
        ("The motor stopped after 10.0 min when the door was opened, and does not restart", "left wet"),
        ("The timer ran",),
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", EXPECTED)
def test_what_is_said_and_what_is_not(cycle: Cycles, name: str) -> None:
    overrides, said, unsaid = EXPECTED[name]
    text = "\n".join(findings(cycle(*overrides)))
    numbers = Numbers(cycle(*overrides))
    for words in said:
        assert words.format_map(numbers) in text, words
    for words in unsaid:
        assert words not in text, words


@pytest.mark.parametrize("name", EXPECTED)
@pytest.mark.parametrize("si", [False, True])
def test_findings_are_plain_sentences(cycle: Cycles, name: str, si: bool) -> None:
    texts = findings(cycle(*EXPECTED[name][0]), cycle(), si=si)
    assert texts and len(set(texts)) == len(texts)
    for text in texts:
        assert text.isascii() and text[0].isupper() | text[0].isdigit() and text.endswith((".", ")."))
        assert " nan" not in text and "  " not in text
    whole = " ".join(texts)
    for caution in CAUTIONS.values():
        assert whole.count(caution) <= 1
    trade = ("degF", "cfm", "in w.c.", " lb", "kWh/lb")
    metric = ("degC", "L/s", " Pa", " kg", "kWh/kg")
    assert not any(unit in whole for unit in (trade if si else metric))


@pytest.mark.parametrize("name", EXPECTED)
def test_one_ending_each(cycle: Cycles, name: str) -> None:
    endings = (
        "ended the cycle after",
        "had not ended when",
        "The computation ends after",
        "The motor stopped after",
    )
    texts = findings(cycle(*EXPECTED[name][0]))
    assert sum(any(words in text for words in endings) for text in texts) == 1


def test_danger_comes_first(cycle: Cycles) -> None:
    starved = findings(cycle("vent.resistance_factor=20", "burner.firing_rate=200000 Btu/h"))
    assert "carbon monoxide" in starved[0]
    assert "high limit opened" in starved[1]
    assert "thermal cut-off" in findings(cycle(*BLOWN))[0]
    assert findings(cycle("vent.resistance_factor=8"))[-1].startswith("How much the high limit")


def test_numbers_in_the_words_are_those_of_the_summary(cycle: Cycles) -> None:
    result = cycle("vent.resistance_factor=8")
    content, text = summary_json(result, "0"), " ".join(findings(result))
    assert f"opened {content['high_limit_trips']} times" in text
    assert f"{content['exhaust_flow_cfm']:.0f} cfm" in text
    assert f"{content['vent_static_inwc']:.2f} in w.c." in text
    assert f"4 % moisture was reached after {content['time_to_4pct_min']:.1f} min" in text


def test_the_share_of_the_call_in_which_a_tripping_machine_gave_heat(cycle: Cycles) -> None:
    result = cycle("vent.resistance_factor=8")
    tr = result.trajectory
    called = sum(b - a for a, b in tr.intervals(switching.HEAT_CALL, result.cycle_time))
    lit = sum(b - a for a, b in tr.intervals(switching.FLAME, result.cycle_time))
    assert f"gave heat for {100.0 * lit / called:.0f} % of the time heat was called" in " ".join(
        findings(result)
    )


def test_over_drying_takes_what_is_left_of_the_energy(cycle: Cycles) -> None:
    result = cycle()
    at = M.time_to_4pct(result)
    assert at is not None
    rest = 1.0 - M.energy_until(result, at) / (result.gas_energy + result.electric_energy)
    assert f"{100 * rest:.0f} % of the cycle's energy" in " ".join(findings(result))


def test_one_trip_is_once(cycle: Cycles) -> None:
    result = cycle("vent.resistance_factor=8", "controls.time_limit=2 min")
    assert result.high_limit_trips == 1
    assert "The high limit opened once;" in " ".join(findings(result))


def test_a_cut_off_that_blows_on_the_way_is_timed(cycle: Cycles) -> None:
    """A high limit that does not open in time, told here by a cut-off set below it."""
    p = cycle("vent.resistance_factor=8").parameters
    result = run_cycle(p._replace(thermal_cutoff=p.high_limit_cut_out - 1.0, time_limit=1800.0))
    blown = [e.time for e in result.events if "thermal cut-off opens for good" in e.changes]
    assert len(blown) == 1 and blown[0] > 0.0
    assert f"opened for good after {blown[0] / 60.0:.1f} min" in findings(result)[0]


def test_thin_air_is_why_a_sound_machine_trips_and_not_why_a_blocked_screen_does(cycle: Cycles) -> None:
    """Input falls by the root of the air's pressure, the air by weight with the pressure itself."""
    high = (
        "room.altitude=6000 ft",
        "machine.high_limit_cut_out=200 degF",
        "machine.high_limit_cut_in=185 degF",
    )
    pressure = cycle(*high).parameters.pressure / 101325.0
    text = " ".join(findings(cycle(*high)))
    assert f"gets {100 * (1 - pressure):.0f} % less by weight" in text and cycle(*high).high_limit_trips
    assert f"only {100 * (1 - math.sqrt(pressure)):.0f} % less gas. No fault of machine or vent" in text
    for other in ("air.screen_loss=0.8 inH2O", "room.altitude=2000 ft", "vent.resistance_factor=8"):
        assert "thin here" not in " ".join(findings(cycle(*high, other))), other


def test_a_limit_that_opens_on_a_dry_load_has_not_slowed_it(cycle: Cycles) -> None:
    late = ("vent.length=60 ft", "machine.high_limit_cut_out=205 degF", "machine.high_limit_cut_in=190 degF")
    for result, said in ((cycle(*late), True), (cycle("vent.resistance_factor=8"), False)):
        marked = result.time_to_marked
        assert marked is not None and (result.outcome.high_limit_first_trip_s > marked) is said
        assert ("It opened only after the load was dry" in " ".join(findings(result))) is said


def test_bias_heater_is_named(cycle: Cycles) -> None:
    result = cycle("controls.heat=low", "machine.low_heat_in_auto=true")
    text = " ".join(findings(result))
    assert "below its 155 degF cut-out (its bias heater adds 15 degF)" in text


def test_the_peak_is_said_of_a_leaking_joint_and_not_the_end(cycle: Cycles) -> None:
    facts = Facts(cycle("vent.joint_leak=20 cm2"), False)
    end = float(facts.result.final[Y.ROOM_HUMIDITY])
    assert facts.room_rh_peak > facts.room_rh + 0.2
    assert end < 0.8 * facts.result.trajectory.state[:, Y.ROOM_HUMIDITY].max()


def test_thin_air_does_not_make_a_vent_restricted_or_clear(cycle: Cycles) -> None:
    """A square-law vent takes pressure in proportion to density, so altitude must not move the verdict."""
    for length, restricted in (("20 ft", False), ("80 ft", True)):
        for altitude in ("0 ft", "6000 ft"):
            result = cycle(f"vent.length={length}", f"room.altitude={altitude}")
            assert Facts(result, False).vent_resists is restricted, (length, altitude)


@pytest.mark.parametrize("overrides", [(), ("air.gasket_leak=20 cm2",), ("air.screen_loss=3 inH2O",)])
def test_a_load_hot_for_a_moment_is_not_called_overheated(cycle: Cycles, overrides: tuple[str, ...]) -> None:
    assert CAUTIONS["hot"] not in " ".join(findings(cycle(*overrides)))


# beside a healthy machine -----------------------------------------------------------------------


def test_a_vent_restriction_beside_a_healthy_machine(cycle: Cycles) -> None:
    text = " ".join(findings(cycle("vent.resistance_factor=8"), cycle()))
    assert "1.97 times the healthy machine's 22.2 min" in text
    assert "The airflow is low, 74 cfm against the healthy 150 cfm" in text
    assert "the restriction is in the vent" in text


def test_a_screen_beside_a_healthy_machine(cycle: Cycles) -> None:
    text = " ".join(findings(cycle("air.screen_loss=3 inH2O"), cycle()))
    assert "lost before the collar (lint screen, blower, belt)" in text
    assert "the restriction is in the vent" not in text


def test_a_wet_load_beside_a_healthy_machine(cycle: Cycles) -> None:
    text = " ".join(findings(cycle(*SHUT), cycle()))
    assert "The healthy machine brings this load to 4 % in 22.2 min; here it is not reached." in text


def test_a_healthy_machine_beside_itself(cycle: Cycles) -> None:
    text = " ".join(findings(cycle(), cycle()))
    assert "1.00 times the healthy machine's" in text
    assert "airflow is low" not in text
