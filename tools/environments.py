"""What the check of every environment needs to know, standard library only.

Run with one word:
- ``pythons``: version and executable of every Python here that the project admits, one of each minor version
- ``lowest``: constraints that pin each dependency to the lowest version declared
- ``versions``: the Python that runs this, and what it has of the packages declared
"""

from __future__ import annotations

import importlib.metadata
import os
import platform
import re
import shutil
import subprocess
import sys
import tomllib
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any, NamedTuple

ROOT = Path(__file__).parent.parent
_BOUND = re.compile(r"([A-Za-z0-9][\w.-]*)(?:\[[\w, -]*\])?\s*>=\s*([\w.]+)")
_ASK = (
    "import sys, importlib.util as u; v = sys.version_info;"
    "print(sys.implementation.name, v.releaselevel, bool(u.find_spec('ensurepip')), *v[:3])"
)

Version = tuple[int, int, int]


class Python(NamedTuple):
    """One Python on this machine."""

    version: Version
    executable: str


def project() -> dict[str, Any]:
    """Return the project's table of ``pyproject.toml``."""
    table: dict[str, Any] = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    return table


def declared(table: dict[str, Any]) -> list[str]:
    """Return what the program, its options and its tests need: all but the pinned ``lint`` and ``docs``."""
    options = table.get("optional-dependencies", {})
    return [
        *table["dependencies"],
        *(need for name in options if name not in ("lint", "docs") for need in options[name]),
    ]


def lowest(needs: Iterable[str]) -> dict[str, str]:
    """Return the lowest version declared of each package, by name.

    Raises
    ------
    ValueError
        A need without a lower bound, or one package with two of them: neither says what is the lowest.
    """
    found: dict[str, str] = {}
    for need in needs:
        bound = _BOUND.match(need)
        if not bound:
            raise ValueError(f"{need!r} declares no lower bound")
        name, version = bound[1].lower(), bound[2]
        if found.setdefault(name, version) != version:
            raise ValueError(f"{name} is declared with {found[name]} and with {version}")
    return found


def oldest_admitted(table: dict[str, Any]) -> tuple[int, int]:
    """Return the oldest Python that the project admits, as (major, minor)."""
    major, minor = re.findall(r"\d+", table["requires-python"])[:2]
    return int(major), int(minor)


def candidates() -> Iterator[str]:
    """Yield the executables that may be a Python: this one, those on the path, those that pyenv keeps."""
    yield sys.executable
    folders = [Path(part) for part in os.environ.get("PATH", "").split(os.pathsep) if part]
    for folder in folders:
        yield from sorted(str(p) for p in folder.glob("python3*") if re.fullmatch(r"python3(\.\d+)?", p.name))
    for root in {os.environ.get("PYENV_ROOT"), str(Path.home() / ".pyenv")} - {None}:
        yield from sorted(str(p) for p in Path(str(root)).glob("versions/*/bin/python3"))


def asked(executable: str) -> Python | None:
    """Return the Python behind an executable; None if it does not run or is no released CPython with venv."""
    command = [executable, "-c", _ASK]
    try:
        done = subprocess.run(command, capture_output=True, text=True, timeout=60, check=True)
    except (OSError, subprocess.SubprocessError):
        return None
    return understood(done.stdout, executable)


def understood(answer: str, executable: str) -> Python | None:
    """Return what an executable says that it is; None for another make, a preview, or no venv."""
    kind, level, venv, *numbers = answer.split()
    if (kind, level, venv) != ("cpython", "final", "True"):
        return None
    major, minor, micro = map(int, numbers)
    return Python((major, minor, micro), executable)


def newest_of_each(found: Iterable[Python], oldest: tuple[int, int]) -> list[Python]:
    """Return one Python of each minor version from ``oldest`` up, the newest release of it, oldest first."""
    kept: dict[tuple[int, int], Python] = {}
    for python in found:
        line = python.version[:2]
        if line >= oldest and (line not in kept or python.version > kept[line].version):
            kept[line] = python
    return [kept[line] for line in sorted(kept)]


def pythons() -> list[Python]:
    """Return the Pythons of this machine that the project admits, one of each minor version."""
    real = {os.path.realpath(path): path for path in candidates() if shutil.which(path)}
    found = (asked(path) for path in real.values())
    return newest_of_each((python for python in found if python), oldest_admitted(project()))


def versions() -> str:
    """Return the running Python and the version of each declared package that it has, on one line."""
    here = {part.metadata["Name"].lower(): part.version for part in importlib.metadata.distributions()}
    packages = [f"{name} {here[name]}" for name in lowest(declared(project())) if name in here]
    return f"Python {platform.python_version()}: {', '.join(packages)}"


def main(what: str) -> None:
    """Print one of the three answers."""
    if what == "pythons":
        for version, executable in pythons():
            print(f"{version[0]}.{version[1]} {executable}")
    elif what == "lowest":
        for name, bound in lowest(declared(project())).items():
            print(f"{name}=={bound}")
    elif what == "versions":
        print(versions())
    else:
        sys.exit(f"{what!r} is none of pythons, lowest, versions")


if __name__ == "__main__":
    main(sys.argv[1] if len(sys.argv) == 2 else "")
