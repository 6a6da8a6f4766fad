"""Functions of floats on columns: the same bits as number by number, whatever the code does with a float."""

from __future__ import annotations

import math
from functools import partial

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dryermodel.cycle.run import columns
from dryermodel.cycle.run.columns import FEW, Column, Mixed, fill, on_columns, over_columns
from dryermodel.errors import InputError
from dryermodel.machine.ignition import warm_up_at_voltage
from dryermodel.machine.motor import speed_at_voltage
from dryermodel.physics.duct import blockage_loss, friction_factor
from dryermodel.physics.fuel import fixed_orifice_rate, manifold_pressure
from dryermodel.physics.moist_air import humidity_ratio_from_rh

VALUES = st.lists(st.floats(-1e3, 1e3), min_size=1, max_size=40)
PAIR = [("one", "f8"), ("two", "f8")]


def everything(x: float, y: float) -> tuple[float, ...]:
    """Every operation that a plain function may make of floats."""
    z = max(abs(x) + 1.0, y) - min(x, y, 0.5)
    return (
        x + y, 2 + x, x - y, 1.0 - x, x * y, 3 * x, x / z, 1.0 / z, -x, abs(y), x**2, z**1.7, 2.0**-abs(x),
        min(x, y), max((x, y, 0.1)), float(x), int(x), 1.0 if math.isfinite(x) else 0.0,
        math.exp(-abs(x)), math.log(z), math.sqrt(z), math.copysign(z, y), math.pi * x, sum([x, y, 0.1]),
    )  # fmt: skip


@given(VALUES, st.randoms(use_true_random=False))
@settings(max_examples=60, derandomize=True, deadline=None)
def test_operations_are_those_of_floats_to_the_last_bit(xs: list[float], random: object) -> None:
    ys = list(reversed(xs))
    found = on_columns(everything)(Column(xs), Column(ys))
    for i, (x, y) in enumerate(zip(xs, ys, strict=True)):
        told = [c.values[i] if isinstance(c, Column) else float(c) for c in found]
        assert told == list(everything(x, y))


@pytest.mark.parametrize(
    ("function", "ranges"),
    [
        (humidity_ratio_from_rh, [(250.0, 310.0), (0.0, 1.0), (6e4, 1.05e5)]),
        (warm_up_at_voltage, [(5.0, 60.0), (0.5, 1.2)]),
        (speed_at_voltage, [(0.1, 1.2)]),
        (blockage_loss, [(0.0, 1.2)]),
        (friction_factor, [(500.0, 1e5), (0.0, 0.05)]),
        (manifold_pressure, [(0.0, 2500.0), (100.0, 2500.0), (0.0, 500.0)]),
        (partial(fixed_orifice_rate).func, [(5e3, 3e4), (0.0, 3e3), (500.0, 3e3), (0.5, 2.0), (6e4, 1.05e5)]),
    ],
)  # fmt: skip
def test_relations_with_branches_on_columns(function: object, ranges: list[tuple[float, float]]) -> None:
    generator = np.random.default_rng(3)
    points = np.column_stack([generator.uniform(low, high, 400) for low, high in ranges])
    expected = [function(*point) for point in points.tolist()]  # type: ignore[operator]
    assert over_columns(function, *points.T).tolist() == expected  # type: ignore[arg-type]


def test_a_condition_that_holds_at_some_points_is_told() -> None:
    x = Column([1.0, -1.0, 2.0])
    assert x > -2.0
    assert not x > 5.0
    with pytest.raises(Mixed) as told:
        bool(x > 0.0)
    assert told.value.holds.tolist() == [True, False, True]
    with pytest.raises(Mixed):
        bool(Column([0.0, 1.0]))
    assert not Column([0.0, -0.0])
    with pytest.raises(TypeError):
        x + "1"


def test_points_are_computed_abreast_until_few_are_alike(monkeypatch: pytest.MonkeyPatch) -> None:
    """Two kinds of points are two passes; only a handful that is left over goes one by one."""
    passes, singles = [], []

    def abreast(columns: list[Column]) -> tuple[Column, float]:
        passes.append(len(columns[0].values))
        return (columns[0] * 2.0, 1.0) if columns[0] > 0.0 else (-columns[0], 0.0)

    def one(point: list[float]) -> tuple[float, float]:
        singles.append(point[0])
        return (point[0] * 2.0, 1.0) if point[0] > 0.0 else (-point[0], 0.0)

    points = np.where(np.arange(40) % 2, -1.0, 1.0)[:, None] * np.arange(1.0, 41.0)[:, None]
    points[:, 0] = np.where(np.arange(40) < 3, -5.0, np.abs(points[:, 0]))
    out = np.empty(40, PAIR)
    fill(out, points, abreast, one)
    assert passes == [40, 37]
    assert singles == [-5.0] * 3
    assert len(singles) < FEW
    assert [tuple(row) for row in out.tolist()] == [one(p) for p in points.tolist()]


def test_what_cannot_be_is_told_by_the_first_point_that_cannot() -> None:
    def one(point: list[float]) -> tuple[float, float]:
        if point[0] > 20.0:
            raise InputError(f"{point[0]:g} is too much")
        return point[0], 1.0 / (point[0] + 100.0)

    def abreast(columns: list[Column]) -> tuple[Column, Column]:
        if columns[0] > 20.0:
            raise InputError("somewhere it is too much")
        return columns[0], 1.0 / (columns[0] + 100.0)

    out = np.empty(40, PAIR)
    with pytest.raises(InputError, match=r"^21 is too much$"):
        fill(out, np.arange(40.0)[:, None], abreast, one)
    with pytest.raises(ZeroDivisionError):
        fill(out, np.arange(-110.0, -70.0)[:, None], abreast, one)


def test_loops_that_call_each_other_and_tables_of_functions_are_followed() -> None:
    assert on_columns(_even)(Column([3.0] * 2)).values.tolist() == [_even(3.0)] * 2
    assert on_columns(_even) is on_columns(_even)
    assert columns.on_columns(_even).__globals__ is not _even.__globals__


def _even(x: float) -> float:
    return _odd(x - 1.0) if x > 0.0 else math.exp(x)


def _odd(x: float) -> float:
    return _even(x - 1.0) if x > 0.0 else math.cos(x)
