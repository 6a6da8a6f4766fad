"""Files a command is asked to write: seen to before anything is computed."""

from __future__ import annotations

from pathlib import Path

from dryermodel.errors import InputError


def check_picture(path: Path | None) -> None:
    """Raise InputError unless a picture of that name can be written; nothing asked for is fine."""
    if path is None:
        return
    from dryermodel.files import require_writable
    from dryermodel.show.plots.pictures import FORMATS

    if path.suffix.lower() not in FORMATS:
        endings = ", ".join(FORMATS)
        raise InputError(f"a picture's name ends in {endings}, not '{path.suffix}'", path.as_posix())
    require_writable(path)


def check_csv(path: Path | None) -> None:
    """Raise InputError unless a table of that name can be written; nothing asked for is fine."""
    if path is None:
        return
    from dryermodel.files import require_writable

    if path.suffix.lower() != ".csv":
        raise InputError(f"a table's name ends in .csv, not '{path.suffix}'", path.as_posix())
    require_writable(path)


def check_page(path: Path) -> None:
    """Raise InputError unless a page of that name can be written."""
    from dryermodel.files import require_writable

    if path.suffix.lower() not in (".html", ".htm"):
        raise InputError(f"a page's name ends in .html, not '{path.suffix}'", path.as_posix())
    require_writable(path)
