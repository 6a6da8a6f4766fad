"""Answers of a visit that contradict each other, whatever the machine."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from functools import cached_property
from typing import NamedTuple

from dryermodel.field.evidence import Measured, Seen, said, told

SURE = 3.0
"""Standard deviations beyond which a difference is no matter of the instrument."""


class Conflict(NamedTuple):
    """One thing that cannot be: what and why, and the names that take part, most of all the first."""

    message: str
    names: tuple[str, ...]
    refused: bool  # no visit can be so; otherwise two answers contradict each other


ORDER = (
    ("end weight", "start weight", "a load does not get heavier by drying"),
    ("dry weight", "start weight", "the wet load cannot weigh less than the dry one"),
    ("dry weight", "end weight", "the load cannot weigh less than dry"),
    ("final moisture", "start moisture", "a load does not get wetter by drying"),
    ("cut-in temperature", "cut-out temperature", "the thermostat opens hot and closes cooler"),
    ("cut-out temperature", "peak exhaust temperature", "the peak is the highest of all"),
    ("exhaust temperature", "peak exhaust temperature", "the peak is the highest of all"),
    ("time to dry", "cycle time", "give the time within one run of the machine"),
    ("first burn", "cycle time", "the burner burns no longer than the machine runs"),
    ("burner cycles", "ignition tries", "every flame needs a glow before it"),
    ("manifold pressure", "supply pressure", "a regulator only lowers the pressure"),
)
"""Pairs of measurements of which the first is not above the second, and why."""

NEEDS_FLAME = (
    "burner cycles", "gas input", "first burn", "burner on early", "burner on late", "burner off early",
    "burner off late", "time to flame", "cut-out temperature", "cut-in temperature",
)  # fmt: skip
"""Measurements that are nought or cannot be taken while the burner never lights."""

NEEDS_GLOW = ("ignition tries", "time to flame")

NEEDS = (
    ("flame returns", "flame seen"),
    ("short burns while wet", "flame seen"),
    ("flame yellow", "flame seen"),
    ("flame seen", "igniter glows"),
    ("glows without lighting", "igniter glows"),
    ("glow stays on", "igniter glows"),
)
"""Observations of which the first cannot be so unless the second is."""

NOT_BOTH = (
    ("weak air at the hood", "strong air at the hood"),
    ("load hot but damp", "load wet and cold"),
    ("load very hot", "load wet and cold"),
    ("auto never ends", "stops too soon"),
    ("thermostat open cold", "thermostat closed hot"),
    ("thermostat opens low", "thermostat opens high"),
    ("igniter open", "igniter glows"),
    ("gas cock shut", "flame seen"),
    ("timer motor open", "dial moves"),
)
"""Observations that cannot both be so."""


class Told:
    """What was measured and seen, by name."""

    def __init__(self, measured: Sequence[Measured], seen: Sequence[Seen]) -> None:
        self.measured, self.seen = tuple(measured), tuple(seen)

    def of(self, name: str) -> list[Measured]:
        """Every measurement of that name, in whatever state."""
        return [one for one in self.measured if one.name == name]

    @cached_property
    def answers(self) -> dict[str, bool]:
        """Every answer by its name."""
        return {one.name: one.yes for one in self.seen}


def _above(low: Measured, high: Measured) -> bool:
    """Whether the first is above the second by more than the instruments explain."""
    return low.value - high.value > SURE * math.hypot(low.accuracy, high.accuracy)


def _twice(known: Told) -> Iterator[Conflict]:
    for i, one in enumerate(known.measured):
        for other in known.measured[:i]:
            same = (other.name, other.number) == (one.name, one.number)
            unit = one.measurement.unit
            if same and (_above(one, other) or _above(other, one)):
                values = f"{said(other.value, unit)} and {said(one.value, unit)}"
                message = f"{one.name} is {values}: too far apart for one thing; keep the one you trust"
                yield Conflict(message, (one.name,), False)


def _answered_twice(known: Told) -> Iterator[Conflict]:
    for i, one in enumerate(known.seen):
        if any(other.name == one.name and other.yes != one.yes for other in known.seen[:i]):
            yield Conflict("is answered yes and no", (one.name,), False)


def _order(known: Told) -> Iterator[Conflict]:
    for low, high, why in ORDER:
        for one in known.of(low):
            for other in known.of(high):
                if _above(one, other):
                    yield Conflict(f"{told(one)} is above {told(other)}: {why}", (low, high), False)


def _moisture(known: Told) -> Iterator[Conflict]:
    """Moisture said must be the one that the weights give."""
    for dry in known.of("dry weight"):
        for weight, moisture in (("start weight", "start moisture"), ("end weight", "final moisture")):
            for wet in known.of(weight):
                for said_one in known.of(moisture):
                    yield from _by_weight(dry, wet, said_one)


def _by_weight(dry: Measured, wet: Measured, moisture: Measured) -> Iterator[Conflict]:
    by_weight = wet.value / dry.value - 1.0
    spread = math.hypot(wet.accuracy / dry.value, wet.value * dry.accuracy / dry.value**2)
    if abs(by_weight - moisture.value) > SURE * math.hypot(spread, moisture.accuracy):
        text = f"{told(moisture)}, but {told(wet)} over {told(dry)} is {said(by_weight, '%')} of water"
        yield Conflict(text, (moisture.name, wet.name, dry.name), False)


def _without(known: Told) -> Iterator[Conflict]:
    """Measurements that need what was not seen."""
    for names, needed in ((NEEDS_FLAME, "flame seen"), (NEEDS_GLOW, "igniter glows")):
        if known.answers.get(needed, True):
            continue
        for one in (m for name in names for m in known.of(name)):
            if one.value > SURE * one.accuracy:
                yield Conflict(f"{told(one)}, but '{needed}' is answered no", (one.name, needed), False)


def _returns(known: Told) -> Iterator[Conflict]:
    answer = known.answers.get("flame returns")
    for one in known.of("burner cycles"):
        if answer is not None and answer != (one.value > 1.5) and abs(one.value - 1.5) > 2.0 * one.accuracy:
            text = f"{told(one)}, but 'flame returns' is answered {'yes' if answer else 'no'}"
            yield Conflict(text, (one.name, "flame returns"), False)


def _answers(known: Told) -> Iterator[Conflict]:
    for one, needed in NEEDS:
        if known.answers.get(one) and known.answers.get(needed) is False:
            yield Conflict(f"'{one}' is answered yes, but '{needed}' no", (one, needed), False)
    for one, other in NOT_BOTH:
        if known.answers.get(one) and known.answers.get(other):
            yield Conflict(f"'{one}' and '{other}' cannot both be so", (one, other), False)


CONTRADICTIONS: tuple[Callable[[Told], Iterator[Conflict]], ...] = (
    _twice, _answered_twice, _order, _moisture, _without, _returns, _answers,
)  # fmt: skip
"""Every rule: told what is known, it yields what cannot all be so."""
