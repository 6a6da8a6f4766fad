"""The machine's wiring as a network of resistors and ideal contacts, solved by Kirchhoff's laws.

Written from the wiring in words and knowing nothing of the library's own reasoning: every contact
is an element of its own, every load a resistor, and one linear system (modified nodal analysis:
node voltages and contact currents) gives all voltages of many contact combinations at once.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from dryermodel.machine.circuit import Circuit, Contacts

Bools = NDArray[np.bool_]
Volts = NDArray[np.float64]

MOTOR_WINDING = 20.0  # ohm; drives nothing here but its own voltage
BIAS_HEATER = 6000.0  # ohm
TEST_LAMP = 1.0e6  # ohm, across the heat circuit: lit when heat is called, whatever the chain does
LEAK = 1.0e-15  # S from every node to neutral, so that a loose end is at zero volts and not undefined
BLOCK = 4096

NODES = (
    "plug", "inlet", "cam", "door", "winding", "heat cam", "chain top", "section end", "chain 1",
    "chain 2", "feed", "bias", "lower", "coil", "return", "return door",
)  # fmt: skip


class Voltages(NamedTuple):
    """Voltage across each load, for every combination."""

    motor: Volts
    timer: Volts
    bias: Volts
    holding: Volts
    igniter: Volts
    assist: Volts
    main_coil: Volts
    heater: Volts
    heat_circuit: Volts  # line side of the chain to the burner's return


def all_combinations() -> dict[str, Bools]:
    """Every combination of contacts, as one column of truth values a contact."""
    names = Contacts._fields
    number = np.arange(2 ** len(names))
    return {name: (number >> bit) % 2 == 1 for bit, name in enumerate(names)}


class _Network:
    """Collects elements of a batch of circuits that differ in their contacts only."""

    def __init__(self, size: int) -> None:
        self.size = size
        self.index = {name: i for i, name in enumerate(NODES)}
        self.resistors: list[tuple[str, str, float, Bools]] = []
        self.contacts: list[tuple[str, str, Bools]] = []

    def resistor(self, a: str, b: str, ohm: float, fitted: Bools | None = None) -> None:
        present = np.ones(self.size, dtype=bool) if fitted is None else fitted
        self.resistors.append((a, b, ohm, present))

    def contact(self, a: str, b: str, closed: Bools) -> None:
        self.contacts.append((a, b, closed))

    def solve(self, line_voltage: float) -> dict[str, Volts]:
        nodes, extra = len(NODES), len(self.contacts) + 1
        m = np.zeros((self.size, nodes + extra, nodes + extra))
        rhs = np.zeros((self.size, nodes + extra, 1))
        m[:, range(nodes), range(nodes)] = LEAK
        for a, b, ohm, fitted in self.resistors:
            self._stamp(m, a, b, fitted / ohm)
        for j, (a, b, closed) in enumerate(self.contacts, start=nodes):
            for name, sign in ((a, 1.0), (b, -1.0)):
                if name != "neutral":
                    i = self.index[name]
                    m[:, i, j] = sign  # its current leaves one node and enters the other
                    m[:, j, i] = sign * closed  # closed: both ends at one voltage
            m[:, j, j] = np.where(closed, 0.0, 1.0)  # open: no current
        source, plug = nodes + extra - 1, self.index["plug"]
        m[:, plug, source] = m[:, source, plug] = 1.0
        rhs[:, source, 0] = line_voltage
        v: Volts = np.asarray(np.linalg.solve(m, rhs)[:, :, 0], dtype=np.float64)
        found: dict[str, Volts] = {name: v[:, i] for name, i in self.index.items()}
        found["neutral"] = np.zeros(self.size)
        return found

    def _stamp(self, m: Volts, a: str, b: str, conductance: Volts) -> None:
        for name, other in ((a, b), (b, a)):
            if name == "neutral":
                continue
            i = self.index[name]
            m[:, i, i] += conductance
            if other != "neutral":
                m[:, i, self.index[other]] -= conductance


def analyse(columns: dict[str, Bools], k: Circuit) -> Voltages:
    """Voltages across the loads for each row of contacts; block by block to keep memory small."""
    total = len(next(iter(columns.values())))
    parts = [
        _analyse({name: column[i : i + BLOCK] for name, column in columns.items()}, k)
        for i in range(0, total, BLOCK)
    ]
    return Voltages(*(np.concatenate(part) for part in zip(*parts, strict=True)))


def _analyse(c: dict[str, Bools], k: Circuit) -> Voltages:
    net = _Network(len(c["supply"]))
    # feed, motor with its start button and the centrifugal contact that holds it
    net.contact("plug", "inlet", c["supply"])
    net.contact("inlet", "cam", c["timer_main"])
    net.contact("cam", "door", c["door"])
    net.contact("door", "winding", c["start"] | c["centrifugal"])
    net.resistor("winding", "neutral", MOTOR_WINDING)
    # common return of heat circuit and timer motor: a second pole of door and centrifugal contact
    net.contact("return", "return door", c["door"])
    net.contact("return door", "neutral", c["centrifugal"])
    # heat circuit down to the chain
    net.contact("cam", "heat cam", c["timer_heat"])
    net.contact("heat cam", "chain top", c["heat_select"])
    net.contact("chain top", "bias", c["low_heat"])
    net.resistor("bias", "return", BIAS_HEATER)
    net.resistor("chain top", "return", TEST_LAMP)
    _chain(net, c, k.whole_chain)
    _timer_motor(net, c, k)
    lower, feed = _burner(net, c, k)
    v = net.solve(k.line_voltage)
    in_series = c["automatic"] & ~c["timer_direct"]
    timer = np.where(in_series, v["chain top"] - v["section end"], 0.0)
    timer = np.where(c["timer_direct"], v["cam"] - v["return"], timer)
    gas = k.heater <= 0.0
    burner = v[feed] - v["return"]
    nothing = np.zeros_like(burner)
    return Voltages(
        v["winding"],
        timer,
        v["bias"] - v["return"],
        burner if gas else nothing,
        v[lower] - v["return"] if gas else nothing,
        v[lower] - v["return"] if gas else nothing,
        v["coil"] - v[lower] if gas else nothing,
        nothing if gas else burner,
        v["chain top"] - v["return"],
    )


def _chain(net: _Network, c: dict[str, Bools], whole: bool) -> None:
    """Thermostat, limit and cut-off in series; the timer motor spans the first or all three."""
    if whole:
        order: Sequence[str] = ("chain top", "chain 1", "chain 2", "section end", "feed")
        closed = [
            c["exhaust_thermostat"],
            c["high_limit"],
            c["thermal_cutoff"],
            np.ones(net.size, dtype=bool),
        ]
    else:
        order = ("chain top", "section end", "chain 1", "feed")
        closed = [c["exhaust_thermostat"], c["high_limit"], c["thermal_cutoff"]]
    for a, b, contact in zip(order, order[1:], closed, strict=False):
        net.contact(a, b, contact)


def _timer_motor(net: _Network, c: dict[str, Bools], k: Circuit) -> None:
    """A change-over on the cam: across the section in auto, or straight from line to return."""
    net.resistor("chain top", "section end", k.timer, c["automatic"] & ~c["timer_direct"])
    net.resistor("cam", "return", k.timer, c["timer_direct"])


def _burner(net: _Network, c: dict[str, Bools], k: Circuit) -> tuple[str, str]:
    if k.heater > 0.0:
        net.resistor("feed", "return", k.heater)
        return "lower", "feed"
    net.resistor("feed", "return", k.holding)
    net.contact("feed", "lower", c["flame_sensor"])
    net.resistor("lower", "return", k.igniter)
    net.resistor("lower", "return", k.assist)
    net.contact("feed", "coil", c["main_coil_whole"])
    net.resistor("coil", "lower", k.main_coil)
    return "lower", "feed"
