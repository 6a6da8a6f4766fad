"""The dial: cams that hold contacts as the timer motor turns them.

The dial counts motor time, not clock time. Its last stretch is the cool-down: heat contact open,
timer motor fed straight from the line.
"""

from __future__ import annotations

from typing import NamedTuple

HEAT, COOL_DOWN, OFF = 0, 1, 2
"""Stretches of the dial."""


class CamContacts(NamedTuple):
    """Contacts that the dial holds closed."""

    main: bool
    heat: bool
    direct: bool


def cam_contacts(stretch: int, automatic: bool) -> CamContacts:
    """Contacts for a stretch of the dial.

    Parameters
    ----------
    stretch : int
        HEAT, COOL_DOWN or OFF.
    automatic : bool
        In auto the dial is fed directly only in the cool-down; otherwise always.

    Examples
    --------
    >>> cam_contacts(HEAT, True)
    CamContacts(main=True, heat=True, direct=False)
    >>> cam_contacts(COOL_DOWN, True)
    CamContacts(main=True, heat=False, direct=True)
    """
    on = stretch != OFF
    return CamContacts(on, stretch == HEAT, on and (stretch == COOL_DOWN or not automatic))


def stretch_end(stretch: int, heat_travel: float, cool_down_travel: float) -> float:
    """Dial position [s of motor time] at which the present stretch ends.

    Parameters
    ----------
    stretch : int
        HEAT or COOL_DOWN.
    heat_travel, cool_down_travel : float
        Lengths of the two stretches [s].
    """
    return heat_travel if stretch == HEAT else heat_travel + cool_down_travel
