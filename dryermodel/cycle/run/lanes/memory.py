"""What lies in memory when machines run abreast: the same number of every lane side by side."""

from __future__ import annotations

from typing import Any, get_type_hints

import numpy as np
from llvmlite import ir

from dryermodel.cycle.run.lanes.values import FLOAT, FLOATS, WHOLES, WIDTH

WORD = ir.IntType(32)


def size_of(kind: Any) -> int:
    """Numbers in a record of nested named tuples of floats, or in a tuple of floats, or in a float.

    Examples
    --------
    >>> size_of(tuple[float, float, float]), size_of(float)
    (3, 1)
    """
    return sum(size_of(part) for part in parts_of(kind).values()) if parts_of(kind) else 1


def parts_of(kind: Any) -> dict[Any, Any]:
    """Types of the parts of a record by name, or of a tuple by position; none of a number."""
    if hasattr(kind, "_fields"):
        return get_type_hints(kind)
    return dict(enumerate(getattr(kind, "__args__", ())))


class Rows:
    """Numbers in memory, of one dimension or more; each is read and written in all lanes at once."""

    def __init__(self, start: ir.Value, shape: tuple[int, ...], offset: int = 0) -> None:
        self.start, self.shape, self.offset = start, shape, offset

    def part(self, index: Any) -> Rows:
        """What lies at an index, or at several."""
        at = self
        for i in index if isinstance(index, tuple) else (index,):
            assert isinstance(i, int) and 0 <= i < at.shape[0], f"row {i} of {at.shape}"
            inner = at.shape[1:]
            at = Rows(at.start, inner, at.offset + i * int(np.prod(inner, dtype=int)))
        return at

    def pointer(self, builder: ir.IRBuilder) -> ir.Value:
        """Address of the first number."""
        return builder.gep(self.start, [WORD(self.offset * WIDTH)], inbounds=True)

    def vector(self, builder: ir.IRBuilder) -> ir.Value:
        """Address of the one number as a vector."""
        assert self.shape == (), "a number, not a row of them"
        kind = FLOATS if self.start.type.pointee == FLOAT else WHOLES
        return builder.bitcast(self.pointer(builder), kind.as_pointer())


class Fields:
    """A record in memory, whose numbers are read when they are named."""

    def __init__(self, kind: Any, start: ir.Value, offset: int = 0) -> None:
        self.kind, self.start, self.offset = kind, start, offset

    def part(self, name: str) -> Fields | Rows:
        """What has a name: a record, a row of numbers or a number."""
        at = self.offset
        for other, kind in parts_of(self.kind).items():
            if other == name:
                break
            at += size_of(kind)
        else:
            raise AttributeError(name)
        if hasattr(kind, "_fields"):
            return Fields(kind, self.start, at)
        shape = (size_of(kind),) if parts_of(kind) else ()
        return Rows(self.start, shape, at)


def aligned(*shape: int, dtype: type = np.float64) -> Any:
    """Zeros that begin where a vector register's worth of memory does."""
    count = int(np.prod(shape, dtype=int))
    raw: Any = np.zeros(count + WIDTH, dtype=dtype)
    first = -raw.ctypes.data % (8 * WIDTH) // 8
    return raw[first : first + count].reshape(shape)
