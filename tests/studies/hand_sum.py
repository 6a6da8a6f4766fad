"""The hand sum of docs/combined-fault.md: bulk drying by energy balance, then the tail by Simpson's rule.

Deliberately plain: one air flow, one load temperature at a time, no contacts, no step control, and
nothing imported from the model but the unit-free constants a technician would look up.
"""

from __future__ import annotations

import math
from typing import NamedTuple

PRESSURE = 101325.0  # [Pa]
MASS = 8.45 * 0.45359237  # [kg] bone dry
MOISTURES = (0.575, 0.25, 0.145, 0.04)  # start, critical, half way, dry
DRY_HEAT, WATER_HEAT = 1.165e3, 4.19e3  # [J/(kg K)] cloth half cotton half polyester, water
SENSIBLE_SHARE = 0.902  # of gross natural gas
WATER_FORMED = 0.0400e-6  # [kg/J] gross
MOTOR_HEAT = 0.7 * 250.0 * 0.86  # [W] taken up by the intake air
GASKET_SHARE = 0.056  # of the blower's air
DRUM_LOSS, CABINET_LOSS = 20.0, 5.0  # [W/K] drum air to metal, metal to room
IGNITER = 30.0  # [s]
LATENT = 2.43e6  # [J/kg] near 30 degC, to turn stored heat into water not evaporated
SORPTION_SHARE = 0.51  # capacity of the blend relative to cotton
SORPTION_HEAT = 0.5e5  # [J/kg] on top of evaporation near 4 %, of the blend's water


class Bulk(NamedTuple):
    """Bulk drying: one steady state."""

    drum_flow: float  # [kg/s] dry air through the drum
    inlet_temp: float  # [degC] drum inlet
    inlet_humidity: float
    units: float  # transfer units of the drum
    load_temp: float  # [degC]
    rate: float  # [kg/s] evaporation
    exhaust_temp: float  # [degC]


class Sum(NamedTuple):
    """What the hand sum gives."""

    bulk: Bulk
    warm_up: float  # [s] lost to warming load and water
    bulk_time: float  # [s]
    tail_rates: tuple[float, float]  # [kg/s] half way down and at 4 %
    tail_time: float  # [s]

    @property
    def time(self) -> float:
        """Seconds from the start button to 4 %."""
        return IGNITER + self.warm_up + self.bulk_time + self.tail_time

    def gas(self, rate: float) -> float:
        """Gas [J] at a gross input [W]; none flows while the igniter warms up."""
        return rate * (self.time - IGNITER)


def saturation(t: float) -> float:
    """Humidity ratio of saturated air at `t` [degC], Hyland and Wexler as in ASHRAE Fundamentals ch. 1."""
    k = t + 273.15
    ln_p = (
        -5.8002206e3 / k + 1.3914993 - 4.8640239e-2 * k + 4.1764768e-5 * k**2 - 1.4452093e-8 * k**3
        + 6.5459673 * math.log(k)
    )  # fmt: skip
    p = math.exp(ln_p)
    return 0.621945 * p / (PRESSURE - p)


def dry_air(flow: float, exhaust_temp: float, exhaust_humidity: float) -> float:
    """Dry air [kg/s] in an exhaust volume flow [m3/s] at a temperature [degC] and humidity ratio."""
    return flow * PRESSURE / (287.055 * (exhaust_temp + 273.15) * (1.0 + 1.607858 * exhaust_humidity))


def activity(x: float, t: float) -> float:
    """Water activity of the blend at moisture `x`, `t` [degC]: cotton's isotherm at x over its share."""
    held = x / SORPTION_SHARE
    heat = 1030.9 * math.exp(-22.39 * held) / 0.4615
    shift = math.exp(heat * (1.0 / 297.15 - 1.0 / (t + 273.15)))
    return min(1.0, (1.0 - math.exp(-60.26 * held**1.664)) * shift)


def load_temp(inlet: float, humidity: float, units: float, wet: float, x: float, extra: float) -> float:
    """Temperature [degC] at which the heat the load takes up is what its water carries off."""

    def surplus(t: float) -> float:
        heat = 1006.0 * (1.0 + 1.85 * humidity) * (1.0 - math.exp(-0.91 * units)) * (inlet - t)
        lift = (1.0 - math.exp(-units * wet)) * (activity(x, t) * saturation(t) - humidity)
        return heat - (2.501e6 - 2.326e3 * t + extra) * lift

    low, high = 0.0, inlet
    for _ in range(60):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if surplus(middle) > 0.0 else (low, middle)
    return low


def bulk_drying(gas: float, room: float, room_humidity: float, flow: float) -> Bulk:
    """Steady state of bulk drying.

    Parameters
    ----------
    gas : gross input [W].
    room : temperature [degC] of the intake air.
    room_humidity : its humidity ratio.
    flow : exhaust at the collar [m3/s], as an anemometer gives it.
    """
    exhaust, exhaust_humidity = room + 25.0, room_humidity + 0.018
    for _ in range(3):  # the air's density follows from the answer; it settles at once
        blown = dry_air(flow, exhaust, exhaust_humidity)
        drum = blown * (1.0 - GASKET_SHARE)
        heat = SENSIBLE_SHARE * gas + MOTOR_HEAT
        humidity = room_humidity + WATER_FORMED * gas / drum
        inlet = room + heat / (drum * 1006.0 * (1.0 + 1.85 * humidity))
        units = 0.115 * (drum / 0.06) ** 0.6 / drum
        load = load_temp(inlet, humidity, units, 1.0, MOISTURES[0], 0.0)
        lift = (1.0 - math.exp(-units)) * (saturation(load) - humidity)
        out = load + (inlet - load) * math.exp(-0.91 * units)
        metal = (DRUM_LOSS * out + CABINET_LOSS * room) / (DRUM_LOSS + CABINET_LOSS)
        lost = CABINET_LOSS * (metal - room) / (blown * 1030.0)
        exhaust = out - GASKET_SHARE * (out - room) - lost
        exhaust_humidity = humidity + (1.0 - GASKET_SHARE) * lift
    return Bulk(drum, inlet, humidity, units, load, drum * lift, exhaust)


def in_the_tail(b: Bulk, x: float, extra: float) -> tuple[float, float]:
    """Load temperature [degC] and evaporation [kg/s] at moisture `x` below the critical one."""
    t = load_temp(b.inlet_temp, b.inlet_humidity, b.units, wetness(x), x, extra)
    lift = (1.0 - math.exp(-b.units * wetness(x))) * (activity(x, t) * saturation(t) - b.inlet_humidity)
    return t, b.drum_flow * lift


def by_hand(gas: float, room: float, room_humidity: float, flow: float, load_start: float) -> Sum:
    """Time to 4 %.

    Parameters
    ----------
    gas, room, room_humidity, flow : as in `bulk_drying`.
    load_start : temperature [degC] of the load at the start.
    """
    b = bulk_drying(gas, room, room_humidity, flow)
    start, critical, middle, dry = MOISTURES
    stored = MASS * (DRY_HEAT + start * WATER_HEAT) * (b.load_temp - load_start)
    _, half_way = in_the_tail(b, middle, 0.0)
    hot, last = in_the_tail(b, dry, SORPTION_HEAT)
    simpson = (critical - dry) * MASS / 6.0 * (1.0 / b.rate + 4.0 / half_way + 1.0 / last)
    warming = MASS * (DRY_HEAT + middle * WATER_HEAT) * (hot - b.load_temp)
    return Sum(
        b,
        stored / LATENT / b.rate,
        (start - critical) * MASS / b.rate,
        (half_way, last),
        simpson + warming / LATENT / half_way,
    )


def wetness(x: float) -> float:
    """Share of the surface that is still wet below the critical moisture."""
    return float(min(1.0, x / MOISTURES[1]) ** 0.7)
