"""Imports point one way, in the order of `LAYERS`."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

import dryermodel

ROOT = Path(dryermodel.__file__).parent
LAYERS = ["physics", "machine", "cycle", "scenario", "studies", "field", "inference", "show", "cli"]
SHARED = {"units", "unit_names", "errors"}  # at the edges of every layer from cycle on
PURE = {"physics", "machine"}  # know no units library and no errors for people

FILES = sorted(file for layer in LAYERS for file in (ROOT / layer).rglob("*.py"))


def imported(file: Path) -> set[str]:
    names = set()
    for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            names |= {f"{node.module}.{alias.name}" for alias in node.names}
    return {name for name in names if name.startswith("dryermodel.")}


@pytest.mark.parametrize("file", FILES, ids=lambda f: f.relative_to(ROOT).as_posix())
def test_imports_point_to_lower_layers(file: Path) -> None:
    layer = file.relative_to(ROOT).parts[0]
    for name in imported(file):
        used = name.split(".")[1]
        if used in LAYERS:
            assert LAYERS.index(used) <= LAYERS.index(layer), f"{layer} must not know {name}"
        elif used in SHARED:
            assert layer not in PURE, f"{layer} must not know {name}"


def test_every_room_is_covered() -> None:
    rooms = {p.name for p in ROOT.iterdir() if p.is_dir() and not p.name.startswith("__")}
    assert rooms <= set(LAYERS)
    assert len(FILES) > 20


def test_physics_and_machine_need_nothing_but_math_and_typing() -> None:
    allowed = {"__future__", "math", "typing"}
    for file in FILES:
        if file.relative_to(ROOT).parts[0] not in PURE:
            continue
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Import):
                assert {a.name for a in node.names} <= allowed, file
            elif isinstance(node, ast.ImportFrom) and not (node.module or "").startswith("dryermodel"):
                assert node.module in allowed, file
