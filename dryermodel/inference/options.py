"""Tools at hand and minutes of work, as a person writes them."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache

from dryermodel.errors import InputError, did_you_mean
from dryermodel.field.measurements import find_measurement, measurements
from dryermodel.field.observations import find_observation, observations

LONGEST = 600.0
"""Minutes that no test takes."""


@cache
def known_tools() -> tuple[str, ...]:
    """Return every tool that some test needs, in alphabetical order.

    >>> "manometer" in known_tools(), "hand" in known_tools()
    (True, False)
    """
    needed = [test.tools for test in measurements().values()]
    needed += [test.tools for test in observations().values()]
    return tuple(sorted({tool for tools in needed for tool in tools} - {"hand"}))


def tools_of(text: str | None) -> frozenset[str] | None:
    """Return the tools at hand; None, for all of them, when nothing is said.

    Raises
    ------
    InputError
        A tool that no test needs.

    >>> sorted(tools_of("watch, manometer"))
    ['manometer', 'watch']
    >>> tools_of("")
    frozenset()
    """
    if text is None:
        return None
    found = [part.strip().lower() for part in text.split(",") if part.strip()]
    for tool in found:
        if tool not in known_tools():
            near = did_you_mean(tool, known_tools()) or f"; tools: {', '.join(known_tools())}"
            raise InputError(f"'{tool}': no test needs that{near}", "--have")
    return frozenset(found)


def minutes_of(texts: Sequence[str]) -> dict[str, float]:
    """Return minutes of work by the canonical name of the test.

    Raises
    ------
    InputError
        No such test, or minutes that cannot be.

    >>> minutes_of(["static=4 min", "flap stuck=1"])
    {'vent static': 4.0, 'flap stuck': 1.0}
    """
    found = {}
    for text in texts:
        name, equals, value = text.partition("=")
        number = value.strip().lower().removesuffix("minutes").removesuffix("min").strip()
        try:
            minutes = float(number) if equals else -1.0
        except ValueError:
            minutes = -1.0
        if not 0.0 <= minutes <= LONGEST:
            raise InputError(f"'{text}': write TEST=MINUTES, 0 to {LONGEST:.0f}", "--minutes")
        found[_test(name)] = minutes
    return found


def _test(name: str) -> str:
    try:
        return find_measurement(name, "--minutes").name
    except InputError as problem:
        try:
            return find_observation(name, "--minutes").name
        except InputError:
            raise problem from None
