"""Numbers of all lanes at once: vector instructions for the operators of Python.

A value is a Python number, the same in all lanes and known beforehand, or an LLVM value: a vector of
floats, of whole numbers, or of yes and no. What is known beforehand is computed at once.
"""

from __future__ import annotations

import operator
from collections.abc import Callable
from typing import Any

from llvmlite import ir

WIDTH = 8
"""Machines abreast: floats in the widest vector register there is; narrower ones take two or four turns."""

FLOAT, WHOLE, FLAG = ir.DoubleType(), ir.IntType(64), ir.IntType(1)
FLOATS, WHOLES, FLAGS = (ir.VectorType(kind, WIDTH) for kind in (FLOAT, WHOLE, FLAG))
MASK = ir.IntType(WIDTH)

LOOSE = ("contract", "arcp")
"""A product and a sum may be rounded once instead of twice, and a quotient be a product with a reciprocal
that serves more than one; nothing else is left to the compiler."""

MAGIC = 6755399441055744.0
"""1.5 * 2**52: a float that has been added to it holds its nearest whole number in its last bits."""

_ORDERED = {"==", "<", "<=", ">", ">="}

PYTHON: dict[str, Callable[[Any, Any], Any]] = {
    "+": operator.add,
    "-": operator.sub,
    "*": operator.mul,
    "/": operator.truediv,
    "%": operator.mod,
    "==": operator.eq,
    "!=": operator.ne,
    "<": operator.lt,
    "<=": operator.le,
    ">": operator.gt,
    ">=": operator.ge,
}


def is_known(*values: Any) -> bool:
    """Whether values are known beforehand."""
    return not any(isinstance(value, ir.Value) for value in values)


def _rank(value: Any) -> int:
    """0 for flags, 1 for whole numbers, 2 for floats."""
    if is_known(value):
        return 2 if isinstance(value, float) else 0 if isinstance(value, bool) else 1
    return (FLAGS, WHOLES, FLOATS).index(value.type)


def splat(value: float, kind: ir.VectorType) -> ir.Constant:
    """The same number in all lanes."""
    return ir.Constant(kind, [kind.element(value)] * WIDTH)


class Vectors:
    """Writes vector instructions where an LLVM builder stands."""

    def __init__(self, builder: ir.IRBuilder) -> None:
        self.at = builder

    def floats(self, value: Any) -> ir.Value:
        """A value as floats."""
        if is_known(value):
            return splat(float(value), FLOATS)
        return self.at.sitofp(value, FLOATS) if value.type == WHOLES else value

    def flags(self, value: Any) -> ir.Value:
        """A value as flags."""
        return splat(bool(value), FLAGS) if is_known(value) else value

    def alike(self, a: Any, b: Any) -> tuple[ir.Value, ir.Value]:
        """Two values as vectors of one kind."""
        rank = max(_rank(a), _rank(b))
        if rank == 2:
            return self.floats(a), self.floats(b)
        kind = (FLAGS, WHOLES)[rank]
        return splat(a, kind) if is_known(a) else a, splat(b, kind) if is_known(b) else b

    def binary(self, sign: str, a: Any, b: Any) -> Any:
        """`a` `sign` `b`, for the signs of :data:`PYTHON`."""
        if is_known(a, b):
            return PYTHON[sign](a, b)
        if sign == "/":
            a, b = self.floats(a), self.floats(b)
        a, b = self.alike(a, b)
        if sign in _ORDERED or sign == "!=":
            return self._compare(sign, a, b)
        whole = a.type == WHOLES
        if sign == "%":
            assert whole, "remainders are of whole numbers"
            return self.at.srem(a, b)
        name = {"+": "add", "-": "sub", "*": "mul", "/": "div"}[sign]
        return getattr(self.at, name)(a, b) if whole else getattr(self.at, "f" + name)(a, b, flags=LOOSE)

    def _compare(self, sign: str, a: ir.Value, b: ir.Value) -> ir.Value:
        if a.type != FLOATS:
            return self.at.icmp_signed(sign, a, b)
        return self.at.fcmp_ordered(sign, a, b) if sign in _ORDERED else self.at.fcmp_unordered(sign, a, b)

    def negative(self, a: Any) -> Any:
        """`-a`."""
        if is_known(a):
            return -a
        return self.at.fneg(a) if a.type == FLOATS else self.at.neg(a)

    def absent(self, a: Any) -> Any:
        """`not a`."""
        return not a if is_known(a) else self.at.not_(a)

    def both(self, a: Any, b: Any) -> Any:
        """`a and b` of flags."""
        if is_known(a):
            return b if a else False
        if is_known(b):
            return a if b else False
        return self.at.and_(a, b)

    def either(self, a: Any, b: Any) -> Any:
        """`a or b` of flags."""
        return self.absent(self.both(self.absent(a), self.absent(b)))

    def choose(self, flag: Any, a: Any, b: Any) -> Any:
        """`a if flag else b`, of numbers or of records of numbers."""
        if is_known(flag):
            return a if flag else b
        if a is b:
            return a
        if isinstance(a, tuple):
            return like(a, [self.choose(flag, one, two) for one, two in zip(a, b, strict=True)])
        if is_known(a, b) and type(a) is type(b) and repr(a) == repr(b):
            return a
        one, two = self.alike(a, b)
        return self.at.select(flag, one, two)

    def lesser(self, a: Any, b: Any) -> Any:
        """`min(a, b)`."""
        return self.choose(self.binary("<", b, a), b, a)

    def greater(self, a: Any, b: Any) -> Any:
        """`max(a, b)`."""
        return self.choose(self.binary(">", b, a), b, a)

    def any(self, flags: ir.Value) -> ir.Value:
        """Whether a flag is up in any lane, one bit."""
        return self.at.icmp_unsigned("!=", self.at.bitcast(flags, MASK), MASK(0))

    # what has an instruction, or a trick with the bits of floats -------------------------------------

    def _intrinsic(self, name: str, *args: ir.Value) -> ir.Value:
        module, full = self.at.module, f"llvm.{name}.v{WIDTH}f64"
        kind = ir.FunctionType(FLOATS, [FLOATS] * len(args))
        return self.at.call(module.globals.get(full) or ir.Function(module, kind, full), args)

    def root(self, a: Any) -> ir.Value:
        """Square root."""
        return self._intrinsic("sqrt", self.floats(a))

    def size(self, a: Any) -> ir.Value:
        """Absolute value."""
        return self._intrinsic("fabs", self.floats(a))

    def with_sign(self, a: Any, b: Any) -> ir.Value:
        """Size of `a` with the sign of `b`."""
        return self._intrinsic("copysign", self.floats(a), self.floats(b))

    def nearest_whole(self, a: ir.Value) -> ir.Value:
        """Nearest whole number, of floats up to 2**51 in size."""
        return self.at.fsub(self.at.fadd(a, splat(MAGIC, FLOATS)), splat(MAGIC, FLOATS))

    def power_of_two(self, k: ir.Value) -> ir.Value:
        """2**k: the last bits of ``k + 1023`` moved to where a float has its exponent."""
        bits = self.at.bitcast(self.at.fadd(k, splat(MAGIC + 1023.0, FLOATS)), WHOLES)
        return self.at.bitcast(self.at.shl(bits, splat(52, WHOLES)), FLOATS)

    def mantissa(self, x: ir.Value) -> ir.Value:
        """Mantissa of a normal positive float, 0.5 to 1."""
        fraction = self.at.and_(self.at.bitcast(x, WHOLES), splat(2**52 - 1, WHOLES))
        return self.at.bitcast(self.at.or_(fraction, splat(1022 << 52, WHOLES)), FLOATS)

    def exponent(self, x: ir.Value) -> ir.Value:
        """Exponent that goes with :meth:`mantissa`: put behind a 2**52, whose last bits it becomes."""
        bits = self.at.lshr(self.at.bitcast(x, WHOLES), splat(52, WHOLES))
        bits = self.at.or_(bits, splat(0x4330000000000000, WHOLES))
        return self.at.fsub(self.at.bitcast(bits, FLOATS), splat(2.0**52 + 1022.0, FLOATS))


def like(pattern: tuple[Any, ...], parts: list[Any]) -> Any:
    """Parts as a record of the same class."""
    return type(pattern)(*parts) if hasattr(pattern, "_fields") else tuple(parts)
