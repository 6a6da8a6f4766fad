"""Writing visit files: one told in full, changes to one, and measurements put to its end."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path

from dryermodel.errors import InputError
from dryermodel.field.visit import Visit, load_visit, visit_of
from dryermodel.field.visit_file import Conditions, Entry, VisitFile
from dryermodel.field.visit_text import entry_block, list_text, toml_key, toml_text
from dryermodel.files import write_file


def to_toml(file: VisitFile) -> str:
    """Return a visit file as text; reading it gives the same again.

    >>> print(to_toml(VisitFile(complaint="takes two hours", seen={"flame seen": True})), end="")
    scenario = "standard"
    complaint = "takes two hours"
    <BLANKLINE>
    [seen]
    "flame seen" = true
    """
    top = {"scenario": toml_text(file.scenario)}
    top |= {key: list_text(getattr(file, key)) for key in ("set", "logs") if getattr(file, key)}
    top |= {key: toml_text(getattr(file, key)) for key in ("date", "complaint") if getattr(file, key)}
    blocks = [_table("", top)]
    blocks += [_table("safety", _answers(file.safety)), _table("conditions", _conditions(file.conditions))]
    blocks += [_table("seen", _answers(file.seen))]
    blocks += [entry_text("measurement", entry) for entry in file.measurement]
    blocks += [entry_block("work", work.model_dump(exclude_defaults=True)) for work in file.work]
    blocks += [entry_text("after", entry) for entry in file.after]
    return "\n".join(block for block in blocks if block)


def _table(section: str, values: Mapping[str, str]) -> str:
    if not values:
        return ""
    head = f"[{section}]\n" if section else ""
    return head + "".join(f"{toml_key(key)} = {value}\n" for key, value in values.items())


def _answers(answers: Mapping[str, bool]) -> dict[str, str]:
    return {name: "true" if yes else "false" for name, yes in answers.items()}


def _conditions(conditions: Conditions) -> dict[str, str]:
    return {key: toml_text(value) for key, value in conditions.model_dump(exclude_defaults=True).items()}


def entry_text(section: str, entry: Entry) -> str:
    """Return one measurement as the block of text that a file holds."""
    written = entry.model_dump(by_alias=True, exclude_defaults=True)
    return entry_block(section, written)


def change_visit(
    path: Path,
    change: Callable[[str], str],
    admit: Callable[[Visit, Visit], None] | None = None,
    start: str = "",
) -> Visit:
    """Change the text of a visit file, if what comes out is a visit; line ends stay what they are.

    Parameters
    ----------
    path : Path
        The file.
    change : callable
        From the text to the new one, with plain line ends.
    admit : callable, optional
        Told the visit before and after; what it raises keeps the file as it was.
    start : str
        Text to start from if there is no such file yet.

    Returns
    -------
    Visit
        As it is now.

    Raises
    ------
    InputError
        Before or after the change the file is no visit, or it cannot be written; it is then as it was.
    """
    before = load_visit(path) if path.exists() else visit_of(start, path)
    plain = before.text.replace("\r\n", "\n")
    text = change(plain)
    after = _changed(text, before)
    if admit is not None:
        admit(before, after)
    if text != plain or not path.exists():
        ends = text.replace("\n", "\r\n") if "\r\n" in before.text else text
        write_file(path, _mark(path) + ends.encode("utf-8"))
    return after


def _changed(text: str, before: Visit) -> Visit:
    """Return the visit of a changed text; a file of unusual form is told what is usual."""
    try:
        return visit_of(text, before.path, before.label)
    except InputError as problem:
        if "is not valid TOML" not in problem.message:
            raise
        message = (
            "nothing can be put into it as it is written; sections stand as [seen] and [[measurement]] on "
            "lines of their own, and texts on one line"
        )
        raise InputError(message, before.label) from problem


def _mark(path: Path) -> bytes:
    """Return the byte order mark that a file begins with, if it does."""
    mark = b"\xef\xbb\xbf"
    return mark if path.exists() and path.read_bytes().startswith(mark) else b""
