"""Links between the guide's text and the library's reference."""

from __future__ import annotations

import importlib
import inspect
import re
from functools import cache
from typing import TYPE_CHECKING, Any

from tools.guide.docstrings import dedented, linked, listed

if TYPE_CHECKING:
    from docutils.nodes import document
    from sphinx.application import Sphinx

ROLE = re.compile(r":(class|func):`(\w+)`")
DOTTED = re.compile(r"(?:dryermodel\.)?[a-z_]+(?:\.[A-Za-z_]+)+")


@cache
def full_name(text: str) -> str:
    """Full name of what a text such as ``physics.drum.effectiveness`` names in the library, or nothing.

    >>> full_name("physics.drum.effectiveness")
    'dryermodel.physics.drum.effectiveness'
    >>> full_name("vent.length")
    ''
    """
    if not DOTTED.fullmatch(text):
        return ""
    module, _, name = f"dryermodel.{text.removeprefix('dryermodel.')}".rpartition(".")
    try:
        found = importlib.import_module(module)
    except ImportError:
        return ""
    held = getattr(found, name, None)
    return f"{module}.{name}" if inspect.isfunction(held) or inspect.isclass(held) else ""


def link_names(app: Sphinx, tree: document) -> None:
    """Make every name of a function or class that stands as code in a page a link to its reference."""
    from docutils.nodes import literal, reference
    from sphinx.addnodes import pending_xref

    docname = app.env.current_document.docname
    for node in list(tree.findall(literal)):
        target = full_name(node.astext()) if not isinstance(node.parent, (reference, pending_xref)) else ""
        if target:
            link = pending_xref(
                "", node.deepcopy(), refdomain="py", reftype="obj", reftarget=target, refdoc=docname
            )
            node.replace_self(link)


def describe(app: Sphinx, what: str, name: str, held: Any, options: Any, lines: list[str]) -> None:
    """Make the sources that a docstring cites links, and list the fields of a record with their comments."""
    home = _home(name)
    sources = listed(inspect.getdoc(importlib.import_module(home)) or "")
    text = qualified(linked(dedented(lines), name, home, sources), home)
    if what == "module":  # a heading of its own would stand in the page's table of contents
        text = text.replace("References\n----------\n", ".. rubric:: Sources\n\n")
    lines[:] = [*text.split("\n"), *(field_list(held) if what == "class" else ())]


def qualified(text: str, home: str) -> str:
    """Return a docstring in which functions and classes that its module imports have their full names.

    >>> qualified("See :class:`Cloth` and :func:`mine`.", "dryermodel.cycle.engine.state")
    'See :class:`~dryermodel.physics.textile.Cloth` and :func:`mine`.'
    """
    known = vars(importlib.import_module(home))

    def full(role: re.Match[str]) -> str:
        held = known.get(role[2])
        far = getattr(held, "__module__", home)
        named = inspect.isfunction(held) or inspect.isclass(held)
        return f":{role[1]}:`~{far}.{role[2]}`" if named and far != home else role[0]

    return ROLE.sub(full, text)


def hide_fields(app: Sphinx, what: str, name: str, held: Any, skip: bool, options: Any) -> bool | None:
    """Leave out what says no more of a record's field than its place."""
    return True if (getattr(held, "__doc__", None) or "").startswith("Alias for field number") else None


def field_list(held: Any) -> list[str]:
    """Fields of a plain record, each with the comment beside it in the source.

    >>> from dryermodel.physics.drum import Exchange
    >>> field_list(Exchange)[2]
    '- ``evaporation``: [kg/s] water from cloth to air, negative when it condenses'
    """
    fields = getattr(held, "_fields", ())
    if not fields:
        return []
    source = inspect.getsource(held)
    found = {field: re.search(rf"^    {field}: .*?#\s*(.*)$", source, re.M) for field in fields}
    return ["", *(f"- ``{field}``{': ' + mark[1] if mark else ''}" for field, mark in found.items()), ""]


@cache
def _home(name: str) -> str:
    """Module in which a dotted name stands."""
    parts = name.split(".")
    for count in range(len(parts), 0, -1):
        try:
            return importlib.import_module(".".join(parts[:count])).__name__
        except ImportError:
            continue
    raise ValueError(name)
