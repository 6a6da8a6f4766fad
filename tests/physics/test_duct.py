"""A duct pressed flat, against the sides of the oval worked out one by one."""

from __future__ import annotations

import math

import pytest

from dryermodel.physics.duct import flattened_friction


@pytest.mark.parametrize("share", [0.9, 0.5, 0.25, 0.1])
def test_flattened_duct_from_the_sides_of_the_oval(share: float) -> None:
    """A 4 in duct pressed flat: straight sides and two half circles of the same circumference, by hand."""
    d, height = 0.1016, 0.1016 * share
    side = 0.5 * (math.pi * d - math.pi * height)
    area = side * height + 0.25 * math.pi * height**2
    hydraulic = 4.0 * area / (math.pi * d)
    round_area = 0.25 * math.pi * d**2
    expected = (d / hydraulic) * (round_area / area) ** 2
    assert flattened_friction(share) == pytest.approx(expected, rel=1e-12)
