"""The dial's cams."""

from __future__ import annotations

import pytest

from dryermodel.machine.timer import COOL_DOWN, HEAT, OFF, cam_contacts, stretch_end


@pytest.mark.parametrize(
    ("stretch", "automatic", "main", "heat", "direct"),
    [
        (HEAT, True, True, True, False),
        (HEAT, False, True, True, True),
        (COOL_DOWN, True, True, False, True),
        (COOL_DOWN, False, True, False, True),
        (OFF, True, False, False, False),
        (OFF, False, False, False, False),
    ],
)
def test_cam_table(stretch: int, automatic: bool, main: bool, heat: bool, direct: bool) -> None:
    """In auto the dial is fed straight from the line only in the cool-down; in timed always; off: nothing."""
    assert cam_contacts(stretch, automatic) == (main, heat, direct)


@pytest.mark.parametrize("stretch", [HEAT, COOL_DOWN, OFF])
def test_no_cam_feeds_the_timer_twice(stretch: int) -> None:
    """Heat and direct together in auto would put the timer motor across chain and line at once."""
    cams = cam_contacts(stretch, True)
    assert not (cams.heat and cams.direct)


def test_stretches_follow_one_another() -> None:
    """The cool-down is the dial's last stretch and starts where the heat ends."""
    assert stretch_end(HEAT, 180.0, 300.0) == 180.0
    assert stretch_end(COOL_DOWN, 180.0, 300.0) == 480.0
    assert stretch_end(HEAT, 0.0, 0.0) == stretch_end(COOL_DOWN, 0.0, 0.0) == 0.0
    assert HEAT < COOL_DOWN < OFF
