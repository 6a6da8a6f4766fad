"""Small helps for text pages: wrapping that keeps a number with its unit, and right-hand columns."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Sequence

WIDEST = 118
"""Characters in a line of a page."""

HASH_DIGITS = 12
"""Of a scenario's hash, on a page to read; programs get all of it."""

_KEPT = re.compile(
    r"(?<=\d) (?=(?:%|s|min|h|ft|cm2|degF|degC|kWh|Btu/h|in w\.c\.|Pa|cfm|L/s|times|trips)(?!\w))"
)
_SPACE = "\N{NO-BREAK SPACE}"


def short_hash(scenario_hash: str) -> str:
    """Return as much of a hash as tells two scenarios apart to the eye.

    >>> short_hash("0123456789abcdef")
    '0123456789ab'
    """
    return scenario_hash[:HASH_DIGITS]


def wrap(text: str, width: int, lead: str = "", indent: str = "") -> list[str]:
    """Wrap a paragraph without parting a number from its unit.

    Parameters
    ----------
    text : str
        The paragraph.
    width : int
        Most characters in a line.
    lead, indent : str
        Before the first line, and before the others.

    Examples
    --------
    >>> wrap("it took 11 min in all", 10)
    ['it took', '11 min in', 'all']
    """
    kept = _KEPT.sub(_SPACE, text)
    # A plain split: textwrap's own would also break at hyphens inside words such as "cut-out".
    lines = textwrap.wrap(kept, width, initial_indent=lead, subsequent_indent=indent, break_on_hyphens=False)
    return [line.replace(_SPACE, " ").rstrip() for line in lines]


def right_aligned(
    headers: Sequence[str], rows: Sequence[Sequence[str]], first: int
) -> tuple[list[str], list[list[str]]]:
    """Pad the columns from `first` on so that their cells end at the same place.

    Parameters
    ----------
    headers : sequence of str
        One a column.
    rows : sequence of sequence of str
        Cells.
    first : int
        Columns before it stay as they are.

    Examples
    --------
    >>> right_aligned(["what", "min"], [["a", "5"], ["b", "1234"]], 1)
    (['what', ' min'], [['a', '   5'], ['b', '1234']])
    """
    lines = [list(headers), *map(list, rows)]
    for i in range(first, len(headers)):
        width = max(len(line[i]) for line in lines)
        for line in lines:
            line[i] = line[i].rjust(width)
    return lines[0], lines[1:]
