"""Labels beside lines: they keep their distance, their order and their bounds."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dryermodel.show.plots.labels import spread

heights = st.lists(st.floats(min_value=-50.0, max_value=150.0), max_size=12)


@given(heights, st.floats(min_value=0.0, max_value=30.0))
def test_placed_labels_keep_distance_order_and_bounds(wanted: list[float], gap: float) -> None:
    placed = spread(wanted, gap, 0.0, 100.0)
    fits = min(gap, 100.0 / max(len(wanted) - 1, 1))
    by_place = sorted(placed)
    assert all(b - a >= fits - 1e-6 for a, b in itertools.pairwise(by_place))
    assert all(-1e-6 <= y <= 100.0 + 1e-6 for y in placed)
    order = sorted(range(len(wanted)), key=lambda i: wanted[i])
    assert [placed[i] for i in order] == by_place


@given(st.lists(st.integers(min_value=0, max_value=20), unique=True, max_size=10))
def test_labels_that_do_not_touch_stay_where_they_are(slots: list[int]) -> None:
    wanted = [5.0 * slot for slot in slots]
    assert spread(wanted, 5.0, 0.0, 100.0) == pytest.approx(wanted)


@given(st.lists(st.floats(min_value=20.0, max_value=80.0), min_size=2, max_size=2))
def test_two_labels_move_by_equal_amounts(wanted: list[float]) -> None:
    """Least squares for two that overlap: each gives way by half of what is missing."""
    placed = spread(wanted, 10.0, 0.0, 100.0)
    assert sum(placed) == pytest.approx(sum(wanted))
    assert abs(placed[0] - placed[1]) == pytest.approx(max(10.0, abs(wanted[0] - wanted[1])))


def test_more_labels_than_room_are_spaced_evenly() -> None:
    assert spread([50.0, 50.0, 50.0], 80.0, 0.0, 100.0) == pytest.approx([0.0, 50.0, 100.0])


def test_no_labels() -> None:
    assert spread([], 5.0, 0.0, 100.0) == []
