"""What sets a faulty cycle apart from the healthy one, in words computed from its numbers."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from dryermodel.findings.steps import PEAK_STEP, changes, sign
from dryermodel.readings.signature import Signature

if TYPE_CHECKING:
    from dryermodel.cycle.engine.parameters import Parameters

DAMP, WET = 0.04, 0.15
"""Moisture above which a load is damp, and wet [kg/kg]."""

MANY = 3
"""Openings of the high limit, or ignition tries in vain, that make a habit."""

LONG_GLOW = 90.0
"""Glow without a flame beyond which the igniter is said to stay on [s]; usual warm-up 15 to 60 s."""


class Mark(NamedTuple):
    """One thing that sets a cycle apart: a key that does not depend on its size, and the words."""

    key: str
    words: str


class Pattern(NamedTuple):
    """What sets one cycle apart from the healthy one."""

    marks: tuple[Mark, ...]
    changes: dict[str, float]  # number -> change in steps

    @property
    def keys(self) -> tuple[str, ...]:
        """Keys of the marks, in order."""
        return tuple(mark.key for mark in self.marks)

    @property
    def words(self) -> str:
        """The marks as words; empty when nothing sets it apart."""
        return ", ".join(mark.words for mark in self.marks)


def pattern(faulty: Signature, healthy: Signature, parameters: Parameters) -> Pattern:
    """Return what sets a cycle apart from the healthy one.

    Parameters
    ----------
    faulty, healthy : Signature
        The two cycles, on the same scenario.
    parameters : Parameters
        Of the healthy machine: its set points and source of heat.

    Returns
    -------
    Pattern
        Marks in the order in which a technician meets them: flame, end, time, limit, ignition,
        burner stretches, temperatures, air, gas, load. No marks when the two cannot be told apart.
    """
    z = changes(faulty, healthy)
    found = [
        *_flame(faulty, healthy, parameters),
        *_ending(faulty, healthy, parameters),
        *_time(faulty, healthy, z),
        *_limit(faulty, healthy),
        *_ignition(faulty, healthy, z),
        *_stretches(faulty, z),
        *_temperatures(faulty, z),
        *_air(z),
        *_energy(faulty, healthy, z, parameters),
        *_load(faulty, z),
    ]
    return Pattern(tuple(found), z)


def _percent(value: float, reference: float) -> str:
    return f" ({100.0 * (value / reference - 1.0):+.0f} %)" if reference > 0.0 else ""


def _flame(s: Signature, h: Signature, p: Parameters) -> list[Mark]:
    if s.burns or not h.burns:
        return []
    if p.heat_source:
        return [Mark("no heat", "never heats")]
    if s.longest_glow > LONG_GLOW:
        return [Mark("glows on", "never lights although the igniter glows on and on")]
    if s.tries:
        return [Mark("glows in vain", "never lights although the igniter glows")]
    return [Mark("no glow", "never lights, no glow")]


def _ending(s: Signature, h: Signature, p: Parameters) -> list[Mark]:
    if s.ended or not h.ended:
        return []
    if not s.burns:
        why = ""
    elif s.cut_out_at is not None:
        why = ": the thermostat cycles the burner but the dial does not get to its end"
    elif s.exhaust_max > p.cut_out + 2.0 * PEAK_STEP:
        why = ": the exhaust passes the cut-out and the heat stays on"
    else:
        why = ": the exhaust never gets to the cut-out"
    return [Mark("no end" + why, "does not end by itself" + why)]


_TIMES = {
    (0, 0): "", (1, 1): "slower", (-1, -1): "faster",
    (0, 1): "dry as soon but runs longer", (0, -1): "dry as soon and stops sooner",
    (1, 0): "dries slower, ends on time", (1, -1): "dries slower yet stops sooner",
    (-1, 0): "dry sooner, ends on time", (-1, 1): "dry sooner but runs longer",
}  # fmt: skip


def _time(s: Signature, h: Signature, z: dict[str, float]) -> list[Mark]:
    """Marks of how long it takes; the share in brackets is that of the time the words begin with."""
    if s.dry_at is None or h.dry_at is None:
        return _never_dry(s, h) if h.dry_at is not None else []
    if not s.burns and h.burns:
        return [Mark("room air", f"dried by room air alone, 4 % after {s.dry_at / 60.0:.0f} min")]
    dry = sign(z["dry_at"])
    words = _TIMES[dry, sign(z["cycle_time"])] if s.ended else {1: "slower", 0: "", -1: "faster"}[dry]
    if not words:
        return []
    share = _percent(s.dry_at, h.dry_at) if dry else _percent(s.cycle_time, h.cycle_time)
    return [Mark(words, words + share)]


def _never_dry(s: Signature, h: Signature) -> list[Mark]:
    if not s.ended:
        return [Mark("never dry", "never gets dry")]
    if s.cycle_time < h.cycle_time:
        return [Mark("early", f"stops early, after {s.cycle_time / 60.0:.0f} min")]
    return [Mark("in vain", f"runs its course in vain, {s.cycle_time / 60.0:.0f} min")]


def _limit(s: Signature, h: Signature) -> list[Mark]:
    more = s.trips - h.trips
    if more <= 0:
        return []
    if more >= MANY:
        return [Mark("limit", f"burner cycles on the high limit ({s.trips} trips)")]
    return [Mark("limit opens", f"high limit opens {'once' if s.trips == 1 else f'{s.trips} times'}")]


def _ignition(s: Signature, h: Signature, z: dict[str, float]) -> list[Mark]:
    found = []
    if z["first_light"] >= 1.0 and s.first_light is not None:
        found.append(Mark("slow light", f"slow to light ({s.first_light:.0f} s)"))
    vain = s.tries - s.burns
    if s.burns and vain - (h.tries - h.burns) >= MANY:
        found.append(Mark("tries in vain", f"{vain} of {s.tries} ignition tries in vain"))
    return found


def _stretches(s: Signature, z: dict[str, float]) -> list[Mark]:
    found = []
    for name, what in (("burner_on", "burns"), ("burner_off", "gaps")):
        value, way = getattr(s, name), sign(z[name])
        if value is not None and way:
            words = f"{'longer' if way > 0 else 'shorter'} {what} after the cut-out"
            found.append(Mark(words, f"{words} ({value:.0f} s)"))
    return found


def _temperatures(s: Signature, z: dict[str, float]) -> list[Mark]:
    found = []
    if s.exhaust_bulk is not None and sign(z["exhaust_bulk"]):
        way = "hotter" if z["exhaust_bulk"] > 0.0 else "cooler"
        found.append(Mark(f"exhaust {way}", f"exhaust {way} in bulk drying"))
    for name, what in (("exhaust_max", "exhaust peaks"), ("load_max", "load")):
        # Without a flame the temperatures say nothing that "never lights" does not.
        if s.burns and sign(z[name]):
            words = f"{what} {'hotter' if z[name] > 0.0 else 'cooler'}"
            found.append(Mark(words, words))
    return found


def _air(z: dict[str, float]) -> list[Mark]:
    changed = [name for name in ("static", "flow") if sign(z[name])]
    words = [f"{name} {'up' if z[name] > 0.0 else 'down'}" for name in changed]
    return [Mark(text, text) for text in words]


def _energy(s: Signature, h: Signature, z: dict[str, float], p: Parameters) -> list[Mark]:
    name = "electricity" if p.heat_source else "gas"
    if not s.burns or not sign(z[name]):
        return []
    words = f"{'more' if z[name] > 0.0 else 'less'} {name}"
    return [Mark(words, words + _percent(getattr(s, name), getattr(h, name)))]


def _load(s: Signature, z: dict[str, float]) -> list[Mark]:
    if s.final_moisture > DAMP and z["final_moisture"] >= 1.0:
        word = "wet" if s.final_moisture > WET else "damp"
        return [Mark(f"load {word}", f"load left {word} ({100.0 * s.final_moisture:.0f} %)")]
    if sign(z["final_moisture"]):
        words = "load a little damper" if z["final_moisture"] > 0.0 else "load drier"
        return [Mark(words, words)]
    return []
