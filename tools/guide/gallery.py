"""The gallery: pictures and pages that the program draws while the guide is built."""

from __future__ import annotations

import shlex
from pathlib import Path
from typing import NamedTuple

HOME = Path(__file__).parents[2]


class Picture(NamedTuple):
    """One picture or page of the gallery."""

    file: str  # its name
    title: str
    command: str  # without the option that names the file
    about: str  # what to look for

    @property
    def is_page(self) -> bool:
        """Whether it is a page of its own and not a picture."""
        return self.file.endswith(".html")


PICTURES = (
    Picture(
        "cycle.png",
        "A cycle",
        "simulate standard",
        "Top to bottom: temperatures with set points, water left, loads and contacts, the dial, duties.",
    ),
    Picture(
        "pieces.png",
        "A load of unlike pieces",
        "simulate family_load",
        "The shirts are dry when the thermostat first opens, the jeans are not when the dial has run out.",
    ),
    Picture(
        "compare.png",
        "Machines side by side",
        'compare standard --with "vent_blockage=75 %" --with "weak_burner=80 %"'
        ' --with "thermostat_drift=20 degF"',
        "The blocked vent shows in its burner's short strokes, the weak burner in a long first one.",
    ),
    Picture(
        "wirings.png",
        "One fault, two wirings",
        'compare standard --set "machine.thermal_cutoff=never" --with "vent.resistance_factor=20" --with'
        ' "vent.resistance_factor=20, machine.timer_wiring=whole chain"',
        "The same choked vent: one machine runs on until the load is dry, the other's dial runs out on a wet"
        " one. (Without the one-shot cut-off, which would end it here; no machine may be without it.)",
    ),
    Picture(
        "sweep.png",
        "A sweep",
        'sweep standard --vary "vent.resistance_factor=1:12:12"',
        "What happens as a vent closes, step by step. Not validated against measured blockage.",
    ),
    Picture(
        "map.png",
        "A sweep of two values",
        'sweep standard --vary "vent.resistance_factor=1:12:12"'
        ' --vary "load.dry_mass=5:14 lb:10" --show cycle_time',
        "Contours of one outcome over two values.",
    ),
    Picture(
        "spread.png",
        "How far apart two loads may be",
        "simulate standard --samples 60",
        "The middle nine tenths of sixty loads, rooms and thermostats on one machine.",
    ),
    Picture(
        "sensitivity.png",
        "What matters most",
        "sensitivity standard --n 64 --outcome cycle_time",
        "Shares of the spread by what is not known. Few cycles here: the intervals are wide.",
    ),
    Picture(
        "diagnosis.png",
        "A diagnosis",
        "diagnose slow_towels --bank 4000 --fresh 0",
        "Suspects with their probabilities, how bad each would be, and what speaks for it.",
    ),
    Picture(
        "trace.png",
        "A log that was read",
        "trace docs/logs/family_load.csv",
        "Power, exhaust temperature, and the strokes of igniter and burner found in them.",
    ),
    Picture(
        "report.html",
        "Before and after a tune-up",
        "report vent_cleared --bank 4000 --fresh 0",
        "The page for the customer: measured and modelled, before and after the vent was cleared.",
    ),
    Picture(
        "pocket.html",
        "The pocket page",
        "pocket --bank 600",
        "The whole model in one file. The bank is small here; the command's own draws ten times as many.",
    ),
    Picture("lesson.html", "The lesson", "lesson", "The cycle with the live circuit, to play with."),
)
"""What the gallery holds, in its order."""


def option(picture: Picture) -> str:
    """Option of the command that names the file."""
    return "-o" if picture.is_page else "--plot"


def page() -> str:
    """The gallery's page."""
    parts = [
        "# Gallery",
        "Everything here was drawn by the program while this site was built, by the command above it.",
    ]
    for p in PICTURES:
        shown = f"[Open it](gallery/{p.file})." if p.is_page else f"![{p.about}](gallery/{p.file})"
        command = f"    dryermodel {p.command} {option(p)} {p.file}"
        parts += [f"## {p.title}", command, p.about if not p.is_page else f"{p.about} {shown}"]
        parts += [] if p.is_page else [shown]
    return "\n\n".join([*parts, ""])


def draw(picture: Picture, file: Path) -> None:
    """Let the program draw one picture into a file.

    Raises
    ------
    RuntimeError
        The command failed.
    """
    from contextlib import chdir

    from typer.testing import CliRunner

    from dryermodel.cli import app

    file.parent.mkdir(parents=True, exist_ok=True)
    with chdir(HOME):
        done = CliRunner().invoke(app, [*shlex.split(picture.command), option(picture), str(file)])
    if done.exit_code or not file.is_file():
        raise RuntimeError(f"dryermodel {picture.command}: {done.output}")


def stale(file: Path) -> bool:
    """Whether a picture is older than anything of the program."""
    if not file.is_file():
        return True
    sources = (s for s in (HOME / "dryermodel").rglob("*.*") if "__pycache__" not in s.parts)
    return any(source.stat().st_mtime > file.stat().st_mtime for source in sources)


def make(home: Path) -> set[Path]:
    """Draw what is not there or no longer true; return all files of the gallery."""
    files = {home / "gallery" / p.file: p for p in PICTURES}
    for file, picture in files.items():
        if stale(file):
            draw(picture, file.resolve())
    return set(files)
