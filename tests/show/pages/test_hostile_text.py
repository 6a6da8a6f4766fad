"""Text that would do harm, in every field of a visit file: refused in one line, or shown as text."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest

from dryermodel.errors import InputError
from dryermodel.field.visit import Visit, visit_of
from tests.show.pages.browser import Browser, needs_browser
from tests.show.pages.controls import PARTS
from tests.show.pages.hostile import HOSTILE, fields, holding, toml_of
from tests.show.pages.report_visits import AFTER, BEFORE, QUICK, WORK, Reading, command

PHONE, DESKTOP = (360, 740), (1280, 900)
WAYS = tuple(fields())
FREE = {
    ("date",), ("complaint",), ("conditions", "load"), ("conditions", "controls"), ("conditions", "notes"),
    ("measurement", 0, "note"), ("work", 0, "date"), ("work", 0, "did"), ("after", 0, "note"),
}  # fmt: skip
"""Fields that hold any text; what is in all others must mean something."""

TEXTS = pytest.mark.parametrize("text", HOSTILE.values(), ids=list(HOSTILE))


def read(text: str) -> Visit | InputError:
    """A visit, or how it is refused."""
    try:
        visit = visit_of(text, Path("visit.toml"))
        visit.evidence()
    except InputError as problem:
        return problem
    return visit


def with_names(data: dict[str, Any]) -> dict[str, Any]:
    """The same with a measurement's name and value where only its note was given."""
    for section in ("measurement", "after"):
        for entry in data.get(section, []):
            for key, usual in (("name", "vent static"), ("value", "0.6 in w.c.")):
                entry.setdefault(key, usual)
    return data


@TEXTS
def test_a_field_takes_any_text_or_refuses_it_in_one_line(text: str) -> None:
    """Nobody is told a wall of text, or has letters thrown at the terminal that steer it."""
    taken = set()
    for way in WAYS:
        found = read(toml_of(with_names(holding(text, way))))
        if isinstance(found, Visit):
            taken.add(way)
            continue
        told = str(found)
        assert len(told) < 1000, way
        assert all(letter.isprintable() for letter in told), (way, told)
    assert taken >= FREE
    assert taken <= FREE | {way for way in WAYS if way[-1] == "did"}


def hostile_report(text: str, reader: str, folder: Path) -> Path:
    """The report of a visit that holds that text wherever it may."""
    free = with_names(holding(text, *FREE))
    entries = {key: free.pop(key) for key in ("measurement", "after", "work")}
    rest = {key: value for key, value in tomllib.loads(BEFORE + WORK + AFTER).items() if key not in free}
    whole = free | {key: value for key, value in rest.items() if key not in entries}
    for key, given in entries.items():
        whole[key] = [*given, *(one for one in rest[key] if one.get("name") != "vent static")]
    path, out = folder / "visit.toml", folder / f"{reader}.html"
    path.write_text(toml_of(whole), encoding="utf-8")
    done = command(str(path), "--for", reader, "-o", str(out), *QUICK)
    assert done.exit_code == 0, done.output
    return out


@needs_browser
@pytest.mark.parametrize("reader", ["customer", "technician"])
@TEXTS
def test_a_report_shows_it_as_text(text: str, reader: str, tmp_path: Path, chromium: Browser) -> None:
    """No element comes of it, nothing runs, nothing is asked for, and the page keeps its width."""
    out = hostile_report(text, reader, tmp_path)
    plain = out.read_text(encoding="utf-8")
    told = Reading(plain)
    assert not {"script", "img", "textarea", "iframe"} & set(told.tags)
    assert not any(name.startswith("on") for name, _ in told.attributes)
    assert "49" not in told.text.split() or "{{ 7*7 }}" in told.text
    for size in (PHONE, DESKTOP):
        chromium.size(*size)
        chromium.driver.get(out.as_uri())
        assert chromium.run("return document.documentElement.scrollWidth <= innerWidth")
        assert chromium.run("return document.querySelectorAll('main > section').length") == 9
        assert chromium.run("return window.harmed ?? 0") == 0
    assert chromium.complaints() == []
    assert chromium.requests() == []


@needs_browser
@TEXTS
def test_the_pocket_page_shows_it_as_text(text: str, pocket_file: Path, chromium: Browser) -> None:
    """Each field by itself and then all: loaded, shown in every part, kept, and written as it came."""
    chromium.size(*PHONE)
    chromium.open(pocket_file)
    elements = "return document.querySelectorAll('main script, main img, main iframe').length"
    for way in WAYS:
        data = holding(text, way)
        chromium.run("visits.load(arguments[0])", toml_of(data))
        assert chromium.run(elements) == 0, way
        written = tomllib.loads(chromium.run("return document.getElementById('visit-text').value"))
        assert {"scenario": "standard", **data} == written, way
    everything = toml_of(holding(text, *(way for way in WAYS if way != ("scenario",))))
    chromium.run("visits.load(arguments[0])", everything)
    chromium.run("pocket.saveNow()")
    chromium.open(pocket_file)
    for size in (PHONE, DESKTOP):
        chromium.size(*size)
        for part in PARTS:
            chromium.run("location.hash = arguments[0]", part)
            chromium.wait(f"return !document.getElementById('{part}').hidden")
            assert chromium.run("return document.documentElement.scrollWidth <= innerWidth"), part
    assert chromium.run("return window.harmed ?? 0") == 0
    assert chromium.run(elements) == 0
    assert chromium.run("return ({}).polluted ?? Object.keys(Object.prototype).length") == 0
    assert chromium.complaints() == []
    assert chromium.requests() == []
