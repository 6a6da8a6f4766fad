"""What every command's JSON says of itself, under the same keys."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from dryermodel.show.data.numbers import clean

if TYPE_CHECKING:
    from dryermodel.readings.gaps import Gaps


def envelope(
    version: str,
    *,
    scenario_hash: str,
    title: str,
    rel_tolerance: float,
    gaps: Gaps,
    status: Any,
    seed: int | None = None,
) -> dict[str, Any]:
    """Return what stands beside the numbers of every command; null where a command has no such thing.

    Parameters
    ----------
    version : str
        Of the program.
    scenario_hash, title : str
        Of the scenario, or of the first one.
    rel_tolerance : float
        Of the integration [1].
    gaps : Gaps
        How well the balances close.
    status : str or dict
        What the numbers rest on: one label for all, or a label and a basis for each key.
    seed : int, optional
        Of random draws; none were made without it.
    """
    return {
        "version": version,
        "scenario_hash": scenario_hash,
        "title": title,
        "seed": seed,
        "rel_tolerance": clean(rel_tolerance),
        "balance_water": clean(gaps.water),
        "balance_energy": clean(gaps.energy),
        "status": status,
    }
