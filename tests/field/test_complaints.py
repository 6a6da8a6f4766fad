"""What customers say, in their own words: each brought to its kinds, or said not to be understood.

The phrases are ours, written as customers are commonly heard to speak (common practice), before the rules.
"""

from __future__ import annotations

import pytest

from dryermodel.field.complaints import complained_of, complaints, nearest_complaint
from dryermodel.scenario.fault_search import smells_of_gas

LONG, ENDLESS, COLD = "takes too long", "never ends", "does not heat"
DAMP, STOPS, HOT = "clothes damp at the end", "stops too soon", "clothes too hot"
NOISE, HUM, DEAD, ROOM = "noisy drum", "motor hums", "does not start", "room humid or dusty"
SMELL, BILL, STANDS, BREAKER = "smells", "gas bill up", "drum does not turn", "trips the breaker"

PHRASES = [
    ("Takes two runs to get the towels dry", {LONG}),
    ("it takes forever to dry", {LONG}),
    ("Drying takes twice as long as it used to", {LONG}),
    ("it's been slow since we moved in", {LONG}),
    ("a load runs for two hours", {LONG}),
    ("needs a second run for jeans", {LONG}),
    ("keeps running even when everything is dry", {ENDLESS}),
    ("never shuts off by itself", {ENDLESS}),
    ("Clothes are dry but it won't stop", {ENDLESS}),
    ("blows cold air", {COLD}),
    ("the drum spins but there's no heat", {COLD}),
    ("tumbles but doesn't get warm", {COLD}),
    ("No hot air comes out", {COLD}),
    ("it stopped heating yesterday", {COLD}),
    ("it no longer heats", {COLD}),
    ("igniter glows but it doesn't light", {COLD}),
    ("clothes come out still damp", {DAMP}),
    ("towels are still wet after a full cycle", {DAMP}),
    ("jeans are not dry when it stops", {DAMP}),
    ("It doesn't dry", {DAMP}),
    ("the clothes aren't getting dry", {DAMP}),
    ("shuts off after ten minutes", {STOPS}),
    ("stops in the middle of the cycle", {STOPS}),
    ("quits before the clothes are dry", {STOPS}),
    ("turns off by itself too soon", {STOPS}),
    ("clothes are too hot to touch", {HOT}),
    ("Scorched my shirts", {HOT}),
    ("it overheats", {HOT}),
    ("it shrinks my sweaters", {HOT}),
    ("squeals when it starts", {NOISE}),
    ("loud thumping noise", {NOISE}),
    ("a grinding sound from the back", {NOISE}),
    ("it just hums and won't start", {HUM, DEAD}),
    ("only buzzes", {HUM}),
    ("won't start", {DEAD}),
    ("completely dead", {DEAD}),
    ("nothing happens when I push the button", {DEAD}),
    ("the house is damp", {ROOM}),
    ("House gets all humid and the walls sweat", {ROOM}),
    ("the laundry room is like a sauna", {ROOM}),
    ("water runs down the windows", {ROOM}),
    ("the basement is wet and musty since the dryer runs", {ROOM}),
    ("mold on the laundry room wall", {ROOM}),
    ("there is lint all over the room", {ROOM}),
    ("steam on the windows and the clothes are wet", {ROOM, DAMP}),
    ("burning smell", {SMELL}),
    ("the clothes smell like exhaust", {SMELL}),
    ("our gas bill has gone up", {BILL}),
    ("costs a fortune to run", {BILL}),
    ("the drum won't turn", {STANDS}),
    ("motor runs but the drum doesn't spin", {STANDS}),
    ("trips the breaker", {BREAKER}),
    ("keeps blowing the fuse", {BREAKER}),
    ("the circuit breaker goes as soon as I press the button", {BREAKER}),
    ("no longer squeals but takes too long", {LONG}),
    ("doesn't smell, just slow", {LONG}),
    ("it isn't noisy, but it never gets hot", {COLD}),
    ("sweatshirts come out damp", {DAMP}),
    ("wet clothes hang all over the laundry room", {DAMP}),
    ("vented through a window, takes too long", {LONG}),
]

UNKNOWN = [
    ("sheets come out wrinkled", DAMP),
    ("sqeaks terribly", NOISE),
    ("dryes to slwoly", LONG),
    ("tripps the braker", BREAKER),
    ("the light inside is out", COLD),
    ("shows an error code", None),
    ("the door does not close", None),
    ("vent flap does not open", None),
    ("", None),
]


@pytest.mark.parametrize(("said", "kinds"), PHRASES)
def test_what_customers_say_is_brought_to_its_kinds(said: str, kinds: set[str]) -> None:
    assert {c.name for c in complained_of(said)} == kinds


@pytest.mark.parametrize(("said", "near"), UNKNOWN)
def test_what_is_not_understood_is_no_complaint_and_may_have_a_nearest_one(
    said: str, near: str | None
) -> None:
    assert complained_of(said) == []
    found = nearest_complaint(said)
    assert (found.name if found else None) == near


def test_every_kind_is_understood_by_its_name_and_by_all_that_the_table_says_of_it() -> None:
    for kind in complaints().values():
        assert kind.said
        for words in (kind.name, *kind.said):
            assert kind in complained_of(words), words


def test_a_smell_of_gas_is_heard_even_where_it_is_denied() -> None:
    assert smells_of_gas("it does not smell of gas") and smells_of_gas("no smell of gas any more")
    assert not smells_of_gas("no smell, and the gas bill is up")
