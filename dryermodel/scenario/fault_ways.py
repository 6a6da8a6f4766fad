"""What can be measured of a fault in place of its own quantity: the static at the collar, the clocked gas.

Each way is a reading that the faulty machine would show; which severity shows it is then looked for with a
root finder on the very machine, its other faults included, since a static of 1.1 in w.c. is another
blockage behind a strong blower than behind a weak one.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import TYPE_CHECKING, NamedTuple

from dryermodel.cycle.engine.parameters import Parameters
from dryermodel.cycle.engine.state import start_moisture
from dryermodel.errors import InputError
from dryermodel.physics.moist_air import relative_humidity
from dryermodel.readings.collar import at_collar
from dryermodel.scenario.convert import manifold_pressure, without_faults
from dryermodel.scenario.faults import OPTION, Fault, apply_faults, find_fault

if TYPE_CHECKING:
    from dryermodel.scenario.schema import ScenarioModel


NO_GAS = 1.0e-9
"""Gas input [W] that stands for none, so that a share of it can be formed."""


class Machine(NamedTuple):
    """What a reading is taken from."""

    model: ScenarioModel
    sound: Parameters  # without the fault in question, with all others
    faulty: Parameters


class Way(NamedTuple):
    """One thing to measure."""

    word: str  # that may stand before the quantity
    kind: str  # of `units`
    unit: str  # its range is told in
    what: str
    example: str
    read: Callable[[Machine], float]
    needs_word: bool = False  # the quantity alone would be taken for the fault's own


class Measured(NamedTuple):
    """A reading as written."""

    word: str
    value: float  # [SI]


def _static(m: Machine) -> float:
    return at_collar(m.faulty).static


def _manifold(m: Machine) -> float:
    return manifold_pressure(m.model) * (m.faulty.firing_rate / max(m.sound.firing_rate, NO_GAS)) ** 2


def _supply(m: Machine) -> float:
    return _manifold(m) + m.model.gas.regulator_drop


def _field(name: str) -> Callable[[Machine], float]:
    return lambda m: float(getattr(m.faulty, name))


def _humidity(m: Machine) -> float:
    return relative_humidity(m.faulty.room_temp, m.faulty.room_humidity_ratio, m.faulty.pressure)


STATIC = Way(
    "static",
    "pressure",
    "inH2O",
    "static at the collar, heat off, clean screen",
    "static 1.1 in w.c.",
    _static,
)
_LOW_STATIC = STATIC._replace(example="static 0.3 in w.c.")
_CLOCKED = Way(
    "clocked", "power", "Btu/h", "gas input by the meter", "clocked 17600 Btu/h", _field("firing_rate")
)
_MANIFOLD = Way(
    "manifold", "pressure", "inH2O", "manifold pressure, burner on", "manifold 2.4 in w.c.", _manifold
)
_SUPPLY = Way("supply", "pressure", "inH2O", "supply pressure, burner on", "supply 2 in w.c.", _supply)
_OPENS = Way(
    "opens", "temperature", "degF", "temperature at which it opens", "opens 140 degF", _field("cut_out"), True
)

WAYS: Mapping[str, tuple[Way, ...]] = {
    "vent_blockage": (STATIC,),
    "vent_flap_stuck": (STATIC,),
    "vent_crushed": (STATIC._replace(example="static 0.8 in w.c."),),
    "vent_joint_leak": (_LOW_STATIC,),
    "lint_screen_blocked": (_LOW_STATIC,),
    "housing_silted": (_LOW_STATIC._replace(example="static 0.5 in w.c."),),
    "blower_wheel_caked": (_LOW_STATIC,),
    "weak_burner": (_MANIFOLD, _CLOCKED),
    "wrong_orifice": (_CLOCKED._replace(example="clocked 28000 Btu/h"),),
    "low_supply_pressure": (_SUPPLY, _CLOCKED),
    "igniter_slow": (
        Way("lights", "time", "s", "heat call to flame", "lights 75 s", _field("igniter_warm_up"), True),
    ),
    "thermostat_drift": (_OPENS,),
    "thermostat_drift_high": (_OPENS._replace(example="opens 170 degF"),),
    "high_limit_weak": (_OPENS._replace(example="opens 195 degF", read=_field("high_limit_cut_out")),),
    "low_line_voltage": (
        Way("running", "voltage", "V", "voltage at the running machine", "102 V", _field("line_voltage")),
    ),
    "drum_drags": (
        Way("motor", "power", "W", "motor power at the plug, heat off", "motor 350 W", _field("motor_power")),
    ),
    "overload": (Way("load", "mass", "lb", "bone-dry load", "load 14 lb", _field("dry_mass")),),
    "wash_spin_poor": (
        Way("moisture", "fraction", "%", "moisture from the washer", "moisture 90 %",
            lambda m: start_moisture(m.faulty), True),
    ),
    "cold_makeup_air": (
        Way("intake", "temperature", "degF", "temperature of the intake air", "intake 40 degF",
            _field("room_temp"), True),
    ),
    "humid_room": (
        Way("room", "fraction", "%", "relative humidity of the room", "room 80 %", _humidity, True),
    ),
}  # fmt: skip
"""The faults that have one, by key; the first of a kind is meant when no word says which."""


def ways_of(key: str) -> tuple[Way, ...]:
    """Return what can be measured of a fault, nothing for most."""
    return WAYS.get(key, ())


def read_measured(fault: Fault, text: str) -> Measured | None:
    """Return what a text says was measured, or None if it is the fault's own quantity.

    Parameters
    ----------
    fault : Fault
        Of the catalogue.
    text : str
        Such as ``static 1.1 in w.c.`` or ``1.1 in w.c.``.

    >>> read_measured(find_fault("vent_blockage"), "1 in w.c.").word
    'static'
    >>> read_measured(find_fault("vent_blockage"), "50 %")
    """
    from dryermodel import units

    first, _, rest = text.partition(" ")
    for way in ways_of(fault.key):
        if first.lower() == way.word:
            try:
                return Measured(way.word, units.parse(rest, way.kind))
            except ValueError as problem:
                raise InputError(f"{way.word} {problem}", OPTION, fault.key) from problem
    return next(_by_kind(fault, text), None)


def _by_kind(fault: Fault, text: str) -> Iterator[Measured]:
    from dryermodel import units

    for way in ways_of(fault.key):
        if way.needs_word or way.kind == fault.kind:
            continue
        try:
            yield Measured(way.word, units.parse(text, way.kind))
        except ValueError:
            continue


def way_of(fault: Fault, word: str) -> Way:
    """Return one of a fault's ways by its word."""
    return next(way for way in ways_of(fault.key) if way.word == word)


def resolve(model: ScenarioModel, known: Mapping[str, float], key: str, measured: Measured) -> float:
    """Return the severity [1] at which the machine shows a reading.

    Parameters
    ----------
    model : ScenarioModel
        The machine.
    known : mapping of str to float
        Severities of its other faults.
    key : str
        The fault.
    measured : Measured
        The reading.

    Raises
    ------
    InputError
        No severity from 0 to 1 shows it; the message says what can be reached.
    """
    from scipy.optimize import brentq

    fault, base = find_fault(key), without_faults(model)
    way = way_of(fault, measured.word)
    sound = apply_faults(base, known)

    def above(severity: float) -> float:
        faulty = apply_faults(base, {**known, key: severity})
        return way.read(Machine(model, sound, faulty)) - measured.value

    ends = above(0.0), above(1.0)
    if min(ends) > 0.0 or max(ends) < 0.0:
        raise InputError(_out_of_reach(fault, way, measured.value, ends), OPTION, key)
    return float(brentq(above, 0.0, 1.0, xtol=1e-12, rtol=1e-12))


def _out_of_reach(fault: Fault, way: Way, value: float, ends: tuple[float, float]) -> str:
    from dryermodel import units

    def say(amount: float) -> str:
        number = float(f"{units.convert(amount, way.unit):.3g}")
        return f"{number:g} {way.unit}".replace("inH2O", "in w.c.")

    return (
        f"{way.what}: {say(value)} is out of its reach on this machine, which shows {say(value + ends[0])} "
        f"without it and {say(value + ends[1])} at its worst ({fault.said(1.0)} {fault.quantity})"
    )
