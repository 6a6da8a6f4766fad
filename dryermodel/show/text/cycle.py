"""The summary of one cycle: rows to read, a dict for programs, and the list of switchings."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any, NamedTuple

from dryermodel.cycle.result import EndReason
from dryermodel.findings.trust import statuses
from dryermodel.readings import measures as M
from dryermodel.readings import quantities as Q

if TYPE_CHECKING:
    from dryermodel.cycle.result import CycleResult

SLUGS = {
    EndReason.DIAL_RAN_OUT: "dial_ran_out",
    EndReason.MOISTURE_REACHED: "moisture_reached",
    EndReason.TIME_LIMIT: "time_limit",
    EndReason.NEVER_CUTS_OUT: "never_cuts_out",
    EndReason.TIMER_STILL: "timer_still",
    EndReason.STOPPED: "stopped",
}
"""Words of ``end_reason`` in the summary for programs; they do not change with the wording."""

DIGITS = 9
"""Significant digits kept; the integrator's tolerance promises fewer."""

KILOWATT_HOUR = 3.6e6
MINUTE = 60.0


class Row(NamedTuple):
    """One line of the summary: what, value as text, unit."""

    label: str
    value: str
    unit: str


class EventRow(NamedTuple):
    """One switching: minutes from the start, what set it off, what it did."""

    time_min: str
    cause: str
    what: str


def clean(value: float | None) -> float | None:
    """A number for JSON: rounded to `DIGITS` significant digits, None if it is no number.

    Examples
    --------
    >>> clean(0.1 + 0.2), clean(float("nan")), clean(None)
    (0.3, None, None)
    """
    if value is None or not math.isfinite(value):
        return None
    return float(f"{value:.{DIGITS}g}") + 0.0


def _minutes(seconds: float | None) -> float | None:
    return None if seconds is None else clean(seconds / MINUTE)


def _kilowatt_hours(joules: float | None) -> float | None:
    return None if joules is None else clean(joules / KILOWATT_HOUR)


def _median(values: dict[str, float] | None, name: str) -> float | None:
    return None if values is None else values[name]


def _shown(value: float | None, kind: str) -> float | None:
    return None if value is None else clean(float(Q.scaled(value, kind, False)))


def _gas_input(result: CycleResult) -> float | None:
    """Gross input with the burner lit [W]; None for an electric machine."""
    return None if result.parameters.heat_source else result.parameters.firing_rate


def summary_json(result: CycleResult, version: str) -> dict[str, Any]:
    """Summary for programs: fixed keys with the unit in the name, null where there is no number.

    Flow and static pressure are medians over bulk drying or, without any, over the time the motor
    ran; ``exhaust_temp_bulk_degF`` is null without bulk drying. Gas is at gross heating value.

    Parameters
    ----------
    result : CycleResult
        The cycle.
    version : str
        Of the program.

    Returns
    -------
    dict
        Numbers, text, None and, under ``status``, a dict; valid JSON as it stands.
    """
    running, top = M.running_medians(result), M.peaks(result)
    return {
        "version": version,
        "scenario_hash": result.scenario_hash,
        "title": result.title,
        "end_reason": SLUGS[result.end],
        "end_reason_text": result.end.value,
        "cycle_time_min": _minutes(result.duration),
        "time_to_4pct_min": _minutes(M.time_to_4pct(result)),
        "first_cut_out_min": _minutes(M.first_cut_out(result)),
        "final_moisture": clean(result.final_moisture),
        "water_removed_kg": clean(result.water_removed),
        "burner_on_min": _minutes(result.burner_time),
        "burner_cycles": result.burner_cycles,
        "ignition_tries": M.ignition_tries(result),
        "timer_on_min": _minutes(result.timer_time),
        "high_limit_trips": result.high_limit_trips,
        "gas_input_Btu_per_h": _shown(_gas_input(result), "power"),
        "gas_energy_kWh": _kilowatt_hours(result.gas_energy),
        "electric_energy_kWh": _kilowatt_hours(result.electric_energy),
        "energy_per_water_kWh_per_kg": _kilowatt_hours(result.energy_per_water),
        "exhaust_flow_cfm": _shown(_median(running, "exhaust_flow_m3_per_s"), "flow"),
        "vent_static_inwc": _shown(_median(running, "vent_static_Pa"), "pressure"),
        "exhaust_temp_bulk_degF": _shown(_median(result.bulk, "exhaust_temp_K"), "temperature"),
        "exhaust_temp_max_degF": _shown(top.exhaust_air, "temperature"),
        "load_temp_max_degF": _shown(top.load, "temperature"),
        "combustion_air_ratio": clean(M.combustion_air_ratio(result)),
        "balance_water": clean(result.balance_water),
        "balance_energy": clean(result.balance_energy),
        "rel_tolerance": clean(result.parameters.rel_tolerance),
        "status": {key: status._asdict() for key, status in statuses(result).items()},
    }


def keyed_rows(result: CycleResult, si: bool) -> list[tuple[str, Row]]:
    """Rows of the summary, each with its key in :func:`summary_json`.

    Parameters
    ----------
    result, si
        As in :func:`summary`.
    """
    p, bulk, running, top = result.parameters, result.bulk, M.running_medians(result), M.peaks(result)
    source = "heater" if p.heat_source else "burner"

    def row(key: str, label: str, value: float | None, kind: str) -> tuple[str, Row]:
        if value is None:
            return key, Row(label, "-", "")
        return key, Row(label, Q.number(value, kind, si), Q.display(kind, si).label)

    return [
        ("end_reason", Row("ended by", result.end.value, "")),
        row("cycle_time_min", "cycle time", result.duration, "time"),
        row("time_to_4pct_min", "time to 4 % moisture", M.time_to_4pct(result), "time"),
        row("final_moisture", "final moisture, dry basis", result.final_moisture, "moisture"),
        row("water_removed_kg", "water removed", result.water_removed, "mass"),
        row("burner_on_min", f"{source} on", result.burner_time, "time"),
        ("burner_cycles", Row(f"{source} cycles", str(result.burner_cycles), "")),
        row("timer_on_min", "timer on", result.timer_time, "time"),
        ("high_limit_trips", Row("high-limit trips", str(result.high_limit_trips), "")),
        row("gas_input_Btu_per_h", "gas input, burner lit", _gas_input(result), "power"),
        row("gas_energy_kWh", "gas, gross", result.gas_energy, "energy"),
        row("electric_energy_kWh", "electricity", result.electric_energy, "energy"),
        row("energy_per_water_kWh_per_kg", "energy per water", result.energy_per_water, "energy per water"),
        row("exhaust_flow_cfm", "exhaust flow", _median(running, "exhaust_flow_m3_per_s"), "flow"),
        row("vent_static_inwc", "vent static pressure", _median(running, "vent_static_Pa"), "pressure"),
        row("exhaust_temp_bulk_degF", "exhaust, bulk drying", _median(bulk, "exhaust_temp_K"), "temperature"),
        row("exhaust_temp_max_degF", "exhaust, highest", top.exhaust_air, "temperature"),
        row("load_temp_max_degF", "load, highest", top.load, "temperature"),
        ("balance_water", Row("water balance closes to", f"{abs(result.balance_water):.0e}", "")),
        ("balance_energy", Row("energy balance closes to", f"{abs(result.balance_energy):.0e}", "")),
        ("rel_tolerance", Row("relative tolerance", f"{p.rel_tolerance:.0e}", "")),
    ]


def summary(result: CycleResult, si: bool = False) -> list[Row]:
    """Summary to read, a row a number.

    Parameters
    ----------
    result : CycleResult
        The cycle.
    si : bool
        degC, kg, L/s and Pa instead of degF, lb, cfm and in w.c.

    Returns
    -------
    list of Row
        Label, value as text ("-" where there is none), unit.
    """
    return [row for _, row in keyed_rows(result, si)]


def events_table(result: CycleResult) -> list[EventRow]:
    """Every switching in order of time.

    Parameters
    ----------
    result : CycleResult
        The cycle.
    """
    return [EventRow(f"{e.time / MINUTE:.2f}", e.cause, e.text) for e in result.events]
