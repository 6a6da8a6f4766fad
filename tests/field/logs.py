"""Logs of a gas machine made from the model, and what is true of them.

Pattern of rates and steps (own reading of a public plug-meter log of one household gas dryer, 30-s reports,
2020): igniter 460 to 500 W above the motor with the holding coils included, a step of 5 to 12 W at
flame-out, motor 254 to 218, 223 to 196, 232 to 197 and 252 to 220 W from a wet to a dry load. The switching
times and the motor's fall are the model's; igniter and step are drawn from those ranges, since the step that
follows from usual coils' resistances in the model (19 W) is larger and so easier to see.
"""

from __future__ import annotations

import math
import sys
from datetime import datetime, timedelta
from pathlib import Path
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from dryermodel.cycle.result import CycleResult
from dryermodel.field.traces.rhythm import rhythm
from dryermodel.field.traces.table import Log
from dryermodel.readings.single import CycleReadings
from dryermodel.scenario.model import load_scenario
from dryermodel.scenario.run import simulate

Vector = NDArray[np.float64]

BEFORE = 130.0  # s of the machine standing still before and after the run
STANDBY = 1.8  # W
TIMER = 3.0  # W of the timer motor while the heat is off


class Manner(NamedTuple):
    """How a logger reports."""

    every: int  # s
    change: float  # W that it reports at once; infinite where it does not
    noise: float = 1.5  # W
    probe_noise: float = 0.15  # K
    probe_lag: float = 8.0  # s


SECOND = Manner(1, math.inf)
HALF_MINUTE = Manner(30, math.inf)
CHANGES = Manner(30, 5.0)  # and when the power changes by 5 W
BIG_CHANGES = Manner(30, 50.0)  # too coarse for the coils

MANNERS = {
    "every second": SECOND,
    "every 30 s": HALF_MINUTE,
    "every 30 s and on a change of 5 W": CHANGES,
    "every 30 s and on a change of 50 W": BIG_CHANGES,
}


class Made(NamedTuple):
    """A log and the truth."""

    log: Log
    truth: dict[str, float]  # SI, by the name of the measurement; without those that there are none of


def motor_power(result: CycleResult, times: Vector, plug: Vector) -> Vector:
    """What of the model's power at the plug is the motor's."""
    drives = [result.drive(result.trajectory.locate(float(t))) for t in times]
    other = np.array([d.timer + d.igniter + d.valves + d.heater for d in drives])
    return np.asarray(plug - other)


def made(result: CycleResult, manner: Manner, seed: int) -> Made:
    """Log of a modelled cycle."""
    random = np.random.default_rng(seed)
    igniter, step = random.uniform(460.0, 500.0), random.uniform(5.0, 12.0)
    time = np.arange(-BEFORE + random.uniform(), result.cycle_time + BEFORE, 1.0)
    runs = (time >= 0.0) & (time < result.cycle_time)
    s = result.sample(time[runs])
    motor = motor_power(result, time[runs], s["electric_power_W"])
    true = np.full(len(time), STANDBY)
    true[runs] = motor + TIMER * s["timer_motor"] + igniter * s["igniter"] + (step + TIMER) * s["heat"]
    power = np.round(true + runs * random.normal(0.0, manner.noise, len(time)), 1)
    temperature = probe(time, s["exhaust_temp_K"], runs, manner, random)
    kept = reports(time, power, manner, random)
    values = {"power": power[kept], "temperature": temperature[kept]}
    told = rhythm(time[kept], values)
    log = Log(time[kept] - time[0], values, told.usual, told.steady, "", (), told.least, told.short)
    return Made(log, truth(result, igniter, float(true[runs].sum())))


def probe(
    time: Vector, air: Vector, runs: NDArray[np.bool_], manner: Manner, random: np.random.Generator
) -> Vector:
    """What a probe of first order shows of the exhaust, in tenths of a degree."""
    around = np.interp(time, time[runs], air)
    shown, at = np.empty(len(time)), around[0]
    share = 1.0 - math.exp(-1.0 / manner.probe_lag)
    for i, value in enumerate(around):
        at += (value - at) * share
        shown[i] = at
    return np.round(shown + random.normal(0.0, manner.probe_noise, len(time)), 1)


def reports(time: Vector, power: Vector, manner: Manner, random: np.random.Generator) -> NDArray[np.int64]:
    """Places of the readings that a logger reports."""
    kept = [int(random.integers(manner.every))]
    for i in range(kept[0] + 1, len(time)):
        late = time[i] - time[kept[-1]] >= manner.every - 1e-6
        if late or abs(power[i] - power[kept[-1]]) >= manner.change:
            kept.append(i)
    return np.array(kept)


def truth(result: CycleResult, igniter: float, energy: float) -> dict[str, float]:
    """The engine's own readings under the names of the measurements."""
    q = CycleReadings(result)
    names = {
        "cycle time": "cycle_time", "first burn": "heat_on_first", "burner on early": "heat_on_early",
        "burner off early": "heat_off_early", "burner on late": "heat_on_late",
        "burner off late": "heat_off_late", "burner cycles": "burner_cycles",
        "ignition tries": "ignition_tries", "time to flame": "ignition_delay_mean",
        "exhaust temperature": "mid_drying_exhaust_air_temp",
        "cut-out temperature": "last_cut_out_exhaust_temp", "cut-in temperature": "last_cut_in_exhaust_temp",
        "peak exhaust temperature": "flame_out_exhaust_temp_max",
        "motor power early": "motor_power_early", "motor power late": "motor_power_late",
        "high-limit trips": "high_limit_trips",
    }  # fmt: skip
    found = {name: value for name, reading in names.items() if (value := q[reading]) is not None}
    early = found.get("motor power early", math.nan)
    return {**found, "igniter power": early + igniter, "electricity used": energy}


# Files --------------------------------------------------------------------------------------------

EXAMPLES = Path(__file__).parents[2] / "docs" / "logs"
BEGINS = datetime(2026, 3, 7, 18, 4, 30)


def as_csv(log: Log) -> str:
    """A log as a logger writes it, with local time and degF."""
    lines = ["Time,Power (W),Exhaust (F)"]
    for t, power, temperature in zip(log.time, log.values["power"], log.values["temperature"], strict=True):
        at = BEGINS + timedelta(seconds=int(t))
        lines.append(f"{at:%Y-%m-%d %H:%M:%S},{power:.1f},{1.8 * temperature - 459.67:.1f}")
    return "\n".join(lines) + "\n"


def examples() -> dict[Path, str]:
    """Files that come with the documents, and what stands in them."""
    healthy = made(simulate(load_scenario("family_load")), CHANGES, 1)
    limited = made(simulate(load_scenario("long_vent")), HALF_MINUTE, 2)
    return {
        EXAMPLES / "family_load.csv": as_csv(healthy.log),
        EXAMPLES / "long_vent_30s.csv": as_csv(limited.log),
    }


def main(words: list[str]) -> None:
    """Say which files are out of date; with --write, write them afresh."""
    for file, text in examples().items():
        fresh = file.is_file() and file.read_text(encoding="utf-8") == text
        sys.stdout.write(f"{file.name}: {'up to date' if fresh else 'out of date'}\n")
        if "--write" in words and not fresh:
            file.parent.mkdir(exist_ok=True)
            file.write_text(text, encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main(sys.argv[1:])
