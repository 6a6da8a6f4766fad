"""Minutes of work, as a person writes them."""

from __future__ import annotations

from collections.abc import Sequence

from dryermodel.errors import InputError
from dryermodel.field.measurements import find_measurement
from dryermodel.field.observations import find_observation

LONGEST = 600.0
"""Minutes that no test takes."""


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
