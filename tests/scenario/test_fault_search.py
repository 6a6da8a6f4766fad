"""Faults found by what is said: the right one among the first, in anybody's words, and nothing by chance."""

from __future__ import annotations

import pytest

from dryermodel.errors import InputError
from dryermodel.scenario.fault_search import SAME_MEANING, by_other_names, search, words_of
from dryermodel.scenario.faults import catalogue, find_fault


def keys(said: str) -> list[str]:
    return [match.fault.key for match in search(said)[0]]


@pytest.mark.parametrize(
    ("said", "first"),
    [
        ("it hums and stops after a minute", "start_winding_stays"),
        ("stops when I let go of the button", "hold_contact_open"),
        ("quits in the middle, clothes still wet", "switch_intermittent"),
        ("the flame is yellow", "venturi_dusty"),
        ("it squeals", "drum_drags"),
        ("clothes come out very hot", "outlet_gasket_leak"),
        ("static pressure is high at the collar", "vent_blockage"),
        ("windows fog up", "vent_joint_leak"),
        ("only since it is on an extension cord", "low_line_voltage"),
        ("slow in winter", "cold_makeup_air"),
        ("the drum doesn't turn", "drum_not_turning"),
        ("dryer got slow when the washer did", "wash_spin_poor"),
    ],
)
def test_complaints_lead_to_their_fault(said: str, first: str) -> None:
    assert keys(said)[0] == first


@pytest.mark.parametrize(
    ("said", "among"),
    [
        ("runs for ever", ["weak_burner", "timer_motor_dead", "thermostat_stuck_closed"]),
        ("no heat", ["igniter_open", "thermal_cutoff_open", "gas_shut_off", "flame_sensor_stuck_open"]),
        ("takes two hours to dry", ["vent_blockage"]),
        ("glows but does not light", ["gas_shut_off", "flame_sensor_stuck_closed"]),
    ],
)
def test_complaints_that_several_share_list_them_all(said: str, among: list[str]) -> None:
    assert set(among) <= set(keys(said))


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("runs for ever", "it never stops"),
        ("runs forever", "Won't shut off!"),
        ("no heat", "it doesn't get warm"),
        ("takes too long", "slow"),
        ("squeaks", "squealing"),
        ("weak ignitor", "weak igniter"),
        ("takes 2 cycles", "takes two runs"),
        ("won't start", "it is dead"),
        ("won't turn on", "does not start"),
        ("drum won't spin", "drum stopped turning"),
        ("won't turn off", "never stops"),
    ],
)
def test_ways_of_saying_the_same_find_the_same(one: str, other: str) -> None:
    assert keys(one) and keys(one) == keys(other)


@pytest.mark.parametrize(
    ("word", "key"),
    [
        ("cycling thermostat", "thermostat_drift"),
        ("thermal fuse", "thermal_cutoff_open"),
        ("radiant sensor", "flame_sensor_stuck_open"),
        ("secondary coil", "coil_fails_hot"),
        ("booster coil", "coil_fails_hot"),
        ("weak coils", "coil_fails_hot"),
        ("overfired", "wrong_orifice"),
    ],
)
def test_words_of_the_trade(word: str, key: str) -> None:
    assert key in keys(word) and key in by_other_names(word)
    with pytest.raises(InputError, match=r"did you mean .*\\?"):
        find_fault(word.replace(" ", "_"))


def test_every_fault_is_found_by_its_own_words() -> None:
    for key, fault in catalogue().items():
        assert key in keys(fault.customer_says), key
        for name in fault.also:
            assert key in keys(name) and key in by_other_names(name), (key, name)


def test_likest_first_and_no_long_tail() -> None:
    found, own = search("stops in the middle")
    scores = [match.score for match in found]
    assert own and scores == sorted(scores, reverse=True) and len(found) <= 8
    assert scores[-1] >= 0.35 * scores[0]
    assert found[0].words and set(found[0].words) <= set(words_of("stops in the middle"))


def test_a_slip_of_the_finger_finds_what_is_near_and_says_so() -> None:
    found, own = search("sqeuals")
    assert not own and found[0].fault.key == "drum_drags"
    assert search("qqqq") == ([], False) and search("") == ([], False)


def test_words_for_the_same_meaning_are_words_that_stay_as_they_are() -> None:
    for word, _ in SAME_MEANING:
        assert words_of(word) == ("stop" if word == "stops" else word,)
