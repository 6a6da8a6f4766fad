"""Banks kept from one process to the next, under a name that stands for all that they follow from."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

import dryermodel
from dryermodel.cycle.run.compiled import cache_root
from dryermodel.cycle.run.reach import fingerprint
from dryermodel.cycle.run.rows import run_rows
from dryermodel.errors import InputError
from dryermodel.files import write_file
from dryermodel.inference.bank import Bank, Batch, draw

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from dryermodel.inference.priors import Priors
    from dryermodel.scenario.model import Scenario

BANKS = "banks"
"""Folder of the kept banks in the cache."""

KEPT = 12
"""Banks that are kept; the one that was used longest ago goes first."""

SOURCES = (
    "inference/numbers.py",
    "inference/draws.py",
    "inference/bank.py",
    "scenario/fault_moves.py",
    "scenario/convert.py",
    "scenario/faults.toml",
    "readings/rows.py",
    "readings/collar.py",
)
"""Files, beside the engine, that a bank's numbers follow from."""


def key_of(scenario: Scenario, priors: Priors, size: int, seed: int) -> str:
    """Return a hash of everything that a bank's numbers follow from."""
    home = Path(dryermodel.__file__).parent
    told = {
        "engine": fingerprint(run_rows),
        "sources": [hashlib.sha256((home / name).read_bytes()).hexdigest() for name in SOURCES],
        "scenario": scenario.with_faults({}).hash,
        "hypotheses": [h.faults for h in priors.hypotheses],
        "least": priors.least_severity,
        "unknown": [(u.key, u.shape, u.low, u.mode, u.high, u.moves_with) for u in priors.unknown],
        "size": size,
        "seed": seed,
    }
    return hashlib.sha256(json.dumps(told, sort_keys=True).encode()).hexdigest()[:24]


def bank_for(
    scenario: Scenario,
    priors: Priors,
    size: int,
    seed: int,
    progress: Callable[[int, int], None] | None = None,
) -> Bank:
    """Return the bank of a scenario, kept or drawn and kept.

    A kept file that is cut off, changed or of another version is drawn again without a word of blame: its
    name stands for what it should hold, and its contents are checked.
    """
    path = cache_root() / BANKS / f"{key_of(scenario, priors, size, seed)}.npz"
    found = _read(path, scenario, priors, seed)
    if found is None:
        found = draw(scenario, priors, size, seed, progress)
        _write(path, found)
    return found


def _read(path: Path, scenario: Scenario, priors: Priors, seed: int) -> Bank | None:
    from zipfile import BadZipFile

    try:
        with np.load(path, allow_pickle=False) as held:
            names = [str(name) for name in held["names"]]
            numbers = np.asarray(held["numbers"], dtype=np.float64)
            healthy = np.asarray(held["healthy"], dtype=np.float64)
            which = np.asarray(held["which"], dtype=np.int64)
            points = np.asarray(held["points"], dtype=np.float64)
            severities = np.asarray(held["severities"], dtype=np.float64)
        path.touch()
    except (OSError, ValueError, KeyError, EOFError, BadZipFile):
        return None
    if not len(which) == len(points) == len(severities) == numbers.shape[1] or len(names) != len(numbers):
        return None
    columns: dict[str, NDArray[np.float64]] = dict(zip(names, numbers, strict=True))
    batch = Batch(which, points, severities, columns)
    return Bank(scenario, priors, batch, dict(zip(names, (float(v) for v in healthy), strict=True)), seed)


def _write(path: Path, bank: Bank) -> None:
    from io import BytesIO

    held: dict[str, Any] = {
        "names": np.array(list(bank.batch.numbers)),
        "numbers": np.array([bank.batch.numbers[name] for name in bank.batch.numbers], dtype=np.float32),
        "healthy": np.array([bank.healthy.get(name, np.nan) for name in bank.batch.numbers]),
        "which": bank.batch.which.astype(np.int32),
        "points": bank.batch.points.astype(np.float32),
        "severities": bank.batch.severities.astype(np.float32),
    }
    buffer = BytesIO()
    np.savez(buffer, **held)
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        write_file(path, buffer.getvalue())
        for old in sorted(path.parent.glob("*.npz"), key=lambda p: p.stat().st_mtime)[:-KEPT]:
            old.unlink(missing_ok=True)
    except (OSError, InputError):
        return  # a bank that cannot be kept is drawn again next time
