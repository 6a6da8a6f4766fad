"""Before and after on the same load: what was measured beside what the model says, and what it saves."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from dryermodel.bench.costs import cost, tariff
from dryermodel.field.evidence import said
from dryermodel.field.measurements import DIFFERENCES
from dryermodel.inference.bank import LONGEST
from dryermodel.inference.diagnosis import Interval
from dryermodel.inference.gains import interval
from dryermodel.inference.likelihood import number_of, spread
from dryermodel.kinds import label, metric_unit
from dryermodel.show.pages.report.words import measurement_name
from dryermodel.units import convert, digits

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    from dryermodel.bench.costs import Tariff
    from dryermodel.field.evidence import Measured, Seen
    from dryermodel.inference.gains import Mending
    from dryermodel.scenario.model import Scenario

    Array = NDArray[np.float64]

CORE = {
    "cycle_time": ("cycle time", "min"),
    "gas_energy": ("gas used", "Btu"),
    "electric_energy": ("electricity used", "kWh"),
    "final_moisture": ("final moisture", "%"),
}
"""Numbers that every comparison has: what they are called as measurements, and their unit."""


def core_unit(number: str, si: bool) -> str:
    """Return the unit of a number of `CORE`, the trade's or the metric one.

    >>> core_unit("gas_energy", False), core_unit("gas_energy", True)
    ('Btu', 'kWh')
    """
    unit = CORE[number][1]
    return metric_unit(unit) if si else unit


ROOM = ("room temperature", "room humidity")
"""Measurements of the room, which no work changes."""

APART = 2.0
"""Standard deviations of a reading and of the model beyond which it is told to be off what was expected."""


class Row(NamedTuple):
    """One quantity, as text; empty where it was not measured or the model has none."""

    name: str
    measured_before: str
    modelled_before: str
    measured_after: str
    modelled_after: str
    verdict: str  # of the reading afterwards


class Saved(NamedTuple):
    """What is saved of one thing, as text."""

    name: str
    load: str
    year: str


def rows(
    before: Sequence[Measured],
    after: Sequence[Measured],
    mending: Mending | None,
    reader: str,
    si: bool = False,
) -> list[Row]:
    """Return a row for each thing that was measured afterwards, and for time, energies and moisture.

    Parameters
    ----------
    before, after : sequence of Measured
        Before and after the work.
    mending : Mending or None
        Machines before and after it.
    reader : str
        For whom.
    si : bool
        What was not measured in metric units; what was is shown in its own.
    """
    first, then = ({m.number: m for m in found} for found in (before, after))
    core = [number for number in CORE if mending is not None or number in then]
    core = [number for number in core if number in then or number in first or not _never(number, mending)]
    others = [m.number for m in after if m.name not in ROOM and m.number not in CORE]
    return [_row(n, first.get(n), then.get(n), mending, reader, si) for n in core + others]


def answer_rows(before: Sequence[Seen], after: Sequence[Seen]) -> list[Row]:
    """Return a row for each question that was answered again afterwards.

    >>> from dryermodel.field.evidence import gather
    >>> before, after = (gather([], [f"weak air at the hood={said}"]).seen for said in ("yes", "no"))
    >>> answer_rows(before, after)[0][:4]
    ('weak air at the hood', 'yes', '', 'no')
    """
    words = {True: "yes", False: "no"}
    first = {one.name: words[one.yes] for one in before}
    return [Row(one.name, first.get(one.name, ""), "", words[one.yes], "", "") for one in after]


def _never(number: str, mending: Mending | None) -> bool:
    """Whether no machine has any of it, such as gas where the heat is electric."""
    return mending is not None and not any(np.any(side[number]) for side in (mending.before, mending.after))


def _row(
    number: str,
    before: Measured | None,
    after: Measured | None,
    mending: Mending | None,
    reader: str,
    si: bool,
) -> Row:
    one = after or before
    name, unit = (one.name, one.measurement.unit) if one is not None else (CORE[number][0], "")
    unit = unit if one is not None else core_unit(number, si)
    modelled = ("", "")
    verdict = ""
    if mending is not None:
        sides = [number_of(numbers, number) for numbers in (mending.before, mending.after)]
        modelled = (between(interval(sides[0]), unit), between(interval(sides[1]), unit))
        verdict = _verdict(after, sides[1]) if after is not None else ""
    told = ["" if m is None else with_error(m) for m in (before, after)]
    return Row(measurement_name(name, reader), told[0], modelled[0], told[1], modelled[1], verdict)


def _verdict(m: Measured, expected: Array) -> str:
    """Whether a reading is what the mended machines would show."""
    known = expected[np.isfinite(expected)]
    if not len(known):
        return ""
    width = math.hypot(float(np.std(known)), float(spread(m, np.array([np.median(known)]))[0]))
    off = (m.value - float(np.median(known))) / width
    return (
        "as expected" if abs(off) <= APART else "higher than expected" if off > 0.0 else "lower than expected"
    )


def with_error(m: Measured) -> str:
    """A measurement with its accuracy.

    >>> from dryermodel.field.evidence import read_measured
    >>> with_error(read_measured("vent static=1.1 in w.c. +- 0.03 in w.c."))
    '1.1 \u00b1 0.03 in w.c.'
    """
    kind = m.measurement
    unit = f"delta_{kind.unit}" if kind.kind in DIFFERENCES else kind.unit
    value, error = (said(v, u).partition(" ")[0] for v, u in ((m.value, kind.unit), (m.accuracy, unit)))
    error = said(m.accuracy, unit, 2).partition(" ")[0]
    return f"{value} \u00b1 {error} {label(kind.unit)}".rstrip()


def between(s: Interval, unit: str) -> str:
    """The middle of an interval and its ends, with one unit; empty where nothing is known.

    >>> between(Interval(3600.0, 4000.0, 4800.0), "min"), between(Interval(900.0, 12000.0, 12000.0), "min")
    ('67 (60 to 80) min', 'over 180 (15 to over 180) min')
    """
    if math.isnan(s.middle):
        return ""
    low, middle, high = (_number(v, unit) for v in s)
    return f"{middle} ({low} to {high}) {label(unit)}".rstrip()


def _number(value: float, unit: str) -> str:
    """A modelled number to two digits, to three from a hundred on; the model gives endless cycles up."""
    if unit == "min" and value >= 0.999 * LONGEST:
        return f"over {LONGEST / 60.0:.0f}"
    shown = convert(value, unit)
    rounded = float(f"{shown:.{3 if abs(shown) >= 100.0 else 2}g}")
    return digits(rounded + 0.0)


def savings(mending: Mending, scenario: Scenario, si: bool = False) -> list[Saved]:
    """Return what a load and a year save, the middle and 80 % of the machines.

    Parameters
    ----------
    mending : Mending
        Machines before and after.
    scenario : Scenario
        Its prices and loads a year.
    si : bool
        In metric units.
    """
    prices = tariff(scenario)
    loads = prices.loads_per_year
    lowered = {name: mending.before[name] - mending.after[name] for name in CORE}
    told = [_saved("time", interval(lowered["cycle_time"]), loads, "min", "h")]
    if not _never("gas_energy", mending):
        told.append(
            _saved(
                "gas", interval(lowered["gas_energy"]), loads, *(("kWh", "kWh") if si else ("Btu", "therm"))
            )
        )
    told += [
        _saved("electricity", interval(lowered["electric_energy"]), loads, "kWh", "kWh"),
    ]
    if money := _money(mending, prices):
        one, year = (" ".join((_plain_money(s), prices.currency)) for s in (money, _times(money, loads)))
        told.append(Saved("money", one, year))
    return told


SMALLER = "Smaller loads save that much each; but what is left out of one needs a load of its own."
"""What a saving of the load's size leaves out."""


def in_words(mending: Mending, scenario: Scenario, done: bool) -> str:
    """What is saved, in a sentence.

    Parameters
    ----------
    mending : Mending
        Machines before and after.
    scenario : Scenario
        Its prices and loads a year.
    done : bool
        Whether the work was done.
    """
    time = interval(mending.before["cycle_time"] - mending.after["cycle_time"])
    start = (
        "By the model, which is not validated here, a load takes"
        if done
        else "Mended, if it is that, a load would take by the model, which is not validated here,"
    )
    text = f"{start} {_more_or_less(time, 'minutes', 60.0)}"
    smaller = f" {SMALLER}" if "overload" in mending.faults else ""
    if (money := yearly_money(mending, scenario)) is None:
        return f"{text}.{smaller}"
    prices = tariff(scenario)
    year = _more_or_less(money, prices.currency, 1.0)
    return (
        f"{text}, and a year of {prices.loads_per_year} loads {'costs' if done else 'cost'} {year}.{smaller}"
    )


def _more_or_less(s: Interval, unit: str, scale: float) -> str:
    """A saving as a person says it.

    >>> _more_or_less(Interval(600.0, 1200.0, 1500.0), "min", 60.0)
    '20 min less (10 to 25)'
    >>> _more_or_less(Interval(-5.0, -3.0, 1.0), "USD", 1.0)
    '3 USD more (5 more to 1 less)'
    """
    low, middle, high = (v / scale for v in s)
    if low >= 0.0 or high <= 0.0:
        near, far = sorted((abs(low), abs(high)))
        return f"{abs(middle):.0f} {unit} {'less' if low >= 0.0 else 'more'} ({near:.0f} to {far:.0f})"
    word = "less" if middle >= 0.0 else "more"
    return f"{abs(middle):.0f} {unit} {word} ({-low:.0f} more to {high:.0f} less)"


def _saved(name: str, s: Interval, loads: int, unit: str, year: str) -> Saved:
    return Saved(name, between(s, unit), between(_times(s, loads), year))


def _times(s: Interval, count: int) -> Interval:
    return Interval(*(count * v for v in s))


def yearly_money(mending: Mending, scenario: Scenario) -> Interval | None:
    """Money saved a year; None where a price is not known."""
    prices = tariff(scenario)
    money = _money(mending, prices)
    return None if money is None else _times(money, prices.loads_per_year)


def _money(mending: Mending, prices: Tariff) -> Interval | None:
    """Money saved a load; None where a price is not known."""
    costs = [_costs(numbers, prices) for numbers in (mending.before, mending.after)]
    if any(money is None for side in costs for money in side):
        return None
    before, after = (np.array(side, dtype=np.float64) for side in costs)
    return interval(before - after)


def _costs(numbers: Mapping[str, Array], prices: Tariff) -> list[float | None]:
    energies = zip(numbers["gas_energy"], numbers["electric_energy"], strict=True)
    return [cost(float(gas), float(electricity), prices).money for gas, electricity in energies]


def _plain_money(s: Interval) -> str:
    low, middle, high = (f"{v:.0f}" if abs(v) >= 20.0 else f"{round(v, 2) + 0.0:.2f}" for v in s)
    return f"{middle} ({low} to {high})"


def tariff_words(scenario: Scenario) -> str:
    """By which prices, and whether anybody gave them."""
    prices = tariff(scenario)
    parts = []
    if prices.gas_price is not None:
        parts.append(f"gas {prices.gas_price * 1.05505585262e8:.2f} {prices.currency}/therm")
    if prices.electricity_price is not None:
        parts.append(f"electricity {prices.electricity_price * 3.6e6:.2f} {prices.currency}/kWh")
    parts.append(f"{prices.loads_per_year} loads a year")
    assumed = [key for key in prices.assumed if not key.endswith("co2")]
    tail = " Assumed where the scenario says nothing else." if assumed else ""
    return f"By {', '.join(parts)}.{tail}"
