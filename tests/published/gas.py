"""Published values of gas, orifices and combustion."""

from __future__ import annotations

from functools import partial

from dryermodel.physics import fuel
from dryermodel.physics.moist_air import latent_heat
from tests.published.check import LIBRARY, PUBLISHED, QUOTED, Check, printed

FT3_PER_H = fuel.FT3 / 3600.0
BTU_PER_H = fuel.BTU / 3600.0
TABLE = "Block E Fuel Gas Systems, appendix 2, BCcampus 2023"
SPECIES = "standard enthalpies of formation, GRI-Mech 3.0 species data"


def drilled(drill: int, head: float, gravity: float) -> float:
    """Flow [ft3/h] of a number drill at a head [in w.c.]."""
    area = fuel.orifice_area(fuel.drill_diameter(drill))
    return fuel.orifice_flow(area, head * fuel.INCH_OF_WATER, gravity) / FT3_PER_H


def clocked(dial: float, seconds: float, heat: float) -> float:
    """Firing rate [Btu/h] of a dial [ft3], its time and a heating value [Btu/ft3]."""
    return fuel.meter_firing_rate(dial * fuel.FT3, seconds, heat * fuel.BTU / fuel.FT3) / BTU_PER_H


def net_share(gas: fuel.Gas) -> float:
    """Net over gross heating value."""
    return 1.0 - gas.water_per_energy * latent_heat(298.15)


GAS = [
    *(
        Check(
            f"drill {drill}, {head:g} in w.c., specific gravity {gravity:.2f}",
            *printed(flow, 3),
            flow,
            3,
            "ft3/h",
            TABLE,
            PUBLISHED,
            partial(drilled, drill, head, gravity),
        )
        for drill, head, gravity, flow in (
            (80, 3.5, 0.60, 0.516),
            (72, 3.5, 0.60, 1.770),
            (65, 3.5, 0.60, 3.469),
            (65, 11.0, 1.50, 3.889),
            (62, 10.0, 1.50, 4.371),
        )
    ),
    Check(
        "drill 11 on natural gas at 3.5 in w.c.",
        *printed(106_000.0, -3),
        106_000.0,
        0,
        "Btu/h",
        "a commercial dryer's rating plate",
        PUBLISHED,
        lambda: drilled(11, 3.5, 0.60) * 1025.0,
    ),
    Check(
        "half-foot dial in 29 s, 1000 Btu/ft3",
        *printed(62_000.0, -3),
        62_000.0,
        0,
        "Btu/h",
        "a trade lesson on clocking a meter",
        PUBLISHED,
        partial(clocked, 0.5, 29.0, 1000.0),
    ),
    Check(
        "one-foot dial in 80 s, 1040 Btu/ft3",
        *printed(46_800.0, 0),
        46_800.0,
        0,
        "Btu/h",
        "a plumbing lesson, imperial gas rate",
        PUBLISHED,
        partial(clocked, 1.0, 80.0, 1040.0),
    ),
    Check(
        "flow at specific gravity 0.50 over that at 0.60",
        *printed(1.095, 3),
        1.095,
        3,
        "",
        "sqrt(0.60/SG)",
        LIBRARY,
        lambda: drilled(42, 3.5, 0.50) / drilled(42, 3.5, 0.60),
    ),
    Check(
        "net over gross heat, natural gas",
        *printed(0.902, 3),
        0.902,
        3,
        "",
        SPECIES,
        LIBRARY,
        partial(net_share, fuel.NATURAL_GAS),
    ),
    Check(
        "net over gross heat, propane",
        *printed(0.921, 3),
        0.921,
        3,
        "",
        SPECIES,
        LIBRARY,
        partial(net_share, fuel.PROPANE),
    ),
    Check(
        "share of the input that the rule allows at 5000 ft",
        *printed(0.80, 2),
        0.80,
        2,
        "",
        "NFPA 54 (2015)",
        QUOTED,
        lambda: fuel.altitude_rule_factor(5000.0 * 0.3048),
    ),
]
