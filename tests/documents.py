"""Numbers and tables of the documents, made by the program: ``python -m tests.documents --write``.

A document is its own template, and the marks do not show when it is read:

- ``<!-- $ dryermodel faults standard | part 2 -->`` stands before a table and ``<!-- end -->`` after
  it; between them stands what the command prints, or that part of it between blank lines (``parts
  1-2`` for several).
- ``<!--= vent_blockage=75 %; time_to_4pct -->46 min<!--/-->`` holds one reading of the vocabulary, of
  the standard machine with the faults and settings named before it (``healthy`` for none). A third
  word compares it with the healthy run: ``more`` or ``less`` for the difference, ``share`` for the
  change in percent, ``times`` for the ratio; ``onset of 3`` tells from which amount of the
  fault on the reading is three or more. ``on family_load`` first takes another scenario than the
  standard machine; ``pieces`` in place of the reading tells what each kind of cloth holds at the end.
- ``<!-- made by tests.field.errors -->`` stands before what ``table()`` of that module gives, and
  ``<!-- end -->`` after it; it takes minutes, so only ``--write`` makes it afresh.
- ``<!-- drawn by dryermodel simulate standard -->`` stands before a picture that the command draws with
  ``--plot``; ``--write`` draws every one afresh.
"""

from __future__ import annotations

import re
import shlex
import sys
from contextlib import chdir
from functools import cache
from importlib import import_module
from pathlib import Path

from typer.testing import CliRunner

from dryermodel.cycle.result import CycleResult
from dryermodel.findings.pieces import pieces_left
from dryermodel.readings import quantities as Q
from dryermodel.readings.single import CycleReadings
from dryermodel.scenario.model import load_scenario
from dryermodel.scenario.run import simulate
from dryermodel.vocabulary import READINGS, Readings, known

ROOT = Path(__file__).parents[1]
DOCS = ROOT / "docs"

TABLE = re.compile(
    r"(<!-- \$ dryermodel (?P<words>[^|\n]+?)(?: \| parts? (?P<first>\d+)(?:-(?P<last>\d+))?)? -->\n)"
    r"(.*?)(\n<!-- end -->)",
    re.S,
)
MADE = re.compile(r"(<!-- made by (?P<module>tests\.[\w.]+) -->\n)(.*?)(\n<!-- end -->)", re.S)
VALUE = re.compile(r"(<!--= (?P<spec>.+?) -->)(.*?)(<!--/-->)", re.S)
PICTURE = re.compile(r"<!-- drawn by dryermodel (?P<words>[^\n]+?) -->\n!\[[^\]\n]*\]\((?P<file>[^)\n]+)\)")
ON, PIECES = "on ", "pieces"
COMPARED = ("more", "less", "share", "times")
ONSET = "onset of "

STEPS = 100
"""Severities tried for an onset: as fine as whole percents of the range."""


@cache
def printed(words: str) -> str:
    """What a command prints on stdout."""
    from dryermodel.cli import app

    with chdir(ROOT):  # files are named as from there
        done = CliRunner().invoke(app, shlex.split(words))
    if done.exit_code:
        raise ValueError(f"dryermodel {words}: {done.output}")
    return done.stdout


def table(words: str, first: str | None = None, last: str | None = None) -> str:
    """Output of a command, or its parts from `first` to `last` between blank lines, indented."""
    chosen = printed(words).rstrip("\n")
    if first is not None:
        chosen = "\n\n".join(chosen.split("\n\n")[int(first) - 1 : int(last or first)])
    return "\n" + "\n".join(f"    {line}".rstrip() for line in chosen.splitlines()) + "\n"


@cache
def readings(changes: tuple[str, ...]) -> Readings:
    """Readings of the standard machine, or what it says it is on, with these faults and settings."""
    return CycleReadings(cycle(changes))


@cache
def cycle(changes: tuple[str, ...]) -> CycleResult:
    """The cycle with these faults and settings."""
    settings, faults = sorted_out(changes)
    named = [change.removeprefix(ON) for change in changes if change.startswith(ON)]
    return simulate(load_scenario((named or ["standard"])[0], settings, faults))


def sorted_out(changes: tuple[str, ...]) -> tuple[list[str], list[str]]:
    """Settings, which have a point in their key, and faults."""
    rest = [change for change in changes if not change.startswith(ON) and change != "healthy"]
    settings = [change for change in rest if "." in change.partition("=")[0]]
    return settings, [change for change in rest if change not in settings]


def value(spec: str) -> str:
    """The text of one number."""
    *changes, last = (part.strip() for part in spec.split(";"))
    how = last if last in COMPARED or last.startswith(ONSET) else ""
    name = changes.pop() if how else last
    if how.startswith(ONSET):
        return onset(changes[0], name, float(how.removeprefix(ONSET)), tuple(changes[1:]))
    if name == PIECES:
        return pieces_left(cycle(tuple(changes)))
    if name not in READINGS:
        raise ValueError(f"no reading '{name}' in '{spec}'")
    entry, found = READINGS[name], readings(tuple(changes))
    alike = [change for change in changes if change.startswith(ON)] + sorted_out(tuple(changes))[0]
    if not how:
        return Q.text(known(found, name), entry.kind, False, entry.decimals)
    number, healthy = known(found, name), known(readings((*alike, "healthy")), name)
    if how == "times":
        return f"{number / healthy:.1f} times"
    if how == "share":
        return f"{abs(100.0 * (number / healthy - 1.0)):.0f} %"
    kind = "temperature difference" if entry.kind == "temperature" else entry.kind
    return Q.text((number - healthy) * (1.0 if how == "more" else -1.0), kind, False, entry.decimals)


def onset(fault: str, name: str, least: float, settings: tuple[str, ...]) -> str:
    """Least amount of a fault, on a fine scale, at which a reading is at least this [SI]."""
    from dryermodel.cycle.run.many import simulate_many
    from dryermodel.findings.fault_words import fault_amount
    from dryermodel.readings.rows import column
    from dryermodel.scenario.faults import find_fault

    scenario = load_scenario("standard", settings)
    steps = [(i + 1) / STEPS for i in range(STEPS)]
    rows = simulate_many([scenario.with_faults({fault: s}).to_parameters() for s in steps])
    above = column(rows, name) >= least
    return fault_amount(find_fault(fault), steps[int(above.argmax())]) if above.any() else "no amount"


def filled(text: str) -> str:
    """The document with every table and number made afresh."""
    text = TABLE.sub(lambda m: m[1] + table(m["words"], m["first"], m["last"]) + m[6], text)
    return VALUE.sub(lambda m: m[1] + value(m["spec"]) + m[4], text)


def made(text: str) -> str:
    """The document with what takes minutes made afresh."""
    return MADE.sub(lambda m: f"{m[1]}\n{import_module(m['module']).table()}\n{m[4]}", text)


def documents() -> list[Path]:
    """Documents that hold a table or a number made by the program."""
    return [file for file in pages() if _marked(file.read_text(encoding="utf-8"))]


def pages() -> list[Path]:
    """README and the documents."""
    return [ROOT / "README.md", *sorted(DOCS.glob("*.md"))]


def pictures() -> dict[Path, str]:
    """Picture files, and the command that draws each."""
    return {
        (page.parent / m["file"]).resolve(): m["words"]
        for page in pages()
        for m in PICTURE.finditer(page.read_text(encoding="utf-8"))
    }


def _marked(text: str) -> bool:
    return bool(TABLE.search(text) or VALUE.search(text))


def main(words: list[str]) -> None:
    """Say which documents are out of date; with --write, bring them up to date."""
    for file in documents():
        text = file.read_text(encoding="utf-8")
        fresh = made(filled(text)) if "--write" in words else filled(text)
        sys.stdout.write(f"{file.name}: {'up to date' if fresh == text else 'out of date'}\n")
        if "--write" in words and fresh != text:
            file.write_text(fresh, encoding="utf-8", newline="\n")
    for picture, command in pictures().items() if "--write" in words else ():
        printed(f"{command} --plot {shlex.quote(str(picture))}")
        sys.stdout.write(f"{picture.name}: drawn\n")


if __name__ == "__main__":
    main(sys.argv[1:])
