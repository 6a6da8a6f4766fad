"""Combinations that cannot be, though each value alone is admissible."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import NamedTuple

from dryermodel import units
from dryermodel.cycle.engine.parameters import NEVER
from dryermodel.errors import InputError
from dryermodel.scenario.schema import ScenarioModel

ELECTRIC_ONLY = ("burner.heater_power",)

PRICES = ("costs.gas_price", "costs.electricity_price")

LEAST_DIFFERENTIAL = 2.0 / 1.8
"""Least distance of two set points of one switch [K]: 2 degF. Closer, it would switch without end."""

EXCLUSIVE = (("room.pressure", "room.altitude"), ("burner.orifice", "burner.firing_rate"))
"""Pairs that say the same thing in two ways: while the first is given, the second has no effect."""

_CODE = re.compile(r"[A-Za-z]{3,}")


class Given(NamedTuple):
    """Who set a key: a label, and the layer's rank (0 is the defaults)."""

    label: str
    rank: int


class Conflict(NamedTuple):
    """A contradiction: what it is, and the keys that take part in it."""

    message: str
    keys: tuple[str, ...]


def _degF(kelvin: float) -> str:
    return "never" if kelvin >= NEVER else units.format(kelvin, "degF")


def _must_be_below(
    lower: tuple[str, float], upper: tuple[str, float], why: str, gap: float = 0.0
) -> Conflict | None:
    """Return a conflict unless the first temperature is below the second, by a gap [K] if one is given."""
    (low_key, low), (high_key, high) = lower, upper
    rounding = 1e-9  # a differential written as exactly the least one is admitted
    if low < high and high - low >= gap - rounding:
        return None
    by = f" by {gap * 1.8:g} degF or more" if gap else ""
    message = f"{low_key} ({_degF(low)}) must be below {high_key} ({_degF(high)}){by}: {why}"
    return Conflict(message, (low_key, high_key))


def _must_differ(lower: tuple[str, float], upper: tuple[str, float], why: str) -> Conflict | None:
    """Return a conflict unless the lower set point of a switch is far enough below the upper."""
    return _must_be_below(lower, upper, why, LEAST_DIFFERENTIAL)


def _exhaust_order(model: ScenarioModel) -> Conflict | None:
    m = model.machine
    lower = ("machine.exhaust_cut_in", m.exhaust_cut_in)
    upper = ("machine.exhaust_cut_out", m.exhaust_cut_out)
    return _must_differ(lower, upper, "it opens hot and closes cooler")


def _high_limit_order(model: ScenarioModel) -> Conflict | None:
    m = model.machine
    lower = ("machine.high_limit_cut_in", m.high_limit_cut_in)
    upper = ("machine.high_limit_cut_out", m.high_limit_cut_out)
    return _must_differ(lower, upper, "it opens hot and closes cooler")


def _cutoff_order(model: ScenarioModel) -> Conflict | None:
    m = model.machine
    lower = ("machine.high_limit_cut_out", m.high_limit_cut_out)
    upper = ("machine.thermal_cutoff", m.thermal_cutoff)
    return _must_be_below(lower, upper, "else the one-shot cut-off blows before the limit opens")


def _coil_order(model: ScenarioModel) -> Conflict | None:
    burner = model.burner
    if burner.coil_opens >= NEVER:
        return None
    lower, upper = ("burner.coil_recloses", burner.coil_recloses), ("burner.coil_opens", burner.coil_opens)
    return _must_differ(lower, upper, "a failing coil opens hot and recloses cooler")


def _low_heat(model: ScenarioModel) -> Conflict | None:
    if model.controls.heat == "high" or model.controls.program != "auto" or model.machine.low_heat_in_auto:
        return None
    message = (
        "controls.heat = 'low' in auto needs machine.low_heat_in_auto = true: this wiring has no parts for it"
    )
    return Conflict(message, ("controls.heat", "controls.program", "machine.low_heat_in_auto"))


def _stop(model: ScenarioModel) -> Conflict | None:
    stop, start = model.controls.stop_at_moisture, model.load.initial_moisture
    if stop is None or stop < start:
        return None
    return Conflict(
        f"controls.stop_at_moisture ({units.format(stop, '%')}) must be below load.initial_moisture "
        f"({units.format(start, '%')}): the load would be that dry before it begins",
        ("controls.stop_at_moisture", "load.initial_moisture"),
    )


def _custom_gas(model: ScenarioModel) -> Conflict | None:
    missing = [name for name, value in model.gas if value is None]
    if model.gas.kind != "custom" or not missing:
        return None
    return Conflict(f"gas.{missing[0]} must be given when gas.kind = 'custom'", ("gas.kind",))


_CHECKS: tuple[Callable[[ScenarioModel], Conflict | None], ...] = (
    _exhaust_order,
    _high_limit_order,
    _cutoff_order,
    _coil_order,
    _low_heat,
    _stop,
    _custom_gas,
)


def _heat_source(model: ScenarioModel, given: Mapping[str, Given]) -> Conflict | None:
    """Return a conflict if a key of the other heat source is given with, or after, `machine.heat`.

    A file that extends a gas machine and makes it electric may inherit gas values; they are then
    without effect. Writing one beside ``heat = "electric"`` is a contradiction.
    """
    heat, rank = model.machine.heat, given["machine.heat"].rank
    for key, who in given.items():
        if who.rank > 0 and who.rank >= rank and _of_other_source(key, heat):
            return Conflict(f"has no meaning when machine.heat = '{heat}'", (key,))
    return None


def _said_twice(model: ScenarioModel, given: Mapping[str, Given]) -> Conflict | None:
    """Return a conflict if one thing is given in two ways at once, or the one without effect later."""
    values = {"room.pressure": model.room.pressure, "burner.orifice": model.burner.orifice}
    for first, second in EXCLUSIVE:
        if values[first] is not None and 0 < given[first].rank <= given[second].rank:
            return Conflict(f"{second} has no effect beside {first}; give one of the two", (first, second))
    return None


def _of_other_source(key: str, heat: str) -> bool:
    if heat == "gas":
        return key in ELECTRIC_ONLY
    return key.split(".")[0] in ("gas", "burner") and key not in ELECTRIC_ONLY


def check_currency(texts: Mapping[str, object], given: Mapping[str, Given]) -> None:
    """Raise InputError if a price a person wrote names another currency than `costs.currency`."""
    currency = str(texts["costs.currency"])
    for key in PRICES:
        code = _CODE.search(str(texts[key]))
        if given[key].rank > 0 and code and code[0].upper() not in (currency, "MONEY"):
            message = f"is in {code[0]}, but costs.currency is '{currency}'; nothing is exchanged"
            raise InputError(message, given[key].label, key)


def check(model: ScenarioModel, given: Mapping[str, Given]) -> None:
    """Raise InputError at the first combination that cannot be.

    It is reported where the last of its keys was set: that is what the person can change.
    """
    conflicts = (rule(model) for rule in _CHECKS)
    conflict = next(filter(None, conflicts), None) or _heat_source(model, given)
    conflict = conflict or _said_twice(model, given)
    if conflict is not None:
        key = max(conflict.keys, key=lambda name: given[name].rank)
        raise InputError(conflict.message, given[key].label, key)
