"""Files kept from one process to the next: whole or not at all, however a process ended."""

from __future__ import annotations

import hashlib
import json
import shutil
import tempfile
from pathlib import Path

SUMS = "sums.json"
"""Name of the list of files with the hash of each; written last."""


def fetch(kept: Path, to: Path) -> bool:
    """Copy what is kept in a folder into an empty one.

    Parameters
    ----------
    kept : Path
        Folder that :func:`keep` made; need not be writable.
    to : Path
        An empty folder.

    Returns
    -------
    bool
        False, and `to` is still empty, when there is something that is not what was kept: cut off,
        changed, missing or unreadable.

    Raises
    ------
    OSError
        There is no room in `to`.
    """
    try:
        contents = _contents(kept)
    except (OSError, ValueError):
        return False
    for name, content in contents.items():
        target = to / name
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_bytes(content)
    return True


def _contents(kept: Path) -> dict[str, bytes]:
    """Files and their contents; ValueError when they are not what was kept."""
    sums = json.loads((kept / SUMS).read_text(encoding="utf-8"))
    if not isinstance(sums, dict):
        raise ValueError
    contents = {name: (kept / name).read_bytes() for name in sums}
    if {name: _sum(content) for name, content in contents.items()} != sums:
        raise ValueError
    return contents


def keep(files: Path, kept: Path) -> bool:
    """Keep every file of a folder under the name of another, which appears at once and complete.

    Returns
    -------
    bool
        False, and nothing is left behind, when it cannot be written.
    """
    try:
        kept.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(prefix=".new-", dir=kept.parent) as folder:
            new = Path(folder) / kept.name
            shutil.copytree(files, new)
            names = sorted(path.relative_to(new).as_posix() for path in new.rglob("*") if path.is_file())
            sums = {name: _sum((new / name).read_bytes()) for name in names}
            (new / SUMS).write_text(json.dumps(sums, indent=1) + "\n", encoding="utf-8")
            if kept.exists():
                kept.replace(Path(folder) / "before")
            new.replace(kept)
    except OSError:
        return False
    return True


def prune(root: Path, most: int) -> None:
    """Remove all but the newest of the folders that :func:`keep` made.

    Parameters
    ----------
    root : Path
        Folder they lie in; nothing else in it is touched.
    most : int
        How many stay. One that another process is reading may go: it then compiles.
    """
    try:
        made = [path.parent for path in root.glob(f"*/{SUMS}")]
        made.sort(key=lambda path: path.stat().st_mtime, reverse=True)
    except OSError:  # another process is at it
        return
    for folder in made[most:]:
        shutil.rmtree(folder, ignore_errors=True)


def can_keep(kept: Path) -> bool:
    """Whether a folder of this name could be made or replaced."""
    try:
        kept.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(prefix=".new-", dir=kept.parent):
            return True
    except OSError:
        return False


def _sum(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()
