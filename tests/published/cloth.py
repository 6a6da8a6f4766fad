"""Published values of cloth."""

from __future__ import annotations

from functools import partial

from dryermodel.physics import textile
from tests.published.check import FITTED, MEMORY, PUBLISHED, QUOTED, Check, printed, within

MORTON = "Morton & Hearle, Physical Properties of Textile Fibres, 2008"
ROVING = "ASHRAE Applications, hygroscopic materials, cotton roving at 24 degC"


def regain(rh: float, T: float) -> float:
    """Moisture of cotton [%] at rest in air."""
    return 100.0 * textile.equilibrium_moisture(rh, T, 1.0, textile.sorption_heat_dry(1.0))


def wetting(cotton: float) -> float:
    """Heat of wetting [J/g] of a blend from bone dry."""
    share, heat = textile.sorption_share(cotton), textile.sorption_heat_dry(cotton)
    return textile.bound_enthalpy(0.0, share, heat) / 1000.0


CLOTH = [
    *(
        Check(
            f"regain of cotton, {100 * rh:.0f} % humidity",
            value - 0.25,
            value + 0.25,
            value,
            1,
            "%",
            ROVING,
            MEMORY,
            partial(regain, rh, 297.15),
            FITTED,
        )
        for rh, value in ((0.30, 4.6), (0.50, 6.6), (0.80, 11.5))
    ),
    Check(
        "regain of cotton, 65 % humidity, 20 degC",
        7.0,
        8.0,
        None,
        1,
        "%",
        MORTON,
        QUOTED,
        partial(regain, 0.65, 293.15),
        missed="the isotherm follows the roving data, which interpolate to 8.9",
    ),
    Check(
        "commercial regain of cotton",
        *within(8.5, 0.05),
        8.5,
        1,
        "%",
        "ASTM D1909-13",
        QUOTED,
        partial(regain, 0.65, 293.15),
    ),
    Check(
        "heat of wetting of cotton",
        *printed(46.0, 0),
        46.0,
        1,
        "J/g",
        f"{MORTON}, table 8.1",
        PUBLISHED,
        partial(wetting, 1.0),
        FITTED,
    ),
    Check(
        "heat of wetting of polyester",
        *printed(5.0, 0),
        5.0,
        1,
        "J/g",
        f"{MORTON}, table 8.1",
        PUBLISHED,
        partial(wetting, 0.0),
        FITTED,
    ),
    Check(
        "specific heat of dry cotton",
        1.22,
        1.35,
        None,
        2,
        "J/(g K)",
        f"{MORTON}, table 6.1",
        PUBLISHED,
        lambda: textile.dry_specific_heat(1.0) / 1000.0,
        FITTED,
    ),
    Check(
        "specific heat of dry polyester",
        *printed(1.03, 2),
        1.03,
        2,
        "J/(g K)",
        f"{MORTON}, table 6.1",
        PUBLISHED,
        lambda: textile.dry_specific_heat(0.0) / 1000.0,
        FITTED,
    ),
]
