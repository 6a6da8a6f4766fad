"""A sweep as tables and sentences."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dryermodel import units
from dryermodel.show.text.columns import short_hash
from dryermodel.studies.sweep.files import about

if TYPE_CHECKING:
    import pandas as pd

    from dryermodel.studies.sweep.frame import Tally
    from dryermodel.studies.sweep.plan import Sweep

Table = tuple[list[str], list[list[str]]]

MOST_WANTED = ("run", "cycle_time", "time_to_", "final_moisture", "energy", "high_limit_trips")
"""Beginnings of the columns that most people want."""

OF_PIECES = "wettest_final_moisture"
"""The same of a load of unlike pieces."""


def run_table(planned: Sweep, rows: pd.DataFrame) -> Table:
    """Heads and cells of every run, with what is varied, the outcomes most people want and the end.

    Parameters
    ----------
    planned : Sweep
        What was run.
    rows : DataFrame
        Its table.
    """
    keys = {v.column(planned.si) for v in planned.varied}
    wanted = (*MOST_WANTED, OF_PIECES) if len(planned.scenario.pieces) > 1 else MOST_WANTED
    names = [n for n in rows.columns if n in keys or n.startswith(wanted) or n == planned.columns[-1]]
    return names, [[_short(value) for value in row] for row in rows[names].itertuples(index=False)]


def range_table(planned: Sweep, met: Tally) -> Table:
    """Heads and cells: the range of each column.

    Parameters
    ----------
    planned, met
        As in :func:`provenance`.
    """
    names = [n for n in planned.columns[1:-1] if not n.startswith("balance_")]
    cells = [[name, _short(met.least[name]), _short(met.greatest[name])] for name in names]
    return ["column", "least", "greatest"], cells


def end_lines(met: Tally) -> list[str]:
    """How the runs ended.

    Parameters
    ----------
    met : Tally
        What was met in the table.
    """
    return [f"{count} of {met.runs}: {reason}" for reason, count in met.end_reasons.items()]


def provenance(planned: Sweep, met: Tally) -> str:
    """What the numbers follow from, in one line.

    Parameters
    ----------
    planned : Sweep
        What was run.
    met : Tally
        What was met in the table.
    """
    told = about(planned, met)
    gaps = max(told["largest_balance_gaps"].values())
    seed = "" if planned.seed is None else f", seed {planned.seed}"
    source = f"dryermodel {told['dryermodel']}, scenario hash {short_hash(told['scenario_hash'])}{seed}"
    tolerance = f"relative tolerance {told['rel_tolerance']:g}, balances close to {gaps:.1g}"
    return f"{source}, {tolerance}; {told['status']}"


def _short(value: float | str) -> str:
    if isinstance(value, str):
        return value
    return "-" if value != value else units.digits(value + 0.0, 5)
