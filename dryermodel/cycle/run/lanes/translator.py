"""The engine's own source, carried out on all lanes at once.

A function is walked statement by statement, calls and all, and every operation on numbers becomes one on
vectors. Where lanes may differ in a condition both sides are carried out and each lane takes its own; a side
that costs much is passed over when no lane needs it. A loop goes on until every lane has left it. What is
known beforehand (constants, positions, loops of known length) is settled while walking.
"""

from __future__ import annotations

import ast
import builtins
import inspect
import math
import textwrap
from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import cache
from types import FunctionType
from typing import Any

from llvmlite import ir

from dryermodel.cycle.run.lanes import elementary
from dryermodel.cycle.run.lanes.memory import Fields, Rows
from dryermodel.cycle.run.lanes.values import FLAGS, FLOATS, WHOLES, Vectors, is_known, like

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

CHEAP = {"min", "max", "abs", "float", "sqrt", "copysign"}
"""Calls that cost no more than passing over them."""

SCALAR = ir.IntType(64)


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


class Walker:
    """Carries out functions of the engine where an LLVM builder stands.

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
        self.statements: dict[type[ast.AST], Callable[[Any, Env], None]] = {
            ast.Expr: lambda s, env: self.eval(s.value, env),
            ast.Assign: self.assign,
            ast.AnnAssign: lambda s, env: self.put(s.target, self.eval(s.value, env), env),
            ast.AugAssign: self.add_to,
            ast.Pass: lambda s, env: None,
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

    # functions and statements ------------------------------------------------------------------------

    def call(self, function: Callable[..., Any], args: Sequence[Any]) -> Any:
        """Carry out a function; what it returns."""
        tree = body_of(function)
        names = [arg.arg for arg in tree.args.args]
        env: Env = {"": function, **dict(zip(names, args, strict=True))}
        try:
            return self.block(tree.body, env)
        except NotTranslatable as problem:
            raise NotTranslatable(f"{tree.name}: {problem}") from None

    def block(self, statements: Sequence[ast.stmt], env: Env) -> Any:
        """Carry out statements in order; what they return, or None."""
        for i, statement in enumerate(statements):
            rest = statements[i + 1 :]
            if isinstance(statement, ast.Return):
                return None if statement.value is None else self.eval(statement.value, env)
            if isinstance(statement, ast.For):
                if _has(statement.body, ast.Break):
                    self.loop(statement, env)
                    continue
                return self.block([*self.unrolled(statement, env), *rest], env)
            if isinstance(statement, ast.If):
                flag = self.eval(statement.test, env)
                if is_known(flag):
                    return self.block([*(statement.body if flag else statement.orelse), *rest], env)
                if _has([statement], ast.Return):
                    return self.parting(flag, statement, rest, env)
                self.fork(flag, statement, env)
                continue
            kind = self.statements.get(type(statement))
            if kind is None:
                raise NotTranslatable(f"{type(statement).__name__} in line {statement.lineno}")
            kind(statement, env)
        return None

    def parting(self, flag: Any, statement: ast.If, rest: Sequence[ast.stmt], env: Env) -> Any:
        """A condition on which some lanes return: each side goes on to the end of the function."""

        def whole(side: list[ast.stmt]) -> tuple[Thunk, list[ast.stmt]]:
            ends = bool(side) and isinstance(side[-1], ast.Return)
            source = side if ends else [*side, *rest]
            return lambda: self.block(source, dict(env)), source

        a, b = self.sides(flag, whole(statement.body), whole(statement.orelse))
        return self.do.choose(flag, a, b)

    def fork(self, flag: Any, statement: ast.If, env: Env) -> None:
        """A condition whose sides meet again."""
        names = _assigned(statement.body) | _assigned(statement.orelse)

        def after(side: list[ast.stmt]) -> dict[str, Any]:
            own = dict(env)
            self.block(side, own)
            return {name: own[name] for name in names if name in own}

        a, b = self.sides(
            flag,
            (lambda: after(statement.body), statement.body),
            (lambda: after(statement.orelse), statement.orelse),
        )
        for name in sorted(names):
            one, other = a.get(name, b.get(name)), b.get(name, a.get(name))
            env[name] = self.do.choose(flag, one, other)

    def sides(self, flag: Any, one: tuple[Thunk, Any], other: tuple[Thunk, Any]) -> tuple[Any, Any]:
        """Both sides of a condition, each under its lanes; with each the source, to tell what it costs."""
        a = self.under(flag, *one)
        return a, self.under(self.do.absent(flag), *other)

    def under(self, flag: Any, thunk: Thunk, source: Any) -> Any:
        """Carry out something for the lanes whose flag is up; pass over what is dear if there are none."""
        before = self.mask
        self.mask = self.do.both(before, flag)
        try:
            return self.skippable(thunk) if _is_dear(source) else thunk()
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

    def unrolled(self, loop: ast.For, env: Env) -> Iterator[ast.stmt]:
        """Statements of a loop of known length, one pass after another."""
        for value in self.eval(loop.iter, env):
            yield ast.Assign(targets=[loop.target], value=Known(value))
            yield from loop.body

    def loop(self, loop: ast.For, env: Env) -> None:
        """A loop that each lane leaves by a condition at its end."""
        *body, last = loop.body
        ends = isinstance(last, ast.If) and isinstance(last.body[0], ast.Break) and not last.orelse
        if not ends or _has(body, ast.Break, ast.Return):
            raise NotTranslatable("a loop must be left by its last statement only")
        assert isinstance(last, ast.If) and isinstance(loop.target, ast.Name)
        passes = len(self.eval(loop.iter, env))
        names = sorted(name for name in _assigned(body) if name in env)
        start = {name: self.vector(env[name]) for name in names}
        before, origin = self.mask, self.at.block
        again, behind = (origin.function.append_basic_block(name) for name in ("again", "behind"))
        self.at.branch(again)
        self.at.position_at_end(again)
        count, live = self.at.phi(SCALAR), self.at.phi(FLAGS)
        held = {name: self.at.phi(value.type) for name, value in start.items()}
        env.update(held)
        env[loop.target.id] = self.spread(count) if _names(body, loop.target.id) else None
        self.mask = live
        self.block(body, env)
        done = self.do.flags(self.eval(last.test, env))
        ended = {name: self.do.choose(live, self.vector(env[name]), held[name]) for name in names}
        left = self.at.and_(live, self.at.not_(done))
        following = self.at.add(count, SCALAR(1))
        more = self.at.and_(self.do.any(left), self.at.icmp_unsigned("<", following, SCALAR(passes)))
        end = self.at.block
        self.at.cbranch(more, again, behind)
        for phi, first, then in (
            (count, SCALAR(0), following),
            (live, self.do.flags(before), left),
            *((held[name], start[name], ended[name]) for name in names),
        ):
            phi.add_incoming(first, origin)
            phi.add_incoming(then, end)
        self.at.position_at_end(behind)
        env.update(ended)
        self.mask = before

    def vector(self, value: Any) -> ir.Value:
        """A value as a vector of its own kind."""
        return self.do.alike(value, value)[0]

    def spread(self, count: ir.Value) -> ir.Value:
        """A count as a vector."""
        value: ir.Value = ir.Constant(WHOLES, ir.Undefined)
        for lane in range(WHOLES.count):
            value = self.at.insert_element(value, count, ir.IntType(32)(lane))
        return value

    # assignments -------------------------------------------------------------------------------------

    def assign(self, statement: ast.Assign, env: Env) -> None:
        """Assign a value to one or more targets."""
        value = self.eval(statement.value, env)
        for target in statement.targets:
            self.put(target, value, env)

    def add_to(self, statement: ast.AugAssign, env: Env) -> None:
        """Change what a target holds."""
        target = statement.target
        a, b = self.eval(target, env), self.eval(statement.value, env)
        self.put(target, self.do.binary(SIGNS[type(statement.op)], a, b), env)

    def put(self, target: ast.expr, value: Any, env: Env) -> None:
        """Give a value to a name, to several, or to a place in memory."""
        if isinstance(target, ast.Name):
            env[target.id] = value
        elif isinstance(target, ast.Tuple):
            for part, one in zip(target.elts, value, strict=True):
                self.put(part, one, env)
        elif isinstance(target, ast.Subscript):
            self.write(self.item(target, env), value)
        elif isinstance(target, ast.Attribute):
            self.write(self.attribute(self.eval(target.value, env), target.attr), value)
        else:
            raise NotTranslatable(f"an assignment to {ast.unparse(target)}")

    def write(self, place: Rows, value: Any) -> None:
        """Write a number to memory, in the lanes of the mask."""
        address = place.vector(self.at)
        number = self.do.floats(value) if address.type.pointee == FLOATS else self.vector(value)
        if not is_known(self.mask):
            number = self.do.choose(self.mask, number, self.at.load(address, align=8))
        self.at.store(number, address, align=8)

    # expressions -------------------------------------------------------------------------------------

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


def _nodes(source: Iterable[ast.AST]) -> Iterator[ast.AST]:
    for statement in source:
        yield from ast.walk(statement)


def _has(source: Iterable[ast.AST], *kinds: type[ast.AST]) -> bool:
    return any(isinstance(node, kinds) for node in _nodes(source))


def _names(source: Iterable[ast.AST], name: str) -> bool:
    return any(isinstance(node, ast.Name) and node.id == name for node in _nodes(source))


def _assigned(source: Iterable[ast.AST]) -> set[str]:
    """Names that statements give values to."""
    found = (node for node in _nodes(source) if isinstance(node, ast.Name))
    return {node.id for node in found if isinstance(node.ctx, ast.Store)}


def _is_dear(source: Iterable[ast.AST]) -> bool:
    """Whether statements cost more than passing over them: they call something, or go round in a loop."""
    for node in _nodes(source):
        if isinstance(node, ast.Call):
            name = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
            if name not in CHEAP and not name[:1].isupper():
                return True
    return False
