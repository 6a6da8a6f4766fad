"""The fault catalogue: what can be wrong, how bad, and how that moves the parameters.

A fault moves physical parameters, never the answer. Its severity runs from 0 (none) to 1 (the worst
the model goes to) and stands for a physical quantity, so that half an ``outlet_gasket_leak`` is 20 cm2.
What a person may write is in `fault_text`, the words and the numbers are in ``faults.toml``, the moves in
`fault_moves`. The ranges are assumed: they span what may be met and say nothing about how often.
"""

from __future__ import annotations

import math
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from numbers import Real
from pathlib import Path
from types import MappingProxyType

from dryermodel.cycle.engine.parameters import ELECTRIC_HEAT, NEVER, Parameters
from dryermodel.errors import InputError, did_you_mean
from dryermodel.scenario.fault_moves import MOVES

GRADED, ON_OFF = "graded", "on/off"
"""Kinds of severity: anything from 0 to 1, or only one of the two."""

RANGE_STATUS = "assumed"
"""Status of every severity range of the catalogue."""

OPTION = "fault"
"""How messages about a fault given as text begin."""


@dataclass(frozen=True)
class Fault:
    """One entry of the catalogue.

    Attributes
    ----------
    key, title : str
        Name in options and files; name for people.
    place : str
        ``dryer``, ``vent``, ``gas supply``, ``power supply``, ``load`` or ``room``.
    moves, scenario_keys : tuple of str
        Fields of `Parameters` it moves; the keys of a scenario file that say the same.
    severity : str
        `GRADED` or `ON_OFF`.
    quantity, kind : str
        What severity means physically, and its kind of quantity in `units`; no kind if on/off.
    at_0, at_half, at_1 : str
        The quantity at severity 0, 0.5 and 1, with its unit.
    law : str
        ``linear`` in the quantity, or ``reciprocal``: linear in one over it.
    rule : str
        How the quantity moves the parameters, in words.
    effect, customer_says, confirms, remedy, caution : str
        What it does to the machine, and the technician's words.
    measure : tuple of str
        What to measure.
    licensed : bool
        Work on the gas train that needs a licensed person where local rules say so.
    dryer_at_fault : bool
        False when the dryer is fine and something around it is not.
    gas_only : bool
        Has no meaning for an electric heater.
    also : tuple of str
        Other words of the trade and of customers for it.
    danger : str
        What can hurt someone while it stays, empty for most.
    """

    key: str
    title: str
    place: str
    moves: tuple[str, ...]
    scenario_keys: tuple[str, ...]
    severity: str
    quantity: str
    kind: str
    at_0: str
    at_half: str
    at_1: str
    law: str
    rule: str
    effect: str
    customer_says: str
    measure: tuple[str, ...]
    confirms: str
    remedy: str
    caution: str
    licensed: bool
    dryer_at_fault: bool
    gas_only: bool
    also: tuple[str, ...] = ()
    danger: str = ""

    @property
    def graded(self) -> bool:
        """Whether any severity from 0 to 1 has a meaning."""
        return self.severity == GRADED

    @property
    def unit(self) -> str:
        """Unit the quantity is written in, empty for an on/off fault."""
        return self.at_1.partition(" ")[2] if self.graded else ""

    def meets(self, parameters: Parameters) -> bool:
        """Return whether the fault has a meaning for this machine."""
        return not (self.gas_only and parameters.heat_source == ELECTRIC_HEAT)

    def amount(self, severity: float) -> float:
        """Return the physical quantity [SI] at a severity [1]; 1 for an on/off fault that is there."""
        if not self.graded:
            return severity
        low, high = _ends(self.key)
        if self.law == "reciprocal":
            return high / severity if severity > 0.0 else NEVER
        return low + severity * (high - low)

    def severity_at(self, amount: float) -> float:
        """Return the severity [1] that stands for a physical quantity [SI], unclipped."""
        low, high = _ends(self.key)
        if self.law == "reciprocal":
            return high / amount if amount > 0.0 else math.inf
        return (amount - low) / (high - low)

    def said(self, severity: float) -> str:
        """Return what a severity means as it is printed, to four digits.

        >>> catalogue()["thermostat_drift"].said(1.0 / 3.0), catalogue()["igniter_open"].said(1.0)
        ('10 degF', 'open')
        """
        text = self.at(severity)
        if self.graded and text != self.at_0:
            from dryermodel import units

            text = units.format(self.amount(severity), self.unit, 4)
        return text.replace("delta_deg", "deg").replace("inH2O", "in w.c.")

    def at(self, severity: float) -> str:
        """Return what a severity means, as text with its unit.

        >>> catalogue()["outlet_gasket_leak"].at(0.25)
        '10 cm2'
        >>> catalogue()["igniter_open"].at(1.0)
        'open'
        """
        if severity == 0.0 or not self.graded:
            return self.at_1 if severity else self.at_0
        from dryermodel import units

        return units.format(self.amount(severity), self.unit)


@cache
def _ends(key: str) -> tuple[float, float]:
    """Return the quantity [SI] at severity 0 and 1."""
    from dryermodel import units

    fault = catalogue()[key]
    low = NEVER if fault.at_0 == "never" else units.parse(fault.at_0, fault.kind)
    return low, units.parse(fault.at_1, fault.kind)


def _within(fault: Fault) -> tuple[float, float]:
    """Return the least and greatest quantity [SI] a graded fault admits."""
    low, high = sorted(_ends(fault.key))
    return low, high


def _entry(key: str, raw: Mapping[str, object]) -> Fault:
    fields = {name: tuple(value) if isinstance(value, list) else value for name, value in raw.items()}
    return Fault(key=key, **fields)  # type: ignore[arg-type]


@cache
def catalogue() -> Mapping[str, Fault]:
    """Return every fault by its key, in the order of ``faults.toml``.

    >>> catalogue()["vent_blockage"].quantity
    "blocked share of the duct's area"
    """
    text = Path(__file__).with_name("faults.toml").read_text(encoding="utf-8")
    return MappingProxyType({key: _entry(key, raw) for key, raw in tomllib.loads(text).items()})


def find_fault(key: str) -> Fault:
    """Return the fault of a key, or raise InputError with the nearest keys.

    >>> find_fault("thermal_fuse")
    Traceback (most recent call last):
    dryermodel.errors.InputError: fault: thermal_fuse: unknown fault (did you mean thermal_cutoff_open?)
    """
    fault = catalogue().get(key)
    if fault is None:
        raise InputError(f"unknown fault{_near(key)}", OPTION, key)
    return fault


def _near(key: str) -> str:
    """Return which faults may be meant: by spelling, or by a name that the trade has for them."""
    from dryermodel.scenario.fault_search import by_other_names

    if near := did_you_mean(key, catalogue()):
        return near
    others = by_other_names(key)
    return f" (did you mean {', '.join(others)}?)" if others else f"; faults: {', '.join(catalogue())}"


def check_severity(fault: Fault, severity: float) -> float:
    """Return the severity as a float; raise InputError unless it has a meaning for this fault."""
    number = isinstance(severity, Real) and math.isfinite(severity)
    if not number or not 0.0 <= severity <= 1.0:
        scale = f", that is {fault.at_0} to {fault.at_1} {fault.quantity}" if fault.graded else ""
        raise InputError(f"severity is {severity}, outside the allowed 0 to 1{scale}", OPTION, fault.key)
    if not fault.graded and severity not in (0.0, 1.0):
        words = f"0 ({fault.at_0}) or 1 ({fault.at_1})"
        raise InputError(f"severity is {severity}; it is on/off: {words}", OPTION, fault.key)
    return float(severity)


_OPPOSITES = (
    ("thermostat_stuck_closed", "thermostat_stuck_open"),
    ("thermostat_drift", "thermostat_drift_high"),
    ("flame_sensor_stuck_closed", "flame_sensor_stuck_open"),
)


def _check_together(present: Mapping[str, float]) -> None:
    for one, other in _OPPOSITES:
        if one in present and other in present:
            raise InputError(f"cannot be together with {other}", OPTION, one)


def apply_faults(parameters: Parameters, faults: Mapping[str, float]) -> Parameters:
    """Return the parameters of the machine with these faults.

    Faults combine: shares and resistances multiply, leak areas, times and temperatures add. They are
    applied in the fixed order of `MOVES`, so the order they are given in does not matter. A drum
    that stands still or a stuck contact wins over its graded cousin.

    Parameters
    ----------
    parameters : Parameters
        Those of the machine without them.
    faults : mapping of str to float
        Severity [1] of each fault by its key, 0 to 1.

    Returns
    -------
    NamedTuple of type `Parameters`
        Equal to `parameters` bit for bit when every severity is 0.

    Raises
    ------
    InputError
        Unknown key, severity outside its range, two that exclude each other, or a gas fault on an
        electric machine.
    """
    present = {key: s for key, given in faults.items() if (s := check_severity(find_fault(key), given))}
    _check_together(present)
    for key, move in MOVES.items():
        if key in present:
            fault = find_fault(key)
            if not fault.meets(parameters):
                raise InputError("has no meaning when machine.heat = 'electric'", OPTION, key)
            parameters = parameters._replace(**move(parameters, fault.amount(present[key])))
    return parameters
