"""Pages that the build makes from the program itself, under ``docs/made``."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from tools.guide import gallery, library, tables

if TYPE_CHECKING:
    from sphinx.application import Sphinx

ROOT = Path(__file__).parents[2]
NOTEBOOKS = ROOT / "notebooks"


def pages() -> dict[str, str]:
    """Every made page: its file under ``made`` and its text."""
    return {
        "gallery.md": gallery.page(),
        "nomenclature.md": tables.nomenclature(),
        "defaults.md": tables.defaults_page(),
        "constants.md": tables.constants(),
        "unknowns.md": tables.unknowns(),
        "changes.md": changes(),
        "edges.rst": library.edges(),
        **{f"{room}.rst": library.reference(room, title) for room, title in library.ROOMS.items()},
    }


def notebooks() -> dict[str, str]:
    """Every notebook as the guide holds it, with its links from where it then stands."""
    return {
        f"notebooks/{file.name}": moved(file.read_text(encoding="utf-8"))
        for file in sorted(NOTEBOOKS.glob("*.ipynb"))
    }


def moved(text: str) -> str:
    """A text of ``notebooks/`` with its links to other folders as they are from ``docs/made/notebooks/``.

    >>> moved("[a](../docs/model.md) [b](../tests/data/x.txt) [c](beside.ipynb)")
    '[a](../../model.md) [b](../../../tests/data/x.txt) [c](beside.ipynb)'
    """
    return text.replace("](../", "](../../../").replace("](../../../docs/", "](../../")


def changes() -> str:
    """The list of changes."""
    return (ROOT / "CHANGELOG.md").read_text(encoding="utf-8").replace("](docs/", "](../")


def write(file: Path, text: str) -> None:
    """Write a page if it is not there in these words."""
    if not file.is_file() or file.read_text(encoding="utf-8") != text:
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(text, encoding="utf-8", newline="\n")


def clear(home: Path, keep: set[Path]) -> None:
    """Take away what an earlier build made and this one does not."""
    for file in sorted(home.rglob("*"), reverse=True) if home.is_dir() else ():
        if file.is_file() and file not in keep:
            file.unlink()


def make(app: Sphinx) -> None:
    """Write the made pages before the sources are read."""
    home = Path(app.srcdir) / "made"
    texts = {home / name: text for name, text in (pages() | notebooks()).items()}
    clear(home, {*texts, *(home / "gallery" / picture.file for picture in gallery.PICTURES)})
    for file, text in texts.items():
        write(file, text)
    gallery.make(home)
