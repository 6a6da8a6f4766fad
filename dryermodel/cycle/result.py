"""What one cycle was: its trajectory, its switchings, its sums and how well they close."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np

from dryermodel.cycle.engine import gauges, switching
from dryermodel.cycle.engine import state as Y
from dryermodel.cycle.engine.balances import energy_gap, water_gap
from dryermodel.cycle.engine.constants import Constants, constants_of
from dryermodel.cycle.engine.equations import Air, Drive, air_side, electric_power
from dryermodel.cycle.engine.outcome import Outcome
from dryermodel.cycle.engine.parameters import Parameters
from dryermodel.cycle.events import Event, narrate
from dryermodel.cycle.marks import first_down_to, with_kinds
from dryermodel.cycle.reasons import EndReason
from dryermodel.physics.moist_air import moist_density

if TYPE_CHECKING:
    from numpy.typing import NDArray

WARM_UP = 180.0
"""Seconds after the start that do not count as bulk drying."""


@dataclass(frozen=True)
class Trajectory:
    """Rows between which the state is a cubic; two rows at the same time enclose a switching."""

    time: NDArray[np.float64]  # (n,) [s]
    state: NDArray[np.float64]  # (n, N_STATES)
    rate: NDArray[np.float64]  # (n, N_STATES) per second
    discrete: NDArray[np.int64]  # (n, N_DISCRETE)
    cause: NDArray[np.int64]  # (n,)

    def locate(self, t: float) -> int:
        """Row that begins the interval which holds time `t` [s]; the later one at a switching."""
        i = int(np.searchsorted(self.time, t, side="right")) - 1
        return min(max(i, 0), len(self.time) - 1)

    def at(self, t: float) -> NDArray[np.float64]:
        """State at time `t` [s]."""
        return self.within(self.locate(t), t)

    def within(self, i: int, t: float) -> NDArray[np.float64]:
        """State at time `t` [s] in the interval that row `i` begins."""
        j = min(i + 1, len(self.time) - 1)
        h = float(self.time[j] - self.time[i])
        if h <= 0.0:
            return np.array(self.state[i])
        theta = min(max((t - float(self.time[i])) / h, 0.0), 1.0)
        u = 1.0 - theta
        a, b, fa, fb = self.state[i], self.state[j], self.rate[i], self.rate[j]
        left = u * u * ((1.0 + 2.0 * theta) * a + theta * h * fa)
        return np.asarray(left + theta * theta * ((3.0 - 2.0 * theta) * b - u * h * fb))

    def intervals(self, column: int, end: float) -> list[tuple[float, float]]:
        """Times [s] from and to which discrete column `column` was on."""
        found: list[tuple[float, float]] = []
        began: float | None = None
        for t, on in zip(self.time, self.discrete[:, column], strict=True):
            if on and began is None:
                began = float(t)
            elif not on and began is not None:
                found.append((began, float(t)))
                began = None
        if began is not None:
            found.append((began, end))
        return [(a, b) for a, b in found if b > a]


def moistures(states: NDArray[np.float64], shares: Sequence[float]) -> NDArray[np.float64]:
    """Moisture of a load of such shares [kg/kg] in each row of states, or its rate in each row of rates."""
    kinds = range(Y.MOISTURE, Y.MOISTURE + Y.MOST_PIECES * Y.PER_PIECE, Y.PER_PIECE)
    return np.asarray(sum(share * states[:, i] for share, i in zip(shares, kinds, strict=True)))


class PieceOutcome(NamedTuple):
    """What became of one kind of cloth."""

    name: str
    share: float  # [1] of the bone-dry mass
    moisture_at_first_cut_out: float | None  # [kg/kg] None: the thermostat never opened
    final_moisture: float  # [kg/kg]


class PieceSeries(NamedTuple):
    """One kind of cloth over time."""

    name: str
    share: float  # [1] of the bone-dry mass
    moisture: NDArray[np.float64]  # [kg/kg]
    temp_K: NDArray[np.float64]


@dataclass(frozen=True)
class CycleResult:
    """One simulated cycle.

    Attributes
    ----------
    parameters : Parameters
        The SI numbers it was computed from.
    outcome : Outcome
        How it ended, its sums and what was read on the way: the same numbers as a row of many runs.
    final : ndarray, shape (N_STATES,)
        Final state.
    trajectory : Trajectory
        The recorded run.
    title, scenario_hash : str
        Of the scenario, empty when it ran from bare parameters.
    piece_names : tuple of str
        What the kinds of cloth are called, in the order of the parameters.
    """

    parameters: Parameters
    outcome: Outcome
    final: NDArray[np.float64]
    trajectory: Trajectory = field(repr=False)
    title: str = ""
    scenario_hash: str = ""
    piece_names: tuple[str, ...] = ()

    @cached_property
    def constants(self) -> Constants:
        """What follows from the parameters and stays the same during the run."""
        return constants_of(self.parameters)

    @property
    def end(self) -> EndReason:
        """Why it ended."""
        return EndReason.of(self.outcome.end_code)

    # sums ---------------------------------------------------------------------------------
    @property
    def cycle_time(self) -> float:
        """Start button to end [s]."""
        return float(self.outcome.cycle_time_s)

    @property
    def final_moisture(self) -> float:
        """Moisture at the end [kg/kg] dry basis."""
        return float(self.outcome.final_moisture)

    @property
    def water_removed(self) -> float:
        """Water that left the load [kg]."""
        return float(self.outcome.water_removed_kg)

    @property
    def first_cut_out(self) -> float | None:
        """When the exhaust thermostat first opened [s], None if it never did."""
        at = self.outcome.first_cut_out_s
        return None if math.isnan(at) else float(at)

    @property
    def moisture_at_first_cut_out(self) -> float | None:
        """Moisture of the load when the exhaust thermostat first opened [kg/kg], None if it never did."""
        at = self.first_cut_out
        return None if at is None else Y.mean_moisture(self.trajectory.at(at), self.constants.pieces)

    @property
    def pieces(self) -> tuple[PieceOutcome, ...]:
        """What became of each kind of cloth, in the order of the scenario."""
        at = self.first_cut_out
        then = None if at is None else self.trajectory.at(at)
        return tuple(
            PieceOutcome(
                name, share, None if then is None else Y.moisture_of(then, i), Y.moisture_of(self.final, i)
            )
            for i, name, share in self._kinds
        )

    @cached_property
    def by_piece(self) -> tuple[PieceSeries, ...]:
        """Moisture and temperature of each kind of cloth at the times of `series`."""
        return self._piece_series([self.trajectory.within(row, t) for t, row in self._sampled])

    def sample_pieces(self, times: Sequence[float] | NDArray[np.float64]) -> tuple[PieceSeries, ...]:
        """Moisture and temperature of each kind of cloth at `times` [s], in the order of the scenario."""
        return self._piece_series([self.trajectory.at(float(t)) for t in times])

    def _piece_series(self, rows: list[NDArray[np.float64]]) -> tuple[PieceSeries, ...]:
        pieces = self.constants.pieces
        return tuple(
            PieceSeries(
                name,
                share,
                np.array([Y.moisture_of(y, i) for y in rows]),
                np.array([Y.piece_temperature(y, Y.nth(pieces, i), i) for y in rows]),
            )
            for i, name, share in self._kinds
        )

    @property
    def _kinds(self) -> list[tuple[int, str, float]]:
        shares = self.parameters.piece_share
        names = (*self.piece_names, *(f"piece {i + 1}" for i in range(len(self.piece_names), len(shares))))
        return [(i, name, share) for i, (name, share) in enumerate(zip(names, shares, strict=True)) if share]

    @cached_property
    def _sampled(self) -> list[tuple[float, int]]:
        """Times of `series` with the trajectory row whose interval each is taken from."""
        tr = self.trajectory
        grid = [(float(t), tr.locate(float(t))) for t in np.arange(0.0, self.cycle_time, 10.0)]
        rows = [(float(t), row) for row, t in enumerate(tr.time)]
        return sorted({*grid, *rows})

    @property
    def gas_energy(self) -> float:
        """Gas, gross heating value [J]."""
        return float(self.outcome.gas_energy_J)

    @property
    def electric_energy(self) -> float:
        """Electricity [J]."""
        return float(self.outcome.electric_energy_J)

    @property
    def energy_per_water(self) -> float | None:
        """Gas and electricity per water removed [J/kg]; None when no water left."""
        water = self.water_removed
        return (self.gas_energy + self.electric_energy) / water if water > 1e-6 else None

    @property
    def time_to_marked(self) -> float | None:
        """Seconds to the marked moisture (4 % by default), None if it was never reached."""
        at = float(self.outcome.time_to_marked_s)
        return None if math.isnan(at) else at

    @property
    def burner_time(self) -> float:
        """Time with flame, or with the electric heater on [s]."""
        return float(self.outcome.burner_time_s)

    @property
    def timer_time(self) -> float:
        """Time during which the timer motor turned the dial [s]."""
        return float(self.outcome.timer_time_s)

    @property
    def burner_cycles(self) -> int:
        """How often the flame was lit."""
        return int(self.outcome.burner_cycles)

    @property
    def high_limit_trips(self) -> int:
        """How often the high limit opened."""
        return int(self.outcome.high_limit_trips)

    # balances -----------------------------------------------------------------------------
    @property
    def balance_water(self) -> float:
        """What is missing from the water balance, relative to the water blown out [1]."""
        return float(water_gap(self.final, self.parameters))

    @property
    def balance_energy(self) -> float:
        """What is missing from the energy balance, relative to gas and electricity [1].

        Formed water counts as liquid at the heating value's datum, as gross values imply.
        """
        return float(energy_gap(self.final, self.parameters))

    # along the way ------------------------------------------------------------------------
    @cached_property
    def events(self) -> tuple[Event, ...]:
        """Switchings with time, cause and what they did; of unlike pieces also when each is at the mark."""
        tr, level = self.trajectory, self.parameters.marked_moisture
        found = narrate(tr.time, tr.discrete, tr.cause)
        if len(self._kinds) < 2:
            return found
        places = [(name, Y.MOISTURE + Y.PER_PIECE * i) for i, name, _ in self._kinds]
        passed = [(n, first_down_to(tr.time, tr.state[:, at], tr.rate[:, at], level)) for n, at in places]
        return with_kinds(found, passed, level)

    def drive(self, row: int) -> Drive:
        """Energised loads as the smooth equations saw them from trajectory row `row` on."""
        s = np.array(self.trajectory.discrete[row])
        return switching.settle(s, self.trajectory.state[row], self.parameters)

    def air(self, t: float) -> Air:
        """Temperatures, humidities and flows of the air side at time `t` [s]."""
        return air_side(
            self.trajectory.at(t), self.parameters, self.constants, self.drive(self.trajectory.locate(t))
        )

    @cached_property
    def series(self) -> dict[str, NDArray[np.float64]]:
        """Sampled quantities in SI, every 10 s and on both sides of each switching."""
        return _columns([_sample_row(self, t, row) for t, row in self._sampled])

    def sample(self, times: Sequence[float] | NDArray[np.float64]) -> dict[str, NDArray[np.float64]]:
        """Sample the cycle at `times` [s].

        Returns
        -------
        dict of ndarray, shape (len(times),)
            SI quantities with the unit in the name; contacts and loads as 0 or 1.
        """
        return _columns([_sample_row(self, float(t), self.trajectory.locate(float(t))) for t in times])

    @cached_property
    def bulk(self) -> dict[str, float] | None:
        """Medians over bulk drying: heat on, warm-up past, load wet. None when there is none."""
        s = self.series
        wet = (s["moisture"] > Y.critical_moisture(self.parameters)) & (s["heat"] > 0.5)
        window = wet & (s["time_s"] > WARM_UP)
        if not window.any():
            window = wet
        if not window.any():
            return None
        return {name: float(np.median(values[window])) for name, values in s.items()}

    def duty(self, bin_length: float = 300.0) -> dict[str, NDArray[np.float64]]:
        """Burner and timer duty in bins of `bin_length` seconds, from exact switching times.

        Returns
        -------
        dict of ndarray
            ``start_s``, ``burner_duty`` and ``timer_duty``, one entry a bin.
        """
        edges = np.append(np.arange(0.0, self.cycle_time, bin_length), self.cycle_time)
        flame = self.trajectory.intervals(switching.FLAME, self.cycle_time)
        flame += self.trajectory.intervals(switching.HEATER, self.cycle_time)
        timer = self.trajectory.intervals(switching.TIMER_MOTOR, self.cycle_time)
        return {
            "start_s": edges[:-1],
            "burner_duty": shares_of_bins(flame, edges),
            "timer_duty": shares_of_bins(timer, edges),
        }

    def to_dataframe(self, step: float = 10.0, si: bool = False) -> Any:
        """Return the cycle as a pandas DataFrame, one row every `step` seconds.

        Parameters
        ----------
        step : float
            Seconds between rows, positive.
        si : bool
            SI units instead of degF, lb, cfm, in w.c.; the column names carry the unit.
        """
        from dryermodel.cycle.frame import to_frame

        return to_frame(self, step, si)


def shares_of_bins(intervals: list[tuple[float, float]], edges: NDArray[np.float64]) -> NDArray[np.float64]:
    """Share of each bin between `edges` [s] that the intervals [s] cover."""
    covered = np.zeros(len(edges) - 1)
    for a, b in intervals:
        covered += np.clip(np.minimum(b, edges[1:]) - np.maximum(a, edges[:-1]), 0.0, None)
    return np.asarray(covered / np.maximum(np.diff(edges), 1e-12))


def _columns(rows: list[dict[str, float]]) -> dict[str, NDArray[np.float64]]:
    names = list(rows[0]) if rows else []
    return {name: np.array([row[name] for row in rows]) for name in names}


def _sample_row(result: CycleResult, t: float, row: int) -> dict[str, float]:
    """Everything at time `t`, within the interval that trajectory row `row` begins (or at that row)."""
    p, tr = result.parameters, result.trajectory
    y, s, d = tr.within(row, t), tr.discrete[row], result.drive(row)
    pieces = result.constants.pieces
    a = air_side(y, p, result.constants, d)
    w = a.exhaust.air.humidity_ratio
    moisture = Y.mean_moisture(y, pieces)
    return {
        "time_s": t,
        "moisture": moisture,
        "water_in_load_kg": moisture * p.dry_mass,
        "load_temp_K": Y.mean_temperature(y, pieces),
        "drum_inlet_temp_K": a.inlet.temp,
        "burner_outlet_temp_K": a.burner.air.temp,
        "exhaust_temp_K": a.exhaust.air.temp,
        "exhaust_element_temp_K": float(y[Y.EXHAUST_ELEMENT]) + p.bias_rise * d.bias,
        "high_limit_element_temp_K": float(y[Y.HIGH_LIMIT_ELEMENT]),
        "drum_metal_temp_K": float(y[Y.METAL_TEMP]),
        "exhaust_humidity_ratio": w,
        "exhaust_flow_m3_per_s": a.flows.exhaust
        * (1.0 + w)
        / moist_density(a.exhaust.air.temp, w, p.pressure),
        "vent_static_Pa": a.flows.collar_pressure,
        "evaporation_kg_per_s": sum(e.evaporation for e in a.drum.exchanges),
        "heat_released_W": a.burner.heat_released + d.heater,
        "unburned_gas_W": d.gas_flow - a.burner.heat_released,
        "combustion_air_kg_per_s": a.flows.burner,
        "electric_power_W": electric_power(d, a),
        "dial_s": float(y[Y.DIAL]),
        "motor": float(s[switching.RUNNING]),
        "heat_call": float(s[switching.HEAT_CALL]),
        "igniter": float(s[switching.IGNITER]),
        "heat": float(gauges.hot(s)),
        "timer_motor": float(s[switching.TIMER_MOTOR]),
        "exhaust_thermostat": float(s[switching.EXHAUST_THERMOSTAT]),
        "high_limit": float(s[switching.HIGH_LIMIT]),
        "thermal_cutoff": float(s[switching.THERMAL_CUTOFF]),
        "flame_sensor": float(s[switching.FLAME_SENSOR]),
        "timer_heat_contact": 1.0 if s[switching.STRETCH] == 0 else 0.0,
    }
