"""The lesson's scripts under Node, and what it sets as scenarios of the command line."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

from dryermodel.scenario.model import Scenario, load_scenario
from dryermodel.show.pages.lesson.page import data, library
from tests.show.pages.pocket_node import run_page

SCRIPTS = ("circuits", "core", "setup", "telling", "measures")

CAME: dict[str, Any] = {"values": {}, "mix": None, "wiring": "thermostat"}
"""The machine as it came."""

FAMILY = {"shirts and sheets": 35, "test cloth": 40, "jeans": 25}


@cache
def lesson_data(machine: str = "standard") -> dict[str, Any]:
    """The page's data, made once."""
    return data(load_scenario(machine))


def in_lesson(script: str, question: object = None, machine: str = "standard") -> Any:
    """What a script leaves in `answer`; it finds `given.question` and the page's own names."""
    given = {"data": lesson_data(machine), "question": question}
    return run_page("dryermodel.show.pages.lesson", library(), SCRIPTS, given, script)


def as_scenario(text: str, folder: Path) -> Scenario:
    """The scenario that the page writes, read as the command line reads it."""
    file = folder / "mine.toml"
    file.write_text(text, encoding="utf-8")
    return load_scenario(str(file))
