"""A sensitivity study for programs."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from dryermodel.show.data.envelope import envelope
from dryermodel.show.text.sensitivity import MEANING

if TYPE_CHECKING:
    from dryermodel.studies.uncertainty.sensitivity import Study


def as_data(study: Study, version: str, si: bool = False) -> dict[str, Any]:
    """Shares of the variance by value, with their intervals.

    Parameters
    ----------
    study : Study
        What was found.
    version : str
        Of the program.
    si : bool
        SI units in the ranges.
    """
    return {
        **envelope(
            version,
            scenario_hash=study.scenario.hash,
            title=study.scenario.full_title,
            rel_tolerance=study.rel_tolerance,
            gaps=study.gaps,
            status="each range has its own",
            seed=study.seed,
        ),
        "dryermodel": version,
        **study.scenario.faults_as_data(),
        "n": study.n,
        "runs": study.runs,
        "meaning": MEANING,
        "notes": study.notes(),
        "ranges": [
            {
                "key": u.key,
                "words": u.words,
                "range": u.text(si),
                "shape": u.shape,
                "source": u.source,
                "status": u.status,
            }
            for u in study.uncertain
        ],
        "outcomes": {
            s.outcome.name: [
                {"key": i.key, "first_order": i.first._asdict(), "total": i.total._asdict()}
                for i in s.influences
            ]
            for s in study.outcomes
        },
    }
