"""The engine's own source, carried out on all lanes at once.

A function is walked statement by statement, calls and all, and every operation on numbers becomes one on
vectors. Where lanes may differ in a condition both sides are carried out and each lane takes its own; a side
that costs much is passed over when no lane needs it. A loop goes on until every lane has left it. What is
known beforehand (constants, positions, loops of known length) is settled while walking.
"""

from __future__ import annotations

import ast
from collections.abc import Callable, Iterator, Sequence
from typing import Any

from llvmlite import ir

from dryermodel.cycle.run.lanes.expressions import SIGNS, Env, Expressions, Thunk
from dryermodel.cycle.run.lanes.memory import Rows
from dryermodel.cycle.run.lanes.source import Known, NotTranslatable, assigned, body_of, has, names_it
from dryermodel.cycle.run.lanes.values import FLAGS, FLOATS, WHOLES, is_known

SCALAR = ir.IntType(64)


class Walker(Expressions):
    """Carries out functions; arguments as of :class:`~dryermodel.cycle.run.lanes.expressions.Expressions`."""

    def __init__(self, builder: ir.IRBuilder, apart: dict[Any, Callable[..., Any]]) -> None:
        super().__init__(builder, apart)
        self.statements: dict[type[ast.AST], Callable[[Any, Env], None]] = {
            ast.Expr: lambda s, env: self.eval(s.value, env),
            ast.Assign: self.assign,
            ast.AnnAssign: lambda s, env: self.put(s.target, self.eval(s.value, env), env),
            ast.AugAssign: self.add_to,
            ast.Pass: lambda s, env: None,
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
                if has(statement.body, ast.Break):
                    self.loop(statement, env)
                    continue
                return self.block([*self.unrolled(statement, env), *rest], env)
            if isinstance(statement, ast.If):
                flag = self.eval(statement.test, env)
                if is_known(flag):
                    return self.block([*(statement.body if flag else statement.orelse), *rest], env)
                if has([statement], ast.Return):
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
        names = assigned(statement.body) | assigned(statement.orelse)

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

    def unrolled(self, loop: ast.For, env: Env) -> Iterator[ast.stmt]:
        """Statements of a loop of known length, one pass after another."""
        for value in self.eval(loop.iter, env):
            yield ast.Assign(targets=[loop.target], value=Known(value))
            yield from loop.body

    def loop(self, loop: ast.For, env: Env) -> None:
        """A loop that each lane leaves by a condition at its end."""
        *body, last = loop.body
        ends = isinstance(last, ast.If) and isinstance(last.body[0], ast.Break) and not last.orelse
        if not ends or has(body, ast.Break, ast.Return):
            raise NotTranslatable("a loop must be left by its last statement only")
        assert isinstance(last, ast.If) and isinstance(loop.target, ast.Name)
        passes = len(self.eval(loop.iter, env))
        names = sorted(name for name in assigned(body) if name in env)
        start = {name: self.vector(env[name]) for name in names}
        before, origin = self.mask, self.at.block
        again, behind = (origin.function.append_basic_block(name) for name in ("again", "behind"))
        self.at.branch(again)
        self.at.position_at_end(again)
        count, live = self.at.phi(SCALAR), self.at.phi(FLAGS)
        held = {name: self.at.phi(value.type) for name, value in start.items()}
        env.update(held)
        env[loop.target.id] = self.spread(count) if names_it(body, loop.target.id) else None
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
