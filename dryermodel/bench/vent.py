"""Bench sum about the vent: its code length, and by physics on this machine's blower."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import NamedTuple

from dryermodel.bench.rows import (
    ASSUMED,
    COMMON_PRACTICE,
    COMPUTED,
    FITTED,
    LINT,
    LOCAL_CODE,
    PUBLISHED,
    QUOTED,
    Basis,
    Row,
    Sum,
)
from dryermodel.cycle.engine.parameters import Parameters
from dryermodel.physics import bench
from dryermodel.physics.airflow import blockage_loss, duct_area
from dryermodel.physics.bench import Fittings
from dryermodel.readings.collar import Collar, at_collar

MANUAL_STATIC = 0.6 * 249.08891
"""[Pa] Highest collar static of a residential machine, no load, running: a service manual."""
HUNDRED_FEET = 100.0 * bench.FOOT
"""[m]."""
AT_LIMIT = 0.05
"""[1] Share of the limit that a hand-held manometer cannot tell from it, assumed."""
AS_EXPECTED = 0.10
"""[1] A measured static within this share of the computed one counts as the same, assumed."""

_CODE = Basis("35 ft less the elbow table of IRC M1502; the maker's instructions may allow more", QUOTED)
_STATIC = Basis("0.6 in w.c. at the collar, no load, running: a residential service manual", PUBLISHED)
_DUCT = Basis("Darcy friction and velocity pressure, ASHRAE Fundamentals ch. 21; heat off", COMPUTED)
FAN = Basis("blower and inner losses of the scenario, fitted to published vent-length charts", FITTED)
_ELBOWS = Basis("K of a mitred 90 deg elbow 0.6, hood 1.1 (usual 0.35 to 1.0, 0.5 to 2.5)", COMMON_PRACTICE)
_RADIUS = Basis("K of radius elbows 0.12 to 0.25, of 45 deg ones about half", ASSUMED)
_BLOCKED = Basis(
    "resistance and blockage from a measured static: not validated against measured blockage data", ASSUMED
)


class VentPieces(NamedTuple):
    """A vent as it is put together."""

    straight: float  # [m]
    fittings: Fittings  # numbers of each kind
    minor_loss: float  # [1] K of fittings and hood together
    diameter: float  # [m]
    roughness: float  # [m]
    flex_factor: float = 1.0  # [1]
    open_fraction: float = 1.0  # [1]
    resistance_factor: float = 1.0  # [1] on the whole vent


def on_machine(parameters: Parameters, pieces: VentPieces) -> Parameters:
    """Return the machine with this vent on it."""
    return parameters._replace(
        vent_length=pieces.straight,
        vent_minor_loss=pieces.minor_loss,
        vent_diameter=pieces.diameter,
        vent_roughness=pieces.roughness,
        vent_flex_factor=pieces.flex_factor,
        vent_open_fraction=pieces.open_fraction,
        vent_resistance_factor=pieces.resistance_factor,
    )


def crossing(rises: Callable[[float], float], low: float, high: float) -> float | None:
    """Return where a rising function crosses zero between two positive numbers, or None.

    Parameters
    ----------
    rises : callable
        Rising function of one number.
    low, high : float
        Ends of the bracket, both above 0; sought in the logarithm, for they span decades.
    """
    from scipy.optimize import brentq

    if rises(low) > 0.0 or rises(high) < 0.0:
        return None
    return math.exp(brentq(lambda x: rises(math.exp(x)), math.log(low), math.log(high), xtol=1e-13))


def _restricted(p: Parameters, factor: float) -> Parameters:
    return p._replace(vent_resistance_factor=p.vent_resistance_factor * factor)


def resistance_for(p: Parameters, static: float) -> float | None:
    """Return the factor on the vent's resistance that gives a collar static [Pa], or None."""
    return crossing(lambda factor: at_collar(_restricted(p, factor)).static - static, 1e-3, 1e6)


def blocked_share_for(p: Parameters, static: float) -> float | None:
    """Return the blocked share of the duct [1] that gives a collar static [Pa], or None."""
    clear = p.vent_open_fraction
    opening = crossing(
        lambda closed: at_collar(p._replace(vent_open_fraction=clear / closed)).static - static, 1.0, 1e4
    )
    return None if opening is None else 1.0 - clear / opening


def vent(parameters: Parameters, pieces: VentPieces, measured: float | None = None) -> Sum:
    """Vent by the code's length and by physics on this machine's blower.

    Parameters
    ----------
    parameters : Parameters
        The machine; its own vent is replaced.
    pieces : VentPieces
        The vent.
    measured : float, optional
        Static pressure measured at the collar, heat off [Pa].
    """
    p = on_machine(parameters, pieces)
    collar = at_collar(p)
    allowed = bench.code_length_allowed(pieces.fittings)
    back = p.vent_back_pressure + p.house_depressurisation
    rows = [*_code_rows(pieces, allowed), *_physics_rows(pieces, collar, back)]
    verdicts = [_code_verdict(pieces.straight, allowed), _static_verdict("expected", collar.static)]
    rules = [_CODE, _DUCT, _ELBOWS, *([_RADIUS] if any(pieces.fittings[2:]) else []), FAN, _STATIC]
    if measured is not None:
        more_rows, more_verdicts = _measured(p, collar, measured)
        rows += more_rows
        verdicts += more_verdicts
        rules.append(_BLOCKED)
    elif pieces.open_fraction < 1.0:
        rules.append(_BLOCKED)
    return Sum("vent", "Vent", tuple(rows), tuple(verdicts), tuple(rules), (LINT, LOCAL_CODE))


def _code_rows(pieces: VentPieces, allowed: float) -> list[Row]:
    deduction = bench.CODE_LENGTH_LIMIT - allowed
    return [
        Row("straight", "straight duct", pieces.straight, "ft", "m"),
        Row("fittings", "fittings", fittings_text(pieces.fittings)),
        Row("code_deduction", "code deduction for fittings", deduction, "ft", "m"),
        Row("code_length", "code length with fittings", pieces.straight + deduction, "ft", "m"),
        Row("code_limit", "code limit", bench.CODE_LENGTH_LIMIT, "ft", "m"),
        Row("code_spare", "to spare (+) or too long (-)", allowed - pieces.straight, "ft", "m"),
    ]


def fittings_text(fittings: Fittings) -> str:
    """Return the fittings in words.

    >>> fittings_text(Fittings(mitred_90=2, radius_6in_45=1))
    '2 mitred 90, 1 radius 6in 45'
    """
    named = zip(Fittings._fields, fittings, strict=True)
    return ", ".join(f"{n:g} {name.replace('_', ' ')}" for name, n in named if n) or "none"


def _physics_rows(pieces: VentPieces, collar: Collar, back_pressure: float) -> list[Row]:
    d, rho = pieces.diameter, collar.density
    flow = collar.duct_flow
    velocity = bench.velocity_pressure(flow, d, rho) * pieces.resistance_factor
    per_100 = bench.duct_friction(flow, d, HUNDRED_FEET, pieces.roughness, rho) * pieces.flex_factor
    friction = per_100 * pieces.straight / HUNDRED_FEET * pieces.resistance_factor
    rows = [
        Row("flow", "expected flow", collar.flow, "cfm", "L/s"),
        Row("velocity", "velocity in the duct", flow / duct_area(d), "fpm", "m/s"),
        Row("velocity_pressure", "velocity pressure", velocity / pieces.resistance_factor, "inH2O", "Pa"),
        Row("friction_per_100ft", "friction in 100 ft (30.5 m) of this duct", per_100, "inH2O", "Pa"),
        Row("friction", "friction of the straight duct", friction, "inH2O", "Pa"),
        Row("minor", "elbows and hood", pieces.minor_loss * velocity, "inH2O", "Pa"),
    ]
    if pieces.open_fraction < 1.0:
        loss = blockage_loss(pieces.open_fraction) * velocity
        rows.append(Row("blockage", "blockage", loss, "inH2O", "Pa"))
    if back_pressure != 0.0:
        rows.append(Row("back_pressure", "flap and house", back_pressure, "inH2O", "Pa"))
    return [
        *rows,
        Row("static", "expected static at the collar", collar.static, "inH2O", "Pa"),
        Row("manual_limit", "service-manual limit", MANUAL_STATIC, "inH2O", "Pa"),
    ]


def _code_verdict(straight: float, allowed: float) -> str:
    if straight <= allowed + 1e-9:
        return "within the code length"
    return "longer than the code length"


def _static_verdict(which: str, static: float) -> str:
    deviation = bench.relative_deviation(static, MANUAL_STATIC)
    side = "at" if abs(deviation) <= AT_LIMIT else "above" if deviation > 0.0 else "within"
    return f"{which} static is {side} the service-manual limit"


def _measured(p: Parameters, clean: Collar, static: float) -> tuple[list[Row], list[str]]:
    rows = [Row("measured", "measured static", static, "inH2O", "Pa")]
    factor = resistance_for(p, static)
    if factor is None:
        dead_head = at_collar(_restricted(p, 1e6)).static
        rows.append(Row("dead_head", "this blower against a closed vent", dead_head, "inH2O", "Pa"))
        return rows, [_out_of_reach(dead_head, static)]
    verdicts = [_static_verdict("measured", static)]
    flow = at_collar(_restricted(p, factor)).flow
    rows += [
        Row("measured_flow", "flow at that static on this blower", flow, "cfm", "L/s"),
        Row("resistance_factor", "resistance over that of the vent described", factor),
    ]
    deviation = bench.relative_deviation(static, clean.static)
    if abs(deviation) <= AS_EXPECTED:
        return rows, [*verdicts, "as expected for this vent"]
    if deviation < 0.0:
        return rows, [*verdicts, LOW_STATIC]
    blocked = blocked_share_for(p, static)
    if blocked is not None:
        rows.append(Row("blocked_share", "or blocked share of the duct's area", blocked, "%", "%", 2))
    return rows, [*verdicts, f"restricted: {factor:.1f} times the resistance of the vent as described"]


LOW_STATIC = (
    "lower than expected: weak blower, blocked lint screen, leaking joint, or less vent than described"
)
TOO_MUCH = "more than this blower makes against a closed vent: check the manometer's zero and the scenario"
NO_STATIC = "no static at all: blower stands still, vent is off, or the manometer's tube is not in the collar"


def _out_of_reach(dead_head: float, static: float) -> str:
    if static <= 0.0:
        return NO_STATIC
    return TOO_MUCH if static > dead_head else LOW_STATIC
