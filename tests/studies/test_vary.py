"""Reading what is to vary: units, spacing, and one clear message for everything that cannot be."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from dryermodel.errors import InputError
from dryermodel.kinds import suffix
from dryermodel.scenario.schema import keys, rule_of
from dryermodel.studies.sweep.design import Drawn, Grid
from dryermodel.studies.sweep.vary import Varied, read_all, read_vary

FOOT = 0.3048  # m, exact by definition (international foot)
POUND = 0.45359237  # kg, exact by definition (international pound)


def message(text: str, *, drawn: bool = False) -> str:
    with pytest.raises(InputError) as caught:
        read_vary(text, drawn=drawn)
    return str(caught.value)


def test_unit_at_both_ends() -> None:
    v = read_vary("vent.length=5 ft:60 ft:12")
    assert (v.start, v.stop) == pytest.approx((5 * FOOT, 60 * FOOT), rel=1e-15)
    assert v.n == 12


@pytest.mark.parametrize("text", ["load.dry_mass=3:12 lb:10", "load.dry_mass=3 lb:12:10"])
def test_unit_given_once_holds_for_both_ends(text: str) -> None:
    v = read_vary(text)
    assert (v.start, v.stop) == pytest.approx((3 * POUND, 12 * POUND), rel=1e-15)


def test_percent_given_once() -> None:
    v = read_vary("load.initial_moisture=40:80 %:5")
    assert (v.start, v.stop) == pytest.approx((0.4, 0.8))


def test_negative_temperature_and_degrees() -> None:
    v = read_vary("room.temperature=-20:32 degF:3")
    # 0 degF is 255.372 K (definition of the degree Fahrenheit).
    assert (v.start, v.stop) == pytest.approx((244.26111, 273.15), abs=1e-5)


def test_fractions_of_an_inch() -> None:
    v = read_vary("vent.diameter=3 1/2:4 in:2")
    assert (v.start, v.stop) == pytest.approx((3.5 * 0.0254, 4 * 0.0254))


def test_named_roughness_is_a_quantity() -> None:
    v = read_vary("vent.roughness=rigid:flexible:3")
    assert (v.start, v.stop) == pytest.approx((0.09e-3, 0.9e-3))


def test_a_fault_varies_by_its_severity_or_its_quantity() -> None:
    by_severity = read_vary("faults.outlet_gasket_leak=severity 0:0.5:3")
    by_quantity = read_vary("faults.outlet_gasket_leak=0:20 cm2:3")  # 40 cm2 is severity 1
    assert by_severity.at([0, 0.5, 1]) == pytest.approx([0.0, 0.25, 0.5])
    assert by_quantity.at([0, 0.5, 1]) == pytest.approx([0.0, 0.25, 0.5])
    assert by_quantity.column() == "faults_outlet_gasket_leak"


def test_equal_ratios() -> None:
    v = read_vary("vent.resistance_factor=1:100:5:log")
    assert v.at(np.linspace(0, 1, 5)) == pytest.approx([1, 10**0.5, 10, 10**1.5, 100])


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("vent.lenght=5 ft:60 ft:3", ["--vary", "vent.lenght", "unknown key", "vent.length"]),
        ("vent.length", ["key=values", "start:stop:n", "vent.length=5 ft:60 ft:12"]),
        ("vent.length=5 ft", ["start:stop:n"]),
        ("vent.length=5 ft:60 ft", ["start:stop:n"]),
        ("vent.length=5 ft:60 ft:3:4", ["start:stop:n"]),
        ("vent.length=:60 ft:3", ["start:stop:n"]),
        ("vent.length=5:60:12", ["no unit", "a length", "20 ft"]),
        ("vent.length=5 ft:60 psi:3", ["a length", "a pressure"]),
        ("vent.length=5 ft:600 ft:3", ["600 ft", "0 ft to 200 ft"]),
        ("vent.length=-5 ft:60 ft:3", ["-5 ft", "0 ft to 200 ft"]),
        ("vent.length=5 ft:60 ft:0", ["n is 0", "allowed 1 to"]),
        ("vent.length=5 ft:60 ft:-3", ["n is -3", "allowed 1 to"]),
        ("vent.length=5 ft:60 ft:2.5", ["n is '2.5'", "whole number"]),
        ("vent.length=5:60:12 ft", ["n is '12 ft'", "unit goes with start or stop"]),
        ("vent.length=5 ft:60 ft:99999999999999999999", ["n is 9999", "allowed 1 to"]),
        ("vent.length=5 ft:5 ft:3", ["starts and stops at the same value"]),
        ("vent.length=0 ft:60 ft:3:log", ["above 0", ":log"]),
        ("room.temperature=60:80 degF:3:log", ["no equal ratios"]),
        ("machine.heat=1:2:3", ["is words", "'gas' or 'electric'", "not a quantity", "compare"]),
        ("machine.low_heat_in_auto=0:1:2", ["is words", "true or false", "compare"]),
        ("controls.interruptions=1:2:3", ["list of events", "compare"]),
        ("burner.coil_opens=150 degF:never:3", ["'never'", "60 degF to 500 degF"]),
        ("faults.vent_blokage=0:1:3", ["unknown fault", "vent_blockage"]),
        ("faults.vent_blockage=severity 0:1.5:3", ["--vary", "faults.vent_blockage", "0 to 1"]),
        ("faults.vent_blockage=0:1:3", ["'faults.vent_blockage=0 %:50 %:5'", "vent_blockage=severity 0:1:5"]),
        ("faults.vent_blockage=static 1 in w.c.:2 in w.c.:3", ["what was measured", "not here"]),
        ("faults.vent_blockage=0:120 %:3", ["faults.vent_blockage", "120 %"]),
        ("faults.igniter_open=0:1:2", ["there or not", "compare"]),
        ("costs.gas_price=0.01:0.1:3", ["changes nothing in the cycle"]),
        ("vent.elbows=0:5:4", ["whole numbers", "n = 6"]),
        ("load.initial_moisture=40:80:3", ["'40'", "1 % to 200 %", "'40 %'"]),
    ],
)
def test_messages(text: str, parts: list[str]) -> None:
    told = message(text)
    for part in parts:
        assert part in told
    assert "\n" not in told
    assert told.isascii()


def test_a_range_that_is_drawn_from_needs_no_number() -> None:
    assert read_vary("vent.length=5 ft:60 ft", drawn=True).n == 0
    assert read_vary("vent.length=5 ft:60 ft:7", drawn=True).n == 0
    assert "low:high" in message("vent.length=5 ft", drawn=True)


def test_twice_varied_and_both_set_and_varied() -> None:
    with pytest.raises(InputError, match=r"vent.length: is varied twice"):
        read_all(["vent.length=5:60 ft:2", "vent.length=5:50 ft:2"])
    with pytest.raises(InputError, match=r"vent.length: is varied, and set to one value by --set"):
        read_all(["vent.length=5:60 ft:2"], ["vent.length=20 ft"])


def test_columns_carry_the_unit() -> None:
    assert read_vary("room.temperature=60:80 degF:3").column() == "room_temperature_degF"
    assert read_vary("room.temperature=60:80 degF:3").column(si=True) == "room_temperature_K"
    assert read_vary("vent.elbows=0:3:4").column() == "vent_elbows"
    assert read_vary("load.initial_moisture=40:80 %:2").column() == "load_initial_moisture_percent"


def test_every_quantity_key_has_a_plain_column_name() -> None:
    names = [
        Varied(key, 1.0, 2.0, 2, False, False).column(si)
        for key in keys()
        if rule_of(key)
        for si in (False, True)
    ]
    assert len(names) > 100
    assert all(name.isidentifier() and name.isascii() for name in names)
    assert suffix("W/K") == "W_per_K"


def test_shown_in_the_unit_of_the_admissible_range() -> None:
    v = read_vary("room.temperature=20 degC:25 degC:2")
    assert v.shown([v.start, v.stop]) == pytest.approx([68.0, 77.0])
    assert v.shown([v.start, v.stop], si=True) == pytest.approx([293.15, 298.15])


@given(st.integers(1, 40), st.floats(0.0, 200.0), st.floats(0.0, 200.0), st.data())
@settings(max_examples=60, derandomize=True, deadline=None)
def test_grid_points_stay_within_the_ends_and_reach_them(
    n: int, a: float, b: float, data: st.DataObject
) -> None:
    assume(a != b)
    v = read_vary(f"vent.length={a!r} ft:{b!r} ft:{n}")
    points = Grid([v]).points(0, n)[:, 0]
    assert points[0] == v.start
    assert n == 1 or points[-1] == v.stop
    assert np.all((points >= min(v.start, v.stop)) & (points <= max(v.start, v.stop)))
    first = data.draw(st.integers(0, n - 1))
    assert np.array_equal(Grid([v]).points(first, n)[:, 0], points[first:])


def test_grid_order_is_that_of_nested_loops() -> None:
    grid = Grid(read_all(["vent.elbows=0:2:3", "load.dry_mass=1:4 kg:4", "burner.heater_power=1:2 kW:2"]))
    expected = [
        (elbows, mass, power) for elbows in (0, 1, 2) for mass in (1, 2, 3, 4) for power in (1000, 2000)
    ]
    assert grid.size == len(expected) == 24
    assert grid.points(0, 24) == pytest.approx(np.array(expected, dtype=float))


@given(st.integers(0, 40), st.integers(0, 40), st.integers(0, 5))
@settings(max_examples=40, derandomize=True, deadline=None)
def test_drawn_points_can_be_had_from_anywhere(a: int, b: int, seed: int) -> None:
    varied = read_all(["vent.length=5:60 ft", "vent.elbows=0:4"], drawn=True)
    whole = Drawn(varied, 64, seed).points(0, 64)
    piecewise = Drawn(varied, 64, seed)
    for start in (a, b):  # forwards and backwards
        assert np.array_equal(piecewise.points(start, start + 20), whole[start : start + 20])


def test_drawn_points_fill_the_ranges_evenly() -> None:
    varied = read_all(
        ["vent.length=5:60 ft", "vent.elbows=0:4", "vent.resistance_factor=1:100:log"], drawn=True
    )
    length, elbows, factor = Drawn(varied, 1000, 1).points(0, 1000).T
    assert length.mean() == pytest.approx(32.5 * FOOT, rel=0.01)
    assert sorted(set(elbows)) == [0, 1, 2, 3, 4]
    assert np.bincount(elbows.astype(int)) == pytest.approx(200, abs=10)
    assert np.median(factor) == pytest.approx(10.0, rel=0.02)
    assert not np.array_equal(length, Drawn(varied, 1000, 2).points(0, 1000)[:, 0])
