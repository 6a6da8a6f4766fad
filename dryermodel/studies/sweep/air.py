"""What a sweep over the air path shows: less air may dry sooner, up to a point."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import numpy as np

from dryermodel.findings.less_air import AirCase, less_air, only_air_differs
from dryermodel.studies.sweep.design import Grid
from dryermodel.studies.sweep.outcomes import column, find_outcome, time_to_dry_words

if TYPE_CHECKING:
    import pandas as pd

    from dryermodel.studies.sweep.plan import Sweep
    from dryermodel.studies.sweep.vary import Varied


def less_air_lines(sweep: Sweep, table: pd.DataFrame) -> list[str]:
    """Say for each key that changes nothing but the air whether less of it dries sooner, and up to where.

    Parameters
    ----------
    sweep : Sweep
        A grid; of drawn points nothing is said, for no two of them differ in one key only.
    table : DataFrame
        Its rows. Keys that vary beside the one looked at stand at their first value.

    Returns
    -------
    list of str
        Sentences; none where there is nothing to say.
    """
    if not isinstance(sweep.design, Grid) or sweep.marked_moisture is None:
        return []
    return [text for place in range(len(sweep.varied)) for text in _along(sweep, table, place)]


def _along(sweep: Sweep, table: pd.DataFrame, place: int) -> Iterator[str]:
    v = sweep.varied[place]
    first = [float(other.at(0.0)) for other in sweep.varied]
    last = [*first[:place], float(v.at(1.0)), *first[place + 1 :]]
    p = sweep.maker(first)
    if v.n < 2 or not only_air_differs(p, sweep.maker(last)):
        return
    others = [other.column(sweep.si) for other in sweep.varied if other is not v]
    rows = table[(table[others] == table[others].iloc[0]).all(axis=1)]
    names = [v.said(value, sweep.si) for value in rows[v.column(sweep.si)]]
    columns = [
        _in_si(sweep, rows, name)
        for name in ("mid_drying_flow", "mid_drying_exhaust_temp", "time_to_dry", "high_limit_trips")
    ]
    cases = [
        AirCase(name, flow, exhaust, None if dry_at != dry_at else dry_at, int(trips))
        for name, flow, exhaust, dry_at, trips in zip(names, *columns, strict=True)
        if flow == flow
    ]
    level = time_to_dry_words(sweep.marked_moisture).removeprefix("time to ")
    told = less_air(cases, p, level, sweep.si)
    if told is not None:
        beside = ", ".join(
            o.said(float(o.shown(x, sweep.si)), sweep.si) for o, x in _fixed(sweep, first, place)
        )
        yield f"At {beside}: {told[:1].lower()}{told[1:]}" if beside else told


def _fixed(sweep: Sweep, first: list[float], place: int) -> list[tuple[Varied, float]]:
    return [(o, x) for i, (o, x) in enumerate(zip(sweep.varied, first, strict=True)) if i != place]


def _in_si(sweep: Sweep, rows: pd.DataFrame, name: str) -> list[float]:
    outcome = find_outcome(name, "")
    shown = np.asarray(rows[column(outcome, sweep.marked_moisture, sweep.si)], dtype=np.float64)
    zero, one = outcome.shown(np.array([0.0, 1.0]), sweep.si)
    return [float(x) for x in (shown - zero) / (one - zero)]
