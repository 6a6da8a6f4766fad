"""What the findings look at: one cycle's numbers, in words and units ready for a sentence."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache, cached_property
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from dryermodel.cycle.engine import causes, switching
from dryermodel.cycle.engine import parameters as P
from dryermodel.cycle.engine import state as Y
from dryermodel.physics.moist_air import STANDARD_PRESSURE, dew_point, relative_humidity
from dryermodel.readings import measures as M
from dryermodel.readings import quantities as Q
from dryermodel.readings.collar import at_collar

if TYPE_CHECKING:
    from dryermodel.cycle.result import CycleResult

Spans = list[tuple[float, float]]

NO_FLOW = 0.0024
"""5 cfm [m3/s], below which shares of the flow mean nothing."""

CHART_LIMIT, CHART_FLOW = 186.82, 0.0637
"""0.75 in w.c., limit of an installation guide's vent-length chart [Pa], and 135 cfm, the most that the
published charts give at it [m3/s]."""


LOST_BEFORE = 0.10
"""Share by which the static stays below what this vent gives on a clean machine from which that is a loss
before the collar and not the reading's own scatter (assumed) [1]."""


@cache
def default_machine() -> P.Parameters:
    """The machine of the defaults, without faults."""
    from dryermodel.scenario.convert import without_faults  # takes a while to import, and few runs need it
    from dryermodel.scenario.merge import merge

    return without_faults(merge([]).model)


class Finding(NamedTuple):
    """A statement, how soon it should be read (0 first), and the cautions that go with it."""

    rank: int
    text: str
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True)
class Facts:
    """Numbers of one cycle.

    Attributes
    ----------
    result : CycleResult
        The cycle.
    si : bool
        Metric units in the sentences.
    healthy : CycleResult or None
        The same load in a machine in good order.
    rated_input : float or None
        Gas input on the rating plate [W].
    """

    result: CycleResult
    si: bool
    healthy: CycleResult | None = None
    rated_input: float | None = None

    # words --------------------------------------------------------------------------------
    def say(self, value: float, kind: str, decimals: int | None = None) -> str:
        """A SI value with its unit, as the reader wants it."""
        return Q.text(value, kind, self.si, decimals)

    @property
    def source(self) -> str:
        """What gives the heat."""
        return "burner" if self.gas else "heater"

    # what was asked -----------------------------------------------------------------------
    @property
    def p(self) -> P.Parameters:
        """Parameters of the cycle."""
        return self.result.parameters

    @property
    def gas(self) -> bool:
        """A gas machine."""
        return self.p.heat_source == P.GAS_HEAT

    @property
    def auto(self) -> bool:
        """The automatic program."""
        return self.p.program == P.AUTO

    @property
    def with_heat(self) -> bool:
        """A program that calls for heat."""
        return self.p.program != P.AIR_ONLY

    # what happened ------------------------------------------------------------------------
    def spans(self, column: int) -> Spans:
        """Times [s] between which discrete state `column` was on."""
        return self.result.trajectory.intervals(column, self.result.cycle_time)

    @cached_property
    def heat(self) -> Spans:
        """Times [s] with heat."""
        return M.heat_intervals(self.result)

    @cached_property
    def heat_called(self) -> float:
        """Time in which the heat circuit was fed [s]."""
        return sum(b - a for a, b in self.spans(switching.HEAT_CALL))

    @cached_property
    def dry_at(self) -> float | None:
        """Time to 4 % [s]."""
        return M.time_to_4pct(self.result)

    @property
    def cut_out_at(self) -> float | None:
        """First opening of the exhaust thermostat [s]."""
        return M.first_cut_out(self.result)

    @cached_property
    def cut_outs(self) -> int:
        """How often the exhaust thermostat opened."""
        tr = self.result.trajectory
        opened = tr.discrete[:, switching.EXHAUST_THERMOSTAT] == 0
        return int(np.sum((tr.cause == causes.CAUSE_EXHAUST_THERMOSTAT) & opened))

    @cached_property
    def hottest_thermostat(self) -> float:
        """Highest temperature the exhaust thermostat's element felt, bias included [K]."""
        return float(self.result.series["exhaust_element_temp_K"].max())

    @cached_property
    def cutoff_opened_at(self) -> float | None:
        """When the thermal cut-off blew [s]: 0 if it was blown at the start, None if it is whole."""
        tr = self.result.trajectory
        blown = np.flatnonzero(tr.discrete[:, switching.THERMAL_CUTOFF] == 0)
        return float(tr.time[blown[0]]) if len(blown) else None

    @cached_property
    def running(self) -> dict[str, float] | None:
        """Medians of bulk drying, or of the time the motor ran."""
        return M.running_medians(self.result)

    @property
    def exhaust_flow(self) -> float | None:
        """Exhaust volume flow [m3/s]."""
        return self.running["exhaust_flow_m3_per_s"] if self.running else None

    @property
    def vent_static(self) -> float | None:
        """Vent static pressure at the collar [Pa]."""
        return self.running["vent_static_Pa"] if self.running else None

    @property
    def vent_resists(self) -> bool:
        """Whether the vent takes more pressure for its flow than the longest one of the charts.

        A high static pressure alone is no restriction: much air makes it too.
        """
        if self.exhaust_flow is None or self.vent_static is None:
            return False
        if self.exhaust_flow < NO_FLOW:
            return self.vent_static > CHART_LIMIT
        return self.vent_static / self.exhaust_flow**2 > self.thin_air * CHART_LIMIT / CHART_FLOW**2

    @property
    def thin_air(self) -> float:
        """Air pressure here over that at sea level [1]."""
        return self.p.pressure / STANDARD_PRESSURE

    @cached_property
    def share_lost(self) -> float:
        """Share of the static lost before the collar [1], heat off.

        Against the same blower on the same vent with screen, housing and drive of the default machine.
        """
        sound = default_machine()
        clean = self.p._replace(
            fan_speed=max(self.p.fan_speed, sound.fan_speed),
            screen_loss=min(self.p.screen_loss, sound.screen_loss),
            housing_loss=min(self.p.housing_loss, sound.housing_loss),
        )
        due = at_collar(clean).static
        return 1.0 - at_collar(self.p).static / due if due > 0.0 else 0.0

    def high_limit_openings(self, until: float) -> int:
        """How often the high limit opened before time `until` [s]."""
        tr = self.result.trajectory
        opened = (tr.cause == causes.CAUSE_HIGH_LIMIT) & (tr.discrete[:, switching.HIGH_LIMIT] == 0)
        return int(np.sum(opened & (tr.time < until)))

    @cached_property
    def tops(self) -> tuple[float, float]:
        """Highest exhaust and load temperatures [K]."""
        return M.exhaust_peak(self.result), self.result.outcome.load_temp_max_K

    @cached_property
    def unburned_share(self) -> float:
        """Share of the gas that leaves unburned [1], from the water that its combustion formed."""
        gas, per_energy = self.result.gas_energy, self.p.water_per_energy
        if gas <= 0.0 or per_energy <= 0.0:
            return 0.0
        return max(0.0, 1.0 - float(self.result.final[Y.WATER_FORMED]) / per_energy / gas)

    @property
    def room_rh(self) -> float:
        """Relative humidity of the room at the start [1]."""
        return relative_humidity(self.p.room_temp, self.p.room_humidity_ratio, self.p.pressure)

    @property
    def room_humidity_peak(self) -> float:
        """Highest humidity ratio of the room during the cycle [kg/kg]."""
        return float(self.result.trajectory.state[:, Y.ROOM_HUMIDITY].max())

    @property
    def room_rh_peak(self) -> float:
        """Highest relative humidity of the room during the cycle [1]."""
        return relative_humidity(self.p.room_temp, self.room_humidity_peak, self.p.pressure)

    @property
    def room_dew_point_peak(self) -> float:
        """Highest dew point of the room during the cycle [K]."""
        return dew_point(self.room_humidity_peak, self.p.pressure)


def times(count: int) -> str:
    """How often, in words.

    Examples
    --------
    >>> times(1), times(30)
    ('once', '30 times')
    """
    return "once" if count == 1 else f"{count} times"
