"""The finished table of a sweep: CSV or Parquet, moved into place in one step."""

from __future__ import annotations

import csv
import json
import os
import tempfile
from collections.abc import Iterable, Iterator, Mapping
from contextlib import suppress
from importlib import import_module
from pathlib import Path
from typing import Any

from dryermodel.errors import InputError, Stopped, did_you_mean
from dryermodel.studies.sweep.lines import Progress, header_line, sweep_lines, sweep_settings
from dryermodel.studies.sweep.outcomes import TEXT_COLUMN
from dryermodel.studies.sweep.part_file import ENDING, PartFile, part_path
from dryermodel.studies.sweep.plan import RUN_COLUMN, Sweep
from dryermodel.studies.sweep.table import Tally, tally

ENDINGS = (".csv", ".parquet")
GROUP = 50_000
"""Rows of a Parquet row group: what is in memory at a time."""

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


def require_writable(path: Path) -> None:
    """Raise InputError unless a file of that name can be made, without making it."""
    where = path.as_posix()
    try:
        if path.is_dir():
            raise InputError("is a directory; a file name is wanted", where)
        if not path.parent.is_dir():
            raise InputError(f"there is no directory '{path.parent.as_posix()}' to write to", where)
        if path.exists() and not os.access(path, os.W_OK):
            raise InputError("cannot be written: it is read-only", where)
        # The longest name that is made on the way; the system says if it is too long.
        with suppress(FileNotFoundError):
            path.with_name(f".{about_path(path).name}.tmp").stat()
        with tempfile.TemporaryFile(dir=path.parent):
            pass
    except OSError as problem:
        raise InputError(f"cannot be written: {problem.strerror or problem}", where) from problem


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
        "varied": sweep_settings(sweep.varied, sweep.si),
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
    with PartFile(part_path(path), sweep.identity(), len(sweep.columns)) as part:
        if progress is not None:
            progress(part.rows, sweep.size)
        _compute(sweep, part, progress)
        met = tally(sweep, part.lines())
        # Before the table: after a kill between the two, the table would be taken for another's.
        write_about(about_path(path), about(sweep, met))
        if path.suffix.lower() == ".parquet":
            _replace(path, lambda beside: _write_parquet(sweep, part, beside))
        else:
            _replace(path, lambda beside: _write_csv(sweep, part, beside))
        part.discard()
    return met


def _compute(sweep: Sweep, part: PartFile, progress: Progress | None) -> None:
    """Run what is not in the file yet; raise Stopped, with what is, when the person stops it."""
    try:
        for lines in sweep_lines(sweep, part.rows, progress):
            part.append(lines)
    except KeyboardInterrupt:
        kept = sum(line.endswith("\n") for line in part.lines())  # it may have come amid an append
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
        "scenario_title": sweep.scenario.title,
        "varied": sweep_settings(sweep.varied, sweep.si),
        "points": "grid" if sweep.seed is None else "scrambled Sobol sequence",
        "end_reasons": met.end_reasons,
        "largest_balance_gaps": gaps,
        "status": TRUST,
        "columns": list(sweep.columns),
    }


def _largest(met: Tally, name: str) -> float:
    return max(abs(met.least[name]), abs(met.greatest[name]))


def write_about(path: Path, content: Mapping[str, Any]) -> None:
    """Write the record beside a table."""
    text = json.dumps(content, indent=2, allow_nan=False) + "\n"
    _replace(path, lambda beside: beside.write_bytes(text.encode("ascii")))


def _replace(path: Path, write: Any) -> None:
    """Let `write` make a hidden neighbour, then move it into place."""
    beside = path.with_name(f".{path.name}.tmp")
    try:
        write(beside)
        with beside.open("r+b") as file:
            os.fsync(file.fileno())
        beside.replace(path)
    except OSError as problem:
        beside.unlink(missing_ok=True)
        kept = f"the finished runs are kept in '{path.name}{ENDING}'"
        message = f"cannot be written: {problem.strerror or problem}; {kept}"
        raise InputError(message, path.as_posix()) from problem


def _write_csv(sweep: Sweep, part: PartFile, beside: Path) -> None:
    with beside.open("w", encoding="ascii", newline="") as file:
        file.write(header_line(sweep))
        file.writelines(part.lines())


def _write_parquet(sweep: Sweep, part: PartFile, beside: Path) -> None:
    pa: Any = import_module("pyarrow")  # has no type stubs
    pq: Any = import_module("pyarrow.parquet")
    kinds = {RUN_COLUMN: pa.int64(), TEXT_COLUMN: pa.string()}
    fields = [pa.field(name, kinds.get(name, pa.float64())) for name in sweep.columns]
    note = {"dryermodel": json.dumps(sweep.identity(), sort_keys=True)}
    schema = pa.schema(fields, metadata=note)
    with pq.ParquetWriter(beside, schema) as writer:
        for rows in _groups(part.lines()):
            columns = [
                pa.array(_typed(field.name, [row[i] for row in rows]), field.type)
                for i, field in enumerate(schema)
            ]
            writer.write_table(pa.Table.from_arrays(columns, schema=schema))


def _typed(name: str, texts: list[str]) -> list[Any]:
    if name == TEXT_COLUMN:
        return texts
    if name == RUN_COLUMN:
        return [int(text) for text in texts]
    return [float(text) if text else None for text in texts]


def _groups(lines: Iterable[str]) -> Iterator[list[list[str]]]:
    group: list[list[str]] = []
    for row in csv.reader(lines):
        group.append(row)
        if len(group) == GROUP:
            yield group
            group = []
    if group:
        yield group
