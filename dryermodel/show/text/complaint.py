"""What is understood of a complaint, in words."""

from __future__ import annotations

from dryermodel.field.complaints import complained_of, nearest_complaint
from dryermodel.scenario.fault_search import smells_of_gas

NOT_UNDERSTOOD = (
    "The complaint is in words that are not known here and counts for nothing{near}: say it otherwise, "
    "such as 'takes too long', 'no heat', 'damp at the end', 'stops too soon', 'never ends' or "
    "'never starts'."
)
"""What is said of a complaint of no known kind; `near` names the nearest known one."""


def not_understood(said: str) -> str:
    """Return what is said of a complaint of no known kind, with the nearest known one.

    >>> not_understood("sqeaks terribly").partition(":")[0].partition("nothing ")[2]
    "(the nearest known is 'noisy drum')"
    """
    found = nearest_complaint(said)
    return NOT_UNDERSTOOD.format(near=f" (the nearest known is '{found.name}')" if found else "")


def understood(said: str) -> str:
    """Return what is understood of a complaint; empty where there is none, or only a smell of gas.

    >>> understood("takes two runs, and the house is damp")
    'understood as: takes too long, room humid or dusty'
    """
    kinds = [c.name for c in complained_of(said)]
    if kinds:
        return f"understood as: {', '.join(kinds)}"
    return not_understood(said) if said.strip() and not smells_of_gas(said) else ""
