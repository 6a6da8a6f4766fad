"""The finished table of a sweep: CSV or Parquet, moved into place in one step."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from importlib import import_module
from itertools import chain
from pathlib import Path
from typing import TYPE_CHECKING, Any

from dryermodel.errors import InputError, Stopped, did_you_mean
from dryermodel.files import replacing, require_writable, write_file
from dryermodel.studies.sweep.frame import (
    Progress,
    Tally,
    csv_text,
    frame_of,
    record_type,
    sweep_records,
    tally,
)
from dryermodel.studies.sweep.outcomes import TEXT_COLUMN
from dryermodel.studies.sweep.part_file import ENDING, PartFile, part_path
from dryermodel.studies.sweep.plan import Sweep

if TYPE_CHECKING:
    import pandas as pd

ENDINGS = (".csv", ".parquet")

TRUST = (
    "computed, not measured; direction and order of magnitude of faults follow from mechanism, and "
    "the high limit's coupling and lag are assumed"
)
"""What a table of results may be trusted with, in one sentence."""


def check_output(path: Path) -> Path:
    """See that a table can be written there, before anything is computed.

    Parameters
    ----------
    path : Path
        File wanted; ends in .csv or .parquet.

    Returns
    -------
    Path
        The same.

    Raises
    ------
    InputError
        The ending is another, pyarrow is missing, or the file cannot be written.
    """
    ending = path.suffix.lower()
    if ending not in ENDINGS:
        near = did_you_mean(ending, ENDINGS)
        raise InputError(f"a table's name ends in .csv or .parquet, not '{ending}'{near}", path.as_posix())
    if ending == ".parquet":
        require_pyarrow(path)
    require_writable(path)
    require_writable(about_path(path))
    return path


def require_pyarrow(path: Path) -> None:
    """Raise InputError if Parquet cannot be written."""
    try:
        import_module("pyarrow.parquet")
    except ImportError:
        message = (
            "Parquet needs pyarrow, which is not installed (python -m pip install pyarrow); or end in .csv"
        )
        raise InputError(message, path.as_posix()) from None


def require_same_sweep(sweep: Sweep, path: Path) -> None:
    """Raise InputError if a file is there that is not this sweep's own finished table.

    Parameters
    ----------
    sweep : Sweep
        What is to be written.
    path : Path
        Where; what is beside it says which sweep a finished table is of.
    """
    if not path.exists():
        return
    record = about_path(path)
    try:
        told = json.loads(record.read_text(encoding="utf-8"))
    except (OSError, ValueError, RecursionError):
        told = None
    if not isinstance(told, dict):
        what = f"is there already, with no record of a sweep in '{record.name}'"
    else:
        ours = json.loads(json.dumps(_settings(sweep)))
        names = [name for name, value in ours.items() if told.get(name) != value]
        if not names:
            return
        what = f"is there already and holds another sweep (other {', '.join(names)})"
    raise InputError(f"{what}; choose another name, or add --yes to replace it", path.as_posix())


def _settings(sweep: Sweep) -> dict[str, Any]:
    """What one sweep differs from another by, whichever version computes it."""
    identity = sweep.identity()
    names = ("scenario_hash", "runs", "seed", "rel_tolerance", "columns")
    return {
        **{name: identity[name] for name in names},
        "varied": sweep.ranges(),
    }


def sweep_to_file(
    sweep: Sweep, path: Path, progress: Progress | None = None, *, replace: bool = False
) -> Tally:
    """Run a sweep into a file; what an earlier, killed run of the same sweep finished is kept.

    Parameters
    ----------
    sweep : Sweep
        What to run.
    path : Path
        File, ending in .csv or .parquet. Beside it, while it grows, is the same name with .part,
        and in the end the same name with .about.json: what the table follows from.
    progress : callable, optional
        Told how many runs are done, and of how many.
    replace : bool
        Whether a file that is not this sweep's own table may be replaced.

    Returns
    -------
    Tally
        Least and greatest of each column, and how the runs ended.

    Raises
    ------
    InputError
        The file cannot be written, or another one is there and `replace` is false.
    """
    check_output(path)
    if not replace:
        require_same_sweep(sweep, path)
    with PartFile(part_path(path), sweep.identity(), record_type(sweep)) as part:
        if progress is not None:
            progress(part.rows, sweep.size)
        _compute(sweep, part, progress)
        met = tally(map(frame_of, part.chunks()))
        with _kept(path):
            # Before the table: after a kill between the two, the table would be taken for another's.
            record = json.dumps(about(sweep, met), indent=2, allow_nan=False) + "\n"
            write_file(about_path(path), record.encode("ascii"))
            if path.suffix.lower() == ".parquet":
                _write_parquet(path, map(frame_of, part.chunks()), sweep.identity())
            else:
                _write_csv(path, map(frame_of, part.chunks()))
        part.discard()
    return met


def _compute(sweep: Sweep, part: PartFile, progress: Progress | None) -> None:
    """Run what is not in the file yet; raise Stopped, with what is, when the person stops it."""
    try:
        for records in sweep_records(sweep, part.rows, progress):
            part.append(records)
    except KeyboardInterrupt:
        kept = sum(map(len, part.chunks()))  # it may have come amid an append
        raise Stopped(
            f"{kept:,} of {sweep.size:,} cycles are kept in '{part.path.name}'; "
            "the same command goes on from there"
        ) from None


def about_path(path: Path) -> Path:
    """Where it is said what a table follows from."""
    return path.with_name(path.name + ".about.json")


def about(sweep: Sweep, met: Tally) -> dict[str, Any]:
    """What a table follows from, and how well its balances close."""
    gaps = {name: _largest(met, name) for name in ("balance_water", "balance_energy")}
    return {
        **{k: v for k, v in sweep.identity().items() if k not in ("columns", "varied")},
        "scenario": sweep.scenario.name,
        "scenario_title": sweep.scenario.full_title,
        **sweep.scenario.faults_as_data(),
        "varied": sweep.ranges(),
        "points": "grid" if sweep.seed is None else "scrambled Sobol sequence",
        "end_reasons": met.end_reasons,
        "largest_balance_gaps": gaps,
        "status": TRUST,
        "columns": list(sweep.columns),
    }


def _largest(met: Tally, name: str) -> float:
    return max(abs(met.least[name]), abs(met.greatest[name]))


@contextmanager
def _kept(path: Path) -> Iterator[None]:
    """Say with an error that the finished runs are not lost."""
    try:
        yield
    except InputError as problem:
        kept = f"the finished runs are kept in '{path.name}{ENDING}'"
        raise InputError(f"{problem.message}; {kept}", problem.where) from problem.__cause__


def _write_csv(path: Path, frames: Iterable[pd.DataFrame]) -> None:
    with replacing(path) as file:
        for number, frame in enumerate(frames):
            file.write(csv_text(frame, header=number == 0).encode("ascii"))


def _write_parquet(path: Path, frames: Iterable[pd.DataFrame], note: Mapping[str, Any]) -> None:
    """One row group for each frame."""
    pa: Any = import_module("pyarrow")  # has no type stubs
    pq: Any = import_module("pyarrow.parquet")
    tables = (pa.Table.from_pandas(frame, preserve_index=False) for frame in frames)
    first = next(tables)
    schema = first.schema.with_metadata({**first.schema.metadata, "dryermodel": json.dumps(note)})
    with replacing(path) as file, pq.ParquetWriter(file, schema) as writer:
        for table in chain([first], tables):
            writer.write_table(table.replace_schema_metadata(schema.metadata))


def read_table(path: Path) -> pd.DataFrame:
    """Read a finished table back, end reasons as a category."""
    import pandas as pd

    if path.suffix.lower() == ".parquet":
        return pd.read_parquet(path)
    return pd.read_csv(path, dtype={TEXT_COLUMN: "category"})
