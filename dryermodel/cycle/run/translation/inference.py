"""What is known about an expression before it is written: what it stands for, and of what kind it is."""

from __future__ import annotations

import ast
import builtins
import math
from types import FunctionType, ModuleType
from typing import TYPE_CHECKING, Any, NoReturn

import numpy as np

from dryermodel.cycle.run.translation import kinds as K
from dryermodel.cycle.run.translation.sources import CannotTranslate, names_of, tree_of

if TYPE_CHECKING:
    from dryermodel.cycle.run.translation.kinds import Kind

BITS = (ast.BitAnd, ast.BitOr, ast.BitXor, ast.LShift, ast.RShift)
WHOLE = (int, len, math.floor, math.ceil, math.trunc)
TESTS = (bool, math.isnan, math.isfinite, math.isinf)


class Inference:
    """Looks at the expressions of one function.

    Parameters
    ----------
    function : function
        The function they stand in.
    """

    def __init__(self, function: FunctionType) -> None:
        self.function = function
        self.tree = tree_of(function)
        self.locals: dict[str, str] = {}
        self.kinds: dict[str, Kind | None] = {}

    def fail(self, node: ast.AST, what: str) -> NoReturn:
        """Refuse a node."""
        raise CannotTranslate(what, self.function.__code__.co_filename, getattr(node, "lineno", 0))

    def outside(self, node: ast.expr) -> Any:
        """Return what an expression of names and modules stands for; NotImplemented if it is of the run."""
        if isinstance(node, ast.Name) and node.id not in self.locals:
            found = self.function.__globals__.get(node.id, getattr(builtins, node.id, NotImplemented))
            return self.fail(node, f"{node.id} is not known") if found is NotImplemented else found
        if isinstance(node, ast.Attribute):
            home = self.outside(node.value)
            if isinstance(home, ModuleType | type):
                return getattr(home, node.attr)
        return NotImplemented

    def kind(self, node: ast.expr) -> Kind | None:
        """Kind of an expression; None while nothing is known yet about a name in it."""
        method = getattr(self, f"_kind_of_{type(node).__name__}", None)
        found: Kind | None = method(node) if method else K.UNKNOWN
        return found

    def _kind_of_Constant(self, node: ast.Constant) -> Kind:
        return K.of_value(node.value)

    def _kind_of_Name(self, node: ast.Name) -> Kind | None:
        if node.id in self.locals:
            return self.kinds.get(node.id)
        return K.of_value(self.outside(node))

    def _kind_of_Attribute(self, node: ast.Attribute) -> Kind | None:
        value = self.outside(node)
        if value is not NotImplemented:
            return K.of_value(value)
        kind = self.kind(node.value)
        if isinstance(kind, type) and node.attr in kind.__annotations__:
            return K.field_kind(kind, node.attr)
        return kind if kind is None else K.UNKNOWN

    def _kind_of_Tuple(self, node: ast.Tuple) -> Kind:
        return tuple(self.kind(part) or K.UNKNOWN for part in node.elts)

    def _kind_of_Subscript(self, node: ast.Subscript) -> Kind | None:
        kind = self.kind(node.value)
        parts = node.slice.elts if isinstance(node.slice, ast.Tuple) else [node.slice]
        for part in parts:
            if not isinstance(part, ast.Slice):
                kind = K.element(kind, _position(part))
        return kind

    def _kind_of_BinOp(self, node: ast.BinOp) -> Kind | None:
        left, right = self.kind(node.left), self.kind(node.right)
        if isinstance(node.op, BITS):
            return K.INT
        if isinstance(node.op, ast.Div):
            return K.FLOAT
        if left is None or right is None:
            return None
        number = {K.BOOL: K.INT}
        left, right = (number.get(k, k) if isinstance(k, str) else k for k in (left, right))
        if isinstance(node.op, ast.Pow) and left == right == K.INT:
            return K.INT if isinstance(node.right, ast.Constant) else K.UNKNOWN
        return K.FLOAT if K.FLOAT in (left, right) else K.join(left, right)

    def _kind_of_UnaryOp(self, node: ast.UnaryOp) -> Kind | None:
        if isinstance(node.op, ast.Not):
            return K.BOOL
        return K.INT if isinstance(node.op, ast.Invert) else self.kind(node.operand)

    def _kind_of_BoolOp(self, node: ast.BoolOp) -> Kind | None:
        return self._joined(*node.values)

    def _kind_of_IfExp(self, node: ast.IfExp) -> Kind | None:
        return self._joined(node.body, node.orelse)

    def _kind_of_Compare(self, node: ast.Compare) -> Kind:
        return K.BOOL

    def _joined(self, *nodes: ast.expr) -> Kind | None:
        found: Kind | None = None
        for node in nodes:
            found = K.join(found, self.kind(node))
        return found

    def _kind_of_Call(self, node: ast.Call) -> Kind | None:
        callee = self.outside(node.func)
        if isinstance(callee, FunctionType):
            told = callee.__annotations__.get("return", "Any")
            return K.annotated(told, names_of(callee)) if isinstance(told, str) else K.UNKNOWN
        if K.is_record(callee):
            return callee  # type: ignore[no-any-return]
        if callee in (max, min):
            return self._joined(*node.args)
        if callee is abs:
            return self.kind(node.args[0])
        if callee in WHOLE:
            return K.INT
        if callee in TESTS:
            return K.BOOL
        if callee in (np.zeros, np.empty):
            return K.UNKNOWN
        return K.FLOAT


def _position(node: ast.expr) -> int | None:
    """An index that is written out; None when it is known only while running."""
    value = node.value if isinstance(node, ast.Constant) else None
    return value if isinstance(value, int) else None
