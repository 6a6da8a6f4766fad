"""The page's scripts under Node: those that need no browser, with a document that holds only the data."""

from __future__ import annotations

import json
from functools import cache
from typing import Any

from dryermodel.cycle.run.javascript import engine_javascript
from dryermodel.show.pages.pocket.page import data, library
from dryermodel.show.pages.shared.assemble import SHARED, assets_of
from tests.cycle.node import run_node

_DOCUMENT = """
const given = GIVEN;
const told = JSON.stringify(given.data);
const texts = { data: told, bank: given.bank };
globalThis.document = { getElementById: (id) => ({ textContent: texts[id] ?? "" }) };
globalThis.addEventListener = () => {};
globalThis.matchMedia = () => ({ matches: false });
"""
_TELL = """
const readable = (key, x) => (ArrayBuffer.isView(x) ? Array.from(x) : Number.isNaN(x) ? "nan" : x);
console.log(JSON.stringify(answer, readable));
"""


@cache
def page_data() -> dict[str, Any]:
    """The page's data, made once."""
    return data()


def in_page(
    script: str, question: object = None, scripts: tuple[str, ...] = ("core", "moves"), bank: object = None
) -> Any:
    """What a script leaves in `answer`; it finds `given.question` and the page's own names."""
    given = {"data": page_data(), "question": question, "bank": json.dumps(bank)}
    return run_page("dryermodel.show.pages.pocket", library(), scripts, given, script)


def run_page(package: str, functions: str, scripts: tuple[str, ...], given: object, script: str) -> Any:
    """What a script leaves in `answer` after the engine, translated functions and a page's scripts."""
    asset = assets_of(package)
    own = [asset(f"{name}.js") for name in (*SHARED, *scripts)]
    document = _DOCUMENT.replace("GIVEN", json.dumps(given))
    program = "\n".join([document, engine_javascript(), functions, *own, script, _TELL])
    return json.loads(run_node(program))
