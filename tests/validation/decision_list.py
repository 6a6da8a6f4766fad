"""What a technician has today: a fixed list of questions, the first that is answered yes names the fault.

Written from common practice, from memory, with the limits of the trade: 0.6 in w.c. of static, a tenth of the
rated input, the mark of the thermostat. It knows what a sound machine of this kind reads.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import NamedTuple

from dryermodel import units
from dryermodel.inference.priors import HEALTHY

Facts = Mapping[str, float]  # what was measured [SI] and seen (0 or 1), by name
Sound = Mapping[str, float]  # what a sound machine reads


def degf(value: float) -> float:
    """A difference [K] of so many degF."""
    return value / 1.8


STATIC_LIMIT = units.parse("0.6 inH2O", "pressure")
LOW_STATIC = units.parse("0.25 inH2O", "pressure")
HOT_EXHAUST = units.parse("175 degF", "temperature")
ENDLESS = units.parse("150 min", "time")
MUCH_LEFT, DAMP = 0.25, 0.08


class Line(NamedTuple):
    """One question of the list."""

    question: str
    yes: Callable[[Facts, Sound], bool]
    fault: str


def _has(f: Facts, *names: str) -> bool:
    return all(name in f for name in names)


LINES: tuple[Line, ...] = (
    Line(
        "no flame, and the igniter never glowed",
        lambda f, s: f["flame seen"] == 0 and f.get("ignition tries", 1.0) == 0,
        "thermal_cutoff_open",
    ),
    Line(
        "no flame, though the igniter glowed many times",
        lambda f, s: f["flame seen"] == 0 and f.get("ignition tries", 0.0) > 3,
        "gas_shut_off",
    ),
    Line("no flame", lambda f, s: f["flame seen"] == 0, "igniter_open"),
    Line(
        "the igniter glowed oftener than the burner lit",
        lambda f, s: (
            _has(f, "ignition tries", "burner cycles") and f["ignition tries"] - f["burner cycles"] > 2
        ),
        "coil_fails_hot",
    ),
    Line(
        "it ran for minutes only and left the load wet",
        lambda f, s: f["cycle time"] < 0.5 * s["cycle time"] and f["final moisture"] > MUCH_LEFT,
        "hold_contact_open",
    ),
    Line(
        "exhaust much hotter than the thermostat's mark",
        lambda f, s: f.get("peak exhaust temperature", 0.0) > HOT_EXHAUST,
        "thermostat_stuck_closed",
    ),
    Line(
        "static above 0.6 in w.c.",
        lambda f, s: f.get("vent static", 0.0) > STATIC_LIMIT,
        "vent_blockage",
    ),
    Line(
        "weak flow with a low static",
        lambda f, s: (
            _has(f, "vent static", "exhaust flow")
            and f["exhaust flow"] < 0.75 * s["exhaust flow"]
            and f["vent static"] < s["vent static"]
        ),
        "lint_screen_blocked",
    ),
    Line(
        "weak flow",
        lambda f, s: f.get("exhaust flow", 1.0) < 0.75 * s["exhaust flow"],
        "vent_blockage",
    ),
    Line(
        "input a tenth below the plate",
        lambda f, s: f.get("gas input", s["gas input"]) < 0.9 * s["gas input"],
        "weak_burner",
    ),
    Line(
        "input a tenth above the plate",
        lambda f, s: f.get("gas input", 0.0) > 1.1 * s["gas input"],
        "wrong_orifice",
    ),
    Line(
        "it never ends, and the load is dry",
        lambda f, s: f["cycle time"] > ENDLESS and f["final moisture"] < DAMP,
        "timer_motor_dead",
    ),
    Line(
        "it never ends, and the load is damp",
        lambda f, s: f["cycle time"] > ENDLESS,
        "vent_blockage",
    ),
    Line(
        "it stops on time with the load damp",
        lambda f, s: f["final moisture"] > DAMP and f["cycle time"] < 1.15 * s["cycle time"],
        "thermostat_drift",
    ),
    Line(
        "cool exhaust and a long run",
        lambda f, s: (
            f["cycle time"] > 1.25 * s["cycle time"]
            and f.get("exhaust temperature", 999.0) < s["exhaust temperature"] - degf(8.0)
        ),
        "weak_burner",
    ),
    Line(
        "a long run, everything measured in order",
        lambda f, s: f["cycle time"] > 1.25 * s["cycle time"] and _has(f, "vent static"),
        "overload",
    ),
    Line("a long run", lambda f, s: f["cycle time"] > 1.25 * s["cycle time"], "vent_blockage"),
)


def decide(facts: Facts, sound: Sound) -> str:
    """Return the fault of the first line that says yes; healthy if none does.

    Parameters
    ----------
    facts : mapping of str to float
        Measurements [SI] and answers (0 or 1) at hand; ``cycle time``, ``final moisture`` and ``flame seen``
        always are.
    sound : mapping of str to float
        What a sound machine of this kind reads [SI].
    """
    return next((line.fault for line in LINES if line.yes(facts, sound)), HEALTHY)
