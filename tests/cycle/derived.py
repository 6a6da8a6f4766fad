"""The engine's readings worked out again, from the recording of a run and nothing else."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import NamedTuple

import numpy as np

from dryermodel.cycle.engine import causes as C
from dryermodel.cycle.engine import state as Y
from dryermodel.cycle.engine import switching as S
from dryermodel.cycle.engine.equations import air_side
from dryermodel.cycle.result import CycleResult
from dryermodel.physics.moist_air import moist_density

POWER_FACTOR = 0.6


class Stroke(NamedTuple):
    """A stretch with heat: rows that begin and end it; the last one may have no end."""

    on: int
    off: int | None


class Readings:
    """Works out every column of one run."""

    def __init__(self, r: CycleResult) -> None:
        self.r, self.tr, self.p = r, r.trajectory, r.parameters
        d = self.tr.discrete
        self.hot = (d[:, S.FLAME] == 1) | (d[:, S.HEATER] == 1)
        self.rows = len(self.tr.time)
        on = [i for i in range(self.rows) if self.hot[i] and (i == 0 or not self.hot[i - 1])]
        off = [i for i in range(1, self.rows) if self.hot[i - 1] and not self.hot[i]]
        ends: list[int | None] = [*off, None]
        self.strokes = [Stroke(a, b) for a, b in zip(on, ends, strict=False)]

    def time(self, row: int) -> float:
        return float(self.tr.time[row])

    def switched(self, cause: int, column: int, to: int) -> list[int]:
        """Rows in which a cause moved a contact."""
        found = np.flatnonzero((self.tr.cause == cause) & (self.tr.discrete[:, column] == to))
        return [int(i) for i in found]

    def rises(self, column: int) -> list[int]:
        on = self.tr.discrete[:, column] == 1
        return [i for i in range(self.rows) if on[i] and (i == 0 or not on[i - 1])]

    def falls(self, column: int) -> list[int]:
        on = self.tr.discrete[:, column] == 1
        return [i for i in range(1, self.rows) if on[i - 1] and not on[i]]

    def air_before(self, row: int) -> tuple[float, float, float]:
        """Exhaust temperature, flow, static at the moment of a row, the machine as it was before."""
        a = air_side(self.tr.state[row], self.p, self.r.constants, self.r.drive(row - 1))
        w = a.exhaust.air.humidity_ratio
        flow = a.flows.exhaust * (1.0 + w) / moist_density(a.exhaust.air.temp, w, self.p.pressure)
        return a.exhaust.air.temp, flow, a.flows.collar_pressure

    def power(self, row: int) -> float:
        return float(self.tr.rate[row, Y.ELECTRIC_ENERGY])

    def motor(self, row: int) -> float:
        d = self.r.drive(row)
        return self.power(row) - d.igniter - d.valves - d.timer - d.heater

    def current(self, row: int) -> float:
        lagging = self.motor(row) * math.tan(math.acos(POWER_FACTOR))
        return math.hypot(self.power(row), lagging) / self.p.line_voltage

    def thermostat(self) -> dict[str, float]:
        found: dict[str, float] = {}
        out = self.switched(C.CAUSE_EXHAUST_THERMOSTAT, S.EXHAUST_THERMOSTAT, 0)
        back = self.switched(C.CAUSE_EXHAUST_THERMOSTAT, S.EXHAUST_THERMOSTAT, 1)
        found["cut_outs"] = len(out)
        for word, rows in (("cut_out", out), ("cut_in", back)):
            for which, at in (("first", 0), ("last", -1)):
                row = rows[at] if rows else None
                bias = 0.0 if row is None else self.p.bias_rise * self.r.drive(row - 1).bias
                told = {
                    "s": math.nan if row is None else self.time(row),
                    "exhaust_temp_K": math.nan if row is None else self.air_before(row)[0],
                    "element_temp_K": math.nan
                    if row is None
                    else float(self.tr.state[row, Y.EXHAUST_ELEMENT]) + bias,
                }
                found |= {f"{which}_{word}_{unit}": value for unit, value in told.items()}
        moisture = [Y.mean_moisture(self.tr.state[i], self.r.constants.pieces) for i in out[:1]]
        found["moisture_at_first_cut_out"] = moisture[0] if moisture else math.nan
        return found

    def by_thermostat(self, stroke: Stroke) -> bool:
        return stroke.off is not None and self.tr.cause[stroke.off] == C.CAUSE_EXHAUST_THERMOSTAT

    def strokes_and_gaps(self) -> dict[str, float]:
        out = self.switched(C.CAUSE_EXHAUST_THERMOSTAT, S.EXHAUST_THERMOSTAT, 0)
        first_out = self.time(out[0]) if out else math.inf
        on = [
            self.time(s.off) - self.time(s.on)
            for s in self.strokes
            if s.off is not None and self.by_thermostat(s) and self.time(s.on) >= first_out
        ]
        off, glows = [], self.rises(S.IGNITER)
        for s, following in pairwise(self.strokes):
            if s.off is not None and self.by_thermostat(s):
                tries = [i for i in glows if s.off <= i <= following.on]
                off.append(self.time(tries[0] if tries else following.on) - self.time(s.off))
        first = self.strokes[0] if self.strokes else None
        end = self.rows - 1 if first is None or first.off is None else first.off
        return {
            "heat_on_first_s": math.nan if first is None else self.time(end) - self.time(first.on),
            "heat_on_count": len(on),
            "heat_on_early_s": mean(on[: half(on)]),
            "heat_on_late_s": mean(on[len(on) - half(on) :]),
            "heat_off_count": len(off),
            "heat_off_first_s": off[0] if off else math.nan,
            "heat_off_early_s": mean(off[: half(off)]),
            "heat_off_late_s": mean(off[len(off) - half(off) :]),
            "burner_cycles": len(self.strokes),
            "burner_time_s": sum(
                self.time(self.rows - 1 if s.off is None else s.off) - self.time(s.on) for s in self.strokes
            ),
            "first_light_s": math.nan if first is None else self.time(first.on),
        }

    def ignition(self) -> dict[str, float]:
        rises, falls = self.rises(S.IGNITER), self.falls(S.IGNITER)
        ends: list[int] = [*falls, self.rows - 1]
        glows = [self.time(b) - self.time(a) for a, b in zip(rises, ends, strict=False)]
        flames = [i for i in self.rises(S.FLAME) if i in falls]
        delays = [self.time(i) - self.time(max(j for j in rises if j < i)) for i in flames]
        return {
            "ignition_tries": len(rises),
            "longest_glow_s": max(glows, default=0.0),
            "ignition_delay_first_s": delays[0] if delays else math.nan,
            "ignition_delay_mean_s": mean(delays),
            "ignition_delay_longest_s": max(delays, default=math.nan),
        }

    def limits(self) -> dict[str, float]:
        trips = self.switched(C.CAUSE_HIGH_LIMIT, S.HIGH_LIMIT, 0)
        back = [*self.switched(C.CAUSE_HIGH_LIMIT, S.HIGH_LIMIT, 1), self.rows - 1]
        blown = self.switched(C.CAUSE_THERMAL_CUTOFF, S.THERMAL_CUTOFF, 0)
        return {
            "high_limit_trips": len(trips),
            "high_limit_first_trip_s": self.time(trips[0]) if trips else math.nan,
            "high_limit_open_time_s": sum(
                self.time(b) - self.time(a) for a, b in zip(trips, back, strict=False)
            ),
            "thermal_cutoff_opened_s": self.time(blown[0]) if blown else math.nan,
        }

    def air(self) -> dict[str, float]:
        middle = [int(i) for i in np.flatnonzero(self.tr.cause == C.CAUSE_MID_DRYING)]
        temp, flow, static = self.air_before(middle[0]) if middle else (math.nan,) * 3
        element = float(self.tr.state[middle[0], Y.EXHAUST_ELEMENT]) if middle else math.nan
        outs = [s.off for s in self.strokes if s.off is not None]
        resumed = self.first_resumption()
        off = (math.nan,) * 3 if resumed is None else self.air_before(resumed)
        return {
            "mid_drying_exhaust_temp_K": element,
            "mid_drying_exhaust_air_temp_K": temp,
            "mid_drying_flow_m3_per_s": flow,
            "mid_drying_static_Pa": static,
            "flame_out_exhaust_temp_max_K": max((self.air_before(i)[0] for i in outs), default=math.nan),
            "heat_off_exhaust_temp_K": off[0],
            "heat_off_flow_m3_per_s": off[1],
            "heat_off_static_Pa": off[2],
            "load_temp_max_K": max(
                Y.hottest(self.tr.state[i], self.r.constants.pieces) for i in range(self.rows)
            ),
            "exhaust_element_max_K": float(self.tr.state[:, Y.EXHAUST_ELEMENT].max()),
        }

    def first_resumption(self) -> int | None:
        """Row in which igniter or heater first came on again after a flame-out, motor running."""
        d = self.tr.discrete
        busy = self.hot | (d[:, S.IGNITER] == 1)
        first = next((s.off for s in self.strokes if s.off is not None), self.rows)
        for i in range(first, self.rows):
            if busy[i] and not busy[i - 1] and d[i - 1, S.RUNNING] == 1:
                return i
        return None

    def plug(self) -> dict[str, float]:
        d = self.tr.discrete
        running = np.flatnonzero(d[:, S.RUNNING] == 1)
        lit = self.strokes[0].on if self.strokes else None
        glowing = lit - 1 if lit and d[lit - 1, S.IGNITER] == 1 else None
        dark = self.hot & (d[:, S.IGNITER] == 0)
        flame = int(np.flatnonzero(dark)[0]) if dark.any() else None
        out = self.strokes[0].off if self.strokes else None
        idle = [
            i
            for i in range(out or self.rows, self.rows)
            if d[i, S.RUNNING] == 1 and not self.hot[i] and d[i, S.IGNITER] == 0
        ]
        rows = {"start": 0, "igniter": glowing, "flame": flame, "heat_off": idle[0] if idle else None}
        told = {"motor_power_early_W": self.motor(0), "motor_power_late_W": self.motor(int(running[-1]))}
        for stage, row in rows.items():
            told[f"plug_power_{stage}_W"] = math.nan if row is None else self.power(row)
            told[f"plug_current_{stage}_A"] = math.nan if row is None else self.current(row)
        return told

    def marks(self) -> dict[str, float]:
        told = {}
        for minute in range(5, 61, 5):
            state = self.r.trajectory.at(min(60.0 * minute, self.r.cycle_time))
            told[f"dial_at_{minute}min_s"] = float(state[Y.DIAL])
            told[f"gas_at_{minute}min_J"] = float(state[Y.GAS_ENERGY])
        return told

    def all(self) -> dict[str, float]:
        """Every column by its name."""
        r, final, marked = self.r, self.tr.state[-1], np.flatnonzero(self.tr.cause == C.CAUSE_MARKED_MOISTURE)
        timer = self.tr.discrete[:, S.TIMER_MOTOR][:-1] * np.diff(self.tr.time)
        sums = {
            "end_code": float(r.end.code),
            "cycle_time_s": self.time(self.rows - 1),
            "time_to_marked_s": self.time(int(marked[0])) if len(marked) else math.nan,
            "final_moisture": Y.mean_moisture(final, r.constants.pieces),
            "wettest_final_moisture": max(p.final_moisture for p in r.pieces),
            "final_load_temp_K": max(
                Y.piece_temperature(final, Y.nth(r.constants.pieces, i), i)
                for i, share in enumerate(self.p.piece_share)
                if share > 0.0
            ),
            "water_removed_kg": Y.water_removed(final, self.p),
            "gas_energy_J": float(final[Y.GAS_ENERGY]),
            "electric_energy_J": float(final[Y.ELECTRIC_ENERGY]),
            "timer_time_s": float(timer.sum()),
        }
        parts = (
            self.thermostat(), self.strokes_and_gaps(), self.ignition(), self.limits(), self.air(),
            self.plug(), self.marks(),
        )  # fmt: skip
        for part in parts:
            sums |= part
        return sums


def half(values: list[float]) -> int:
    """Half of so many, rounded up."""
    return math.ceil(len(values) / 2)


def mean(values: list[float]) -> float:
    """Mean; NaN of none."""
    return sum(values) / len(values) if values else math.nan
