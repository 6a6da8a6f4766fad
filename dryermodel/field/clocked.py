"""The gas input that a clocked meter gives: the size of its test dial, and the time of its turns."""

from __future__ import annotations

import math
import re
from typing import TYPE_CHECKING

from dryermodel import units
from dryermodel.bench.gas import READING_ERROR, MeterReading, clocked_rate
from dryermodel.field.measurements import Measurement
from dryermodel.scenario.convert import supplied_gas

if TYPE_CHECKING:
    from dryermodel.scenario.model import Scenario

GAS_INPUT = "gas input"
"""The measurement that a clocked meter gives."""

DIAL = (units.parse("0.01 ft3", "volume"), units.parse("100 ft3", "volume"))
TIME = (1.0, 7200.0)
"""Admissible sizes of a test dial [m3] and times of its turns [s]."""

CLOCKED = re.compile(r"(?P<dial>.+?)\s+in\s+(?P<seconds>[\d:.]+.*?)(?:,?\s+(?P<turns>\d+)\s*turns?)?", re.I)
"""A clocked meter as a person says it, such as ``1/2 ft3 in 82 s, 2 turns``."""

HOW = "clocked, it needs the size of the test dial and the time of its turns: 'gas input=1/2 ft3 in 82 s'"
"""What is said to whoever gives only one of the two."""


def heating_value_of(scenario: Scenario) -> float:
    """Return the heating value of the gas that a machine is fed with [J/m3]."""
    return supplied_gas(scenario.model).heating_value


def clocked_input(
    kind: Measurement, dial: float, time: float, turns: int, heating_value: float
) -> tuple[float, float]:
    """Return the input of a clocked meter and its standard deviation [W].

    Parameters
    ----------
    kind : Measurement
        Of the gas input, whose table gives the error that the meter and the gas have.
    dial : float
        Size of the test dial [m3].
    time : float
        Of all turns together [s]; read as well as a stop watch is by hand.
    turns : int
    heating_value : float
        Of the gas [J/m3].
    """
    rate = clocked_rate(MeterReading(dial, time, turns, heating_value))
    return rate, math.hypot(kind.accuracy, kind.relative * rate, rate * READING_ERROR / time)
