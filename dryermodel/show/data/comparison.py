"""A comparison for programs."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from dryermodel.readings.gaps import gaps_of
from dryermodel.show.data.cycle import summary_json
from dryermodel.show.data.envelope import envelope
from dryermodel.show.data.numbers import clean
from dryermodel.studies.comparison.figures import BLOCKS, NAMES
from dryermodel.studies.comparison.notes import notes
from dryermodel.vocabulary import READINGS

if TYPE_CHECKING:
    from dryermodel.studies.comparison.figures import Comparison


def as_data(found: Comparison, version: str, si: bool = False) -> dict[str, Any]:
    """The comparison for programs.

    Parameters
    ----------
    found : Comparison
        From :func:`dryermodel.studies.comparison.figures.comparison`.
    version : str
        Of the program.
    si : bool
        Of the sentences; figures are in SI whatever is asked for: s, kg/kg, J, kg, K, Pa, m3/s.
    """
    first = found.cases[0]
    return {
        **envelope(
            version,
            scenario_hash=first.scenario.hash,
            title=first.scenario.full_title,
            rel_tolerance=first.result.parameters.rel_tolerance,
            gaps=gaps_of(case.result for case in found.cases),
            status="each row has its own",
        ),
        "currency": found.currency,
        "cases": [_case_data(found, rank, version) for rank in range(len(found.cases))],
        "rows": [_row(found, name, block) for block, names in BLOCKS.items() for name in names],
        "notes": notes(found.cases, found.numbers, si),
    }


def _row(found: Comparison, name: str, block: str) -> dict[str, str]:
    entry = READINGS[name]
    status = found.status_of(name)
    return {"key": entry.figure_key, "label": entry.words, "block": block, "status": status}


def _case_data(found: Comparison, rank: int, version: str) -> dict[str, Any]:
    case, numbers = found.cases[rank], found.numbers[rank]
    keys = {name: READINGS[name].figure_key for name in NAMES}
    return {
        "letter": found.letter(rank),
        "name": case.name,
        "title": case.scenario.full_title,
        "scenario_hash": case.scenario.hash,
        **case.scenario.faults_as_data(),
        "currency": case.tariff.currency,
        "loads_per_year": case.tariff.loads_per_year,
        "ended_by_itself": numbers.ended,
        "second_run_needed": numbers.wet,
        "figures_SI": {key: clean(numbers.values[name]) for name, key in keys.items()},
        "difference_to_first_SI": {key: clean(found.difference(rank, name)) for name, key in keys.items()},
        "summary": summary_json(case.result, version),
    }
