"""The interpreted and the compiled engine give the same bits, so that it makes no difference which one ran."""

from __future__ import annotations

import ast

import pytest

from dryermodel.cycle.run.reach import reachable
from dryermodel.cycle.run.rows import run_rows
from dryermodel.cycle.run.translation.sources import tree_of


def test_whole_powers_are_products() -> None:
    """``x ** 2`` is a library's power when interpreted and a product when compiled: not always the same."""
    for function in reachable(run_rows):
        for node in ast.walk(tree_of(function)):
            if isinstance(node, ast.BinOp) and isinstance(node.op, ast.Pow):
                whole = isinstance(node.right, ast.Constant) and float(node.right.value) % 0.5 == 0.0
                assert not whole, f"{function.__module__}.{function.__name__}:{node.lineno}"
