"""The syntax of the engine's functions: what a walk through it looks up."""

from __future__ import annotations

import ast
import inspect
import textwrap
from collections.abc import Callable, Iterable, Iterator
from functools import cache
from typing import Any

CHEAP = {"min", "max", "abs", "float", "sqrt", "copysign"}
"""Calls that cost no more than passing over them."""


class NotTranslatable(Exception):
    """Something in the source that has no form for many lanes."""


@cache
def body_of(function: Callable[..., Any]) -> ast.FunctionDef:
    """Syntax tree of a function."""
    tree = ast.parse(textwrap.dedent(inspect.getsource(function))).body[0]
    assert isinstance(tree, ast.FunctionDef)
    return tree


class Known(ast.expr):
    """An expression whose value is at hand."""

    def __init__(self, value: Any) -> None:
        super().__init__()
        self.value = value


def _nodes(source: Iterable[ast.AST]) -> Iterator[ast.AST]:
    for statement in source:
        yield from ast.walk(statement)


def has(source: Iterable[ast.AST], *kinds: type[ast.AST]) -> bool:
    """Whether statements hold a node of a kind."""
    return any(isinstance(node, kinds) for node in _nodes(source))


def names_it(source: Iterable[ast.AST], name: str) -> bool:
    """Whether statements name a variable."""
    return any(isinstance(node, ast.Name) and node.id == name for node in _nodes(source))


def assigned(source: Iterable[ast.AST]) -> set[str]:
    """Names that statements give values to."""
    found = (node for node in _nodes(source) if isinstance(node, ast.Name))
    return {node.id for node in found if isinstance(node.ctx, ast.Store)}


def is_dear(source: Iterable[ast.AST]) -> bool:
    """Whether statements cost more than passing over them: they call something, or go round in a loop."""
    for node in _nodes(source):
        if isinstance(node, ast.Call):
            name = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
            if name not in CHEAP and not name[:1].isupper():
                return True
    return False
