"""The drum and blower motor at the plug: what a lower voltage does to it, and what current it takes."""

from __future__ import annotations

import math

RATED_SLIP = 0.042
"""Slip of the loaded motor at its rated voltage [1]: 1,725 of 1,800 turns a minute, common practice."""


def speed_at_voltage(voltage_share: float) -> float:
    """Speed of an induction motor at another voltage than its own, relative to its rated speed [1].

    ::

        speed = max(1 - s / v^2, 0) / (1 - s),   s = 0.042

    An induction motor's torque at small slip goes with slip and the square of voltage; at the same torque
    the slip therefore goes with 1/v^2.

    Parameters
    ----------
    voltage_share : float
        Voltage over the rated one [1]; 0.6 to 1.2. Below, the motor stalls or does not start.

    Notes
    -----
    A. E. Fitzgerald, C. Kingsley, S. D. Umans, Electric Machinery, ch. 6: induction motor torque, small
    slip (cited from memory). Constant torque is an assumption: a blower asks for less when it slows.

    Examples
    --------
    >>> speed_at_voltage(1.0), round(speed_at_voltage(0.8), 3)
    (1.0, 0.975)
    """
    return max(1.0 - RATED_SLIP / (voltage_share * voltage_share), 0.0) / (1.0 - RATED_SLIP)


HEALTHY_RUN_UP = 0.5
"""Start to the opening of the start winding's switch on a free-turning machine [s], assumed: common practice
hears a healthy one as under a second."""

STARTING_TORQUE = 3.0
"""Mean torque of the starting motor over what a free-turning drum and blower ask for [1], assumed: a
split-phase motor starts with 1.5 to 2 times its full-load torque, and runs a dryer at part load."""


def run_up_time(drag: float, voltage_share: float) -> float:
    """Time from standstill until the start winding lets go [s]; infinite where it never gets there.

    ::

        t = 0.5 s (3 - 1) / (3 v^2 - r)

    The torque left to speed the drum up is the starting motor's, which goes with the square of the voltage,
    less what turning asks for; the inertia stays what it is.

    Parameters
    ----------
    drag : float
        What turning asks for, over a free-turning machine's [1]: power at the plug over the usual one.
    voltage_share : float
        Voltage over the rated one [1].

    Notes
    -----
    Angular momentum under constant torque; A. E. Fitzgerald, C. Kingsley, S. D. Umans, Electric Machinery,
    ch. 9: single-phase motors, torque and the square of voltage (from memory). Both constants are assumed.

    Examples
    --------
    >>> run_up_time(1.0, 1.0), round(run_up_time(1.4, 1.0), 3), run_up_time(1.4, 0.6)
    (0.5, 0.625, inf)
    """
    left = STARTING_TORQUE * voltage_share * voltage_share - drag
    return HEALTHY_RUN_UP * (STARTING_TORQUE - 1.0) / left if left > 0.0 else math.inf


POWER_FACTOR = 0.6
"""Power over volts times amperes of the running motor [1], assumed: small split-phase motors at part load
lie between 0.5 and 0.7 (from memory)."""


def line_current(motor_power: float, other_power: float, voltage: float) -> float:
    """Current that a clamp meter shows at the plug [A].

    ::

        I = sqrt((P_motor + P_other)^2 + (P_motor tan(phi))^2) / U,   cos(phi) = 0.6

    Parameters
    ----------
    motor_power : float
        [W].
    other_power : float
        Of igniter, coils, timer and heater, taken as purely resistive [W].
    voltage : float
        At the plug [V].

    Notes
    -----
    The sum of an in-phase and a lagging current (any text on alternating current).

    Examples
    --------
    >>> round(line_current(300.0, 0.0, 120.0), 2), round(line_current(0.0, 360.0, 120.0), 2)
    (4.17, 3.0)
    """
    reactive = motor_power * math.sqrt(1.0 / (POWER_FACTOR * POWER_FACTOR) - 1.0)
    active = motor_power + other_power
    return math.sqrt(active * active + reactive * reactive) / voltage
