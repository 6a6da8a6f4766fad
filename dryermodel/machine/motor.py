"""What a lower voltage does to the drum and blower motor, before it fails to start at all."""

from __future__ import annotations

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
