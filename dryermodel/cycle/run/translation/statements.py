"""Statements, and the function as a whole."""

from __future__ import annotations

import ast
import json
from collections.abc import Iterator
from typing import TYPE_CHECKING

from dryermodel.cycle.run.translation import kinds as K
from dryermodel.cycle.run.translation.expressions import Expressions, literal
from dryermodel.cycle.run.translation.sources import names_of

if TYPE_CHECKING:
    from types import FunctionType

    from dryermodel.cycle.run.translation.kinds import Kind
    from dryermodel.cycle.run.translation.program import Program

_WORDS = """
abstract arguments await boolean break byte case catch char class const continue debugger default delete do
double else enum eval export extends false final finally float for function goto if implements import in
instanceof int interface let long native new null package private protected public return short static super
switch synchronized this throw throws transient true try typeof var void volatile while with yield
undefined NaN Infinity Math Number Array Object Float64Array Int32Array globalThis
"""
RESERVED = frozenset(_WORDS.split())
"""Words that JavaScript keeps for itself, and names that the translation relies on."""


class Statements(Expressions):
    """Translates one function."""

    def __init__(self, function: FunctionType, program: Program) -> None:
        super().__init__(function, program)
        self.lines: list[str] = []
        self.depth = 1
        self.temporaries = 0
        self._name_locals()
        self._find_kinds()

    def text(self) -> str:
        """JavaScript of the whole function."""
        name, arguments = self.program.function(self.function), self.tree.args.args
        defaults = [
            literal(d, lambda what: self.fail(self.tree, what)) for d in self.function.__defaults__ or ()
        ]
        given = [self.locals[argument.arg] for argument in arguments]
        for i, default in enumerate(defaults, len(given) - len(defaults)):
            given[i] += f" = {_bare(default)}"
        self._block(self.tree.body)
        own = [self.locals[name] for name in self.locals if name not in {a.arg for a in arguments}]
        declared = [f"  let {', '.join(own)};"] if own else []
        about = (ast.get_docstring(self.tree) or "").partition("\n")[0].replace("*/", "* /")
        comment = [f"// {about}"] if about else []
        return "\n".join([*comment, f"function {name}({', '.join(given)}) {{", *declared, *self.lines, "}"])

    # -- names and kinds of the function's own variables ---------------------------------------

    def _name_locals(self) -> None:
        names = dict.fromkeys(argument.arg for argument in self.tree.args.args)
        names |= dict.fromkeys(target.id for target in self._targets())
        taken = set(RESERVED)
        for node in ast.walk(self.tree):
            if isinstance(node, ast.Name) and node.id not in names and node.id in self.function.__globals__:
                taken.add(self.program.name_for(node.id, self.function.__globals__[node.id]))
        for name in names:
            own = name
            while own in taken:
                own += "$"
            self.locals[name] = own

    def _targets(self) -> Iterator[ast.Name]:
        stored = (node for node in ast.walk(self.tree) if isinstance(node, ast.Name))
        # In the order of the source: walking the tree is breadth first.
        yield from sorted(
            (node for node in stored if isinstance(node.ctx, ast.Store)),
            key=lambda n: (n.lineno, n.col_offset),
        )

    def _find_kinds(self) -> None:
        for argument in self.tree.args.args:
            told = self.function.__annotations__.get(argument.arg, "Any")
            kind = K.annotated(told, names_of(self.function)) if isinstance(told, str) else K.UNKNOWN
            self.kinds[argument.arg] = kind
        before: dict[str, Kind | None] | None = None
        while before != self.kinds:
            before = dict(self.kinds)
            for node in ast.walk(self.tree):
                self._note_kinds(node)

    def _note_kinds(self, node: ast.AST) -> None:
        if isinstance(node, ast.Assign):
            for target in node.targets:
                self._note(target, self.kind(node.value))
        elif isinstance(node, ast.AugAssign):
            self._note(node.target, self.kind(_spelled_out(node)))
        elif isinstance(node, ast.AnnAssign) and node.value is not None:
            self._note(node.target, self.kind(node.value))
        elif isinstance(node, ast.For):
            self._note(node.target, K.INT if _range(node.iter) else K.element(self.kind(node.iter)))

    def _note(self, target: ast.expr, kind: Kind | None) -> None:
        if isinstance(target, ast.Name):
            self.kinds[target.id] = K.join(self.kinds.get(target.id), kind)
        elif isinstance(target, ast.Tuple):
            for i, part in enumerate(target.elts):
                self._note(part, K.element(kind, i) if isinstance(kind, tuple) else kind)

    # -- statements ----------------------------------------------------------------------------

    def _put(self, line: str) -> None:
        self.lines.append("  " * self.depth + line)

    def _temporary(self) -> str:
        self.temporaries += 1
        return f"${self.temporaries}"

    def _block(self, body: list[ast.stmt]) -> None:
        for statement in body:
            method = getattr(self, f"_do_{type(statement).__name__}", None)
            if method is None:
                self.fail(statement, f"{type(statement).__name__} is not known")
            method(statement)

    def _inner(self, body: list[ast.stmt]) -> None:
        self.depth += 1
        self._block(body)
        self.depth -= 1

    def _do_Expr(self, node: ast.Expr) -> None:
        if isinstance(node.value, ast.Constant) and isinstance(node.value.value, str):
            return  # a docstring
        if not isinstance(node.value, ast.Call):
            self.fail(node, "a statement that does nothing")
        self._put(f"{self.js(node.value)};")

    def _do_Pass(self, node: ast.Pass) -> None:
        pass

    def _do_Break(self, node: ast.Break) -> None:
        self._put("break;")

    def _do_Continue(self, node: ast.Continue) -> None:
        self._put("continue;")

    def _do_Return(self, node: ast.Return) -> None:
        self._put(f"return {self.js(node.value)};" if node.value else "return;")

    def _do_Raise(self, node: ast.Raise) -> None:
        """An error with a plain text, which no caller here catches."""
        call = node.exc
        known = (
            isinstance(call, ast.Call) and isinstance(call.func, ast.Name) and call.func.id == "ValueError"
        )
        text = call.args[0] if known and isinstance(call, ast.Call) and len(call.args) == 1 else None
        if node.cause or not (isinstance(text, ast.Constant) and isinstance(text.value, str)):
            self.fail(node, "Raise of anything but a ValueError with a plain text is not known")
        else:
            self._put(f"throw new RangeError({json.dumps(text.value)});")

    def _do_If(self, node: ast.If) -> None:
        self._put(f"if ({_bare(self.truth(node.test))}) {{")
        self._inner(node.body)
        if node.orelse:
            self._put("} else {")
            self._inner(node.orelse)
        self._put("}")

    def _do_While(self, node: ast.While) -> None:
        if node.orelse:
            self.fail(node, "while ... else")
        self._put(f"while ({_bare(self.truth(node.test))}) {{")
        self._inner(node.body)
        self._put("}")

    def _do_For(self, node: ast.For) -> None:
        if node.orelse:
            self.fail(node, "for ... else")
        bounds = _range(node.iter)
        value = self._open_range(node, bounds) if bounds else self._open_sequence(node)
        self.depth += 1
        kind = K.INT if bounds else K.element(self.kind(node.iter))
        self._assign(node.target, value, kind)
        self.depth -= 1
        self._inner(node.body)
        self._put("}")

    def _open_range(self, node: ast.For, bounds: list[ast.expr]) -> str:
        """Open a counting loop; its counter is its own, so that the body may change the loop variable."""
        step = bounds[2] if len(bounds) == 3 else ast.Constant(1)
        sign, size = (-1, step.operand) if isinstance(step, ast.UnaryOp) else (1, step)
        if not (isinstance(size, ast.Constant) and isinstance(size.value, int) and size.value):
            self.fail(node, "a range whose step is not a number written out")
        start, stop = ("0", self.js(bounds[0])) if len(bounds) == 1 else map(self.js, bounds[:2])
        i, end = self._temporary(), self._temporary()
        compare, change = ("<", "+=") if sign > 0 else (">", "-=")
        self._put(
            f"for (let {i} = {start}, {end} = {stop}; {i} {compare} {end}; {i} {change} {size.value}) {{"
        )
        return i

    def _open_sequence(self, node: ast.For) -> str:
        kind = self.kind(node.iter)
        if not isinstance(kind, tuple) and kind not in K.ELEMENTS:
            self.fail(node, "a loop over what is not known to be a range, a tuple or an array")
        sequence, i = self._temporary(), self._temporary()
        self._put(f"const {sequence} = {self.js(node.iter)};")
        self._put(f"for (let {i} = 0; {i} < {sequence}.length; {i} += 1) {{")
        return f"{sequence}[{i}]"

    def _do_AnnAssign(self, node: ast.AnnAssign) -> None:
        if node.value is not None:
            self._assign(node.target, self.js(node.value), self.kind(node.value))

    def _do_AugAssign(self, node: ast.AugAssign) -> None:
        self._simple(node.target, "the place of an augmented assignment")
        self._assign(node.target, self.js(_spelled_out(node)), None)

    def _do_Assign(self, node: ast.Assign) -> None:
        target = node.targets[0]
        both = isinstance(target, ast.Tuple) and isinstance(node.value, ast.Tuple)
        if both and len(node.targets) == 1:
            self._assign_in_parallel(target, node.value)
        elif len(node.targets) == 1 and not isinstance(target, ast.Tuple):
            self._assign(target, self.js(node.value), self.kind(node.value))
        else:
            value = self._temporary()
            self._put(f"const {value} = {self.js(node.value)};")
            for target in node.targets:
                self._assign(target, value, self.kind(node.value))

    def _assign_in_parallel(self, target: ast.expr, value: ast.expr) -> None:
        """Write `a, b = x, y`: all values first, then all places."""
        assert isinstance(target, ast.Tuple)
        assert isinstance(value, ast.Tuple)
        if len(target.elts) != len(value.elts):
            self.fail(target, "as many values as names are needed")
        names = [self._temporary() for _ in value.elts]
        told = (f"{name} = {self.js(part)}" for name, part in zip(names, value.elts, strict=True))
        self._put(f"const {', '.join(told)};")
        for part, name, source in zip(target.elts, names, value.elts, strict=True):
            self._assign(part, name, self.kind(source))

    def _assign(self, target: ast.expr, value: str, kind: Kind | None) -> None:
        """Assign to a name, an element, a field, or each part of a tuple; `value` is JavaScript."""
        if isinstance(target, ast.Name):
            self._put(f"{self.locals[target.id]} = {_bare(value)};")
        elif isinstance(target, ast.Subscript | ast.Attribute):
            self._check_place(target)
            self._put(f"{self.js(target)} = {_bare(value)};")
        elif isinstance(target, ast.Tuple) and isinstance(kind, tuple) and len(kind) == len(target.elts):
            for i, part in enumerate(target.elts):
                self._assign(part, f"{value}[{i}]", kind[i])
        else:
            self.fail(target, "this assignment is not known, or its value is not known to be such a tuple")

    def _check_place(self, target: ast.Subscript | ast.Attribute) -> None:
        if isinstance(target, ast.Attribute) and isinstance(self.kind(target.value), type):
            self.fail(target, "an assignment to a field of a named tuple")
        whole_row = self.kind(target) in K.ELEMENTS
        if whole_row or (isinstance(target, ast.Subscript) and _has_slice(target.slice)):
            self.fail(target, "an assignment to a row or a slice")


def _has_slice(node: ast.expr) -> bool:
    return any(isinstance(part, ast.Slice) for part in ast.walk(node))


def _spelled_out(node: ast.AugAssign) -> ast.BinOp:
    """``x + y`` of ``x += y``."""
    return ast.copy_location(ast.BinOp(node.target, node.op, node.value), node)


def _range(node: ast.expr) -> list[ast.expr]:
    """Arguments of a call of `range`; empty for anything else."""
    if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "range":
        return node.args
    return []


def _bare(text: str) -> str:
    """Text without the brackets that enclose all of it.

    >>> _bare("(a + b)"), _bare("(a) + (b)")
    ('a + b', '(a) + (b)')
    """
    if not (text.startswith("(") and text.endswith(")")):
        return text
    depth = 0
    for i, letter in enumerate(text):
        depth += (letter == "(") - (letter == ")")
        if depth == 0:
            return text[1:-1] if i == len(text) - 1 else text
    return text
