"""Where the physics comes from: nearly every public function names its source, and the source is there."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

import dryermodel.physics

FILES = sorted(Path(dryermodel.physics.__file__).parent.glob("[a-z]*.py"))
LISTED = re.compile(r"^(?:\.\. \[(\d+)\]|(\d+)\.) ", re.MULTILINE)
CITED = re.compile(r"\[(\d+)\]_")


def functions(file: Path) -> list[tuple[str, str]]:
    """Public functions of a file with their docstrings."""
    tree = ast.parse(file.read_text(encoding="utf-8"))
    found = [n for n in tree.body if isinstance(n, ast.FunctionDef) and not n.name.startswith("_")]
    return [(f"{file.stem}.{n.name}", ast.get_docstring(n) or "") for n in found]


def own_references(docstring: str) -> str:
    """What stands under the heading, up to an example."""
    section = docstring.partition("References\n----------\n")[2]
    return section.partition(">>>")[0].partition("\n\n")[0].strip()


def sourced(docstring: str) -> bool:
    return bool(own_references(docstring)) or bool(CITED.search(docstring))


ALL = [item for file in FILES for item in functions(file)]


def test_nineteen_in_twenty_name_their_source() -> None:
    without = [name for name, docstring in ALL if not sourced(docstring)]
    assert len(ALL) > 80
    assert len(without) <= 0.05 * len(ALL), without


def test_most_have_an_example_that_runs() -> None:
    without = [name for name, docstring in ALL if ">>>" not in docstring]
    assert len(without) <= 0.3 * len(ALL), without


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_a_number_that_is_cited_stands_in_the_list(file: Path) -> None:
    head = ast.get_docstring(ast.parse(file.read_text(encoding="utf-8"))) or ""
    listed = {a or b for a, b in LISTED.findall(head.partition("References\n")[2])}
    for name, docstring in functions(file):
        cited = {*CITED.findall(docstring), *re.findall(r"\[(\d+)\]", own_references(docstring))}
        assert cited <= listed | {a or b for a, b in LISTED.findall(docstring)}, name


def test_the_rule_can_fail() -> None:
    assert not sourced("Pressure [Pa] at 1 [1].")
    assert not sourced("Sum.\n\nReferences\n----------\n\n>>> 1\n1")
    assert sourced("Sum.\n\nReferences\n----------\n[3], [5].\n\n>>> 1\n1")
    assert sourced("Sum by the rule [2]_.")
