"""A cut-out set alone takes its cut-in along: what a person replaces is a disc of the same differential."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from types import MappingProxyType
from typing import Any

from dryermodel import units
from dryermodel.scenario.schema import rule_of

FOLLOWS = MappingProxyType(
    {
        "machine.exhaust_cut_out": "machine.exhaust_cut_in",
        "machine.high_limit_cut_out": "machine.high_limit_cut_in",
    }
)
"""Cut-outs, each with the cut-in that keeps its distance to it."""


def following(before: Mapping[str, Any], changes: Mapping[str, Any]) -> dict[str, str]:
    """Return the cut-ins that follow a cut-out which a layer sets without them.

    Parameters
    ----------
    before, changes : mapping of dotted key to value
        As written, before the layer and in it.

    Returns
    -------
    dict of str to str
        Key and temperature. A value that cannot be read moves nothing: the checks refuse it.

    >>> before = {"machine.exhaust_cut_out": "155 degF", "machine.exhaust_cut_in": "140 degF"}
    >>> following(before, {"machine.exhaust_cut_out": "135 degF"})
    {'machine.exhaust_cut_in': '120 degF'}
    """
    moved: dict[str, str] = {}
    for cut_out, cut_in in FOLLOWS.items():
        if cut_out not in changes or cut_in in changes:
            continue
        try:
            new, old = (_kelvin(cut_out, found[cut_out]) for found in (changes, before))
            lower = _kelvin(cut_in, before[cut_in])
        except ValueError:
            continue
        moved[cut_in] = units.format(new - (old - lower), "degF", 9)
    return moved


def moves_with(cut_outs: Collection[str], fixed: Collection[str] = ()) -> dict[str, tuple[str, ...]]:
    """Return which keys move along with those that vary: each cut-in with its cut-out.

    Parameters
    ----------
    cut_outs : collection of str
        Dotted keys that vary.
    fixed : collection of str
        Dotted keys that vary or are set beside them and so stay where they are put.
    """
    return {
        key: (FOLLOWS[key],) for key in cut_outs if key in FOLLOWS and FOLLOWS[key] not in {*cut_outs, *fixed}
    }


def _kelvin(key: str, text: object) -> float:
    rule = rule_of(key)  # its range settles what "165 degrees" is, here as in the check
    return units.parse(str(text), "temperature", rule.bounds() if rule else None)
