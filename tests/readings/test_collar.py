"""What a manometer and an anemometer at the collar show, against the orifice law and the sampled cycle."""

from __future__ import annotations

import math

import pytest

from dryermodel.physics.moist_air import moist_density
from dryermodel.readings.collar import at_collar
from tests.cycle.cases import parameters


def test_what_a_leaking_joint_takes_is_the_orifice_s_flow() -> None:
    """c A sqrt(2 dp / rho) of volume, at the static that the collar shows."""
    p = parameters("vent.joint_leak=20 cm2")
    found = at_collar(p)
    assert found.density == moist_density(p.room_temp, p.room_humidity_ratio, p.pressure)
    leak = p.leak_coefficient * p.joint_area * math.sqrt(2.0 * found.static / found.density)
    assert found.flow - found.duct_flow == pytest.approx(leak, rel=1e-6)
    tight = at_collar(p._replace(joint_area=0.0))
    assert tight.flow == tight.duct_flow < found.flow
    assert tight.static > found.static > 0.0


def test_the_collar_is_read_with_the_blower_on_and_a_clean_screen() -> None:
    """However much a screen takes up with the water, nothing has settled on it yet."""
    p = parameters()
    assert at_collar(p._replace(screen_loading=5.0)) == at_collar(p)
    assert at_collar(p._replace(screen_loss=2.0 * p.screen_loss)).flow < at_collar(p).flow
