"""A whole program: every function that is reached, each once, with the constants and records it uses."""

from __future__ import annotations

from collections.abc import Callable
from importlib.resources import files
from types import FunctionType
from typing import Any

from dryermodel.cycle.run.translation.expressions import literal
from dryermodel.cycle.run.translation.statements import RESERVED, Statements


class Program:
    """Collects, in the order in which they are met, what the functions asked for need."""

    def __init__(self) -> None:
        self.parts: list[str] = []
        self._names: dict[Any, str] = {}
        self._met: set[str] = set()

    def name_for(self, name: str, value: Any) -> str:
        """Name of a function, record or constant in the program, the same whenever it is asked for."""
        key = value if isinstance(value, FunctionType | type) else (name, repr(value))
        if key not in self._names:
            free, taken = getattr(value, "__name__", name), {*self._names.values(), *RESERVED}
            while free in taken:
                free += "$"
            self._names[key] = free
        return self._names[key]

    def constant(self, name: str, value: Any, fail: Callable[[str], Any]) -> str:
        """Name of a module's constant; `fail` is told when it is none."""
        own = self.name_for(name, value)
        if self._first(own):
            self.parts.append(f"const {own} = {literal(value, fail)};")
        return own

    def record(self, record: type[Any]) -> str:
        """Name of a named tuple's class."""
        own = self.name_for(record.__name__, record)
        if self._first(own):
            self.parts.append(_class(own, record))
        return own

    def function(self, function: Callable[..., Any]) -> str:
        """Name of a function."""
        if not isinstance(function, FunctionType):
            raise TypeError(f"{function!r} is not a plain function")
        own = self.name_for(function.__name__, function)
        if self._first(own):
            self.parts.append(Statements(function, self).text())
        return own

    def _first(self, name: str) -> bool:
        first = name not in self._met
        self._met.add(name)
        return first


def _class(name: str, record: type[Any]) -> str:
    given, kept = [], []
    for field in record._fields:
        own = f"{field}$" if field in RESERVED else field
        default = record._field_defaults.get(field)
        given.append(own if default is None else f"{own} = {literal(default, _not_a_number)}")
        kept.append(f"    this.{field} = {own};")
    return "\n".join([f"class {name} {{", f"  constructor({', '.join(given)}) {{", *kept, "  }", "}"])


def _not_a_number(what: str) -> None:
    raise TypeError(f"the default of a field: {what}")


def translate(*functions: Callable[..., Any]) -> str:
    """Write functions, and all that they call, as JavaScript.

    Parameters
    ----------
    *functions : function
        Plain functions of a module. They keep their names, but for a trailing ``$`` where JavaScript
        keeps the name for itself or two modules use the same one.

    Returns
    -------
    str
        Declarations for the inside of a script or of a function; the same bytes every time.

    Raises
    ------
    CannotTranslate
        With file and line, for anything whose meaning in JavaScript is not certain.
    """
    program = Program()
    for function in functions:
        program.function(function)
    runtime = files(__package__).joinpath("runtime.js").read_text(encoding="utf-8")
    return "\n".join([runtime, *program.parts]) + "\n"
