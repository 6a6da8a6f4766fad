"""Numbers of a cycle as they are written, from its rows: what sentences about it must say."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import psychrolib

from dryermodel.cycle.engine import causes, switching
from dryermodel.cycle.engine import state as Y
from dryermodel.cycle.result import CycleResult

psychrolib.SetUnitSystem(psychrolib.SI)

CFM = 4.719474432e-4  # m3/s, exact
INCH_OF_WATER = 249.08891  # Pa, at 4 degC


def degf(kelvin: float) -> str:
    return f"{kelvin * 1.8 - 459.67:.0f}"


def minutes(seconds: float) -> str:
    return f"{seconds / 60.0:.1f}"


def on(r: CycleResult, column: int) -> list[tuple[float, float]]:
    return r.trajectory.intervals(column, r.cycle_time)


def first_opening(r: CycleResult) -> float:
    """When the exhaust thermostat first opened [s]."""
    return float(
        r.trajectory.time[np.flatnonzero(r.trajectory.discrete[:, switching.EXHAUST_THERMOSTAT] == 0)[0]]
    )


def trips_until(r: CycleResult, end: float) -> int:
    tr = r.trajectory
    opened = (tr.cause == causes.CAUSE_HIGH_LIMIT) & (tr.discrete[:, switching.HIGH_LIMIT] == 0)
    return int((opened & (tr.time < end)).sum())


def dry_at(r: CycleResult) -> float:
    """When the load first held 4 % [s], between two rows by a straight line."""
    x = r.series["moisture"]
    i = int(np.flatnonzero(x <= 0.04)[0])
    return float(np.interp(-0.04, [-x[i - 1], -x[i]], [r.series["time_s"][i - 1], r.series["time_s"][i]]))


def bulk(r: CycleResult, name: str) -> float:
    """Median of a series from the flame's first minute to half the water."""
    from dryermodel.readings.measures import running_medians

    found = running_medians(r)
    assert found is not None
    return found[name]


def hot_for(r: CycleResult) -> float:
    """How long the load was more than 40 degF above 155 degF [s]."""
    above = r.series["load_temp_K"] - (195.0 + 459.67) / 1.8
    fine = np.linspace(0.0, r.cycle_time, 200001)
    return float((np.interp(fine, r.series["time_s"], above) > 0.0).mean() * r.cycle_time)


def wettest(r: CycleResult) -> float:
    """Highest humidity ratio of the room [kg/kg]."""
    return float(r.trajectory.state[:, Y.ROOM_HUMIDITY].max())


def room_rh(r: CycleResult) -> float:
    p = r.parameters
    return float(psychrolib.GetRelHumFromHumRatio(p.room_temp - 273.15, wettest(r), p.pressure))


def room_dew_point(r: CycleResult) -> float:
    p = r.parameters
    return 273.15 + float(psychrolib.GetTDewPointFromHumRatio(p.room_temp - 273.15, wettest(r), p.pressure))


def gasket_share(r: CycleResult) -> float:
    flows = r.air(bulk(r, "time_s")).flows
    return float((flows.exhaust - flows.drum) / flows.exhaust)


FOUND: dict[str, Callable[[CycleResult], str]] = {
    "minutes": lambda r: minutes(r.cycle_time),
    "limit": lambda r: minutes(r.parameters.time_limit),
    "final": lambda r: f"{100 * r.final_moisture:.1f}",
    "cut_out_at": lambda r: minutes(first_opening(r)),
    "cut_out": lambda r: degf(r.parameters.cut_out),
    "high_limit": lambda r: degf(r.parameters.high_limit_cut_out),
    "dial_heat": lambda r: minutes(r.parameters.dial_heat),
    "cool_down": lambda r: minutes(r.parameters.dial_cool_down),
    "first_burn": lambda r: minutes(on(r, switching.FLAME)[0][1] - on(r, switching.FLAME)[0][0]),
    "flow": lambda r: f"{bulk(r, 'exhaust_flow_m3_per_s') / CFM:.0f}",
    "static": lambda r: f"{bulk(r, 'vent_static_Pa') / INCH_OF_WATER:.2f}",
    "electric": lambda r: f"{100 * r.electric_energy / (r.electric_energy + r.gas_energy):.0f}",
    "trips": lambda r: str(trips_until(r, np.inf)),
    "trips_before_cut_out": lambda r: str(trips_until(r, first_opening(r))),
    "dry_at": lambda r: minutes(dry_at(r)),
    "warm_up": lambda r: f"{r.parameters.igniter_warm_up:.0f}",
    "sensor": lambda r: f"{r.parameters.sensor_cool_down:.0f}",
    "unburned": lambda r: f"{100 * unburned(r):.0f}",
    "air_ratio": lambda r: f"{air_ratio(r):.1f}",
    "felt": lambda r: degf(r.series["exhaust_element_temp_K"].max()),
    "hot_for": lambda r: minutes(hot_for(r)),
    "hottest": lambda r: degf(r.series["load_temp_K"].max()),
    "gasket": lambda r: f"{100 * gasket_share(r):.0f}",
    "blower": lambda r: f"{bulk(r, 'exhaust_flow_m3_per_s') / CFM:.0f}",
    "wettest": lambda r: f"{100 * room_rh(r):.0f}",
    "dew_point": lambda r: degf(room_dew_point(r)),
}


def unburned(r: CycleResult) -> float:
    """Share of the gas whose combustion left no water behind."""
    formed = float(r.final[Y.WATER_FORMED])
    return 1.0 - formed / (r.parameters.water_per_energy * r.gas_energy)


def air_ratio(r: CycleResult) -> float:
    """Least air past the burner while it is lit, over what its gas needs."""
    s, p = r.series, r.parameters
    lit = s["heat"] > 0.5
    return float(s["combustion_air_kg_per_s"][lit].min() / (p.air_per_energy * p.firing_rate))


class Numbers(dict[str, str]):
    """The numbers of one cycle, each worked out when it is asked for."""

    def __init__(self, result: CycleResult) -> None:
        super().__init__()
        self.result = result

    def __missing__(self, name: str) -> str:
        return FOUND[name](self.result)
