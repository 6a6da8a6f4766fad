"""The bench sums for the page: translated relations, and rows, rules and cautions as the sums tell them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from dryermodel.bench import gas, load, makeup, vent
from dryermodel.bench.rows import ASSUMED, Basis, Row, Sum
from dryermodel.physics import bench, duct, fuel, moist_air, textile
from dryermodel.readings.collar import at_collar
from dryermodel.scenario.model import load_scenario
from dryermodel.show.pages.shared.units import unit_data

RELATIONS: tuple[Callable[..., Any], ...] = (
    gas.clocked_rate, gas.volume_factor, gas.orifice_rate, gas.orifice_diameter, load.regain_in_room,
    fuel.drill_diameter, fuel.nearest_drill, fuel.altitude_rule_factor, bench.relative_deviation,
    bench.unadjusted_rate, bench.altitude_orifice, bench.bone_dry_mass, bench.of_all,
    bench.velocity_pressure, bench.duct_friction, bench.opening_pressure, bench.opening_area,
    textile.remaining_moisture, duct.duct_area, duct.blockage_loss, moist_air.moist_density, at_collar,
)  # fmt: skip
"""Functions of the sums that are translated."""


def sums() -> dict[str, Any]:
    """Return rows, rules and cautions of every sum, and the numbers that the sums compare with."""
    told = [_sum(name, samples) for name, samples in _samples().items()]
    return {"sums": {one["name"]: one for one in told}, "numbers": _numbers()}


def _samples() -> dict[str, list[Sum]]:
    """Sums that between them show every row and every rule."""
    natural = gas.gas_named("natural")
    reading = gas.MeterReading(0.014, 84.0, 1, natural.heating_value, 1.02)
    supply = gas.Supply(871.8, natural.heating_value, natural.specific_gravity)
    p = load_scenario("standard").to_parameters()
    pieces = vent.VentPieces(3.0, vent.Fittings(1, 1, 1, 1, 1, 1), 2.7, 0.1, 1e-3, 1.0, 0.9)
    air = makeup.MakeupAir(0.07, 0.06, True)
    windy = p._replace(house_depressurisation=5.0)
    return {
        "gas-clock": [gas.gas_clock(reading, 6000.0, 1500.0)],
        "orifice": [gas.orifice(gas.drill_size(42), supply, 42)],
        "orifice-for": [gas.orifice_for(6447.0, supply)],
        "altitude": [gas.altitude(1524.0, 6447.0, supply)],
        "moisture": [
            load.moisture(6.0, 4.0, 0.07, ASSUMED), load.moisture(6.0, 4.0, 0.07), load.moisture(4.2, 4.0),
            load.moisture(5.6, 4.0),
        ],
        "vent": [vent.vent(windy, pieces)],
        "makeup-air": [makeup.makeup_air(p, air)],
    }  # fmt: skip


def _sum(name: str, samples: Sequence[Sum]) -> dict[str, Any]:
    rows = {row.key: row for sample in samples for row in sample.rows}
    rules: dict[Basis, None] = {rule: None for sample in samples for rule in sample.rules}
    return {
        "name": name,
        "title": samples[0].title,
        "rows": {key: _row(row) for key, row in rows.items()},
        "rules": [rule._asdict() for rule in rules],
        "cautions": list(samples[0].cautions),
    }  # fmt: skip


def _row(row: Row) -> dict[str, Any]:
    units = {"trade": unit_data(row.unit), "metric": unit_data(row.si_unit)}
    return {"label": row.label, "digits": row.digits, **units}


def _gas(kind: fuel.Gas) -> dict[str, float]:
    return {"heatingValue": kind.heating_value, "gravity": kind.specific_gravity}


def _numbers() -> dict[str, Any]:
    gases = {kind: _gas(gas.gas_named(kind)) for kind in ("natural", "propane")}
    return {
        "gases": gases,
        "over": gas.OVER,
        "overPropane": gas.OVER_PROPANE,
        "under": gas.UNDER,
        "plateTolerance": gas.PLATE_TOLERANCE,
        "readingError": gas.READING_ERROR,
        "ruleFrom": gas.RULE_FROM,
        "dry": load.DRY,
        "atRest": load.AT_REST,
        "cottonAtRest": load.COTTON_AT_REST,
        "fastSpin": load.FAST_SPIN,
        "healthySpin": list(load.HEALTHY_SPIN),
        "codeLimit": bench.CODE_LENGTH_LIMIT,
        "codeDeductions": bench.CODE_DEDUCTIONS._asdict(),
        "fittingLosses": bench.FITTING_LOSSES._asdict(),
        "manualStatic": vent.MANUAL_STATIC,
        "atLimit": vent.AT_LIMIT,
        "hundredFeet": vent.HUNDRED_FEET,
        "makeupFlow": bench.MAKEUP_AIR_FLOW,
        "closetOpening": bench.CLOSET_OPENING,
        "spillage": makeup.SPILLAGE,
    }
