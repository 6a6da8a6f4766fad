"""The library's reference: one page a room, every public module of it, from docstrings."""

from __future__ import annotations

import importlib
import pkgutil
import types
from collections.abc import Callable, Iterator

ROOMS = {
    "physics": "Physics: pure functions in SI",
    "machine": "Contacts, ignition, thermostats, timer",
    "cycle": "The cycle: engine and runs",
    "readings": "Readings",
    "scenario": "Scenarios and faults",
    "bench": "Bench sums",
    "findings": "Judgements",
    "field": "Visits and logs",
    "studies": "Studies of many cycles",
    "inference": "From what was measured to what is wrong",
    "show": "Text, pictures and pages",
}
"""Rooms with a page of reference, in the order in which data flows."""

EDGES = ("units", "unit_names", "vocabulary", "kinds", "written", "errors", "files")
"""Modules that stand beside the rooms."""


def modules(room: str) -> Iterator[str]:
    """Names of the public modules of a room, the room's own first."""
    package = importlib.import_module(f"dryermodel.{room}")
    yield package.__name__
    found = pkgutil.walk_packages(package.__path__, f"{package.__name__}.")
    for part in sorted(found, key=lambda module: module.name):
        if "._" not in part.name:
            yield part.name


def aliases(module: str) -> list[str]:
    """Names that a module gives to composed types, or that come from C: they have no signature to show."""
    kinds = (types.GenericAlias, types.UnionType, types.BuiltinFunctionType, type(Callable[[], int]))
    return [name for name, held in vars(importlib.import_module(module)).items() if isinstance(held, kinds)]


def entry(module: str) -> list[str]:
    """Lines that show one module."""
    lines = [module, "-" * len(module), "", f".. automodule:: {module}", "   :members:"]
    hidden = aliases(module)
    if hidden:
        lines.append(f"   :exclude-members: {', '.join(hidden)}")
    return [*lines, ""]


def reference(room: str, title: str) -> str:
    """Page of the library's reference for a room."""
    lines = [title, "=" * len(title), ""]
    for name in modules(room):
        lines += entry(name)
    return "\n".join(lines)


def edges() -> str:
    """Page of the modules that stand beside the rooms."""
    title = "Units, names, errors, files"
    lines = [title, "=" * len(title), ""]
    for name in EDGES:
        lines += entry(f"dryermodel.{name}")
    return "\n".join(lines)
