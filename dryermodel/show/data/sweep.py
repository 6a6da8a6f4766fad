"""A sweep for programs."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from dryermodel.readings.gaps import Gaps
from dryermodel.show.data.envelope import envelope
from dryermodel.studies.sweep.air import less_air_lines
from dryermodel.studies.sweep.files import about

if TYPE_CHECKING:
    import pandas as pd

    from dryermodel.studies.sweep.frame import Tally
    from dryermodel.studies.sweep.plan import Sweep


def as_data(planned: Sweep, met: Tally, version: str, rows: pd.DataFrame | None = None) -> dict[str, Any]:
    """The sweep for programs: what it follows from, the range of each column, and the runs.

    Parameters
    ----------
    planned : Sweep
        What was run.
    met : Tally
        What was met in the table.
    version : str
        Of the program.
    rows : DataFrame, optional
        The table itself.
    """
    told = about(planned, met)
    content = envelope(
        version,
        scenario_hash=told["scenario_hash"],
        title=planned.scenario.full_title,
        rel_tolerance=told["rel_tolerance"],
        gaps=Gaps(*(told["largest_balance_gaps"][f"balance_{what}"] for what in Gaps._fields)),
        status=told["status"],
        seed=planned.seed,
    )
    content |= told
    content["least"] = {k: _plain(v) for k, v in met.least.items()}
    content["greatest"] = {k: _plain(v) for k, v in met.greatest.items()}
    if rows is not None:
        content["notes"] = less_air_lines(planned, rows)
        content["rows"] = [list(map(_plain, row)) for row in rows.itertuples(index=False)]
    return content


def _plain(value: float | str) -> float | str | None:
    return None if value != value else value
