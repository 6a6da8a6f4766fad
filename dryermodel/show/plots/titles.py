"""Titles that fit above a picture and never lose what is wrong with the machine."""

from __future__ import annotations

import textwrap

WIDEST = 78
"""Characters of a title at its full size."""

SMALLEST = 0.5
"""Share of its size a title is made smaller to, at most [1]."""

_WITH = "; with "
"""Stands before the faults in a scenario's full title."""


def fitted_title(title: str, size: float, otherwise: str = "") -> tuple[str, float]:
    """Return a title that fits on one line, and its size.

    The scenario's own words are shortened first; the faults stay, and if they need it the lettering is
    made smaller.

    Parameters
    ----------
    title : str
        From :attr:`~dryermodel.scenario.model.Scenario.full_title`, perhaps with more behind.
    size : float
        Full size of the lettering [pt].
    otherwise : str
        Stands where there is no title.

    Examples
    --------
    >>> fitted_title("My dryer; with vent blockage 75 %", 10.0)
    ('My dryer; with vent blockage 75 %', 10.0)
    >>> fitted_title("A long story " * 10 + "; with vent blockage 75 %", 10.0)[0]
    'A long story A long story A long story A long ...; with vent blockage 75 %'
    """
    text = " ".join(title.split()) or otherwise
    own, joint, faults = text.partition(_WITH)
    room = max(WIDEST - len(joint + faults), WIDEST // 3)
    if len(own) > room:
        own = textwrap.shorten(own, room, placeholder=" ...")
    fitted = own.strip() + joint + faults
    return fitted, size * max(min(1.0, WIDEST / len(fitted)), SMALLEST) if fitted else size
