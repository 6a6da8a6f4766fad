"""Small functions mean the same in JavaScript, to the last bit, or are refused with file and line."""

from __future__ import annotations

import json
import re
import struct
from functools import cache
from pathlib import Path
from types import FunctionType
from typing import Any

import pytest

from dryermodel.cycle.run.translation.program import translate
from dryermodel.cycle.run.translation.sources import CannotTranslate
from tests.cycle.node import needs_node, run_node
from tests.cycle.translation import refused
from tests.cycle.translation.samples import LIBRARY, SAMPLES, noted, several

_TELL = """
const $bits = (x) => {
  if (typeof x === "boolean") return x;
  if (Number.isNaN(x)) return "7ff8000000000000";  // its sign means nothing
  const view = new DataView(new ArrayBuffer(8));
  view.setFloat64(0, x);
  return view.getBigUint64(0).toString(16).padStart(16, "0");
};
const $number = (text) => {
  const bytes = Uint8Array.from(text.match(/../g), (byte) => parseInt(byte, 16));
  return new DataView(bytes.buffer).getFloat64(0);
};
const $read = (x) => (typeof x === "boolean" ? x : $number(x));
console.log(JSON.stringify($cases.map(([f, sets]) => sets.map((given) => $bits(f(...given.map($read)))))));
"""


def bits(x: Any) -> Any:
    """A number as sixteen hexadecimal digits, so that nothing is lost; truth values as they are."""
    return x if isinstance(x, bool) else struct.pack(">d", float("nan") if x != x else x).hex()


@cache
def answers() -> dict[str, list[Any]]:
    """What Node finds for every set of arguments of every function, in one go."""
    cases = [*SAMPLES, *LIBRARY]
    written = translate(*(function for function, _ in cases))
    given = [
        f"[{function.__name__}, {json.dumps([[bits(a) for a in arguments] for arguments in sets])}]"
        for function, sets in cases
    ]
    found = json.loads(run_node(f"{written}\nconst $cases = [{', '.join(given)}];{_TELL}"))
    return {function.__name__: told for (function, _), told in zip(cases, found, strict=True)}


@needs_node
@pytest.mark.parametrize(("function", "sets"), SAMPLES, ids=lambda x: getattr(x, "__name__", ""))
def test_same_bits(function: FunctionType, sets: Any) -> None:
    for arguments, told in zip(sets, answers()[function.__name__], strict=True):
        assert told == bits(function(*arguments)), arguments


@needs_node
@pytest.mark.parametrize(("function", "sets"), LIBRARY, ids=lambda x: getattr(x, "__name__", ""))
def test_library_functions_to_rounding(function: FunctionType, sets: Any) -> None:
    for arguments, told in zip(sets, answers()[function.__name__], strict=True):
        value = struct.unpack(">d", bytes.fromhex(told))[0]
        assert value == pytest.approx(function(*arguments), rel=1e-14)


def test_fields_of_what_is_written_into() -> None:
    """A record that is no named tuple may be changed."""
    counted = translate(noted)
    assert "counter.hits = counter.hits + 1;" in counted
    assert "counter.last = a - counter.last;" in counted


REFUSED = [
    value
    for name, value in vars(refused).items()
    if isinstance(value, FunctionType) and value.__module__ == refused.__name__
    if name not in ("two", "sum_of", "starred")
]


@pytest.mark.parametrize("function", REFUSED, ids=lambda f: f.__name__)
def test_what_is_not_certain_is_refused_with_file_and_line(function: FunctionType) -> None:
    """The message names the line that carries the mark, and says what the mark says."""
    file = Path(refused.__file__)
    first = function.__code__.co_firstlineno
    lines = list(enumerate(file.read_text(encoding="utf-8").splitlines()[first - 1 :], first))
    line, said = next((n, text.split("# here: ")[1]) for n, text in lines if "# here: " in text)
    with pytest.raises(CannotTranslate, match=re.escape(said)) as caught:
        translate(function)
    assert str(caught.value).startswith(f"{file}:{line}: ")


def test_same_bytes_every_time() -> None:
    functions = [function for function, _ in SAMPLES]
    assert translate(*functions) == translate(*functions)


def test_a_function_is_written_once_however_often_it_is_called() -> None:
    assert translate(several, several).count("function several(") == 1


def test_what_is_not_a_plain_function_is_refused() -> None:
    with pytest.raises(TypeError, match="plain function"):
        translate(len)


def _guarded(a: float) -> float:
    if a < 0.0:
        raise ValueError("below nought")
    return a


@needs_node
def test_an_error_is_raised_with_its_text() -> None:
    written = translate(_guarded)
    program = (
        f"{written} try {{ _guarded(-1); }} catch (error) {{ console.log(error.message, _guarded(2)); }}"
    )
    assert run_node(program).split() == ["below", "nought", "2"]
