"""The page put together: data, scripts and parts in one file."""

from __future__ import annotations

import json
from functools import cache
from typing import TYPE_CHECKING, Any, NamedTuple

from dryermodel.cycle.engine import state as Y
from dryermodel.cycle.engine import switching as S
from dryermodel.cycle.engine.parameters import ELECTRIC_HEAT, NEVER
from dryermodel.cycle.run.javascript import engine_javascript, library_javascript
from dryermodel.physics.moist_air import humidity_ratio_from_rh, wet_bulb
from dryermodel.readings.rows import LEAST_WATER
from dryermodel.show.pages.pocket import faults, machines, questions, sums
from dryermodel.show.pages.pocket.bank import bank_data
from dryermodel.show.pages.shared.assemble import assemble
from dryermodel.show.pages.shared.units import kind_data

if TYPE_CHECKING:
    from dryermodel.inference.bank import Bank
    from dryermodel.scenario.model import Scenario

SCRIPTS = (
    "core",
    "moves",
    "drawing",
    "machine",
    "toml",
    "written",
    "reading",
    "visit",
    "reckon",
    "sums",
    "suspects",
    "next",
    "conflicts",
    "diagnosis",
    "start",
)
"""Scripts of the page in the order in which they run, after the shared ones."""


class Part(NamedTuple):
    """One part of the page: the name of its template, and how the page's menu calls it."""

    id: str
    words: str


PARTS = (
    Part("healthy", "Healthy cycle"),
    Part("fault", "A fault"),
    Part("tuneup", "Tune-up"),
    Part("sums", "Bench sums"),
    Part("diagnosis", "Suspects"),
)


def pocket_page(version: str, bank: Bank) -> str:
    """Return the page as text.

    Parameters
    ----------
    version : str
        Of the program.
    bank : Bank
        Machines that readings are held against.
    """
    scripts = {"engine": engine_javascript(), "library": library()}
    told = {"version": version, "parts": PARTS, "data": data(bank.scenario), "bank": bank_data(bank)}
    return assemble(__package__, "pocket", scripts, SCRIPTS, **told)


@cache
def library() -> str:
    """Return the translated functions that the page needs beside the engine."""
    return library_javascript(
        "dryerLibrary",
        humidity_ratio_from_rh,
        wet_bulb,
        Y.pieces_of,
        Y.hottest,
        *faults.rules(),
        *sums.RELATIONS,
    )


def data(own: Scenario | None = None) -> dict[str, Any]:
    """Return what the page's scripts know of machines, faults and units.

    Parameters
    ----------
    own : Scenario, optional
        The machine that the page is made for; the usual one by default.
    """
    found = {
        "machines": machines.machines(own),
        "usual": machines.FIRST,
        "controls": machines.controls(),
        "figures": machines.figures(),
        "endings": machines.endings(),
        "faults": faults.faults(),
        "words": faults.words(),
        "questions": questions.questions(),
        "sums": sums.sums(),
        "kinds": {"temperature": kind_data("temperature")},
        "damp": machines.damp(),
        "leastWater": LEAST_WATER,
        "never": NEVER,
        "electric": ELECTRIC_HEAT,
        "places": places(),
    }
    json.dumps(found, allow_nan=False)
    return found


def places() -> dict[str, Any]:
    """Return where a recording holds what is drawn."""
    switches = {"flame": S.FLAME, "heater": S.HEATER, "timer": S.TIMER_MOTOR, "limit": S.HIGH_LIMIT}
    return {
        "exhaust": Y.EXHAUST_ELEMENT,
        "dial": Y.DIAL,
        "moisture": Y.MOISTURE,
        "perPiece": Y.PER_PIECE,
        "switches": switches,
    }
