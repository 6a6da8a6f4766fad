"""The tune-up: a list of work in the order of safe work, each step with why, caution and readings.

The table is ``tune_up.toml``. It is common practice and defers to the rating plate, the machine's own
instructions, local code and licensed practice.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

from dryermodel.field.measurements import find_measurement
from dryermodel.field.observations import find_observation

STAGES: Mapping[str, str] = {
    "before opening": "Before opening",
    "while open": "While it is open, unplugged and gas shut",
    "gas side": "Gas side, only for whoever may do it",
    "closing": "Closing",
    "leak check and wait": "Leak check, and wait",
    "first run": "First run",
    "readings at the end": "Readings at the end",
}
"""Stages in the order of safe work, and their headings."""

STANDING = (
    "Common practice. The rating plate, the machine's own instructions, local code and licensed practice "
    "come before anything on this list."
)
"""What stands above the list wherever it is shown."""

LICENSED = "Gas train: a licensed person where local rules say so."
"""Mark of a step on the gas side."""


class Step(NamedTuple):
    """One step.

    Attributes
    ----------
    name : str
        Short; the key of the table.
    stage : str
        A key of `STAGES`.
    do, why, caution : str
        What to do; why; before it is done, empty for some.
    before, after : tuple of str
        Measurements to take before the work and after it, by their canonical names.
    look : tuple of str
        Questions that it answers, by their canonical names.
    licensed : bool
        Gas train.
    """

    name: str
    stage: str
    do: str
    why: str
    caution: str = ""
    before: tuple[str, ...] = ()
    after: tuple[str, ...] = ()
    look: tuple[str, ...] = ()
    licensed: bool = False


def _step(name: str, raw: Mapping[str, Any]) -> Step:
    fields: dict[str, Any] = {
        key: tuple(value) if isinstance(value, list) else value for key, value in raw.items()
    }
    return Step(name, **fields)


@cache
def tune_up() -> tuple[Step, ...]:
    """Return every step in the order of safe work.

    >>> tune_up()[0].name, tune_up()[-1].stage
    ('smell and air', 'readings at the end')
    """
    text = Path(__file__).with_name("tune_up.toml").read_text(encoding="utf-8")
    return tuple(_step(name, raw) for name, raw in tomllib.loads(text).items())


def readings_of(step: Step) -> dict[str, list[str]]:
    """Return what a step asks to be measured before and after, and looked at, as questions.

    >>> readings_of(tune_up()[2])["look"][0]
    'Is the load more than the drum is meant for?'
    """
    return {
        "before": [find_measurement(name).question for name in step.before],
        "after": [find_measurement(name).question for name in step.after],
        "look": [find_observation(name).question for name in step.look],
    }
