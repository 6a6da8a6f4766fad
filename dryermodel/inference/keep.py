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
    from dryermodel.inference.priors import Priors
    from dryermodel.scenario.model import Scenario

BANKS = "banks"
"""Folder of the kept banks in the cache."""

KEPT = 12
"""Banks that are kept; the one that was used longest ago goes first."""

PARTS = ("names", "numbers", "healthy", "which", "points", "severities")
"""Arrays of a kept bank."""

Held = dict[str, Any]
"""Those arrays by their names."""

SOURCES = (
    "inference/numbers.py",
    "inference/draws.py",
    "inference/bank.py",
    "scenario/faults.py",
    "scenario/faults.toml",
    "scenario/fault_moves.py",
    "scenario/convert.py",
    "scenario/follow.py",
    "studies/sweep/design.py",
    "studies/sweep/points.py",
    "machine/ignition.py",
    "machine/motor.py",
    "physics/airflow.py",
    "physics/duct.py",
    "physics/moist_air.py",
    "readings/rows.py",
    "readings/collar.py",
    "readings/collars.py",
    "cycle/run/columns.py",
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
    """Return the bank of a scenario, kept or drawn and kept; the same bits either way.

    A kept file that is cut off, changed or of another version is drawn again without a word of blame: its
    name stands for what it should hold, and its contents are checked.
    """
    path = cache_root() / BANKS / f"{key_of(scenario, priors, size, seed)}.npz"
    held = _read(path)
    if held is None:
        held = _held(draw(scenario, priors, size, seed, progress))
        _write(path, held)
    return _bank(held, scenario, priors, seed)


def _held(bank: Bank) -> Held:
    """What is kept of a bank: single precision is finer than any instrument."""
    batch = bank.batch
    return {
        "names": np.array(list(batch.numbers)),
        "numbers": np.array([batch.numbers[name] for name in batch.numbers], dtype=np.float32),
        "healthy": np.array([bank.healthy.get(name, np.nan) for name in batch.numbers]),
        "which": batch.which.astype(np.int32),
        "points": batch.points.astype(np.float32),
        "severities": batch.severities.astype(np.float32),
    }


def _bank(held: Held, scenario: Scenario, priors: Priors, seed: int) -> Bank:
    names = [str(name) for name in held["names"]]
    numbers = held["numbers"].astype(np.float64)
    batch = Batch(
        held["which"].astype(np.int64),
        held["points"].astype(np.float64),
        held["severities"].astype(np.float64),
        dict(zip(names, numbers, strict=True)),
    )
    healthy = dict(zip(names, (float(v) for v in held["healthy"]), strict=True))
    return Bank(scenario, priors, batch, healthy, seed)


def _read(path: Path) -> Held | None:
    from zipfile import BadZipFile

    try:
        with np.load(path, allow_pickle=False) as file:
            held = {name: file[name] for name in PARTS}
        path.touch()
    except (OSError, ValueError, KeyError, EOFError, BadZipFile):
        return None
    if held["numbers"].ndim != 2:
        return None
    machines = {len(held["which"]), len(held["points"]), len(held["severities"]), held["numbers"].shape[1]}
    named = {len(held["names"]), len(held["healthy"]), len(held["numbers"])}
    return held if len(machines) == len(named) == 1 else None


def _write(path: Path, held: Held) -> None:
    from io import BytesIO

    buffer = BytesIO()
    np.savez(buffer, **held)
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        write_file(path, buffer.getvalue())
        for old in sorted(path.parent.glob("*.npz"), key=lambda p: p.stat().st_mtime)[:-KEPT]:
            old.unlink(missing_ok=True)
    except (OSError, InputError):
        return  # a bank that cannot be kept is drawn again next time
