"""A calibration as a page to read."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from dryermodel import units
from dryermodel.field.evidence import said
from dryermodel.inference.fit_result import UNLIKELY
from dryermodel.kinds import label
from dryermodel.show.text.columns import WIDEST, right_aligned, short_hash, wrap
from dryermodel.studies.sweep.vary import quantity_rule

if TYPE_CHECKING:
    from dryermodel.inference.fit_result import Calibration, Compared, Pair

Table = tuple[list[str], list[list[str]]]

MOST_PAIRS = 5

MISLEADING = "Until then the values below are those of another machine than this one."

SAME = 0.05
"""Share of its own spread within which two fits have the same value."""

METRIC = {
    "temperature": "degC", "pressure": "Pa", "volume flow": "L/s", "mass": "kg", "power": "W", "speed": "m/s",
    "length": "m", "orifice": "mm",
}  # fmt: skip
"""Units of `--si`, where they are not those of the trade."""


def heading(c: Calibration) -> list[str]:
    """Machine, and what it was fitted to."""
    told = f"{len(c.compared)} measurement{'s' if len(c.compared) > 1 else ''}"
    return [
        c.scenario.full_title,
        f"{len(c.fitted)} value{'s' if len(c.fitted) > 1 else ''} fitted to {told}",
    ]


def measured_table(c: Calibration, si: bool = False) -> Table:
    """Each measurement beside what the machine shows, before and after; how far off in its own error."""
    headers = ["measurement", "measured", "before the fit", "fitted", "off before", "off after"]
    return right_aligned(headers, [_measured(one, si) for one in c.compared], 1)


def measured_notes(c: Calibration) -> list[str]:
    """What the columns of :func:`measured_table` that are no readings say."""
    if all(math.isnan(off) for one in c.compared for off in one.misses):
        return []
    return wrap(
        "Off: by how many errors, of instrument and model together, the machine shows more (+) or less (-) "
        "than was measured, before and after the fit; within 2 is usual.",
        WIDEST,
    )


def _measured(one: Compared, si: bool) -> list[str]:
    entry = one.measured.measurement
    unit = METRIC.get(entry.kind, entry.unit) if si else entry.unit
    values = (one.measured.value, one.before, one.after)
    shown = ["shows none" if math.isnan(v) else said(v, unit) for v in values]
    return [
        one.measured.name,
        *shown,
        *("" if math.isnan(off) else f"{round(off, 1) + 0.0:+.1f}" for off in one.misses),
    ]


def verdict(c: Calibration) -> list[str]:
    """Whether the measurements fit such a machine, and which do not."""
    kind = "machine with these faults" if c.scenario.faults else "healthy machine of this kind"
    sums = f"misfit {c.chi_square:.1f}, where about {len(c.compared)} is usual; chance {_chance(c.chance)}"
    if c.fits:
        return wrap(f"These readings fit a {kind} ({sums}).", WIDEST)
    lines = wrap(f"WARNING: these readings do not fit a {kind} ({sums}): diagnose first.", WIDEST)
    for one in c.missing:
        lines += wrap(f"The fitted machine shows no {one.measured.name} at all.", WIDEST, "- ", "  ")
    for one in c.off:
        lines += wrap(f"{one.measured.name} stays {abs(one.misses[1]):.1f} errors off.", WIDEST, "- ", "  ")
    return [*lines, *wrap(MISLEADING, WIDEST)]


def _chance(share: float) -> str:
    if share < UNLIKELY / 10.0:
        return f"below {100.0 * UNLIKELY / 10:g} %"
    return f"{100.0 * share:.0f} %" if share >= 0.1 else f"{100.0 * share:.2g} %"


def value_table(c: Calibration, si: bool = False) -> Table:
    """Values that the measurements say something of, the best known first."""
    headers = ["what", "fitted", "80 % of it within", "before", "spread left", "", "key"]
    known = sorted((f for f in c.fitted if f.determined), key=lambda f: f.left)
    return headers, [
        [
            f.words,
            value(f.key, f.value, si),
            span(f.key, f.interval, si),
            span(f.key, f.prior, si),
            f"{100.0 * f.left:.0f} %",
            f.status,
            f.key,
        ]
        for f in known
    ]


def value(key: str, si_value: float, si: bool = False) -> str:
    """A value of a key with its unit.

    >>> value("vent.length", 3.048), value("vent.length", 3.048, si=True)
    ('10 ft', '3.05 m')
    """
    unit = unit_of(key, si)
    digits = 4 if quantity_rule(key).kind == "temperature" else 3
    return f"{units.digits(units.convert(si_value, unit), digits)} {label(unit)}".rstrip()


def span(key: str, ends: tuple[float, float], si: bool = False) -> str:
    """An interval of a key's values with its unit.

    >>> span("vent.length", (1.524, 3.048))
    '5 to 10 ft'
    """
    low, high = (value(key, end, si) for end in ends)
    unit = label(unit_of(key, si))
    return f"{low.removesuffix(unit).rstrip()} to {high}"


def unit_of(key: str, si: bool = False) -> str:
    """Unit in which a key's values are shown."""
    rule = quantity_rule(key)
    usual = rule.low.partition(" ")[2]
    return METRIC.get(rule.kind, usual) if si else usual


def undetermined_lines(c: Calibration) -> list[str]:
    """What the measurements cannot determine, in plain words."""
    left = c.undetermined
    if not left:
        return ["These readings say something of every value that was fitted."]
    names = ", ".join(f.words for f in left)
    some = "None of the values" if len(left) == len(c.fitted) else f"{len(left)} of {len(c.fitted)} values"
    told = "is" if some.startswith("None") else "are not"
    return wrap(
        f"{some} {told} determined by these readings: they are as uncertain as before, and what stands for "
        f"them is only what was believed: {names}.",
        WIDEST,
    )


def pair_lines(c: Calibration) -> list[str]:
    """Values that are known together rather than each."""
    return [line for p in c.pairs[:MOST_PAIRS] for line in wrap(_pair(c, p), WIDEST, "- ", "  ")]


def _pair(c: Calibration, p: Pair) -> str:
    first, second = (c.fitted_of(key).words for key in (p.first, p.second))
    way = "both higher or both lower" if p.correlation > 0.0 else "one higher and the other lower"
    return f"{first}, {second}: {way} fits as well (correlation {p.correlation:+.2f})"


def closing(c: Calibration, version: str) -> list[str]:
    """How the fit went, what it leaves out, and what it follows from."""
    lines = wrap(_starts(c), WIDEST)
    if c.evidence.seen:
        lines += wrap("Answers to yes/no questions play no part in a fit; 'diagnose' weighs them.", WIDEST)
    lines += wrap(
        "Fitted values are the model's: heat and mass exchange, leaks and lags also take up what the model "
        "leaves out, and are no measurement of the part. What was believed before is assumed "
        "(docs/calibration.md).",
        WIDEST,
    )
    scenario_hash = short_hash(c.scenario.hash)
    return [*lines, f"dryermodel {version}, scenario hash {scenario_hash}, {c.cycles} cycles, seed {c.seed}"]


def _starts(c: Calibration) -> str:
    count, good = len(c.starts), len(c.agreeing)
    if count == 1:
        return "Fitted from one start: whether another would end elsewhere is not known."
    text = f"{good} of {count} starts ended in fits as good as the best"
    if good == 1:
        return f"Only {text}; the others stayed in worse ones."
    key, apart = c.wandering
    if apart < SAME:
        return f"{text}, and at the same values."
    words = c.fitted_of(key).words
    return f"{text}; among them {words} differs most, by {apart:.1f} of its own spread."
