"""Text that would do harm where it is not escaped, put into every field of a visit that takes one."""

from __future__ import annotations

import types
from collections.abc import Iterator
from typing import Any, Union, get_args, get_origin

from pydantic import BaseModel

from dryermodel.field.visit_file import VisitFile

Path = tuple[str | int, ...]
"""Keys and places that lead to a field."""

HOSTILE = {
    "script": "<script>window.harmed=1</script><img src=x onerror='window.harmed=2'><svg onload=harmed=3>",
    "ending": "</script></style></textarea></title>--><script>window.harmed=4</script>",
    "quotes": "\" ' ` \\\" onfocus=window.harmed=5 autofocus x=\" ${window.harmed=6} \\u003cb\\u003e",
    "template": "{{ 7*7 }} {% raw %} {# x #} ${7*7} <%= 7*7 %> &lt;b&gt; &#x3c;b>",
    "long word": "W" * 2000,
    "turned": "\u202eevil\u2066\u2067 \u0627\u0644\u0633\u0644\u0627\u0645 \u200f\u202d",
    "control": "a\x00b\x07c\x1b[31md\x7fe\u2028f\u2029g\x85h",
    "names": "__proto__",
    "formula": "=cmd|'/c calc'!A1",
    "marks": "e" + "\u0301" * 300,
}  # fmt: skip
"""What is put into the fields, by what it tries."""


def fields(model: type[BaseModel] = VisitFile, way: Path = ()) -> Iterator[Path]:
    """Where a visit holds something written; a kind of field that is new here is an error.

    >>> ("work", 0, "did") in set(fields()) and ("seen", "KEY") in set(fields())
    True
    """
    for name, field in model.model_fields.items():
        yield from _within(field.annotation, (*way, field.alias or name))


def _within(kind: Any, way: Path) -> Iterator[Path]:
    arguments = [one for one in get_args(kind) if one not in (type(None), ...)]
    origin = get_origin(kind)
    if origin is dict:
        yield (*way, "KEY")
    elif origin is tuple:
        yield from _within(arguments[0], (*way, 0))
    elif origin in (Union, types.UnionType) or hasattr(kind, "__metadata__"):
        yield from _within(arguments[0], way)
    elif isinstance(kind, type) and issubclass(kind, BaseModel):
        yield from fields(kind, way)
    elif kind in (str, int):
        yield way
    else:
        raise AssertionError(f"a kind of field that is new to this test: {kind}")


def holding(text: str, *ways: Path) -> dict[str, Any]:
    """A visit as TOML's data that holds a text in some fields; a name that is a key becomes one."""
    found: dict[str, Any] = {}
    for way in ways:
        home: Any = found
        for at, key in enumerate(way):
            last = at == len(way) - 1
            if key == "KEY":
                home[text] = True
            elif key == 0:
                if last:
                    home.append(text)
                elif not home:
                    home.append({})
                home = home[0]
            elif last:
                home[key] = text
            else:
                home = home.setdefault(key, [] if way[at + 1] == 0 else {})
    return found


def toml_of(data: dict[str, Any]) -> str:
    """Data as TOML, whatever is in it."""
    from json import dumps

    def text(value: object) -> str:
        return dumps(value).replace("\x7f", "\\u007f")

    lines = [f"{k} = {text(v)}" for k, v in data.items() if isinstance(v, str) or _plain(v)]
    for key, value in data.items():
        for table in value if isinstance(value, list) and not _plain(value) else []:
            lines += [f"[[{key}]]", *(f"{text(k)} = {text(v)}" for k, v in table.items())]
        if isinstance(value, dict):
            lines += [f"[{key}]", *(f"{text(k)} = {text(v)}" for k, v in value.items())]
    return "\n".join(lines) + "\n"


def _plain(value: object) -> bool:
    return isinstance(value, list) and all(isinstance(one, str) for one in value)
