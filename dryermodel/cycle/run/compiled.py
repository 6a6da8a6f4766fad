"""The engine's own source, compiled by numba: nothing is written twice.

A compiled twin of a function is made by walking the names it uses: every function of this package
that it calls is twinned first, and the twin sees those instead of the interpreted ones. Machine
code is kept in a cache folder whose name stands for all that it depends on (source and constants,
Python, numba, processor), so that a change in any of them is a fresh compilation and what has not
changed is loaded in a moment. A compilation is always announced, and why it is needed.
"""

from __future__ import annotations

import hashlib
import inspect
import os
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from types import FunctionType
from typing import Any, NamedTuple

from dryermodel.cycle.run import kept
from dryermodel.cycle.run.reach import called, fingerprint
from dryermodel.errors import InputError

PATIENCE = "10 to 20 s, longer on a busy machine"
"""How long the engine takes to compile: 12 to 15 s of a server core's time, measured."""

KEPT = 12
"""Compiled engines kept, the newest; each version of the program, Python or numba has its own of 2 MB."""

INNER = {"cache": False, "no_cpython_wrapper": True, "no_cfunc_wrapper": True}
"""For functions that only compiled code calls: ways in from Python would take a third of the compilation."""

_FOLDERS: list[tempfile.TemporaryDirectory[str]] = []
"""Where numba reads and writes in this process; gone with it."""


class Inlining(NamedTuple):
    """Which functions are compiled into their callers: copying the records they pass costs much."""

    rooms: tuple[str, ...]  # beginnings of module names
    apart: tuple[str, ...]  # functions of those that stay by themselves: called often, or once a run


SMOOTH = Inlining(
    ("dryermodel.physics.", "dryermodel.cycle.engine.state", "dryermodel.cycle.engine.equations"),
    ("derivatives", "usual_root"),
)
"""What a single run asks for: the smooth equations in one piece."""


class Twinned(NamedTuple):
    """A function to compile, and arguments of the types it is called with that cost nothing to run."""

    function: Callable[..., Any]
    arguments: tuple[Any, ...]
    more: str = ""  # what stands for code that it reaches in no visible way
    inlining: Inlining = SMOOTH


def cache_root() -> Path:
    """Return where compiled code is kept: ``DRYERMODEL_CACHE``, or the user's cache folder."""
    given = os.environ.get("DRYERMODEL_CACHE")
    if given:
        return Path(given)
    if sys.platform == "win32":
        base = Path(os.environ.get("LOCALAPPDATA", Path.home() / "AppData" / "Local"))
    elif sys.platform == "darwin":
        base = Path.home() / "Library" / "Caches"
    else:
        base = Path(os.environ.get("XDG_CACHE_HOME", Path.home() / ".cache"))
    return base / "dryermodel"


def cache_folder(twinned: Twinned) -> Path:
    """Return the folder of one compiled function, named after all that its machine code depends on."""
    function, digest = twinned.function, hashlib.sha256()
    parts = (
        fingerprint(function),
        twinned.more,
        twinned.inlining,
        _types(twinned.arguments),
        *machine(),
        _stamp(function),
    )
    for part in parts:
        digest.update(f"{part}\n".encode())
    return cache_root() / digest.hexdigest()[:16]


def machine() -> tuple[str, ...]:
    """Return what else decides on machine code: Python, numba and its settings, the processor."""
    import llvmlite
    import llvmlite.binding
    import numba

    settings = sorted(f"{key}={value}" for key, value in os.environ.items() if key.startswith("NUMBA_"))
    processor = llvmlite.binding.get_host_cpu_name(), llvmlite.binding.get_host_cpu_features().flatten()
    return sys.version, numba.__version__, llvmlite.__version__, *processor, *settings


def _stamp(function: Callable[..., Any]) -> tuple[str, int, int]:
    """File, time and size: numba takes no code from its cache when they differ."""
    file = Path(inspect.getfile(function))
    return str(file), file.stat().st_mtime_ns, file.stat().st_size


def _types(value: Any) -> Any:
    if hasattr(value, "dtype"):
        return value.dtype.descr, value.ndim
    return [_types(part) for part in value] if isinstance(value, tuple) else type(value).__name__


def twin(
    function: Callable[..., Any], made: dict[Any, Any], inlining: Inlining = SMOOTH, **options: Any
) -> Any:
    """Return the compiled twin of `function`, twinning first what it calls.

    Parameters
    ----------
    function : callable
        A plain function; what it calls of this package or of its own module is twinned too.
    made : dict
        Twins made so far; shared between calls so that each function is twinned once.
    inlining : Inlining
        Which of them are compiled into their callers.
    **options
        For ``numba.njit``.
    """
    import numba

    if function in made:
        return made[function]
    assert isinstance(function, FunctionType)
    names, parts = dict(function.__globals__), called(function)
    for name in function.__code__.co_names:
        if names.get(name) in parts:
            names[name] = twin(names[name], made, inlining, **{**options, **INNER})
    copy = FunctionType(function.__code__, names, function.__name__, function.__defaults__)
    copy.__qualname__, copy.__module__ = function.__qualname__, function.__module__
    inlined = function.__module__.startswith(inlining.rooms) and function.__name__ not in inlining.apart
    made[function] = numba.njit(forceinline=inlined, **options)(copy)
    return made[function]


def is_kept(twinned: Twinned) -> bool:
    """Whether the compiled function lies in the cache, as far as a look at its folder tells."""
    return (cache_folder(twinned) / kept.SUMS).is_file()


def compiled(twinned: Twinned, say: Callable[[str], None] | None = None) -> Any:
    """Return the compiled function, loaded from the cache or compiled and kept there.

    Parameters
    ----------
    twinned : Twinned
        What to compile.
    say : callable, optional
        Told one line before a compilation: why, how long it takes, and whether its result can be kept.
        By default it goes to stderr.

    Raises
    ------
    InputError
        The temporary folder is full or cannot be written.
    """
    folder, own = cache_folder(twinned), _own_folder()
    with _room_in(own):
        found = kept.fetch(folder, own)
        if not found:
            (say or _to_stderr)(announcement(folder))
        function = _dispatcher(twinned, own)
    if not found and kept.keep(own, folder):
        kept.prune(folder.parent, KEPT)
    return function


@contextmanager
def _room_in(own: Path) -> Iterator[None]:
    """Say in one line what is wrong where the temporary folder takes no machine code."""
    try:
        yield
    except OSError as problem:
        where = own.parent.as_posix()
        message = (
            f"the compiled engine cannot be put into the temporary folder: {problem.strerror or problem}"
        )
        raise InputError(message, where) from problem


def announcement(folder: Path) -> str:
    """Return the line that goes before a compilation."""
    why = "compiling the engine for this machine, once"
    if folder.exists():
        why = f"the compiled engine in {folder} is damaged; compiling it again"
    if not kept.can_keep(folder):
        why = f"compiling the engine, at every run because {cache_root()} cannot be written"
    return f"dryermodel: {why} ({PATIENCE}) ..."


def _to_stderr(line: str) -> None:
    print(line, file=sys.stderr, flush=True)


def _own_folder() -> Path:
    _FOLDERS.append(tempfile.TemporaryDirectory(prefix="dryermodel-", ignore_cleanup_errors=True))
    return Path(_FOLDERS[-1].name)


def _dispatcher(twinned: Twinned, folder: Path) -> Any:
    """The twin, with the code for its arguments' types loaded or compiled."""
    with _numba_cache(folder):
        options: dict[str, Any] = {"cache": True, "error_model": "numpy", "nogil": True}
        made = twin(twinned.function, {}, twinned.inlining, **options)
    made(*twinned.arguments)
    return made


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
