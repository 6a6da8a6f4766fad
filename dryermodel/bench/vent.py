"""Bench sum about the vent: its code length, and by physics on this machine's blower."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from dryermodel.bench.rows import (
    ASSUMED,
    COMMON_PRACTICE,
    COMPUTED,
    FITTED,
    FROM_MEMORY,
    LINT,
    LOCAL_CODE,
    PUBLISHED,
    QUOTED,
    Basis,
    Row,
    Sum,
)
from dryermodel.bench.vent_measured import read_static
from dryermodel.cycle.engine.parameters import Parameters
from dryermodel.physics import bench
from dryermodel.physics.bench import Fittings as Fittings
from dryermodel.physics.bench import fittings_loss as fittings_loss
from dryermodel.physics.duct import blockage_loss, duct_area
from dryermodel.readings.collar import Collar, at_collar
from dryermodel.scenario.faults import apply_faults, find_fault

MANUAL_STATIC = 0.6 * 249.08891
"""[Pa] Highest collar static of a residential machine, no load, running: a service manual."""
HUNDRED_FEET = 100.0 * bench.FOOT
"""[m]."""
FLEXIBLE = 0.9e-3
"""[m] Roughness from which a duct is flexible or foil."""
BLOCKAGE = "vent_blockage"
"""The fault a measured static is put down to."""
AT_LIMIT = 0.05
"""[1] Share of the limit that a hand-held manometer cannot tell from it, assumed."""
_CODE = Basis("35 ft less the elbow table of IRC M1502; the maker's instructions may allow more", QUOTED)
_STATIC = Basis("0.6 in w.c. at the collar, no load, running: a residential service manual", PUBLISHED)
_DUCT = Basis("Darcy friction and velocity pressure, ASHRAE Fundamentals ch. 21; heat off", COMPUTED)
FAN = Basis("blower and inner losses of the scenario, fitted to published vent-length charts", FITTED)
_ELBOWS = Basis("K of a mitred 90 deg elbow 0.6, hood 1.1 (usual 0.35 to 1.0, 0.5 to 2.5)", COMMON_PRACTICE)
_RADIUS = Basis("K of radius elbows 0.12 to 0.25, of 45 deg ones about half", ASSUMED)
LONGEST_TRANSITION = 8.0 * bench.FOOT
"""[m] Longest flexible transition duct, one piece between dryer and duct."""

_TRANSITION = Basis(
    "flexible duct only as one transition piece of at most 8 ft, listed, not concealed: IRC M1502.4.3; "
    "plastic and thin foil not at all: common practice",
    FROM_MEMORY,
)
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
    open_area: float = 1.0  # [1]
    resistance_factor: float = 1.0  # [1] on the whole vent


def on_machine(parameters: Parameters, pieces: VentPieces) -> Parameters:
    """Return the machine with this vent on it."""
    return parameters._replace(
        vent_length=pieces.straight,
        vent_minor_loss=pieces.minor_loss,
        vent_diameter=pieces.diameter,
        vent_roughness=pieces.roughness,
        vent_flex_factor=pieces.flex_factor,
        vent_open_area=pieces.open_area,
        vent_resistance_factor=pieces.resistance_factor,
    )


def vent(
    parameters: Parameters,
    pieces: VentPieces,
    measured: float | None = None,
    faults: Mapping[str, float] | None = None,
    simulate: str = "",
) -> Sum:
    """Vent by the code's length and by physics on this machine's blower.

    Parameters
    ----------
    parameters : Parameters
        The machine without faults; its own vent is replaced.
    pieces : VentPieces
        The vent.
    measured : float, optional
        Static pressure measured at the collar, heat off [Pa].
    faults : mapping of str to float, optional
        Severity [1] of each fault the machine and its vent have.
    simulate : str
        Command that simulates this machine with this vent; the blockage found is put behind it.
    """
    present = dict(faults or {})
    described = on_machine(parameters, pieces)
    p = apply_faults(described, present)
    collar = at_collar(p)
    allowed = bench.code_length_allowed(pieces.fittings)
    rows = [*_code_rows(pieces, allowed), *_fault_rows(present), *_physics_rows(p, collar)]
    verdicts = [
        _code_verdict(pieces.straight, allowed),
        *_duct_verdict(pieces),
        _static_verdict("expected", collar.static),
    ]
    rules = [_CODE, _DUCT, _ELBOWS, *([_RADIUS] if any(pieces.fittings[2:]) else []), FAN, _STATIC]
    rules += [_TRANSITION] if pieces.roughness >= FLEXIBLE else []
    if measured is not None:
        unblocked = apply_faults(described, {k: s for k, s in present.items() if k != BLOCKAGE})
        hood = pieces.minor_loss - bench.fittings_loss(pieces.fittings)
        reading = read_static(p, unblocked, max(hood, 0.0), measured)
        rows += [*reading.rows, *_paste(simulate, reading.blocked)]
        verdicts += [_static_verdict("measured", measured)] if measured > 0.0 else []
        verdicts += reading.verdicts
    if measured is not None or p.vent_open_area < 1.0:
        rules.append(_BLOCKED)
    return Sum("vent", "Vent", tuple(rows), tuple(verdicts), tuple(rules), (LINT, LOCAL_CODE))


def _paste(simulate: str, blocked: float | None) -> list[Row]:
    if not simulate or blocked is None:
        return []
    return [Row("simulate", "to simulate it", f'{simulate} --fault "{BLOCKAGE}={100.0 * blocked:.3g} %"')]


def _fault_rows(faults: Mapping[str, float]) -> list[Row]:
    told = ", ".join(f"{key.replace('_', ' ')} {find_fault(key).said(s)}" for key, s in faults.items())
    return [Row("faults", "faults of the machine, counted in", told)] if told else []


def _duct_verdict(pieces: VentPieces) -> list[str]:
    """What flexible or foil duct is good for, where this one is of it."""
    if pieces.roughness < FLEXIBLE or pieces.straight <= 0.0:
        return []
    if pieces.straight > LONGEST_TRANSITION:
        return [
            "flexible or foil duct this long is no transition piece: the run belongs in smooth rigid metal"
        ]
    return ["flexible or foil duct: only as one short transition piece, stretched, in view"]


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


def _physics_rows(p: Parameters, collar: Collar) -> list[Row]:
    d, rho = p.vent_diameter, collar.density
    flow, back_pressure = collar.duct_flow, p.vent_back_pressure + p.house_depressurisation
    velocity = bench.velocity_pressure(flow, d, rho) * p.vent_resistance_factor
    per_100 = bench.duct_friction(flow, d, HUNDRED_FEET, p.vent_roughness, rho) * p.vent_flex_factor
    friction = per_100 * p.vent_length / HUNDRED_FEET * p.vent_resistance_factor
    rows = [
        Row("flow", "expected flow", collar.flow, "cfm", "L/s"),
        Row("velocity", "velocity in the duct", flow / duct_area(d), "fpm", "m/s"),
        Row("velocity_pressure", "velocity pressure", velocity / p.vent_resistance_factor, "inH2O", "Pa"),
        Row("friction_per_100ft", "friction in 100 ft (30.5 m) of this duct", per_100, "inH2O", "Pa"),
        Row("friction", "friction of the straight duct", friction, "inH2O", "Pa"),
        Row("minor", "elbows and hood", p.vent_minor_loss * velocity, "inH2O", "Pa"),
    ]
    if p.vent_open_area < 1.0:
        loss = blockage_loss(p.vent_open_area) * velocity
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
