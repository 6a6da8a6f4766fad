"""What repairs gain, for programs."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from dryermodel.show.data.envelope import envelope
from dryermodel.show.data.numbers import clean
from dryermodel.studies.repair_notes import notes
from dryermodel.studies.repairs import DRY
from dryermodel.vocabulary import READINGS

if TYPE_CHECKING:
    from dryermodel.studies.repairs import Gains, Outcome, Repairs


def as_data(found: Repairs, version: str) -> dict[str, Any]:
    """The repairs for programs: SI, and money in the scenario's currency.

    Parameters
    ----------
    found : Repairs
        From :func:`dryermodel.studies.repairs.plan_repairs`.
    version : str
        Of the program.
    """
    return {
        **envelope(
            version,
            scenario_hash=found.scenario.hash,
            title=found.scenario.full_title,
            rel_tolerance=found.rel_tolerance,
            gaps=found.gaps,
            status="assumed",
        ),
        **found.scenario.faults_as_data(),
        "currency": found.tariff.currency,
        "criterion": found.criterion,
        "before": _outcome_data(found.before),
        "after": _outcome_data(found.after),
        "each_alone": {
            key: {"after": _outcome_data(outcome), "saved_SI": _gains_data(gains)}
            for key, (outcome, gains) in found.each.items()
        },
        "all_together_saved_SI": _gains_data(found.together),
        "sum_of_each_alone_SI": {_key(name): clean(found.sum_of_each(name)) for name in found.together},
        "order": [
            {
                "repair": s.key,
                "danger": s.danger,
                "after": _outcome_data(s.outcome),
                "saved_so_far_SI": _gains_data(s.gains),
            }
            for s in found.order
        ],
        "order_holds_over_assumed_range": found.order_holds,
        "assumed_range": {"high_limit_coupling": found.couplings, "high_limit_lag_s": found.lags},
        "notes": notes(found),
    }


def _outcome_data(outcome: Outcome) -> dict[str, Any]:
    numbers = {
        _key(name): value if isinstance(value, bool) else clean(value)
        for name, value in outcome._asdict().items()
    }
    return {**numbers, "second_run_needed": outcome.final_moisture > DRY}


def _key(name: str) -> str:
    return READINGS[name].figure_key


def _gains_data(gains: Gains) -> dict[str, Any]:
    return {
        _key(name): None if span is None else {part: clean(value) for part, value in span._asdict().items()}
        for name, span in gains.items()
    }
