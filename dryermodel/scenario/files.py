"""Finding, reading and writing scenario files."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any, NamedTuple

from dryermodel.errors import InputError, did_you_mean, shortened
from dryermodel.files import write_file
from dryermodel.scenario.broken import explain
from dryermodel.scenario.words import KEY_SPELLINGS

META = "scenario"
META_KEYS = ("title", "description", "extends")
_HERE = Path(__file__).resolve().parent


class Layer(NamedTuple):
    """The contents of one file, or of the options, in the order in which they override."""

    label: str
    raw: Mapping[str, Any]
    text: str = ""

    def at(self, key: str) -> str:
        """Return the label with the line on which a dotted key is set, if it is found."""
        line = line_of(self.text, key)
        return f"{self.label}, line {line}" if line else self.label


def shipped_dir() -> Path:
    """Return the directory of the shipped scenarios, in an installed wheel or a source tree."""
    installed = _HERE / "shipped"
    return installed if installed.is_dir() else _HERE.parent.parent / "scenarios"


def shipped_scenarios() -> list[str]:
    """Return the names of the shipped scenarios, sorted."""
    return sorted(path.stem for path in shipped_dir().glob("*.toml"))


def label_of(path: Path) -> str:
    """Return how a file is called in messages and results: shipped ones by name, others by path."""
    shipped = path.resolve().parent == shipped_dir().resolve()
    return f"scenarios/{path.name}" if shipped else path.as_posix()


def find(path_or_name: str | Path, beside: Path | None = None, where: str = "", key: str = "") -> Path:
    """Return the file of a scenario.

    Parameters
    ----------
    path_or_name : str or Path
        ``mine.toml``, ``scenarios/standard.toml`` or ``standard``.
    beside : Path, optional
        Directory a relative path starts from; the current directory if not given.
    where, key : str
        File and key that ask for it, for the message.

    Returns
    -------
    Path
        An existing file. InputError with the nearest names if there is none.
    """
    text = str(path_or_name).strip()
    direct = (beside or Path()) / text
    try:
        for candidate in _candidates(text, direct):
            if candidate.is_file():
                return candidate
        missing = _missing(text, direct)
    except OSError as problem:  # such as a name longer than the system admits
        missing = f"no scenario file '{shortened(text)}': {problem.strerror}"
    raise InputError(missing, where, key)


def _candidates(text: str, direct: Path) -> list[Path]:
    """Return where to look, in order: the path itself, then the shipped scenarios."""
    if not text:
        return []
    path = Path(text)
    found = [direct, direct.with_name(direct.name + ".toml")] if direct.name else []
    named = path.suffix in ("", ".toml") and path.parent.as_posix() in (".", "scenarios")
    if named and path.stem in shipped_scenarios():
        found.append(shipped_dir() / f"{path.stem}.toml")
    return found


def _missing(text: str, direct: Path) -> str:
    if text and direct.is_dir():
        return f"'{text}' is a directory; a scenario file in it is wanted, e.g. '{text}/mine.toml'"
    siblings = [p.name for p in direct.parent.glob("*.toml")] if direct.parent.is_dir() else []
    near = did_you_mean(Path(text).name, [*siblings, *shipped_scenarios()])
    return f"no scenario file '{text}'{near}; shipped scenarios: {', '.join(shipped_scenarios())}"


def read(path: Path) -> Layer:
    """Read one TOML file; InputError with line and column if it is broken."""
    label = label_of(path)
    try:
        text = path.read_bytes().decode("utf-8-sig")
    except UnicodeDecodeError as problem:
        raise InputError(f"is not UTF-8 text (byte {problem.start})", label) from problem
    except OSError as problem:
        raise InputError(f"cannot be read: {problem.strerror}", label) from problem
    return layer_of(text, label)


def layer_of(text: str, label: str) -> Layer:
    """Return the contents of the text of a file; InputError with line and column if it is no TOML."""
    try:
        return Layer(label, tomllib.loads(text), text)
    except tomllib.TOMLDecodeError as problem:
        raise InputError(explain(problem, text), label) from problem
    except ValueError as problem:
        raise InputError("holds a number of too many digits", label) from problem
    except RecursionError:
        raise InputError("has lists or tables too deep in each other", label) from None


def read_chain(path: Path) -> list[Layer]:
    """Read a file and all it extends, the most basic first."""
    chain: list[Layer] = []
    seen: list[Path] = []
    current: Path | None = path
    while current is not None:
        if current.resolve() in seen:
            names = " -> ".join(p.name for p in [*seen, current])
            raise InputError(f"extends in a circle: {names}", label_of(path), "scenario.extends")
        seen.append(current.resolve())
        chain.insert(0, read(current))
        current = _parent(chain[0], current)
    return chain


def _parent(layer: Layer, path: Path) -> Path | None:
    """Return the file this one extends: beside it, or a shipped one."""
    meta = layer.raw.get(META, {})
    extends = meta.get("extends") if isinstance(meta, Mapping) else None
    if extends is None:
        return None
    if not isinstance(extends, str):
        raise InputError("is the name or path of a scenario, in quotes", layer.label, "scenario.extends")
    return find(extends, path.parent, layer.at("scenario.extends"), "scenario.extends")


def line_of(text: str, key: str) -> int:
    r"""Return the line (from 1) on which a dotted key is set in TOML text; 0 if it is not found.

    >>> line_of('[vent]\n# duct\nlength = "20 ft"', "vent.length")
    3
    """
    section, _, name = key.partition(".")
    other = KEY_SPELLINGS.get(key, key).partition(".")[2]
    names = "|".join(map(re.escape, (name, other)))
    current = ""
    for number, line in enumerate(text.splitlines(), start=1):
        header = re.match(r"\s*\[+\s*([\w.]+)\s*\]", line)
        current = header[1] if header else current
        if header and current == key:
            return number
        if current == section and re.match(rf'\s*"?(?:{names})"?\s*=', line):
            return number
    return 0


def write_new(path: Path, text: str) -> None:
    """Write a new text file whole or not at all; InputError if it exists or cannot be written.

    Parameters
    ----------
    path : Path
        File to make; its directory must exist.
    text : str
        Contents, written as UTF-8 with plain line ends.
    """
    try:
        taken = path.exists()
    except OSError as problem:
        raise InputError(f"cannot be written: {problem.strerror}", path.as_posix()) from problem
    if taken:
        raise InputError("already exists and is left as it is; choose another name", path.as_posix())
    write_file(path, text.encode("utf-8"))
