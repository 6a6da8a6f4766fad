"""The numbers of a comparison: of the cycle as it runs, to the same dryness, and at the machine."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

from dryermodel.bench.costs import Cost, cost
from dryermodel.cycle.engine import parameters as P
from dryermodel.findings.trust import ASSUMED, COMPUTED, FITTED, VALIDATED, statuses
from dryermodel.readings import measures as M
from dryermodel.readings.signature import ENDED

if TYPE_CHECKING:
    from dryermodel.cycle.result import CycleResult
    from dryermodel.studies.comparison.cases import Case

MONEY = "money"
"""Kind of a row in the scenario's own currency; the others are kinds of `show.quantities`."""
COUNT = "count"

CYCLE, DRYNESS, MACHINE = "the cycle as it runs", "to the same 4 % dryness", "at the machine"
"""Blocks of rows."""

WET = M.TEST_DRYNESS
"""Final moisture above which a load would need a second run [kg/kg]."""


class Row(NamedTuple):
    """One line of the comparison."""

    key: str  # name in the data for programs, without unit
    block: str
    label: str
    kind: str
    decimals: int | None
    rests_on: str  # key of `status.statuses` whose label holds for it


ROWS = (
    Row("cycle_time", CYCLE, "cycle time", "time", None, "cycle_time_min"),
    Row("final_moisture", CYCLE, "final moisture", "moisture", None, "final_moisture"),
    Row("gas", CYCLE, "gas, gross", "energy", None, "gas_energy_kWh"),
    Row("electricity", CYCLE, "electricity", "energy", None, "electric_energy_kWh"),
    Row("cost_load", CYCLE, "cost a load", MONEY, 3, "prices"),
    Row("cost_year", CYCLE, "cost a year", MONEY, 2, "prices"),
    Row("co2_load", CYCLE, "CO2 a load", "mass", None, "co2"),
    Row("co2_year", CYCLE, "CO2 a year", "mass", 0, "co2"),
    Row("time_to_dry", DRYNESS, "time to 4 % moisture", "time", None, "time_to_4pct_min"),
    Row("gas_to_dry", DRYNESS, "gas, gross", "energy", None, "gas_energy_kWh"),
    Row("electricity_to_dry", DRYNESS, "electricity", "energy", None, "electric_energy_kWh"),
    Row("cost_to_dry_load", DRYNESS, "cost a load", MONEY, 3, "prices"),
    Row("cost_to_dry_year", DRYNESS, "cost a year", MONEY, 2, "prices"),
    Row("co2_to_dry_load", DRYNESS, "CO2 a load", "mass", None, "co2"),
    Row("co2_to_dry_year", DRYNESS, "CO2 a year", "mass", 0, "co2"),
    Row("exhaust_temp_bulk", MACHINE, "exhaust, bulk drying", "temperature", None, "exhaust_temp_bulk_degF"),
    Row("exhaust_temp_max", MACHINE, "exhaust, highest", "temperature", None, "exhaust_temp_max_degF"),
    Row("load_temp_max", MACHINE, "load, highest", "temperature", None, "load_temp_max_degF"),
    Row("static", MACHINE, "vent static pressure", "pressure", None, "vent_static_inwc"),
    Row("flow", MACHINE, "exhaust flow", "flow", None, "exhaust_flow_cfm"),
    Row("burner_cycles", MACHINE, "burner cycles", COUNT, None, "burner_cycles"),
    Row("high_limit_trips", MACHINE, "high-limit trips", COUNT, None, "high_limit_trips"),
)
"""Every line, in order."""

_WEAKEST_LAST = (VALIDATED, COMPUTED, FITTED, ASSUMED)


class Figures(NamedTuple):
    """The numbers of one case."""

    values: dict[str, float | None]  # SI, or money, by the key of its row
    ended: bool  # by itself, not by the time limit
    wet: bool  # a second run would be needed


def figures(case: Case) -> Figures:
    """Return the numbers of one case.

    Parameters
    ----------
    case : Case
        From :func:`dryermodel.studies.comparison.cases.run_cases`.
    """
    r = case.result
    whole = cost(r.gas_energy, r.electric_energy, case.tariff)
    dry_at = M.time_to_4pct(r)
    gas, electricity = _energies_at(r, dry_at)
    to_dry = None if gas is None or electricity is None else cost(gas, electricity, case.tariff)
    running, top = M.running_medians(r), M.peaks(r)
    values: dict[str, float | None] = {
        "cycle_time": r.duration,
        "final_moisture": r.final_moisture,
        "gas": r.gas_energy,
        "electricity": r.electric_energy,
        **_costs("", whole, case),
        "time_to_dry": dry_at,
        "gas_to_dry": gas,
        "electricity_to_dry": electricity,
        **_costs("_to_dry", to_dry, case),
        "exhaust_temp_bulk": r.bulk["exhaust_temp_K"] if r.bulk else None,
        "exhaust_temp_max": top.exhaust_air,
        "load_temp_max": top.load,
        "static": running["vent_static_Pa"] if running else None,
        "flow": running["exhaust_flow_m3_per_s"] if running else None,
        "burner_cycles": float(r.burner_cycles),
        "high_limit_trips": float(r.high_limit_trips),
    }
    return Figures(values, r.end in ENDED, r.final_moisture > WET)


def _energies_at(result: CycleResult, t: float | None) -> tuple[float | None, float | None]:
    """Gas and electricity used until time `t` [J]."""
    if t is None:
        return None, None
    y = result.trajectory.at(t)
    return float(y[P.GAS_ENERGY]), float(y[P.ELECTRIC_ENERGY])


def _costs(name: str, load: Cost | None, case: Case) -> dict[str, float | None]:
    if load is None:
        keys = (f"{what}{name}_{span}" for what in ("cost", "co2") for span in ("load", "year"))
        return dict.fromkeys(keys)
    year = load.times(case.tariff.loads_per_year)
    return {
        f"cost{name}_load": load.money,
        f"cost{name}_year": year.money,
        f"co2{name}_load": load.co2,
        f"co2{name}_year": year.co2,
    }


def status_of(row: Row, cases: Sequence[Case]) -> str:
    """Return the weakest label that holds for a row in any of the cases.

    Parameters
    ----------
    row : Row
        The line.
    cases : sequence of Case
        All that are compared.
    """
    labels = [_label(row, case) for case in cases]
    return max(labels, key=_WEAKEST_LAST.index)


def _label(row: Row, case: Case) -> str:
    known = statuses(case.result)
    if row.rests_on in known:
        return known[row.rests_on].label
    needed = (
        ("gas_price", "electricity_price") if row.rests_on == "prices" else ("gas_co2", "electricity_co2")
    )
    if any(f"costs.{name}" in case.tariff.assumed for name in needed):
        return ASSUMED
    return known["gas_energy_kWh"].label


def currency(cases: Sequence[Case]) -> str | None:
    """Return the currency that all cases share, or None."""
    names = {case.tariff.currency for case in cases}
    return names.pop() if len(names) == 1 else None
