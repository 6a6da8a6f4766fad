"""The page's scripts under Node: those that need no browser, with a document that holds only the data."""

from __future__ import annotations

import json
from functools import cache
from importlib.resources import files
from typing import Any

from dryermodel.cycle.run.javascript import engine_javascript
from dryermodel.show.pages.pocket.page import data, library
from tests.cycle.node import run_node

_DOCUMENT = """
const given = GIVEN;
const told = JSON.stringify(given.data);
globalThis.document = { getElementById: (id) => ({ textContent: id === "data" ? told : "" }) };
globalThis.addEventListener = () => {};
"""
_TELL = """
const plain = (key, x) => (ArrayBuffer.isView(x) ? Array.from(x) : Number.isNaN(x) ? "nan" : x);
console.log(JSON.stringify(answer, plain));
"""


@cache
def page_data() -> dict[str, Any]:
    """The page's data, made once."""
    return data()


def in_page(script: str, question: object = None, scripts: tuple[str, ...] = ("core", "moves")) -> Any:
    """What a script leaves in `answer`; it finds `given.question` and the page's own names."""
    home = files("dryermodel.show.pages.pocket").joinpath("assets")
    own = [home.joinpath(f"{name}.js").read_text(encoding="utf-8") for name in ("worker", *scripts)]
    given = json.dumps({"data": page_data(), "question": question})
    document = _DOCUMENT.replace("GIVEN", given)
    program = "\n".join([document, engine_javascript(), library(), *own, script, _TELL])
    return json.loads(run_node(program))
