"""Marks of a fault from made-up readings: each at its own step, named after its own number and direction."""

from __future__ import annotations

import math
from typing import Any

import pytest

from dryermodel.cycle.engine.parameters import ELECTRIC_HEAT
from dryermodel.findings.look_alikes import alike, groups
from dryermodel.findings.patterns import Pattern, pattern
from dryermodel.findings.steps import STEPS, changes
from dryermodel.scenario.model import load_scenario

GAS = load_scenario("standard").to_parameters()
ELECTRIC = GAS._replace(heat_source=ELECTRIC_HEAT)

HEALTHY: dict[str, float | None] = {
    "cycle_time": 2400.0, "time_to_4pct": 1500.0, "final_moisture": 0.02, "gas_energy": 1.0e7,
    "electric_energy": 8.0e5, "exhaust_temp_bulk": 320.0, "exhaust_temp_max": 345.0,
    "load_temp_max": 350.0, "vent_static": 140.0, "exhaust_flow": 0.07, "burner_on_mean": 40.0,
    "burner_off_mean": 60.0, "first_light": 30.0, "longest_glow": 30.0, "burner_cycles": 7.0,
    "ignition_tries": 7.0, "high_limit_trips": 0.0, "ended": 1.0, "first_cut_out": 1480.0,
    "motor_power_early": 250.0,
}  # fmt: skip

DEGF = 5.0 / 9.0  # K

# What a technician tells apart from one load to the next (common practice), and what it is called.
STEP = {
    "cycle_time": (240.0, "dry as soon but runs longer", "dry as soon and stops sooner"),
    "time_to_4pct": (150.0, "dries slower, ends on time", "dry sooner, ends on time"),
    "final_moisture": (0.01, "load a little damper", "load drier"),
    "gas_energy": (1.0e6, "more gas", "less gas"),
    "exhaust_temp_bulk": (5.0 * DEGF, "exhaust hotter", "exhaust cooler"),
    "exhaust_temp_max": (10.0 * DEGF, "exhaust peaks hotter", "exhaust peaks cooler"),
    "load_temp_max": (15.0 * DEGF, "load hotter", "load cooler"),
    "vent_static": (20.0, "static up", "static down"),
    "exhaust_flow": (0.007, "flow up", "flow down"),
    "burner_on_mean": (14.0, "longer burns after the cut-out", "shorter burns after the cut-out"),
    "burner_off_mean": (21.0, "longer gaps after the cut-out", "shorter gaps after the cut-out"),
    "first_light": (10.5, "slow light", None),
    "motor_power_early": (25.0, "motor takes more", "motor takes less"),
}


def marks(parameters: Any = GAS, healthy: Any = HEALTHY, **changed: Any) -> tuple[str, ...]:
    return pattern({**healthy, **changed}, healthy, parameters).keys


def moved(name: str, by: float) -> float:
    value = HEALTHY[name]
    assert value is not None
    return value + by


@pytest.mark.parametrize("name", STEP)
def test_a_number_is_marked_from_its_step_on_and_by_nothing_else(name: str) -> None:
    step, more, less = STEP[name]
    for way, key in ((1.0, more), (-1.0, less)):
        assert marks(**{name: moved(name, 0.99 * way * step)}) == ()
        assert marks(**{name: moved(name, 1.01 * way * step)}) == (() if key is None else (key,))


def test_small_numbers_have_a_least_step() -> None:
    """Two minutes, a tenth of a megajoule, seconds of a watch: shares of next to nothing are no change."""
    short = {
        **HEALTHY, "cycle_time": 300.0, "time_to_4pct": 300.0, "gas_energy": 1e5, "electric_energy": 1e5,
        "exhaust_flow": 1e-4, "burner_on_mean": 6.0, "burner_off_mean": 6.0, "first_light": 5.0,
        "motor_power_early": 50.0,
    }  # fmt: skip
    least = {
        "cycle_time": 120.0, "time_to_4pct": 120.0, "gas_energy": 1e5, "electric_energy": 1e5,
        "exhaust_flow": 1e-4, "burner_on_mean": 5.0, "burner_off_mean": 5.0, "first_light": 10.0,
        "motor_power_early": 10.0,
    }  # fmt: skip
    for name, step in least.items():
        value = short[name]
        assert value is not None
        for share, there in ((0.99, 0), (1.01, 1)):
            found = changes({**short, name: value + share * step}, short)
            assert sum(abs(change) >= 1.0 for change in found.values()) == there, name


def test_a_number_that_only_one_of_two_has_is_a_change_without_bound() -> None:
    name = "burner_off_mean"
    without = {**HEALTHY, name: None}
    assert changes(without, HEALTHY)[name] == -math.inf
    assert changes(HEALTHY, without)[name] == math.inf
    assert changes(without, without)[name] == 0.0


def test_every_number_is_looked_at() -> None:
    assert set(STEP) | {"electric_energy"} == set(STEPS)


def test_both_times_together_have_one_mark() -> None:
    slower = {"time_to_4pct": 1800.0, "cycle_time": 2900.0}
    assert marks(**slower) == ("slower",)
    assert marks(time_to_4pct=1200.0, cycle_time=2000.0) == ("faster",)
    assert marks(time_to_4pct=1800.0, cycle_time=2000.0) == ("dries slower yet stops sooner",)
    assert marks(time_to_4pct=1200.0, cycle_time=2900.0) == ("dry sooner but runs longer",)
    words = pattern({**HEALTHY, **slower}, HEALTHY, GAS).words
    assert words == "slower (+20 %)"  # of the time to 4 %, not of the cycle
    assert "(+21 %)" in pattern({**HEALTHY, "cycle_time": 2900.0}, HEALTHY, GAS).words


def test_an_electric_machine_has_electricity_for_gas() -> None:
    assert marks(ELECTRIC, electric_energy=9.1e5) == ("more electricity",)
    assert marks(ELECTRIC, gas_energy=2e7) == ()
    assert marks(electric_energy=9.1e5) == ()
    assert marks(ELECTRIC, burner_cycles=0.0)[0] == "no heat"


def test_what_never_lights_is_told_by_its_glow() -> None:
    cold = {"burner_cycles": 0.0, "ended": 0.0, "time_to_4pct": None, "first_light": None}
    assert marks(**cold, ignition_tries=0.0, longest_glow=0.0)[0] == "no glow"
    assert marks(**cold, ignition_tries=1.0, longest_glow=90.0)[0] == "glows in vain"
    assert marks(**cold, ignition_tries=1.0, longest_glow=91.0)[0] == "glows on"
    assert marks(**cold, ignition_tries=1.0, longest_glow=90.0)[1:3] == ("no end", "never dry")
    also_cold = {**HEALTHY, "burner_cycles": 0.0}
    assert marks(healthy=also_cold, ignition_tries=0.0) == ()


def test_what_does_not_end_says_why() -> None:
    assert marks(ended=0.0)[0].startswith("no end: the thermostat cycles the burner")
    late = {"ended": 0.0, "first_cut_out": None}
    edge = GAS.cut_out + 20.0 * DEGF
    assert marks(**late, exhaust_temp_max=edge - 0.1)[0].endswith("never gets to the cut-out")
    assert marks(**late, exhaust_temp_max=edge + 0.1)[0].endswith("the heat stays on")


def test_what_never_gets_dry() -> None:
    assert marks(time_to_4pct=None, ended=0.0)[1] == "never dry"
    assert marks(time_to_4pct=None, cycle_time=2399.0)[0] == "early"
    assert marks(time_to_4pct=None, cycle_time=2400.0)[0] == "in vain"
    assert (
        "after 10 min" in pattern({**HEALTHY, "time_to_4pct": None, "cycle_time": 600.0}, HEALTHY, GAS).words
    )
    damp = {**HEALTHY, "time_to_4pct": None}
    assert marks(healthy=damp) == ()


@pytest.mark.parametrize(("trips", "key"), [(0, None), (1, "limit opens"), (2, "limit opens"), (3, "limit")])
def test_three_trips_are_a_habit(trips: int, key: str | None) -> None:
    assert marks(high_limit_trips=float(trips)) == (() if key is None else (key,))
    tripping = {**HEALTHY, "high_limit_trips": 5.0}
    assert marks(healthy=tripping, high_limit_trips=5.0 + trips) == (() if key is None else (key,))
    assert (
        f"({5 + trips} trips)" in pattern({**tripping, "high_limit_trips": 5.0 + trips}, tripping, GAS).words
        or trips < 3
    )


@pytest.mark.parametrize(("tries", "there"), [(9, False), (10, True)])
def test_three_tries_in_vain_are_a_habit(tries: int, there: bool) -> None:
    assert ("tries in vain" in marks(ignition_tries=float(tries))) is there


def test_only_tries_in_vain_beyond_the_healthy_ones_count() -> None:
    trying = {**HEALTHY, "ignition_tries": 12.0}  # five in vain
    assert "tries in vain" not in marks(healthy=trying, ignition_tries=14.0)
    found = pattern({**trying, "ignition_tries": 15.0}, trying, GAS)
    assert found.words == "8 of 15 ignition tries in vain"


def test_a_cycle_that_does_not_end_is_slower_or_faster_by_its_drying() -> None:
    for minutes, word in ((30.0, "slower"), (20.0, "faster")):
        assert marks(ended=0.0, time_to_4pct=60.0 * minutes)[1] == word
    assert len(marks(ended=0.0, cycle_time=9000.0)) == 1


def test_a_load_is_damp_above_the_test_s_dryness_and_wet_far_above() -> None:
    at_half = {**HEALTHY, "final_moisture": 0.005}
    assert marks(healthy=at_half, final_moisture=0.039) == ("load a little damper",)
    assert marks(healthy=at_half, final_moisture=0.041) == ("load damp",)
    assert marks(healthy=at_half, final_moisture=0.151) == ("load wet",)
    assert pattern({**at_half, "final_moisture": 0.30}, at_half, GAS).words == "load left wet (30 %)"
    damp = {**HEALTHY, "final_moisture": 0.06}
    assert marks(healthy=damp, final_moisture=0.065) == ()  # as damp as the healthy one leaves it


def patterned(**changed: float | None) -> Pattern:
    return pattern({**HEALTHY, **changed}, HEALTHY, GAS)


def test_directions_tell_faults_apart_and_sizes_do_not() -> None:
    step = STEP["vent_static"][0]
    much, some = patterned(vent_static=moved("vent_static", 3.0 * step)), moved("vent_static", 0.34 * step)
    assert alike(much, patterned(vent_static=some))
    assert not alike(much, patterned(vent_static=moved("vent_static", 0.32 * step)))
    assert not alike(much, patterned(vent_static=moved("vent_static", -3.0 * step)))
    assert alike(patterned(vent_static=some), patterned(exhaust_flow=moved("exhaust_flow", 0.002)))


def test_a_mark_of_its_own_tells_a_fault_apart_but_one_trip_does_not() -> None:
    assert not alike(patterned(high_limit_trips=3.0), patterned())
    assert alike(patterned(high_limit_trips=2.0), patterned())
    assert not alike(patterned(ended=0.0), patterned())


def test_groups_are_of_two_or_more_that_are_all_alike() -> None:
    up, up_more = patterned(vent_static=200.0), patterned(vent_static=260.0)
    down = patterned(vent_static=80.0)
    assert groups([("a", up), ("b", down), ("c", up_more), ("d", patterned())]) == [["a", "c"]]
    # The same quantity: alike at some severity, whatever these two did.
    assert groups([("vent_blockage", up), ("vent_crushed", down)]) == [["vent_blockage", "vent_crushed"]]
