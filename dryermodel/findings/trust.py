"""What each number of a result rests on: published values, fitted or assumed parameters."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from dryermodel.readings.measures import vent_restricted

if TYPE_CHECKING:
    from dryermodel.cycle.result import CycleResult

VALIDATED, FITTED, ASSUMED, COMPUTED = "validated", "fitted", "assumed", "computed"
LEGEND = {
    VALIDATED: "agrees with published values that took no part in choosing parameters",
    FITTED: "rests on a parameter chosen to meet published values for the standard machine and load",
    ASSUMED: "rests on parameters that no published value tests",
    COMPUTED: "follows from what was given and the sums of this run alone",
}


class Status(NamedTuple):
    """Label, and why."""

    label: str
    basis: str


_ENERGY_TEST = Status(
    FITTED, "transfer conductance chosen so that the 1994 and 2015 US limits of 10 CFR 430.32(h) come out"
)
_BLOWER = Status(FITTED, "blower curve and inner losses chosen from published vent-length charts")
_DIAL = Status(ASSUMED, "dial time for each dryness setting is not published")
_PIECES = Status(
    ASSUMED, "thermostat lag, drum metal and the exposure of named pieces are not tested by a published value"
)
_ELECTRIC = Status(ASSUMED, "motor power is common practice; convention is 7 % of energy, ANSI/RESNET 301")
_EXHAUST = Status(
    ASSUMED, "leak mixing and drum conductances; bulk range of 100 to 135 degF is common practice"
)
_LIMIT = Status(ASSUMED, "high-limit coupling and lag are not tested by any published value")
_RATING = Status(COMPUTED, "rating plate corrected for gas, manifold and air pressure, or from the orifice")
_SUM = Status(COMPUTED, "sum of this run")

_USUAL: dict[str, Status] = {
    "cycle_time": _DIAL,
    "time_to_4pct": _ENERGY_TEST,
    "moisture_at_first_cut_out": _PIECES,
    "final_moisture": _DIAL,
    "water_removed": _DIAL,
    "burner_time": _DIAL,
    "burner_cycles": Status(ASSUMED, "thermostat lag and differential are common practice"),
    "timer_time": _DIAL,
    "high_limit_trips": _LIMIT,
    "gas_input": _RATING,
    "gas_energy": _ENERGY_TEST,
    "electric_energy": _ELECTRIC,
    "energy_per_water": _ENERGY_TEST,
    "exhaust_flow": _BLOWER,
    "vent_static": _BLOWER,
    "exhaust_temp_bulk": _EXHAUST,
    "exhaust_temp_max": Status(ASSUMED, "overshoot follows from the assumed thermostat lag"),
    "load_temp_max": Status(ASSUMED, "sorption and transfer near bone dry are not tested against a machine"),
    "balance_water": _SUM,
    "balance_energy": _SUM,
}

_WHATEVER_THE_LIMIT_DOES = (_BLOWER, _LIMIT, _RATING, _SUM)
"""What still holds of numbers when the high limit slows the cycle; all others then rest on it."""


def rests_on_high_limit(result: CycleResult) -> bool:
    """Whether the results depend on how the high limit is modelled, which nothing published tests."""
    return result.high_limit_trips > 0 or vent_restricted(result)


def statuses(result: CycleResult) -> dict[str, Status]:
    """Status of every reading of a cycle that is shown, by its name in the vocabulary.

    With a restricted vent, or once the high limit has opened, times and energies rest on the assumed
    coupling and lag of the high limit and lose any better label.

    Parameters
    ----------
    result : CycleResult
        The cycle.
    """
    if not rests_on_high_limit(result):
        return dict(_USUAL)
    p = result.parameters
    delays = "" if p.heat_source else " and on the ignition delays"
    basis = (
        f"depends on the assumed high-limit coupling ({100 * p.high_limit_coupling:.0f} %) and lag "
        f"({p.high_limit_lag:.0f} s){delays}; not validated against measured blockage data"
    )
    return {k: v if v in _WHATEVER_THE_LIMIT_DOES else Status(ASSUMED, basis) for k, v in _USUAL.items()}
