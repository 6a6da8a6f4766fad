"""The engine's own source, compiled by numba: nothing is written twice.

A compiled twin of a function is made by walking the names it uses: every function of this package
that it calls is twinned first, and the twin sees those instead of the interpreted ones. Machine
code is kept in a cache folder that is named after the source, so that a change anywhere in the
equations is a fresh compilation and an unchanged source is loaded in a moment.
"""

from __future__ import annotations

import hashlib
import os
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import cache
from pathlib import Path
from types import FunctionType
from typing import Any

import dryermodel

COMPILED_SOURCES = (
    "physics/*.py",
    "machine/*.py",
    "cycle/engine/*.py",
    "cycle/run/rows.py",
    "cycle/run/compiled.py",
)
"""What the compiled engine is made from; a change in any of them is a fresh compilation."""


def source_hash() -> str:
    """Return a short hash of every source file that the engine is compiled from."""
    root = Path(dryermodel.__file__).parent
    digest = hashlib.sha256(sys.version.encode())
    for pattern in COMPILED_SOURCES:
        for file in sorted(root.glob(pattern)):
            digest.update(file.read_bytes())
    return digest.hexdigest()[:16]


def cache_folder() -> Path:
    """Return where compiled code is kept: ``DRYERMODEL_CACHE``, or the user's cache folder."""
    given = os.environ.get("DRYERMODEL_CACHE")
    if given:
        return Path(given) / source_hash()
    if sys.platform == "win32":
        base = Path(os.environ.get("LOCALAPPDATA", Path.home() / "AppData" / "Local"))
    elif sys.platform == "darwin":
        base = Path.home() / "Library" / "Caches"
    else:
        base = Path(os.environ.get("XDG_CACHE_HOME", Path.home() / ".cache"))
    return base / "dryermodel" / source_hash()


@contextmanager
def _numba_cache(folder: Path) -> Iterator[None]:
    """Point numba's cache at `folder` while functions are declared, then put things back."""
    from numba.core import config as settings

    config: Any = settings
    before = config.CACHE_DIR
    config.CACHE_DIR = str(folder)
    try:
        yield
    finally:
        config.CACHE_DIR = before


def twin(function: Callable[..., Any], made: dict[Any, Any], **options: Any) -> Any:
    """Return the compiled twin of `function`, twinning first what it calls.

    Parameters
    ----------
    function : callable
        A plain function; what it calls of this package or of its own module is twinned too.
    made : dict
        Twins made so far; shared between calls so that each function is twinned once.
    **options
        For ``numba.njit``.
    """
    import numba

    if function in made:
        return made[function]
    assert isinstance(function, FunctionType)
    names, home = dict(function.__globals__), function.__module__
    for name in function.__code__.co_names:
        used = names.get(name)
        if isinstance(used, FunctionType) and used.__module__.startswith(("dryermodel.", home)):
            names[name] = twin(used, made, **{**options, "cache": False})
    copy = FunctionType(function.__code__, names, function.__name__, function.__defaults__)
    copy.__qualname__, copy.__module__ = function.__qualname__, function.__module__
    made[function] = numba.njit(**options)(copy)
    return made[function]


@cache
def compiled(function: Callable[..., Any]) -> Any:
    """Return the compiled and cached twin of an engine function."""
    folder = cache_folder()
    try:
        folder.mkdir(parents=True, exist_ok=True)
        keep = os.access(folder, os.W_OK)
    except OSError:
        keep = False
    with _numba_cache(folder):
        return twin(function, {}, cache=keep, error_model="numpy", nogil=True)


def is_cached(function: Callable[..., Any]) -> bool:
    """Whether the compiled twin of `function` can be loaded without compiling."""
    stem = Path(function.__code__.co_filename).stem
    return any(cache_folder().rglob(f"{stem}.{function.__name__}-*.nbc"))
