"""The cycle as a table: names, units, rows, and what a bad step is told."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from dryermodel.cycle.frame import SWITCHED, affine, people_column, to_frame
from dryermodel.cycle.result import CycleResult
from dryermodel.errors import InputError
from dryermodel.scenario.model import load_scenario
from dryermodel.scenario.run import simulate
from dryermodel.units import convert

Cycles = Callable[..., CycleResult]
UNITS = ("degF", "degC", "delta_degF", "inH2O", "cfm", "lb", "lb/min", "Btu/h", "min", "%", "kWh", "kWh/lb")


@given(st.sampled_from(UNITS), st.floats(min_value=-1e6, max_value=1e6))
def test_a_column_converts_as_one_value_does(unit: str, value: float) -> None:
    scale, offset = affine(unit)
    assert scale * value + offset == pytest.approx(convert(value, unit), rel=1e-12, abs=1e-9)


def test_affine_knows_the_defined_factors() -> None:
    """Definitions: degF by 9/5 and 459.67, inch of water 249.08891 Pa, pound 0.45359237 kg."""
    assert affine("degF") == pytest.approx((1.8, -459.67), abs=1e-9)
    assert affine("inH2O") == pytest.approx((1.0 / 249.08891, 0.0))
    assert affine("lb") == pytest.approx((1.0 / 0.45359237, 0.0))


def test_an_unknown_unit_is_refused() -> None:
    with pytest.raises(ValueError, match="unknown unit"):
        affine("furlong")


def test_every_column_carries_a_people_unit_or_is_a_switch_or_a_ratio(cycle: Cycles) -> None:
    frame = to_frame(cycle(), 60.0)
    plain = {*SWITCHED, "exhaust_humidity_ratio"}
    endings = ("_degF", "_lb", "_cfm", "_inwc", "_min", "_percent", "_Btu_per_h", "_lb_per_min", "_power_W")
    unnamed = [name for name in frame.columns if name not in plain and not name.endswith(endings)]
    assert unnamed == []
    assert set(SWITCHED) <= set(frame.columns)


def test_people_columns_keep_one_name_each(cycle: Cycles) -> None:
    names = [people_column(name)[0] for name in cycle().sample([0.0])]
    assert len(set(names)) == len(names)


def test_numbers_are_the_sampled_ones(cycle: Cycles) -> None:
    result = cycle()
    frame = to_frame(result, 300.0)
    sampled = result.sample(frame["time_min"].to_numpy() * 60.0)
    expected = [convert(float(k), "degF") for k in sampled["exhaust_temp_K"]]
    assert frame["exhaust_temp_degF"].to_numpy() == pytest.approx(np.array(expected))
    assert frame["water_in_load_lb"].iloc[0] == pytest.approx(8.45 * 0.575)
    assert frame["moisture_percent"].iloc[0] == pytest.approx(57.5)
    assert frame["load_temp_degF"].iloc[0] == pytest.approx(75.0)


def test_si_is_the_sample_itself(cycle: Cycles) -> None:
    result = cycle()
    frame = to_frame(result, 120.0, si=True)
    sampled = result.sample(frame["time_s"].to_numpy())
    assert list(frame.columns) == list(sampled)
    for name, values in sampled.items():
        assert np.array_equal(frame[name].to_numpy(), values), name


@pytest.mark.parametrize("name", SWITCHED)
def test_switches_are_whole_zeros_and_ones(cycle: Cycles, name: str) -> None:
    column = to_frame(cycle(), 30.0)[name]
    assert column.dtype.kind == "i"
    assert set(column.unique()) <= {0, 1}


@pytest.mark.parametrize("step", [0.7, 10.0, 61.0, 3600.0])
def test_rows_stand_every_step_from_zero_to_the_end(cycle: Cycles, step: float) -> None:
    result = cycle("controls.time_limit=3 min") if step < 1.0 else cycle()
    times = to_frame(result, step, si=True)["time_s"].to_numpy()
    assert times[0] == 0.0
    assert np.diff(times) == pytest.approx(step)
    assert result.cycle_time - step < times[-1] <= result.cycle_time


def test_a_step_that_divides_the_cycle_ends_with_it(cycle: Cycles) -> None:
    """180 s in steps of 0.1 s: 1801 rows, though 0.1 has no exact binary value."""
    result = cycle("controls.time_limit=3 min")
    frame = to_frame(result, 0.1, si=True)
    assert len(frame) == 1801
    assert frame["time_s"].iloc[-1] == result.cycle_time == 180.0


@pytest.mark.parametrize("step", [0.0, -1.0, 0.05, 3601.0, math.nan, math.inf])
def test_a_bad_step_is_told_its_range(cycle: Cycles, step: float) -> None:
    with pytest.raises(InputError, match=r"step: is .* s, outside the allowed 0\.1 s to 3600 s"):
        cycle().to_dataframe(step)


@pytest.mark.parametrize("si", [False, True])
def test_each_kind_of_cloth_has_columns_of_its_own(si: bool) -> None:
    result = simulate(load_scenario("family_load"))
    frame = to_frame(result, 300.0, si)
    forms = ("moisture_{}", "load_temp_{}_K") if si else ("moisture_{}_percent", "load_temp_{}_degF")
    names = [form.format(name) for name in ("shirts", "mixed_cloth", "jeans") for form in forms]
    assert list(frame.columns[-6:]) == names
    shares = np.array([kind.share for kind in result.pieces])
    mean = frame["moisture" if si else "moisture_percent"].to_numpy()
    assert frame[names[::2]].to_numpy() @ shares == pytest.approx(mean, rel=1e-9)
    last = result.sample_pieces([result.cycle_time])
    assert [kind.moisture[0] for kind in last] == [kind.final_moisture for kind in result.pieces]
    assert frame[names[1]].iloc[0] == pytest.approx(297.039 if si else 75.0, abs=0.01)
