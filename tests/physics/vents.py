"""Vents and units that the tests of duct, air network and whole machine share."""

from __future__ import annotations

from dryermodel.physics import duct

INH2O = 249.0889  # Pa, inch of water at 4 degC, NIST SP 811
CFM = 0.3048**3 / 60.0  # m3/s
FOOT = 0.3048
STANDARD_DENSITY = 1.2  # kg/m3, the standard air of fan practice
FOUR_INCH = 0.1016

CHART = ((60.0, 0), (52.0, 1), (44.0, 2), (32.0, 3), (28.0, 4))
"""Greatest length [ft] of rigid 4 in duct with 0 to 4 turns and a louvered hood at 0.75 in w.c.:
vent-length chart of a dryer's published installation guide."""


def vent(length_ft: float = 20.0, k: float = 2.3, roughness: float = 0.09e-3) -> duct.VentLine:
    return duct.VentLine(FOUR_INCH, length_ft * FOOT, roughness, 1.0, k, 1.0)


def vent_loss_inH2O(line: duct.VentLine, flow_cfm: float) -> float:
    """Static pressure the vent takes at a volume flow of standard air."""
    m = flow_cfm * CFM * STANDARD_DENSITY
    f = duct.friction_factor(duct.vent_reynolds(m, line.diameter), line.roughness / line.diameter)
    return duct.vent_resistance(f, line, STANDARD_DENSITY) * m * m / INH2O
