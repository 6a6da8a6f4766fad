"""Answers that contradict each other, and readings no machine of the kind can give."""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from dryermodel.errors import InputError
from dryermodel.field import contradictions
from dryermodel.field.beyond import EXHAUST
from dryermodel.field.conflicts import conflicts, require_sensible
from dryermodel.field.contradictions import NEEDS, NEEDS_FLAME, NEEDS_GLOW, NOT_BOTH, ORDER, Conflict
from dryermodel.field.evidence import gather, read_measured
from dryermodel.field.measurements import measurements
from dryermodel.field.observations import observations
from dryermodel.field.round import GAS_ONLY
from dryermodel.scenario.model import load_scenario


def found(
    measured: Sequence[str], seen: Sequence[str] = (), machine: str | None = "standard"
) -> list[Conflict]:
    evidence = gather(measured, seen)
    scenario = None if machine is None else load_scenario(machine)
    return conflicts(evidence.measured, evidence.seen, scenario)


def test_rules_speak_of_names_that_there_are() -> None:
    measured = {
        *NEEDS_FLAME,
        *NEEDS_GLOW,
        *GAS_ONLY,
        *EXHAUST,
        *(name for rule in ORDER for name in rule[:2]),
    }
    assert measured <= set(measurements())
    assert {name for pair in (*NEEDS, *NOT_BOTH) for name in pair} <= set(observations())


CONTRADICTORY: list[tuple[list[str], list[str], str]] = [
    (["start weight=8 lb", "end weight=9 lb"], [], "a load does not get heavier"),
    (["start weight=8 lb", "dry weight=11 lb"], [], "less than the dry one"),
    (["end weight=8 lb", "dry weight=11 lb"], [], "less than dry"),
    (["final moisture=80 %", "start moisture=50 %"], [], "does not get wetter"),
    (["cut-in=160 degF", "cut-out=140 degF"], [], "opens hot and closes cooler"),
    (["cut-out=165 degF", "exhaust peak=140 degF"], [], "the highest of all"),
    (["time to dry=110 min", "cycle time=60 min"], [], "within one run"),
    (["burner cycles=9", "ignition tries=4"], [], "a glow before it"),
    (["manifold=5 in w.c.", "supply=3 in w.c."], [], "a regulator only lowers"),
    (["end weight=9 lb", "dry weight=7 lb", "final moisture=3 %"], [], "28.6 % of water"),
    (["start weight=12.6 lb", "dry weight=8 lb", "start moisture=110 %"], [], "57.5 % of water"),
    (["burner cycles=3"], ["flame seen=no"], "'flame seen' is answered no"),
    (["gas input=20000 Btu/h"], ["flame seen=no"], "'flame seen' is answered no"),
    (["cut-out=150 degF"], ["flame seen=no"], "'flame seen' is answered no"),
    (["time to flame=30 s"], ["igniter glows=no"], "'igniter glows' is answered no"),
    (["burner cycles=0"], ["flame returns"], "'flame returns' is answered yes"),
    (["burner cycles=6"], ["flame returns=no"], "'flame returns' is answered no"),
    ([], ["flame returns", "flame seen=no"], "'flame seen' no"),
    ([], ["weak air", "strong air at the hood"], "cannot both be so"),
]


@pytest.mark.parametrize(("measured", "seen", "told"), CONTRADICTORY, ids=[c[2] for c in CONTRADICTORY])
def test_contradictions_are_told(measured: list[str], seen: list[str], told: str) -> None:
    (conflict,) = found(measured, seen, None)
    assert told in conflict.message and not conflict.refused
    names = {m.name for m in gather(measured, seen).measured} | {s.name for s in gather(measured, seen).seen}
    assert set(conflict.names) <= names


@pytest.mark.parametrize(
    ("measured", "seen"),
    [
        (["start weight=8.0 lb", "end weight=8.3 lb"], []),  # within the scale's accuracy
        (["cut-in=150 degF", "cut-out=145 degF"], []),
        (["end weight=8.1 lb", "dry weight=7.9 lb", "final moisture=5 %"], []),
        (["burner cycles=0", "gas input=0 Btu/h"], ["flame seen=no", "flame returns=no"]),
        (["burner cycles=2"], ["flame returns"]),
        (["burner cycles=2"], ["flame returns=no"]),  # one miscounted
        (["cut-out=150 degF"], ["flame seen"]),
        ([], ["igniter glows", "flame seen=no", "weak air", "strong air at the hood=no"]),
    ],
)
def test_what_instruments_explain_is_no_contradiction(measured: list[str], seen: list[str]) -> None:
    assert found(measured, seen) == []


def test_readings_of_one_thing_may_not_lie_far_apart() -> None:
    near = [read_measured(f"static={x} in w.c.") for x in (0.80, 0.85)]
    far = [*near, read_measured("static=0.4 in w.c.")]
    assert conflicts(near, ()) == []
    assert [c.message for c in conflicts(far, ())] == [
        f"vent static is {x} in w.c. and 0.4 in w.c.: too far apart for one thing; keep the one you trust"
        for x in ("0.8", "0.85")
    ]
    other = read_measured("static=0.4 in w.c. @ running empty")
    assert conflicts([*near, other], ()) == []


IMPOSSIBLE: list[tuple[list[str], list[str], str, str]] = [
    (["static=2.2 in w.c."], [], "standard", "builds 1.45 in w.c. against a shut vent (air.fan_dead_head)"),
    (["flow=500 cfm"], [], "standard", "moves 320 cfm with nothing in its way (air.fan_free_delivery)"),
    (["gas input=220000 Btu/h"], [], "standard", "10.0 times the plate's 22000 Btu/h"),
    (["exhaust=60 degF"], [], "standard", "colder than the room, 75 degF by the scenario"),
    (["exhaust=80 degF", "room temperature=95 degF"], [], "standard", "colder than the room, 95 degF,"),
    (["exhaust=40 degF"], ["flame seen=no"], "standard", "colder than wet cloth gets"),
    (["exhaust=40 degF @ heat off"], [], "standard", "colder than wet cloth gets"),
    (["timer advance 20-40 min=27 min"], [], "standard", "no faster than the clock"),
    (["gas input=22000 Btu/h"], [], "electric", "heats with electricity"),
    (["manifold=3 in w.c."], [], "electric", "heats with electricity"),
]


@pytest.mark.parametrize(("measured", "seen", "machine", "told"), IMPOSSIBLE, ids=[c[3] for c in IMPOSSIBLE])
def test_impossible_readings_are_refused_with_why(
    measured: list[str], seen: list[str], machine: str, told: str
) -> None:
    (conflict,) = found(measured, seen, machine)
    assert told in conflict.message and conflict.refused
    assert conflict.names == (gather(measured, []).measured[0].name,)
    with pytest.raises(InputError) as problem:
        require_sensible(gather(measured, seen), load_scenario(machine), "--measured")
    assert problem.value.where == "--measured"
    assert str(problem.value).count(conflict.names[0]) == 1 + conflict.message.count(f" {conflict.names[0]}")


@pytest.mark.parametrize("seen", ["flame seen=no", "igniter glows", "flame returns", "gas cock shut=no"])
def test_an_electric_machine_has_no_flame_to_be_seen(seen: str) -> None:
    (conflict,) = found([], [seen], "electric")
    assert conflict.refused and "electricity" in conflict.message
    assert not found([], [seen], "standard") and not found([], ["drum turns"], "electric")


@pytest.mark.parametrize(
    ("measured", "seen", "machine"),
    [
        (["static=1.5 in w.c."], [], "standard"),  # a shut vent, and the manometer's accuracy
        (["flow=300 cfm"], [], "standard"),
        (["gas input=55000 Btu/h"], [], "standard"),  # propane through the orifice of natural gas
        (["exhaust=72 degF"], [], "standard"),  # the probe's accuracy
        (["exhaust=68 degF"], ["flame seen=no"], "standard"),  # wet cloth cools the air
        (["exhaust=68 degF", "burner cycles=0"], [], "standard"),
        (["exhaust=62 degF @ heat off"], [], "standard"),
        (["exhaust=62 degF", "room temp=40 degF"], [], "standard"),
        (["timer advance 20-40 min=20.5 min"], [], "standard"),
        (["motor current=3 A", "static=0.4 in w.c."], [], "electric"),
    ],
)
def test_what_a_fault_can_do_is_not_refused(measured: list[str], seen: list[str], machine: str) -> None:
    assert found(measured, seen, machine) == []


def test_faults_of_the_scenario_do_not_move_the_bounds() -> None:
    sick = load_scenario("standard", faults=["blower_wheel_caked=severity 1", "weak_burner=40 %"])
    evidence = gather(["gas input=52000 Btu/h", "static=1.4 in w.c."], [])
    assert conflicts(evidence.measured, (), sick) == []


def test_a_fast_blower_has_more_pressure() -> None:
    fast = load_scenario("standard", ["air.fan_speed=120 %"])
    evidence = gather(["static=2.2 in w.c."], [])
    assert conflicts(evidence.measured, (), fast) == []


def test_doubt_is_three_standard_deviations() -> None:
    assert contradictions.SURE == 3.0
    for end, told in (("8.63 lb", 0), ("8.64 lb", 1)):  # sqrt(2) x 0.15 lb x 3 = 0.636 lb
        assert len(found(["start weight=8 lb", f"end weight={end}"])) == told


def _yes(*names: str) -> list[str]:
    return [f"{name}=yes" for name in names]


@pytest.mark.parametrize(("one", "needed"), NEEDS)
def test_what_needs_another_is_no_contradiction_without_an_answer(one: str, needed: str) -> None:
    assert found([], [*_yes(one), f"{needed}=no"], None)
    assert found([], _yes(one), None) == found([], _yes(one, needed), None) == []
    assert found([], [f"{one}=no", f"{needed}=no"], None) == []


@pytest.mark.parametrize(("one", "other"), NOT_BOTH)
def test_two_that_exclude_each_other(one: str, other: str) -> None:
    assert found([], _yes(one, other), None)
    assert found([], [*_yes(one), f"{other}=no"], None) == found([], [f"{one}=no", f"{other}=no"], None) == []
