"""What kind of value an expression has, as far as the choice of JavaScript depends on it."""

from __future__ import annotations

import ast
from typing import Any, TypeAlias, get_args

from dryermodel.cycle.run.translation.sources import names_in

BOOL, INT, FLOAT, VECTOR, FLAGS, MATRIX, NONE, UNKNOWN = (
    "bool",
    "int",
    "float",
    "Vector",
    "Flags",
    "Matrix",
    "None",
    "",
)

Kind: TypeAlias = "str | type[Any] | tuple[Kind, ...]"
"""A word, the class of a record (a named tuple), or the kinds of a tuple's elements."""

ELEMENTS = {VECTOR: FLOAT, FLAGS: INT, MATRIX: VECTOR}
_WORDS = {BOOL, INT, FLOAT, VECTOR, FLAGS, MATRIX, NONE}


def is_record(value: object) -> bool:
    """Whether `value` is the class of a named tuple."""
    return isinstance(value, type) and issubclass(value, tuple) and hasattr(value, "_fields")


def join(a: Kind | None, b: Kind | None) -> Kind | None:
    """Kind of a name that is given values of two kinds; None stands for "not seen yet".

    >>> join("int", "float"), join("bool", "int"), join(None, "bool")
    ('float', '', 'bool')
    """
    if a is None or b is None:
        return b if a is None else a
    if isinstance(a, tuple) and isinstance(b, tuple) and len(a) == len(b):
        return tuple(join(x, y) or UNKNOWN for x, y in zip(a, b, strict=True))
    if {str(a), str(b)} == {INT, FLOAT}:
        return FLOAT
    return a if a == b else UNKNOWN


def annotated(text: str, names: dict[str, Any]) -> Kind:
    """Kind that an annotation tells of; `names` are those of its module.

    >>> annotated("tuple[int, float, bool]", {}), annotated("Any", {})
    (('int', 'float', 'bool'), '')
    """
    return _of_node(ast.parse(text, mode="eval").body, names)


def _of_node(node: ast.expr, names: dict[str, Any]) -> Kind:
    if isinstance(node, ast.Constant) and node.value is None:
        return NONE
    if isinstance(node, ast.Name):
        found: Kind | None = names.get(node.id)
        if found is not None and is_record(found):
            return found
        return node.id if node.id in _WORDS else UNKNOWN
    if isinstance(node, ast.Subscript) and isinstance(node.value, ast.Name) and node.value.id == "tuple":
        parts = node.slice.elts if isinstance(node.slice, ast.Tuple) else [node.slice]
        if not any(isinstance(part, ast.Constant) and part.value is Ellipsis for part in parts):
            return tuple(_of_node(part, names) for part in parts)
    return UNKNOWN


def field_kind(record: type[Any], field: str) -> Kind:
    """Kind of a record's field by its annotation."""
    told = record.__annotations__[field]
    text = getattr(told, "__forward_arg__", told)
    if not isinstance(text, str):
        text = (
            "None" if told is None else getattr(told, "__name__", "Any") if not get_args(told) else str(told)
        )
    return annotated(text, names_in(record.__module__))


def of_value(value: object) -> Kind:
    """Kind of a constant.

    >>> of_value((1, 2.0)), of_value(True)
    (('int', 'float'), 'bool')
    """
    if isinstance(value, bool):
        return BOOL
    if isinstance(value, int | float):
        return INT if isinstance(value, int) else FLOAT
    if isinstance(value, tuple):
        return tuple(of_value(part) for part in value)
    return NONE if value is None else UNKNOWN


def element(kind: Kind | None, index: int | None = None) -> Kind | None:
    """Kind of what is found at one index; the index is None when it is known only while running."""
    if isinstance(kind, tuple):
        if index is not None:
            return kind[index] if -len(kind) <= index < len(kind) else UNKNOWN
        found: Kind | None = None
        for part in kind:
            found = join(found, part)
        return found
    return ELEMENTS.get(kind, UNKNOWN) if isinstance(kind, str) else kind if kind is None else UNKNOWN
