"""Visits that reports are written of, and the command that writes them."""

from __future__ import annotations

from html.parser import HTMLParser
from pathlib import Path

from typer.testing import CliRunner, Result

from dryermodel.cli import app

QUICK = ("--bank", "1000", "--fresh", "0")

BEFORE = """\
scenario = "standard"
date = "2026-03-11"
complaint = "Towels take well over an hour"
[conditions]
room_temperature = "69 degF"
load = "bath towels"
[seen]
"drum turns" = true
"flame seen" = true
"flap stuck" = false
[[measurement]]
name = "cycle time"
value = "74 min"
[[measurement]]
name = "vent static"
value = "1.11 in w.c."
[[measurement]]
name = "exhaust flow"
value = "69 cfm"
"""

WORK = """\
[[work]]
date = "2026-03-12"
did = "Vent cleared to the hood"
fault = "vent_blockage"
"""

AFTER = """\
[[after]]
name = "cycle time"
value = "51 min"
[[after]]
name = "vent static"
value = "0.49 in w.c."
"""


def write(folder: Path, text: str) -> Path:
    """A visit file of that text."""
    path = folder / "visit.toml"
    path.write_text(text, encoding="utf-8")
    return path


def command(*words: str) -> Result:
    """Run ``dryermodel report``."""
    return CliRunner().invoke(app, ["report", *words])


def page(folder: Path, text: str, reader: str = "technician") -> str:
    """The page of a visit, as text."""
    out = folder / f"{reader}.html"
    done = command(str(write(folder, text)), "--for", reader, "-o", str(out), *QUICK)
    assert done.exit_code == 0, done.output
    return out.read_text(encoding="utf-8")


class Reading(HTMLParser):
    """What a browser makes of a page: its text, its elements, and what they ask for."""

    def __init__(self, text: str) -> None:
        super().__init__(convert_charrefs=True)
        self.words: list[str] = []
        self.tags: list[str] = []
        self.attributes: list[tuple[str, str]] = []
        self.open: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.open.append(tag)
        self.attributes += [(name, value or "") for name, value in attrs]

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.attributes += [(name, value or "") for name, value in attrs]

    def handle_endtag(self, tag: str) -> None:
        if tag in self.open:
            while self.open.pop() != tag:
                pass

    def handle_data(self, data: str) -> None:
        if "style" not in self.open:
            self.words.append(data)

    @property
    def text(self) -> str:
        """All words on one line."""
        return " ".join(" ".join(self.words).split())
