"""A second engine for the same machine: scipy's integrator and scipy's event location.

It shares with the library the smooth right-hand side, :func:`derivatives`, and the settling of
contacts, :func:`settle`. Which thresholds are watched, where they are crossed, what a crossing does
and how steps are taken is written here again, on scipy.integrate.solve_ivp.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Literal, NamedTuple, TypeAlias

import numpy as np
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

from dryermodel.cycle.engine import state as Y
from dryermodel.cycle.engine import switching as S
from dryermodel.cycle.engine.constants import constants_of
from dryermodel.cycle.engine.equations import Drive, derivatives
from dryermodel.cycle.engine.parameters import Parameters
from dryermodel.physics.textile import Cloth, load_enthalpy

Method: TypeAlias = Literal["DOP853", "Radau"]

SCALE = np.array([*[1e5, 0.1] * 4, *[10.0] * 7, 1.0, 60.0, 0.01, 1e7, 1e6, 1.0, 1.0, 1.0, 1e6, 1e6, 1e6])
"""Typical size of each state's changes, for the absolute tolerance."""


MEAN_MOISTURE = -1
"""Stands for the load's mean moisture, which is no state of its own."""


class Switching(NamedTuple):
    """One located switching."""

    time: float
    what: str


class Watch(NamedTuple):
    """A threshold on one state."""

    what: str
    state: int
    level: float
    direction: float


class Run(NamedTuple):
    """What the second engine found."""

    switchings: list[Switching]
    end: float
    final: NDArray[np.float64]


def start(p: Parameters) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    """State at the press of the start button."""
    y = np.zeros(Y.N_STATES)
    for i, share in enumerate(p.piece_share):
        if share > 0.0:
            cloth = Cloth(
                share * p.dry_mass,
                p.piece_specific_heat[i],
                p.piece_sorption_share[i],
                p.piece_sorption_heat[i],
                p.piece_critical_moisture[i],
            )
            y[Y.LOAD_ENTHALPY + 2 * i] = load_enthalpy(p.load_temp, p.piece_moisture[i], cloth)
            y[Y.MOISTURE + 2 * i] = p.piece_moisture[i]
    y[Y.METAL_TEMP : Y.COIL_TEMP + 1] = p.room_temp
    y[Y.ROOM_HUMIDITY] = p.room_humidity_ratio
    s = np.zeros(S.N_DISCRETE, dtype=np.int64)
    s[[S.SUPPLY, S.DOOR, S.START, S.EXHAUST_THERMOSTAT, S.HIGH_LIMIT, S.THERMAL_CUTOFF]] = 1
    s[[S.FLAME_SENSOR, S.COIL_WHOLE]] = 1
    return y, s


def watches(s: NDArray[np.int64], p: Parameters, d: Drive, marked: bool) -> list[Watch]:
    """Thresholds that matter in this discrete state: a healthy machine without bias heater."""
    found = []
    if s[S.EXHAUST_THERMOSTAT]:
        found.append(Watch("thermostat", Y.EXHAUST_ELEMENT, p.cut_out, 1.0))
    else:
        found.append(Watch("thermostat", Y.EXHAUST_ELEMENT, p.cut_in, -1.0))
    if s[S.HIGH_LIMIT]:
        found.append(Watch("limit", Y.HIGH_LIMIT_ELEMENT, p.high_limit_cut_out, 1.0))
    else:
        found.append(Watch("limit", Y.HIGH_LIMIT_ELEMENT, p.high_limit_cut_in, -1.0))
    if s[S.THERMAL_CUTOFF]:
        found.append(Watch("cut-off", Y.CUTOFF_ELEMENT, p.thermal_cutoff, 1.0))
    if not marked:
        found.append(Watch("marked", MEAN_MOISTURE, p.marked_moisture, -1.0))
    if d.warmth_rate > 0.0:
        found.append(Watch("sensor", Y.SENSOR_WARMTH, 1.0, 1.0))
    elif d.warmth_rate < 0.0:
        found.append(Watch("sensor", Y.SENSOR_WARMTH, 0.0, -1.0))
    if d.dial_rate > 0.0:
        end = p.dial_heat + (p.dial_cool_down if s[S.STRETCH] == 1 else 0.0)
        found.append(Watch("dial", Y.DIAL, end, 1.0))
    return found


def at(w: Watch, y: NDArray[np.float64], p: Parameters) -> float:
    """What the threshold watches."""
    if w.state == MEAN_MOISTURE:
        return sum(share * float(y[Y.MOISTURE + 2 * i]) for i, share in enumerate(p.piece_share))
    return float(y[w.state])


def event(w: Watch, p: Parameters) -> Callable[[float, NDArray[np.float64]], float]:
    """The threshold as a function that solve_ivp watches."""

    def distance(_: float, y: NDArray[np.float64]) -> float:
        return at(w, y, p) - w.level

    found: Any = distance
    found.terminal, found.direction = True, w.direction
    return distance


def right_hand_side(p: Parameters, d: Drive) -> Callable[[float, NDArray[np.float64]], NDArray[np.float64]]:
    """The library's smooth equations in scipy's form."""
    c = constants_of(p)

    def f(_: float, y: NDArray[np.float64]) -> NDArray[np.float64]:
        rate = np.zeros(Y.N_STATES)
        derivatives(y, p, c, d, rate)
        return rate

    return f


def carry_out(w: Watch, y: NDArray[np.float64], s: NDArray[np.int64]) -> None:
    """What a crossing does to contacts and dial."""
    if w.state >= 0:
        y[w.state] = w.level
    if w.what == "thermostat":
        s[S.EXHAUST_THERMOSTAT] = 0 if w.direction > 0 else 1
    elif w.what == "limit":
        s[S.HIGH_LIMIT] = 0 if w.direction > 0 else 1
    elif w.what == "cut-off":
        s[S.THERMAL_CUTOFF] = 0
    elif w.what == "sensor":
        s[S.FLAME_SENSOR] = 0 if w.direction > 0 else 1
    elif w.what == "dial":
        s[S.STRETCH] += 1


def run(p: Parameters, method: Method = "DOP853", rtol: float = 1e-10) -> Run:
    """Run one undisturbed cycle of a healthy machine to the end of its dial."""
    y, s = start(p)
    t, marked = 0.0, False
    found: list[Switching] = []
    while True:
        d = S.settle(s, y, p)
        if s[S.STRETCH] == 2:
            return Run(found, t, y)
        active = watches(s, p, d, marked)
        leg = solve_ivp(
            right_hand_side(p, d),
            (t, p.time_limit),
            y,
            method=method,
            rtol=rtol,
            atol=rtol * SCALE,
            events=[event(w, p) for w in active],
            first_step=0.1,
            max_step=30.0,
        )
        t, y = float(leg.t[-1]), leg.y[:, -1].copy()
        assert leg.t_events is not None
        hits = [w for w, times in zip(active, leg.t_events, strict=True) if len(times)]
        if not hits:
            return Run([*found, Switching(t, "time limit")], t, y)
        before = s.copy()
        carry_out(hits[0], y, s)
        if hits[0].what == "marked" or (s != before).any():
            found.append(Switching(t, hits[0].what))
        marked = marked or hits[0].what == "marked"
