"""The syntax tree of a function, with the file's own line numbers."""

from __future__ import annotations

import ast
import sys
from functools import cache
from importlib import import_module
from pathlib import Path
from types import FunctionType
from typing import Any


class CannotTranslate(Exception):
    """Something in a function has no translation; the message starts with file and line."""

    def __init__(self, what: str, file: str, line: int) -> None:
        super().__init__(f"{file}:{line}: {what}")


@cache
def _module_tree(file: str) -> ast.Module:
    return ast.parse(Path(file).read_text(encoding="utf-8"))


def tree_of(function: FunctionType) -> ast.FunctionDef:
    """Return the definition of a function. Decorated and nested functions are refused."""
    code = function.__code__
    for node in _module_tree(code.co_filename).body:
        if isinstance(node, ast.FunctionDef) and node.name == function.__name__:
            if node.decorator_list:
                raise CannotTranslate("a decorated function", code.co_filename, node.lineno)
            if node.lineno == code.co_firstlineno:
                return node
    raise CannotTranslate(
        f"{function.__name__} is not a plain function of its module", code.co_filename, code.co_firstlineno
    )


def names_of(function: FunctionType) -> dict[str, Any]:
    """Names that a function's annotations may use."""
    return names_in(function.__module__)


@cache
def names_in(module: str) -> dict[str, Any]:
    """Names of a module, with those that it imports for type checkers only."""
    own = vars(sys.modules[module])
    names = dict(own)
    for node in ast.walk(_module_tree(own["__file__"])):
        if isinstance(node, ast.ImportFrom) and node.module and not node.level:
            for alias in node.names:
                name = alias.asname or alias.name
                if name not in names:
                    names[name] = getattr(import_module(node.module), alias.name, None)
    return names
