"""Kinds of numbers: their units in SI, the trade's and metric ones, and how a unit ends a name."""

from __future__ import annotations

import re
from typing import NamedTuple


class Display(NamedTuple):
    """A unit as the units library spells it, as it is printed, and with how many decimals.

    Decimals below nought round to tens, hundreds and so on.
    """

    unit: str
    label: str
    decimals: int


class Kind(NamedTuple):
    """A kind of number: its SI unit, and how it is shown in the trade's units and in metric ones."""

    si_unit: str
    trade: Display
    metric: Display
    named: str = ""  # unit in the names that programs read, where it is not the trade's

    @property
    def name_unit(self) -> str:
        """Unit in the names that programs read."""
        return self.named or self.trade.unit


def _alike(si_unit: str, unit: str, decimals: int) -> Kind:
    """A kind that is shown in the same unit to everybody."""
    shown = Display(unit, unit, decimals)
    return Kind(si_unit, shown, shown)


KINDS: dict[str, Kind] = {
    "temperature": Kind("K", Display("degF", "degF", 0), Display("degC", "degC", 0)),
    "temperature difference": Kind("K", Display("delta_degF", "degF", 0), Display("delta_degC", "degC", 0)),
    "mass": Kind("kg", Display("lb", "lb", 2), Display("kg", "kg", 2)),
    "flow": Kind("m3/s", Display("cfm", "cfm", 0), Display("L/s", "L/s", 0)),
    "mass flow": Kind("kg/s", Display("lb/min", "lb/min", 3), Display("kg/s", "kg/s", 4)),
    "pressure": Kind("Pa", Display("inH2O", "in w.c.", 2), Display("Pa", "Pa", 0)),
    "power": Kind("W", Display("Btu/h", "Btu/h", 0), Display("kW", "kW", 2)),
    "electric power": _alike("W", "W", 0),
    "current": _alike("A", "A", 1),
    "energy": _alike("J", "kWh", 2),
    "gas energy": Kind("J", Display("Btu", "Btu", -2), Display("kWh", "kWh", 2), "kWh"),
    "energy per water": Kind("J/kg", Display("kWh/lb", "kWh/lb", 2), Display("kWh/kg", "kWh/kg", 2)),
    "time": _alike("s", "min", 1),
    "stretch": _alike("s", "s", 0),
    "share": _alike("", "%", 0),
    "moisture": _alike("", "%", 1),
    "ratio": _alike("", "", 1),
    "count": _alike("", "", 0),
    "switch": _alike("", "", 0),
    "gap": _alike("", "", 1),
    "money": _alike("", "", 2),
}
"""Every kind by its name. A switch is 0 or 1; money is in the scenario's own currency."""

_SPELLED = {"%": "percent", "inH2O": "inwc"}


def suffix(unit: str) -> str:
    """Unit as the end of a name.

    >>> suffix("J/(kg K)"), suffix("1/h"), suffix("%"), suffix("inH2O")
    ('J_per_kg_K', 'per_h', 'percent', 'inwc')
    """
    plain = _SPELLED.get(unit, unit).replace("1/", "per ").replace("/", " per ")
    return "_".join(re.sub(r"[()]", " ", plain).split())


_LABELS = {shown.unit: shown.label for kind in KINDS.values() for shown in (kind.trade, kind.metric)}


def label(unit: str) -> str:
    """Return a unit as it is printed.

    >>> label("inH2O"), label("delta_degF"), label("ft")
    ('in w.c.', 'degF', 'ft')
    """
    return _LABELS.get(unit, unit)


_METRIC = {kind.trade.unit: kind.metric.unit for kind in KINDS.values()} | {"fpm": "m/s", "ft": "m"}


def metric_unit(unit: str) -> str:
    """Return the metric unit of whatever the trade shows in a unit; the unit itself where it has no other.

    >>> metric_unit("inH2O"), metric_unit("Btu/h"), metric_unit("fpm"), metric_unit("min")
    ('Pa', 'kW', 'm/s', 'min')
    """
    return _METRIC.get(unit, unit)


def with_unit(name: str, unit: str) -> str:
    """Name of a number with its unit at the end; the bare name when there is none.

    >>> with_unit("exhaust_flow", "m3/s"), with_unit("burner_cycles", "")
    ('exhaust_flow_m3_per_s', 'burner_cycles')
    """
    return "_".join(part for part in (name, suffix(unit)) if part)
