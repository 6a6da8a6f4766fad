"""What a function is made of: every function of ours that it calls, and the constants they use."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterator
from types import CodeType, FunctionType
from typing import Any

_PACKAGE = __name__.partition(".")[0]


def reachable(function: Callable[..., Any]) -> tuple[FunctionType, ...]:
    """Return `function` and what it calls, directly or not, of this package or of its own module.

    In the order in which they are met, so that it is the same at every call.
    """
    assert isinstance(function, FunctionType)
    found: dict[FunctionType, None] = {}
    waiting = [function]
    while waiting:
        present = waiting.pop(0)
        if present not in found:
            found[present] = None
            waiting += called(present)
    return tuple(found)


def called(function: FunctionType) -> list[FunctionType]:
    """Functions of this package, or of the function's own module, that it names."""
    homes = (f"{_PACKAGE}.", function.__module__)
    named = (function.__globals__.get(name) for name in function.__code__.co_names)
    return [f for f in named if isinstance(f, FunctionType) and f.__module__.startswith(homes)]


def fingerprint(function: Callable[..., Any]) -> str:
    """Return a short hash of all that decides what a function computes.

    That is the code of everything reachable from it with the values of the constants it uses. Comments,
    docstrings and what else stands in the same files do not matter.
    """
    digest = hashlib.sha256()
    for part in reachable(function):
        for piece in _pieces(part):
            digest.update(repr(piece).encode())
    return digest.hexdigest()[:16]


def _pieces(function: FunctionType) -> Iterator[Any]:
    code = function.__code__
    yield function.__module__, function.__qualname__, function.__defaults__
    yield code.co_code, code.co_names, code.co_varnames, [*_constants(code)]
    for name in code.co_names:
        value: Any = function.__globals__.get(name)
        if isinstance(value, type):
            yield name, getattr(value, "_fields", ()), getattr(value, "_field_defaults", {})
        elif isinstance(value, int | float | tuple):
            yield name, value
        elif hasattr(value, "tolist"):
            yield name, value.tolist()


def _constants(code: CodeType) -> Iterator[Any]:
    for constant in code.co_consts:
        # No text: the engine uses none but docstrings, and where one could stand is None.
        if not isinstance(constant, str | CodeType | None):
            yield constant
