"""Expressions carried out on all lanes at once, and conditions whose sides only some lanes need."""

from __future__ import annotations

import ast
import builtins
import math
from abc import ABC, abstractmethod
from collections.abc import Callable, Sequence
from types import FunctionType
from typing import Any

from llvmlite import ir

from dryermodel.cycle.run.lanes import elementary
from dryermodel.cycle.run.lanes.memory import Fields, Rows
from dryermodel.cycle.run.lanes.source import Known, NotTranslatable, is_dear
from dryermodel.cycle.run.lanes.values import Vectors, is_known, like

Env = dict[str, Any]
Thunk = Callable[[], Any]

SIGNS: dict[type[ast.AST], str] = {
    ast.Add: "+",
    ast.Sub: "-",
    ast.Mult: "*",
    ast.Div: "/",
    ast.Mod: "%",
    ast.Eq: "==",
    ast.NotEq: "!=",
    ast.Lt: "<",
    ast.LtE: "<=",
    ast.Gt: ">",
    ast.GtE: ">=",
}

BY_ARITHMETIC: dict[Any, Any] = {
    math.exp: elementary.exp,
    math.expm1: elementary.expm1,
    math.log: elementary.log,
    math.pow: elementary.power,
}
"""Functions of Python's library that are carried out as plain arithmetic."""


class Expressions(ABC):
    """Carries out expressions where an LLVM builder stands.

    Parameters
    ----------
    builder : llvmlite.ir.IRBuilder
        Where instructions go.
    apart : dict
        Functions that are not walked: each with what is called instead, with this walker and the arguments.
    """

    def __init__(self, builder: ir.IRBuilder, apart: dict[Any, Callable[..., Any]]) -> None:
        self.at, self.do, self.apart = builder, Vectors(builder), apart
        self.mask: Any = True
        do = self.do
        self.instructions: dict[Any, Callable[..., Any]] = {
            math.sqrt: do.root,
            math.copysign: do.with_sign,
            abs: do.size,
            elementary.nearest_whole: do.nearest_whole,
            elementary.power_of_two: do.power_of_two,
            elementary.mantissa: do.mantissa,
            elementary.exponent: do.exponent,
        }
        self.expressions: dict[type[ast.AST], Callable[[Any, Env], Any]] = {
            Known: lambda e, env: e.value,
            ast.Constant: lambda e, env: e.value,
            ast.Name: self.name,
            ast.Tuple: lambda e, env: tuple(self.eval(part, env) for part in e.elts),
            ast.Attribute: lambda e, env: self.read(self.attribute(self.eval(e.value, env), e.attr)),
            ast.Subscript: lambda e, env: self.read(self.item(e, env)),
            ast.BinOp: self.operation,
            ast.UnaryOp: self.unary,
            ast.BoolOp: self.junction,
            ast.Compare: self.comparison,
            ast.IfExp: self.alternative,
            ast.Call: self.called,
        }

    @abstractmethod
    def call(self, function: Callable[..., Any], args: Sequence[Any]) -> Any:
        """Carry out a function; what it returns."""

    def sides(self, flag: Any, one: tuple[Thunk, Any], other: tuple[Thunk, Any]) -> tuple[Any, Any]:
        """Both sides of a condition, each under its lanes; with each the source, to tell what it costs."""
        a = self.under(flag, *one)
        return a, self.under(self.do.absent(flag), *other)

    def under(self, flag: Any, thunk: Thunk, source: Any) -> Any:
        """Carry out something for the lanes whose flag is up; pass over what is dear if there are none."""
        before = self.mask
        self.mask = self.do.both(before, flag)
        try:
            return self.skippable(thunk) if is_dear(source) else thunk()
        finally:
            self.mask = before

    def skippable(self, thunk: Thunk) -> Any:
        """Carry out something unless no lane of the mask needs it; then its numbers are 0."""
        origin = self.at.block
        inside, behind = (origin.function.append_basic_block(name) for name in ("inside", "behind"))
        self.at.cbranch(self.do.any(self.mask), inside, behind)
        self.at.position_at_end(inside)
        value = thunk()
        end = self.at.block
        self.at.branch(behind)
        self.at.position_at_end(behind)

        def met(number: ir.Value) -> ir.Value:
            phi = self.at.phi(number.type)
            phi.add_incoming(number, end)
            phi.add_incoming(ir.Constant(number.type, [number.type.element(0)] * number.type.count), origin)
            return phi

        return _each(value, met)

    def eval(self, expression: ast.expr, env: Env) -> Any:
        """Value of an expression."""
        kind = self.expressions.get(type(expression))
        if kind is None:
            raise NotTranslatable(f"{ast.unparse(expression)} ({type(expression).__name__})")
        return kind(expression, env)

    def name(self, e: ast.Name, env: Env) -> Any:
        """What a name stands for, in the function, in its module or in Python."""
        if e.id in env:
            return env[e.id]
        found = env[""].__globals__.get(e.id, getattr(builtins, e.id, None))
        if found is None:
            raise NotTranslatable(f"the name {e.id}")
        return found

    def attribute(self, value: Any, name: str) -> Any:
        """Part of a record or of a module, perhaps a place in memory."""
        return value.part(name) if isinstance(value, Fields) else getattr(value, name)

    def item(self, e: ast.Subscript, env: Env) -> Any:
        """Part of a row or of a tuple, perhaps a place in memory."""
        value, index = self.eval(e.value, env), self.eval(e.slice, env)
        return value.part(index) if isinstance(value, Rows) else value[index]

    def read(self, value: Any) -> Any:
        """The number at a place in memory; anything else as it is."""
        if isinstance(value, Rows) and value.shape == ():
            return self.at.load(value.vector(self.at), align=8)
        return value

    def operation(self, e: ast.BinOp, env: Env) -> Any:
        """Sum, difference, product, quotient, remainder or power."""
        a, b = self.eval(e.left, env), self.eval(e.right, env)
        if isinstance(e.op, ast.Pow):
            return a**b if is_known(a, b) else self.call(elementary.power, (a, b))
        return self.do.binary(SIGNS[type(e.op)], a, b)

    def unary(self, e: ast.UnaryOp, env: Env) -> Any:
        """Negation of a number or of a flag."""
        value = self.eval(e.operand, env)
        return self.do.absent(value) if isinstance(e.op, ast.Not) else self.do.negative(value)

    def junction(self, e: ast.BoolOp, env: Env) -> Any:
        """`and` or `or`, from the left, no further than what is known asks for."""
        join = self.do.both if isinstance(e.op, ast.And) else self.do.either
        value = self.eval(e.values[0], env)
        for part in e.values[1:]:
            if is_known(value) and value != isinstance(e.op, ast.And):
                break
            value = join(value, self.eval(part, env))
        return value

    def comparison(self, e: ast.Compare, env: Env) -> Any:
        """One comparison or a chain of them."""
        values = [self.eval(part, env) for part in (e.left, *e.comparators)]
        found: Any = True
        for op, a, b in zip(e.ops, values, values[1:], strict=False):
            found = self.do.both(found, self.do.binary(SIGNS[type(op)], a, b))
        return found

    def alternative(self, e: ast.IfExp, env: Env) -> Any:
        """`a if flag else b`."""
        flag = self.eval(e.test, env)
        if is_known(flag):
            return self.eval(e.body if flag else e.orelse, env)
        one, other = (lambda: self.eval(e.body, env)), (lambda: self.eval(e.orelse, env))
        return self.do.choose(flag, *self.sides(flag, (one, [e.body]), (other, [e.orelse])))

    def called(self, e: ast.Call, env: Env) -> Any:
        """What a call returns."""
        function, args = self.eval(e.func, env), [self.eval(arg, env) for arg in e.args]
        if function in self.apart:
            return self.apart[function](self, *args)
        if function is float:
            return args[0]
        if function in (min, max):
            pick = self.do.lesser if function is min else self.do.greater
            value = args[0]
            for other in args[1:]:
                value = pick(value, other)
            return value
        if isinstance(function, type) or (is_known(*args) and not isinstance(function, FunctionType)):
            return function(*args)
        if function in self.instructions:
            return self.instructions[function](*args)
        if function in BY_ARITHMETIC:
            function = BY_ARITHMETIC[function]
        if not isinstance(function, FunctionType):
            raise NotTranslatable(f"a call of {ast.unparse(e.func)}")
        return self.call(function, args)


def _each(value: Any, change: Callable[[ir.Value], Any]) -> Any:
    """A value, or a record of values, with every number that is not known beforehand changed."""
    if isinstance(value, ir.Value):
        return change(value)
    if isinstance(value, tuple):
        return like(value, [_each(part, change) for part in value])
    if isinstance(value, dict):
        return {name: _each(part, change) for name, part in value.items()}
    return value
