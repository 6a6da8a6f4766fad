"""What sets a faulty cycle apart from the healthy one, in words computed from its numbers."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from dryermodel.findings.facts import times
from dryermodel.findings.steps import PEAK_STEP, changes, sign
from dryermodel.vocabulary import known

if TYPE_CHECKING:
    from dryermodel.cycle.engine.parameters import Parameters
    from dryermodel.vocabulary import Readings

MINUTE = 60.0

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


def pattern(faulty: Readings, healthy: Readings, parameters: Parameters) -> Pattern:
    """Return what sets a cycle apart from the healthy one.

    Parameters
    ----------
    faulty, healthy : Readings
        The two cycles, on the same scenario.
    parameters : Parameters
        Of the healthy machine: its set points and source of heat.

    Returns
    -------
    Pattern
        Marks in the order in which a technician meets them: flame, end, time, limit, ignition,
        burner stretches, temperatures, air, gas, motor, load. No marks when the two cannot be told apart.
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
        *_motor(faulty, healthy, z),
        *_load(faulty, z),
    ]
    return Pattern(tuple(found), z)


def _percent(s: Readings, h: Readings, name: str) -> str:
    reference = known(h, name)
    return f" ({100.0 * (known(s, name) / reference - 1.0):+.0f} %)" if reference > 0.0 else ""


def _flame(s: Readings, h: Readings, p: Parameters) -> list[Mark]:
    if s["burner_cycles"] or not h["burner_cycles"]:
        return []
    if p.heat_source:
        return [Mark("no heat", "never heats")]
    if known(s, "longest_glow") > LONG_GLOW:
        return [Mark("glows on", "never lights although the igniter glows on and on")]
    if s["ignition_tries"]:
        return [Mark("glows in vain", "never lights although the igniter glows")]
    return [Mark("no glow", "never lights, no glow")]


def _ending(s: Readings, h: Readings, p: Parameters) -> list[Mark]:
    if s["ended"] or not h["ended"]:
        return []
    if not s["burner_cycles"]:
        why = ""
    elif s["first_cut_out"] is not None:
        why = ": the thermostat cycles the burner but the dial does not get to its end"
    elif known(s, "exhaust_temp_max") > p.cut_out + 2.0 * PEAK_STEP:
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


def _time(s: Readings, h: Readings, z: dict[str, float]) -> list[Mark]:
    """Marks of how long it takes; the share in brackets is that of the time the words begin with."""
    at, healthy = s["time_to_4pct"], h["time_to_4pct"]
    if at is None or healthy is None:
        return _never_dry(s, h) if healthy is not None else []
    if not s["burner_cycles"] and h["burner_cycles"]:
        return [Mark("room air", f"dried by room air alone, 4 % after {at / MINUTE:.0f} min")]
    dry = sign(z["time_to_4pct"])
    words = _TIMES[dry, sign(z["cycle_time"])] if s["ended"] else {1: "slower", 0: "", -1: "faster"}[dry]
    if not words:
        return []
    return [Mark(words, words + _percent(s, h, "time_to_4pct" if dry else "cycle_time"))]


def _never_dry(s: Readings, h: Readings) -> list[Mark]:
    length = known(s, "cycle_time")
    if not s["ended"]:
        return [Mark("never dry", "never gets dry")]
    if length < known(h, "cycle_time"):
        return [Mark("early", f"stops early, after {length / MINUTE:.0f} min")]
    return [Mark("in vain", f"runs its course in vain, {length / MINUTE:.0f} min")]


def _limit(s: Readings, h: Readings) -> list[Mark]:
    trips = round(known(s, "high_limit_trips"))
    more = trips - known(h, "high_limit_trips")
    if more <= 0:
        return []
    if more >= MANY:
        return [Mark("limit", f"burner cycles on the high limit ({trips} trips)")]
    return [Mark("limit opens", f"high limit opens {times(trips)}")]


def _ignition(s: Readings, h: Readings, z: dict[str, float]) -> list[Mark]:
    found = []
    lit = s["first_light"]
    if z["first_light"] >= 1.0 and lit is not None:
        found.append(Mark("slow light", f"slow to light ({lit:.0f} s)"))
    if s["burner_cycles"] and _in_vain(s) - _in_vain(h) >= MANY:
        tries = known(s, "ignition_tries")
        found.append(Mark("tries in vain", f"{_in_vain(s):.0f} of {tries:.0f} ignition tries in vain"))
    return found


def _in_vain(s: Readings) -> float:
    return known(s, "ignition_tries") - known(s, "burner_cycles")


def _stretches(s: Readings, z: dict[str, float]) -> list[Mark]:
    found = []
    for name, what in (("burner_on_mean", "burns"), ("burner_off_mean", "gaps")):
        value, way = s[name], sign(z[name])
        if value is not None and way:
            words = f"{'longer' if way > 0 else 'shorter'} {what} after the cut-out"
            found.append(Mark(words, f"{words} ({value:.0f} s)"))
    return found


def _temperatures(s: Readings, z: dict[str, float]) -> list[Mark]:
    found = []
    if s["exhaust_temp_bulk"] is not None and sign(z["exhaust_temp_bulk"]):
        way = "hotter" if z["exhaust_temp_bulk"] > 0.0 else "cooler"
        found.append(Mark(f"exhaust {way}", f"exhaust {way} in bulk drying"))
    for name, what in (("exhaust_temp_max", "exhaust peaks"), ("load_temp_max", "load")):
        # Without a flame the temperatures say nothing that "never lights" does not.
        if s["burner_cycles"] and sign(z[name]):
            words = f"{what} {'hotter' if z[name] > 0.0 else 'cooler'}"
            found.append(Mark(words, words))
    return found


def _air(z: dict[str, float]) -> list[Mark]:
    changed = [
        (name, what) for name, what in (("vent_static", "static"), ("exhaust_flow", "flow")) if sign(z[name])
    ]
    words = [f"{what} {'up' if z[name] > 0.0 else 'down'}" for name, what in changed]
    return [Mark(text, text) for text in words]


def _energy(s: Readings, h: Readings, z: dict[str, float], p: Parameters) -> list[Mark]:
    name, what = ("electric_energy", "electricity") if p.heat_source else ("gas_energy", "gas")
    if not s["burner_cycles"] or not sign(z[name]):
        return []
    words = f"{'more' if z[name] > 0.0 else 'less'} {what}"
    return [Mark(words, words + _percent(s, h, name))]


def _motor(s: Readings, h: Readings, z: dict[str, float]) -> list[Mark]:
    """What the motor takes at the plug, with the load as it is at the start."""
    name = "motor_power_early"
    watts, way = s[name], sign(z[name])
    if watts is None or h[name] is None or not way:
        return []
    words = f"motor takes {'more' if way > 0 else 'less'}"
    return [Mark(words, f"{words}, {watts:.0f} W{_percent(s, h, name)}")]


def _load(s: Readings, z: dict[str, float]) -> list[Mark]:
    left = known(s, "final_moisture")
    if left > DAMP and z["final_moisture"] >= 1.0:
        word = "wet" if left > WET else "damp"
        return [Mark(f"load {word}", f"load left {word} ({100.0 * left:.0f} %)")]
    if sign(z["final_moisture"]):
        words = "load a little damper" if z["final_moisture"] > 0.0 else "load drier"
        return [Mark(words, words)]
    return []
