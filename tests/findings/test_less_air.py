"""Less air may dry sooner, up to where the high limit cycles: told from numbers, and only when it is so."""

from __future__ import annotations

import pytest

from dryermodel.findings.less_air import AIR_PATH, AirCase, less_air, only_air_differs
from dryermodel.findings.statements import findings
from dryermodel.scenario.run import simulate
from dryermodel.studies.comparison.cases import run_cases
from dryermodel.studies.comparison.figures import comparison
from dryermodel.studies.comparison.notes import notes
from dryermodel.studies.sweep.air import less_air_lines
from dryermodel.studies.sweep.frame import sweep_frame
from dryermodel.studies.sweep.plan import Sweep, plan_sweep
from tests.plain import plain_scenario

P = plain_scenario().to_parameters()
CFM = 4.719474432e-4  # m3/s, exact


def case(name: str, cfm: float, minutes: float | None, trips: int = 0, exhaust: float = 320.0) -> AirCase:
    return AirCase(name, cfm * CFM, exhaust, None if minutes is None else 60.0 * minutes, trips)


OPEN, LONG, TIGHT = case("A", 150, 22.0), case("B", 120, 21.0), case("C", 90, 30.0, trips=9)


def test_it_names_both_ends_and_where_it_turns_in_any_order() -> None:
    told = less_air([OPEN, LONG, TIGHT], P)
    assert told is not None and told == less_air([TIGHT, OPEN, LONG], P)
    first, turn = told.split(" It turns ")
    assert "with B 120 cfm leave and 4 % takes 21.0 min, with A 150 cfm leave and 4 % takes 22.0 min" in first
    assert "20 % less heat" in first  # the same temperature, four fifths of the flow
    assert turn.startswith("at C (90 cfm") and "the high limit opens 9 times" in turn


def test_the_heat_blown_out_counts_temperature_too() -> None:
    hotter = case("B", 120, 21.0, exhaust=P.room_temp + 1.1 * (320.0 - P.room_temp))
    told = less_air([OPEN, hotter], P)
    assert told is not None and "12 % less heat" in told  # 0.8 * 1.1 = 0.88
    as_much = case("B", 120, 21.0, exhaust=P.room_temp + 1.25 * (320.0 - P.room_temp))
    told = less_air([OPEN, as_much], P)
    assert told is not None and "no more heat" in told


def test_where_it_does_not_turn_that_is_said() -> None:
    told = less_air([OPEN, LONG], P)
    assert told is not None and "That ends where still less air makes the high limit cycle" in told
    slower = less_air([OPEN, LONG, case("C", 90, 21.5)], P)
    assert slower is not None and "It turns at C" in slower and "before the high limit cycles" in slower


@pytest.mark.parametrize(
    "cases",
    [
        [],
        [OPEN],
        [OPEN, case("B", 120, 22.5)],  # less air, slower
        [case("A", 150, 22.0), case("B", 149, 21.0)],  # as much air
        [case("A", 150, 22.0), case("B", 120, 21.95)],  # as quick
        [OPEN, case("B", 120, 21.0, trips=2)],  # the limit cycles already
        [OPEN, case("B", 120, None)],  # never dry
    ],
)
def test_nothing_is_said_where_it_is_not_so(cases: list[AirCase]) -> None:
    assert less_air(cases, P) is None


def test_only_what_throttles_the_air_may_differ() -> None:
    assert frozenset(P._fields) >= AIR_PATH
    assert only_air_differs(P, P._replace(vent_length=20.0, fan_speed=0.9))
    assert not only_air_differs(P, P)
    for name in ("dry_mass", "firing_rate", "gasket_area", "drum_seal_area", "joint_area"):
        assert not only_air_differs(P, P._replace(vent_length=20.0, **{name: 1.5 * getattr(P, name) + 1e-4}))


def planned(*vary: str, settings: tuple[str, ...] = (), sobol: int | None = None) -> Sweep:
    return plan_sweep(plain_scenario(settings), vary, sobol=sobol)


def told_by(sweep: Sweep) -> list[str]:
    return less_air_lines(sweep, sweep_frame(sweep))


def test_a_sweep_says_it_of_the_vent_and_where_it_turns() -> None:
    sweep = planned("vent.resistance_factor=1:6:6")
    (told,) = told_by(sweep)
    table = sweep_frame(sweep)
    quickest = table["time_to_4pct_min"].idxmin()
    trips = int(table["high_limit_trips"][quickest + 1])
    assert 0 < quickest < 5 and trips > 0
    factors = [f"{x:g}" for x in table["vent_resistance_factor"]]
    assert f"with vent resistance factor {factors[quickest]} " in told
    assert (
        f"It turns at vent resistance factor {factors[quickest + 1]} " in told
        and f"opens {trips} times" in told
    )


def test_a_sweep_of_two_keys_says_at_which_value_of_the_other() -> None:
    (told,) = told_by(planned("load.dry_mass=6:9 lb:2", "vent.length=20:60 ft:2"))
    assert told.startswith("At load dry mass 6 lb: less air dries sooner here: with vent length 60 ft")
    assert told_by(planned("load.dry_mass=6:9 lb:3")) == []
    assert told_by(planned("vent.length=20:60 ft", sobol=8)) == []
    # Times to different moistures are not compared.
    assert told_by(planned("vent.length=20:60 ft:2", "controls.marked_moisture=4:6 %:2")) == []


def test_a_comparison_says_it_of_the_cases_that_differ_in_air_alone() -> None:
    def said(*others: list[str]) -> list[str]:
        cases = [("", plain_scenario(list(s))) for s in ([], *others)]
        found = comparison(run_cases(cases))
        return [text for text in notes(found.cases, found.numbers) if text.startswith("Less air")]

    (told,) = said(["vent.length=60 ft"], ["vent.resistance_factor=8"])
    assert "with B " in told and "with A " in told and "It turns at C " in told
    assert said(["vent.length=60 ft", "load.dry_mass=6 lb"]) == []


def test_a_cycle_beside_a_healthy_one_says_it_too() -> None:
    healthy = simulate(plain_scenario())
    longer = simulate(plain_scenario(["vent.length=60 ft"]))
    assert [t for t in findings(longer, healthy) if t.startswith("Less air dries sooner here: with this one")]
    other = simulate(plain_scenario(["vent.length=60 ft", "load.dry_mass=6 lb"]))
    assert not [t for t in findings(other, healthy) if t.startswith("Less air")]


def test_one_opening_on_a_dry_load_is_no_cycling() -> None:
    assert less_air([OPEN, case("B", 120, 21.0, trips=1)], P) is not None
    assert less_air([OPEN, case("B", 120, 21.0, trips=2)], P) is None
