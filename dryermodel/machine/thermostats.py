"""Snap-action thermostats: contacts with two thresholds."""

from __future__ import annotations


def snap_contact(closed: bool, element_temp: float, cut_out: float, cut_in: float) -> bool:
    """Contact of a thermostat that opens on rise, given where it stood before.

    Parameters
    ----------
    closed : bool
        The contact before.
    element_temp : float
        [K] of the sensing element.
    cut_out, cut_in : float
        [K] opening on rise and closing on fall; `cut_in` lies below `cut_out`.

    Returns
    -------
    bool
        The contact after.

    Examples
    --------
    >>> snap_contact(True, 340.0, 341.0, 333.0), snap_contact(False, 340.0, 341.0, 333.0)
    (True, False)
    """
    if closed:
        return element_temp < cut_out
    return element_temp <= cut_in


def lag_rate(element_temp: float, surroundings: float, lag: float) -> float:
    """First-order lag of a sensing element, ``(T_surroundings - T)/lag`` [K/s].

    Parameters
    ----------
    element_temp, surroundings : float
        [K].
    lag : float
        Time constant [s], positive.
    """
    return (surroundings - element_temp) / lag
