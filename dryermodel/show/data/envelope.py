"""What every command's JSON says of itself, under the same keys."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from dryermodel.show.data.numbers import clean

if TYPE_CHECKING:
    from dryermodel.readings.gaps import Gaps


def envelope(
    version: str,
    *,
    title: str,
    status: Any,
    scenario_hash: str | None = None,
    rel_tolerance: float | None = None,
    gaps: Gaps | None = None,
    seed: int | None = None,
) -> dict[str, Any]:
    """Return what stands beside the numbers of every command; null where a command has no such thing.

    Parameters
    ----------
    version : str
        Of the program.
    title : str
        Of the scenario, of the first one, or of a bench sum.
    status : str or dict
        What the numbers rest on: one label for all, or a label and a basis for each key.
    scenario_hash : str, optional
        Of the scenario, or of the first one; a bench sum has none.
    rel_tolerance : float, optional
        Of the integration [1], where there was one.
    gaps : Gaps, optional
        How well the balances close, where a cycle was computed.
    seed : int, optional
        Of random draws; none were made without it.
    """
    return {
        "version": version,
        "scenario_hash": scenario_hash,
        "title": title,
        "seed": seed,
        "rel_tolerance": clean(rel_tolerance),
        "balance_water": clean(gaps.water if gaps else None),
        "balance_energy": clean(gaps.energy if gaps else None),
        "status": status,
    }
