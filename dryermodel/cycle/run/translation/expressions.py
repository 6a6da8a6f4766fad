"""Expressions: each kind of node that is known, and what it reads like in JavaScript."""

from __future__ import annotations

import ast
import math
from collections.abc import Sequence
from functools import reduce
from types import FunctionType
from typing import TYPE_CHECKING, Any

import numpy as np

from dryermodel.cycle.run.translation import kinds as K
from dryermodel.cycle.run.translation.inference import Inference
from dryermodel.cycle.run.translation.sources import tree_of

if TYPE_CHECKING:
    from dryermodel.cycle.run.translation.program import Program

OPERATORS: dict[type[ast.operator], str] = {
    ast.Add: "+",
    ast.Sub: "-",
    ast.Mult: "*",
    ast.Div: "/",
    ast.BitAnd: "&",
    ast.BitOr: "|",
    ast.BitXor: "^",
    ast.LShift: "<<",
    ast.RShift: ">>",
}
ORDER: dict[type[ast.cmpop], str] = {ast.Lt: "<", ast.LtE: "<=", ast.Gt: ">", ast.GtE: ">="}

_SAME_NAME = (
    math.sqrt, math.exp, math.log, math.log10, math.log2, math.log1p, math.expm1, math.sin, math.cos,
    math.tan, math.asin, math.acos, math.atan, math.sinh, math.cosh, math.tanh, math.cbrt,
)  # fmt: skip
CALLS: dict[Any, tuple[int, str]] = {
    **{function: (1, f"Math.{function.__name__}({{}})") for function in _SAME_NAME},
    abs: (1, "Math.abs({})"),
    len: (1, "{}.length"),
    float: (1, "(+{})"),
    # An int has no negative zero.
    int: (1, "(Math.trunc({}) + 0)"),
    math.trunc: (1, "(Math.trunc({}) + 0)"),
    math.floor: (1, "(Math.floor({}) + 0)"),
    math.ceil: (1, "(Math.ceil({}) + 0)"),
    math.fabs: (1, "Math.abs({})"),
    math.isnan: (1, "Number.isNaN({})"),
    math.isfinite: (1, "Number.isFinite({})"),
    math.isinf: (1, "(Math.abs({}) === Infinity)"),
    math.atan2: (2, "Math.atan2({}, {})"),
    math.copysign: (2, "$copysign({}, {})"),
    math.fmod: (2, "({} % {})"),
    math.pow: (2, "$pow({}, {})"),
}
"""Functions that are known: number of arguments and JavaScript."""


class Expressions(Inference):
    """Translates the expressions of one function.

    Parameters
    ----------
    function : function
        The function they stand in.
    program : Program
        Gives what they use from outside their function its name.
    """

    def __init__(self, function: FunctionType, program: Program) -> None:
        super().__init__(function)
        self.program = program

    def js(self, node: ast.expr) -> str:
        """JavaScript of an expression, in brackets where it could be misread."""
        method = getattr(self, f"_{type(node).__name__}", None)
        return str(method(node)) if method else self.fail(node, f"{type(node).__name__} is not known")

    def truth(self, node: ast.expr) -> str:
        """JavaScript of a condition. Only truth values and numbers have one that both languages share."""
        kind = self.kind(node)
        if kind == K.BOOL:
            return self.js(node)
        if kind in (K.INT, K.FLOAT):
            return f"({self.js(node)} !== 0)"
        return self.fail(node, "a condition that is not known to be a truth value; write a comparison")

    def _Constant(self, node: ast.Constant) -> str:
        return literal(node.value, lambda what: self.fail(node, what))

    def _Name(self, node: ast.Name) -> str:
        if node.id in self.locals:
            return self.locals[node.id]
        return self.program.constant(node.id, self.outside(node), lambda what: self.fail(node, what))

    def _Attribute(self, node: ast.Attribute) -> str:
        value = self.outside(node)
        if value is not NotImplemented:
            return literal(value, lambda what: self.fail(node, what))
        kind = self.kind(node.value)
        if isinstance(kind, type) and node.attr not in kind._fields:
            self.fail(node, f"{kind.__name__} has no field {node.attr}")
        return f"{self.js(node.value)}.{node.attr}"

    def _Tuple(self, node: ast.Tuple | ast.List) -> str:
        return f"[{', '.join(self.js(part) for part in node.elts)}]"

    _List = _Tuple

    def _Subscript(self, node: ast.Subscript) -> str:
        text = self.js(node.value)
        if isinstance(self.kind(node.value), type):
            self.fail(node, "a record's field by position")
        parts = node.slice.elts if isinstance(node.slice, ast.Tuple) else [node.slice]
        for i, part in enumerate(parts):
            if not isinstance(part, ast.Slice):
                text += f"[{self._index(text, part)}]"
            elif part.step is not None or i + 1 < len(parts):
                self.fail(node, "a slice with a step, or across rows")
            else:
                ends = [
                    self.js(end) if end else "undefined"
                    for end in (part.lower or ast.Constant(0), part.upper)
                ]
                text = f"$view({text}, {', '.join(ends)})"
        return text

    def _index(self, array: str, node: ast.expr) -> str:
        if isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.USub):
            return f"{array}.length - {self.js(node.operand)}"
        return self.js(node)

    def _BinOp(self, node: ast.BinOp) -> str:
        left, right = self.js(node.left), self.js(node.right)
        whole = " + 0" if self.kind(node) == K.INT else ""  # an int has no negative zero
        if isinstance(node.op, ast.Pow):
            return self._power(node, left, right)
        if isinstance(node.op, ast.FloorDiv | ast.Mod):
            name = "$quotient" if isinstance(node.op, ast.FloorDiv) else "$remainder"
            return f"({name}({left}, {right}){whole})"
        if type(node.op) not in OPERATORS:
            self.fail(node, f"{type(node.op).__name__} is not known")
        whole = whole if isinstance(node.op, ast.Mult) else ""
        return f"({left} {OPERATORS[type(node.op)]} {right}{whole})"

    def _power(self, node: ast.BinOp, left: str, right: str) -> str:
        exponent = node.right.value if isinstance(node.right, ast.Constant) else None
        if exponent in (2, 4):
            return f"$square({left})" if exponent == 2 else f"$square($square({left}))"
        return f"$pow({left}, {right})"

    def _UnaryOp(self, node: ast.UnaryOp) -> str:
        if isinstance(node.op, ast.Not):
            return f"!{self.truth(node.operand)}"
        text, constant = self.js(node.operand), isinstance(node.operand, ast.Constant)
        if isinstance(node.op, ast.USub):
            could_be_zero = self.kind(node.operand) == K.INT and not (constant and text != "0")
            return f"(0 - {text})" if could_be_zero else f"(-{text})"
        return f"({'~' if isinstance(node.op, ast.Invert) else '+'}{text})"

    def _BoolOp(self, node: ast.BoolOp) -> str:
        if self.kind(node) != K.BOOL:
            self.fail(node, "and/or of what is not known to be truth values")
        sign = " && " if isinstance(node.op, ast.And) else " || "
        return f"({sign.join(self.truth(part) for part in node.values)})"

    def _IfExp(self, node: ast.IfExp) -> str:
        return f"({self.truth(node.test)} ? {self.js(node.body)} : {self.js(node.orelse)})"

    def _Compare(self, node: ast.Compare) -> str:
        sides = [node.left, *node.comparators]
        for middle in sides[1:-1]:
            self._simple(middle, "the middle of a chain of comparisons")
        pairs = zip(sides, node.ops, sides[1:], strict=False)
        told = [self._comparison(node, left, op, right) for left, op, right in pairs]
        return told[0] if len(told) == 1 else f"({' && '.join(told)})"

    def _comparison(self, node: ast.Compare, left: ast.expr, op: ast.cmpop, right: ast.expr) -> str:
        if type(op) in ORDER:
            return f"({self.js(left)} {ORDER[type(op)]} {self.js(right)})"
        if isinstance(op, ast.Is | ast.IsNot):
            if not (isinstance(right, ast.Constant) and right.value is None):
                self.fail(node, "'is' with anything but None")
            return f"({self.js(left)} {'==' if isinstance(op, ast.Is) else '!='} null)"
        if isinstance(op, ast.Eq | ast.NotEq):
            return self._equality(node, left, right, "==" if isinstance(op, ast.Eq) else "!=")
        if not isinstance(right, ast.Tuple):
            self.fail(node, "'in' with anything but a tuple written out")
        self._simple(left, "what is looked for in a tuple")
        found = " || ".join(self._equality(node, left, part, "==") for part in right.elts)
        return f"({found})" if isinstance(op, ast.In) else f"!({found})"

    def _equality(self, node: ast.Compare, left: ast.expr, right: ast.expr, sign: str) -> str:
        """Equality as Python has it: True equals 1; tuples, records and arrays are refused."""
        for side in (left, right):
            kind = self.kind(side)
            if isinstance(kind, type | tuple) or kind in K.ELEMENTS:
                self.fail(node, "equality of tuples or arrays")
        return f"({self.js(left)} {sign} {self.js(right)})"

    def _simple(self, node: ast.expr, what: str) -> None:
        """Refuse what is evaluated once in Python, would be twice here, and could tell the difference."""
        for part in ast.walk(node):
            if isinstance(part, ast.Call) and isinstance(self.outside(part.func), FunctionType):
                self.fail(node, f"a call in {what}")

    def _Call(self, node: ast.Call) -> str:
        callee = self.outside(node.func)
        if isinstance(callee, FunctionType):
            return self._function_call(node, callee)
        if K.is_record(callee):
            fields: tuple[str, ...] = callee._fields
            given = self._arguments(node, fields, len(fields) - len(callee._field_defaults))
            return f"new {self.program.record(callee)}({', '.join(given)})"
        if node.keywords and callee not in (np.zeros, np.empty):
            self.fail(node, "arguments by name")
        if callee in (np.zeros, np.empty):
            return self._blank_array(node)
        return self._known_call(node, callee)

    def _function_call(self, node: ast.Call, callee: FunctionType) -> str:
        homes = {self.function.__module__.partition(".")[0], "dryermodel"}
        if callee.__module__.partition(".")[0] not in homes:
            self.fail(node, f"{callee.__module__}.{callee.__name__} is not ours to translate")
        arguments = tree_of(callee).args
        if arguments.vararg or arguments.kwarg or arguments.kwonlyargs or arguments.posonlyargs:
            self.fail(node, f"{callee.__name__} takes arguments that are not plain")
        names = [argument.arg for argument in arguments.args]
        optional = len(callee.__defaults__ or ())
        given = self._arguments(node, names, len(names) - optional)
        return f"{self.program.function(callee)}({', '.join(given)})"

    def _arguments(self, node: ast.Call, names: Sequence[str], needed: int) -> list[str]:
        """Arguments in the order of `names`."""
        given: dict[str, str] = {}
        if len(node.args) > len(names) or any(isinstance(a, ast.Starred) for a in node.args):
            self.fail(node, "arguments that do not fit")
        given.update(zip(names, (self.js(argument) for argument in node.args), strict=False))
        for keyword in node.keywords:
            if keyword.arg is None or keyword.arg not in names or keyword.arg in given:
                self.fail(node, f"argument {keyword.arg} does not fit")
            given[keyword.arg] = self.js(keyword.value)
        for name in names[:needed]:
            if name not in given:
                self.fail(node, f"argument {name} is missing")
        last = max((i for i, name in enumerate(names) if name in given), default=-1)
        return [given.get(name, "undefined") for name in names[: last + 1]]

    def _blank_array(self, node: ast.Call) -> str:
        dtype = [self.outside(word.value) for word in node.keywords if word.arg == "dtype"]
        if len(node.args) != 1 or len(node.keywords) != len(dtype) or dtype not in ([], [np.int64], [float]):
            self.fail(node, "an array other than zeros of float or int64")
        kind = "Int32Array" if dtype == [np.int64] else "Float64Array"
        shape = node.args[0]
        if not isinstance(shape, ast.Tuple):
            return f"new {kind}({self.js(shape)})"
        if len(shape.elts) != 2:
            self.fail(node, "an array of more than two dimensions")
        return f"$rows({self.js(shape.elts[0])}, {self.js(shape.elts[1])}, {kind})"

    def _known_call(self, node: ast.Call, callee: Any) -> str:
        given = [self.js(argument) for argument in node.args]
        if callee in (max, min) and len(given) >= 2:
            return reduce(lambda best, other: f"${callee.__name__}({best}, {other})", given)
        if callee is bool and len(given) == 1:
            return self.truth(node.args[0])
        if callee is float and len(given) == 1 and self.kind(node.args[0]) == K.FLOAT:
            return given[0]
        if callee not in CALLS:
            self.fail(node, f"{ast.unparse(node.func)} is not known")
        count, text = CALLS[callee]
        if len(given) != count:
            self.fail(node, f"{ast.unparse(node.func)} with {len(given)} arguments")
        return text.format(*given)


def literal(value: Any, fail: Any) -> str:
    """A constant as JavaScript; `fail` is told what has none.

    >>> literal((1, -2.5, float("inf"), True, None), print)
    '[1, (-2.5), Infinity, true, null]'
    """
    if value is None or isinstance(value, bool):
        return {None: "null", True: "true", False: "false"}[value]
    if isinstance(value, int) and abs(value) < 2**53:
        return str(int(value)) if value >= 0 else f"({int(value)})"
    if isinstance(value, float):
        text = "Infinity" if math.isinf(value) else repr(abs(float(value))).removesuffix(".0")
        text = "NaN" if math.isnan(value) else text
        return f"(-{text})" if math.copysign(1.0, value) < 0.0 else text
    if isinstance(value, np.ndarray):
        value = tuple(value.tolist())
    if isinstance(value, tuple | list) and not hasattr(value, "_fields"):
        return f"[{', '.join(literal(part, fail) for part in value)}]"
    fail(f"{type(value).__name__} is not a constant that can be written")
    return ""
