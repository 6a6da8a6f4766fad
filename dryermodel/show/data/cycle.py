"""One cycle for programs: its summary, its switchings, and its course as a CSV file."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from dryermodel.errors import InputError
from dryermodel.files import write_file
from dryermodel.findings.trust import statuses
from dryermodel.readings.gaps import gaps_of
from dryermodel.readings.single import CycleReadings
from dryermodel.show.data.envelope import envelope
from dryermodel.show.data.numbers import keyed
from dryermodel.vocabulary import READINGS, SUMMARY

if TYPE_CHECKING:
    from dryermodel.cycle.result import CycleResult

CSV_DIGITS = 8
"""Significant digits of a number in a CSV file."""


def summary_json(result: CycleResult, version: str) -> dict[str, Any]:
    """Summary for programs: fixed keys with the unit in the name, null where there is no number.

    Parameters
    ----------
    result : CycleResult
        The cycle.
    version : str
        Of the program.

    Returns
    -------
    dict
        Numbers, text, None and, under ``status``, a dict; valid JSON as it stands. What each number
        is stands in :data:`dryermodel.vocabulary.READINGS`.
    """
    labels = {READINGS[name].key: status._asdict() for name, status in statuses(result).items()}
    return {
        **envelope(
            version,
            scenario_hash=result.scenario_hash,
            title=result.title,
            rel_tolerance=result.parameters.rel_tolerance,
            gaps=gaps_of([result]),
            status=labels,
        ),
        "end_reason": result.end.slug,
        "end_reason_text": result.end.value,
        **keyed(CycleReadings(result), SUMMARY),
        "pieces": [piece._asdict() for piece in result.pieces],
    }


def events_data(result: CycleResult) -> list[dict[str, Any]]:
    """Every switching in order of time.

    Parameters
    ----------
    result : CycleResult
        The cycle.
    """
    return [
        {"time_min": round(e.time / 60.0, 6), "cause": e.cause, "changes": list(e.changes)}
        for e in result.events
    ]


def write_csv(result: CycleResult, path: str | Path, *, si: bool = False, step: float = 10.0) -> Path:
    """Write the cycle as a table of comma-separated values in UTF-8, with the units in its header.

    Parameters
    ----------
    result : CycleResult
        The cycle.
    path : str or Path
        File whose name ends in .csv; one that is there is replaced, whole or not at all.
    si : bool
        SI units (K, kg, m3/s, Pa, W, s) instead of degF, lb, cfm, in w.c., Btu/h and min.
    step : float
        Seconds between rows [s].

    Returns
    -------
    Path
        The file written.

    Raises
    ------
    InputError
        The name does not end in .csv, the file cannot be written, or `step` is out of range.
    """
    target = Path(path)
    if target.suffix.lower() != ".csv":
        raise InputError(f"a table's name ends in .csv, not '{target.suffix}'", str(path))
    frame = result.to_dataframe(step, si)
    # The same line ends on every system, so that the same cycle is the same bytes.
    text = frame.to_csv(index=False, lineterminator="\n", float_format=f"%.{CSV_DIGITS}g")
    write_file(target, text.encode("utf-8"))
    return target
