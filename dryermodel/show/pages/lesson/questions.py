"""The questions of the lesson: words, what is run for each, and how its answer is measured."""

from __future__ import annotations

import tomllib
from importlib.resources import files
from typing import Any

from dryermodel.show.pages.lesson.settings import WIRINGS, amount

MIX, WIRING = "mix", "wiring"
"""Keys of a run that are not sliders: kinds of cloth with their parts, and the switch for the wiring."""


def questions() -> list[dict[str, Any]]:
    """Return the questions in their order, values in SI."""
    text = files(__package__).joinpath("questions.toml").read_text(encoding="utf-8")
    return [_question(entry) for entry in tomllib.loads(text)["question"]]


def _question(entry: dict[str, Any]) -> dict[str, Any]:
    """One question; ValueError where an answer has no explanation or a run names no known wiring."""
    missing = set(entry["choices"]) - set(entry["why"])
    if missing:
        raise ValueError(f"{entry['id']}: no explanation for {', '.join(sorted(missing))}")
    # Pairs, because a template writes the keys of a table in the order of the alphabet.
    choices = [[key, words] for key, words in entry["choices"].items()]
    return {**entry, "choices": choices, "runs": [_run(run) for run in entry["runs"]]}


def _run(run: dict[str, Any]) -> dict[str, Any]:
    wiring = run.get(WIRING)
    if wiring is not None and wiring not in WIRINGS:
        raise ValueError(f"'{wiring}' is no wiring of the lesson; they are {', '.join(WIRINGS)}")
    values = {key: amount(key, text) for key, text in run.items() if key not in (MIX, WIRING)}
    return {"values": values, "mix": run.get(MIX), "wiring": wiring}
