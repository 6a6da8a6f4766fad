"""Igniter, flame sensor, two valves in series, flame.

The flame sensor is one lump of warmth between 0 (cold, recloses) and 1 (hot, opens) that climbs at a
constant rate before a glowing igniter or a flame and falls at another. That is an assumption about
shape; the two delays it produces are the ones a technician times with a watch.
"""

from __future__ import annotations

import math
from typing import NamedTuple

WORKS, STUCK_CLOSED, STUCK_OPEN = 0, 1, 2
"""Condition of the flame sensor's contact."""


class Ignition(NamedTuple):
    """Discrete state of the burner's gas side."""

    first_valve: bool  # pulled in by the assist coil, kept by the holding coil
    gas: bool  # gas flows: both valves open
    flame: bool


def valves(
    before: Ignition, holding: bool, assist: bool, main_coil: bool, igniter_hot: bool, has_gas: bool
) -> Ignition:
    """Valves and flame after the loads have settled.

    The holding coil alone keeps the first valve but cannot pull it in; so after a heat call is lost,
    no gas flows until the flame sensor has reclosed and the assist coil has had its turn.

    Parameters
    ----------
    before : Ignition
        State until now.
    holding, assist, main_coil : bool
        Energised coils.
    igniter_hot : bool
        Hot enough to light gas at this moment.
    has_gas : bool
        The firing rate is above zero.

    Examples
    --------
    >>> valves(Ignition(False, False, False), True, True, False, False, True)
    Ignition(first_valve=True, gas=False, flame=False)
    >>> valves(Ignition(True, False, False), True, False, True, True, True)
    Ignition(first_valve=True, gas=True, flame=True)
    >>> valves(Ignition(False, False, False), True, False, True, True, True)
    Ignition(first_valve=False, gas=False, flame=False)
    """
    first = holding and (assist or before.first_valve)
    gas = first and main_coil and has_gas
    flame = gas and (before.flame or igniter_hot)
    return Ignition(first, gas, flame)


OPENING_SHARE = 0.5
"""Share of the igniter's final rise at rated voltage at which the flame sensor opens [1], assumed."""

NEVER_HOT = 1.0e6
"""Warm-up [s] of an igniter that glows, but at too low a voltage to open the sensor within any cycle."""


def warm_up_at_voltage(warm_up: float, voltage_share: float) -> float:
    """Time from heat call to the sensor's opening at another voltage [s].

    First-order warming towards a rise that goes with the igniter's power, hence with voltage squared::

        t = t_rated ln(1 - o/v^2) / ln(1 - o),   o = 0.5;   never when v^2 <= o

    Parameters
    ----------
    warm_up : float
        At the rated voltage [s].
    voltage_share : float
        Voltage over the rated one [1], above 0. At 1 the time is unchanged to the last bit.

    Notes
    -----
    The shape is that of a lumped body with a constant loss coefficient (any heat-transfer text); `o` is
    assumed so that 85 % of the voltage makes the wait 1.7 times as long.

    Examples
    --------
    >>> warm_up_at_voltage(20.0, 1.0), round(warm_up_at_voltage(20.0, 0.85), 1)
    (20.0, 34.0)
    >>> warm_up_at_voltage(20.0, 0.7) == NEVER_HOT
    True
    """
    reached = OPENING_SHARE / (voltage_share * voltage_share)
    if reached >= 1.0:
        return max(warm_up, NEVER_HOT)
    return warm_up * (math.log1p(-reached) / math.log1p(-OPENING_SHARE))


def warmth_rate(warmth: float, heated: bool, warm_up: float, cool_down: float) -> float:
    """Rate of the flame sensor's warmth [1/s]; it rests at 0 and at 1.

    Parameters
    ----------
    warmth : float
        0 to 1.
    heated : bool
        A glowing igniter or a flame heats it.
    warm_up, cool_down : float
        Full travel up and down [s].

    Examples
    --------
    >>> warmth_rate(0.5, True, 30.0, 40.0) == 1 / 30, warmth_rate(1.0, True, 30.0, 40.0)
    (True, 0.0)
    """
    if heated:
        return 1.0 / warm_up if warmth < 1.0 else 0.0
    return -1.0 / cool_down if warmth > 0.0 else 0.0


def sensor_contact(closed: bool, warmth: float, stuck: int) -> bool:
    """Contact of the flame sensor: opens hot, recloses cold, keeps its state between.

    Parameters
    ----------
    closed : bool
        The contact before.
    warmth : float
        0 to 1.
    stuck : int
        WORKS, STUCK_CLOSED or STUCK_OPEN.

    Examples
    --------
    >>> sensor_contact(True, 1.0, WORKS), sensor_contact(False, 0.4, WORKS), sensor_contact(False, 0.0, WORKS)
    (False, False, True)
    """
    if stuck == STUCK_CLOSED:
        return True
    if stuck == STUCK_OPEN:
        return False
    if closed:
        return warmth < 1.0
    return warmth <= 0.0
