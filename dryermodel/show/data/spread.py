"""How far the cycles of one scenario lie apart, for programs."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from dryermodel.show.data.envelope import envelope
from dryermodel.show.data.numbers import in_unit
from dryermodel.show.text.spread import HEADERS, spread_rows
from dryermodel.studies.sweep.outcomes import find_outcome
from dryermodel.studies.uncertainty.spread import SUMMARY

if TYPE_CHECKING:
    from dryermodel.studies.uncertainty.spread import Spread


def as_data(spread: Spread, version: str, si: bool = False) -> dict[str, Any]:
    """Percentiles of each outcome, and how they were drawn.

    Parameters
    ----------
    spread : Spread
        What the samples did.
    version : str
        Of the program.
    si : bool
        SI units in the rows.
    """
    return {
        **envelope(
            version,
            scenario_hash=spread.scenario.hash,
            title=spread.scenario.full_title,
            rel_tolerance=spread.rel_tolerance,
            gaps=spread.gaps,
            status="what is drawn has a status each; the model's own errors are not among it",
            seed=spread.seed,
        ),
        **spread.scenario.faults_as_data(),
        "samples": spread.n,
        "end_reasons": dict(spread.end_reasons),
        "outcomes": [dict(zip(HEADERS, row, strict=True)) for row in spread_rows(spread, si)],
        "percentiles": _percentiles(spread),
        "drawn": [{"key": u.key, "range": u.text(si), "status": u.status} for u in spread.drawn.uncertain],
    }


def _percentiles(spread: Spread) -> dict[str, Any]:
    """Percentiles as numbers under the key of each reading; null where no sample has it."""
    found: dict[str, Any] = {}
    for name in SUMMARY:
        entry = find_outcome(name, "--samples").reading
        values = spread.percentiles(name) or (None, None, None)
        numbers = zip(("p5", "p50", "p95"), (in_unit(entry, value) for value in values), strict=True)
        found[entry.key] = {**dict(numbers), "missing": spread.missing(name)}
    return found
