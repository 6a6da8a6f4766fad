"""Ducts that are not what they were: pressed flat."""

from __future__ import annotations


def flattened_friction(height_share: float) -> float:
    """Friction of a round duct pressed flat over that of the round one, at the same flow [1].

    Pressed between two plates a duct becomes a flat oval of the same circumference. With g its height over
    the diameter, area and hydraulic diameter both fall to ``a = g (2 - g)`` of the round duct's, and at one
    friction factor the pressure lost goes as 1/(D_h A^2) = a^-3.

    Parameters
    ----------
    height_share : float
        Height left, as a share of the diameter [1]; above 0, to 1.

    Notes
    -----
    Darcy-Weisbach with the hydraulic diameter, ASHRAE Fundamentals ch. 21; the flat oval by geometry. Losses
    at the two ends of the flat piece are left out, as is the slight rise of the friction factor.

    Examples
    --------
    >>> flattened_friction(1.0), round(flattened_friction(0.25), 1)
    (1.0, 11.9)
    """
    left = height_share * (2.0 - height_share)
    return 1.0 / (left * left * left)
