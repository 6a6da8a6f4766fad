"""Imports point one way, in the order of `ROOMS`; the package root is held to it too."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

import dryermodel
from tests.rooms import GUIDE, arrows, drawing, embedded, order, uses

ROOT = Path(dryermodel.__file__).parent
ROOMS = [
    "physics",
    "machine",
    "cycle",
    "readings",
    "scenario",
    "findings",
    "bench",
    "studies",
    "field",
    "inference",
    "show",
    "cli",
]
SHARED = {"vocabulary", "kinds", "units", "unit_names", "written", "files", "errors", "__version__"}
"""Known from cycle on."""
PURE = {"physics", "machine"}  # know no units library and no errors for people
INSIDE = {"cycle": ["engine", "run"]}  # rooms within a room, in their own order
FRONT_DOOR = {"__init__", "__main__"}  # may know every room

FILES = sorted(ROOT.rglob("*.py"))


def room_of(file: Path) -> str:
    """First part of a module's name: its room, or the file's own name at the root."""
    first = file.relative_to(ROOT).parts[0]
    return first.removesuffix(".py")


def imported(file: Path) -> set[str]:
    """Full names of what a file imports from this package, inside functions and for types included."""
    return {resolved(".".join(parts)) for parts in uses(file, "dryermodel")}


def resolved(name: str) -> str:
    """A public name of the package root counts as the module that it comes from."""
    first = name.split(".")[1]
    return f"{dryermodel._HOMES[first]}.{first}" if first in dryermodel._HOMES else name


def complaint(room: str, used: str) -> str | None:
    """What is wrong with `room` importing from `used`; None when nothing is."""
    if used in SHARED:
        return f"{room} must not know {used}" if room in PURE else None
    if room in FRONT_DOOR:
        return None
    if room not in ROOMS:
        return None if used in SHARED else f"{room} stands outside the rooms and must not know {used}"
    if used not in ROOMS:
        return f"{used} is no room"
    return None if ROOMS.index(used) <= ROOMS.index(room) else f"{room} must not know {used}"


@pytest.mark.parametrize("file", FILES, ids=lambda f: f.relative_to(ROOT).as_posix())
def test_imports_point_to_earlier_rooms(file: Path) -> None:
    for name in imported(file):
        assert not (found := complaint(room_of(file), name.split(".")[1])), f"{found} ({name})"


@pytest.mark.parametrize("file", FILES, ids=lambda f: f.relative_to(ROOT).as_posix())
def test_rooms_within_a_room_keep_their_order(file: Path) -> None:
    room, *rest = file.relative_to(ROOT).parts
    order = INSIDE.get(room, [])
    if not rest or rest[0] not in order:
        return
    for name in imported(file):
        parts = name.split(".")
        if parts[1] == room and parts[2] in order:
            assert order.index(parts[2]) <= order.index(rest[0]), name


def test_the_rule_can_fail() -> None:
    assert complaint("cycle", "show")
    assert complaint("physics", "units")
    assert complaint("errors", "cli")
    assert resolved("dryermodel.simulate").startswith("dryermodel.scenario.")
    assert complaint("cycle", resolved("dryermodel.simulate").split(".")[1])
    assert complaint("scenario", "cycle") is None


def test_every_room_is_covered() -> None:
    rooms = {p.name for p in ROOT.iterdir() if p.is_dir() and not p.name.startswith("__")}
    assert rooms <= set(ROOMS)
    assert len(FILES) > 20


def test_physics_and_machine_need_nothing_but_math_and_typing() -> None:
    allowed = {"__future__", "math", "typing"}
    for file in FILES:
        if room_of(file) not in PURE:
            continue
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Import):
                assert {a.name for a in node.names} <= allowed, file
            elif isinstance(node, ast.ImportFrom) and not (node.module or "").startswith("dryermodel"):
                assert node.module in allowed, file


def test_outlets_have_the_same_file_names() -> None:
    """What is shown as data or drawn is also to be read, in a file of the same name."""
    text, data, plots = (
        {file.stem for file in (ROOT / "show" / outlet).glob("*.py")} for outlet in ("text", "data", "plots")
    )
    assert data - text == {"envelope", "numbers"}, "helps of the data alone"
    studies = {"cycle", "comparison", "sweep", "sensitivity", "spread"}
    assert studies <= text & data & plots


LONGEST = 500  # lines
TABLES = {"dryermodel/vocabulary.py"}
"""Files that are a table of data rather than code."""


def test_no_file_is_too_long_to_be_read() -> None:
    """One that is falls apart along a seam of what is in it, or is a table named above."""
    package = [file for file in FILES if file.relative_to(ROOT.parent).as_posix() not in TABLES]
    tests = sorted(Path(__file__).parent.rglob("*.py"))
    lengths = {file: len(file.read_text(encoding="utf-8").splitlines()) for file in (*package, *tests)}
    assert len(tests) > 100
    assert {file.name: lines for file, lines in lengths.items() if lines > LONGEST} == {}


def test_modules_that_the_guide_names_are_there() -> None:
    rows = re.findall(r"^\| `([a-z/]+/)` \| (.*) \|$", GUIDE.read_text(encoding="utf-8"), re.M)
    assert len(rows) > 9
    for folder, words in rows:
        places = [ROOT / folder, (ROOT / folder).parent]
        for name in re.findall(r"`(\w+/?)`", words):
            there = [p / name if name.endswith("/") else p / f"{name}.py" for p in places]
            there += [p / name for p in places]
            assert any(path.exists() for path in there), f"{folder}: {name}"


# The drawing --------------------------------------------------------------------------------------


def test_the_guide_shows_the_rooms_as_they_are() -> None:
    """After a new import between two rooms: ``python -m tests.rooms --write``."""
    text = GUIDE.read_text(encoding="utf-8")
    assert embedded(text, drawing(ROOT)) == text, "python -m tests.rooms --write"


def test_arrows_are_the_imports_that_the_rule_sees() -> None:
    seen = {(room_of(f), name.split(".")[1]) for f in FILES for name in imported(f)}
    between = {(user, used) for user, used in seen if user != used and {user, used} <= set(ROOMS)}
    assert {link for link in arrows(ROOT) if "edges" not in link} == between


def test_drawing_of_a_small_tree(tmp_path: Path) -> None:
    for name, text in (
        ("a/x.py", ""),
        ("b/y.py", "from pack.a.x import z\nimport pack.c.v\n"),
        ("c/v.py", "def f():\n    from pack.beside import g\n"),
        ("beside.py", ""),
        ("__init__.py", "from pack.b import y\n"),
    ):
        (tmp_path / "pack" / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / "pack" / name).write_text(text, encoding="utf-8")
    chart = drawing(tmp_path / "pack").splitlines()
    assert chart == ["flowchart LR", "    a --> b", "    c --> b", '    edges["beside"] -.-> c']
    assert order({("b", "a"), ("a", "b"), ("b", "c")}) == ["c", "a", "b"], "a circle still ends"
