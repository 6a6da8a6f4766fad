"""Tools at hand, as a person writes them."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache

from dryermodel.errors import InputError, did_you_mean
from dryermodel.field.measurements import measurements
from dryermodel.field.observations import observations

ALWAYS = frozenset({"hand", "hands", "eyes"})
"""Tools that everybody has: they may be named, and nothing hangs on it."""


@cache
def known_tools() -> tuple[str, ...]:
    """Return every tool that some test needs, in alphabetical order.

    >>> "manometer" in known_tools(), "hand" in known_tools()
    (True, False)
    """
    needed = [test.tools for test in measurements().values()]
    needed += [test.tools for test in observations().values()]
    return tuple(sorted({tool for tools in needed for tool in tools} - ALWAYS))


def tools_at_hand(named: Iterable[str]) -> frozenset[str]:
    """Return those of the named tools that a test may need.

    Raises
    ------
    InputError
        A tool that no test needs.

    >>> sorted(tools_at_hand(["watch", "hand"]))
    ['watch']
    """
    found = {tool.strip().lower() for tool in named} - ALWAYS - {""}
    for tool in sorted(found):
        if tool not in known_tools():
            near = did_you_mean(tool, known_tools()) or f"; tools: {', '.join(known_tools())}"
            raise InputError(f"'{tool}': no test needs that{near}", "--have")
    return frozenset(found)


def tools_of(text: str | None) -> frozenset[str] | None:
    """Return the tools at hand of a text with commas between; None, for all, when nothing is said.

    Raises
    ------
    InputError
        A tool that no test needs.

    >>> sorted(tools_of("watch, manometer"))
    ['manometer', 'watch']
    >>> tools_of("")
    frozenset()
    """
    return None if text is None else tools_at_hand(text.split(","))
