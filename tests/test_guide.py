"""The guide in ``docs/``: every page is in a table of contents, every link leads somewhere, and what its
build makes is what the program says.

Nothing here needs Sphinx; that the guide builds without a warning is a step of ``.ci/run``.
"""

from __future__ import annotations

import ast
import json
import re
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from dryermodel.scenario.defaults import defaults
from dryermodel.studies.uncertainty.uncertain import ranges
from dryermodel.vocabulary import READINGS, SERIES
from tools.guide import docstrings, gallery, library, made, names, tables

ROOT = Path(__file__).parents[1]
DOCS = ROOT / "docs"
PAGES = sorted(DOCS.glob("*.md"))
BUILD = "-m sphinx -W --keep-going -n docs docs/_build"
LINK = re.compile(r"(?<!!)\[[^\]\n]*\]\(([^)\s]+)\)")


@cache
def made_pages() -> dict[str, str]:
    return {f"made/{name}": text for name, text in (made.pages() | made.notebooks()).items()}


def listed() -> list[str]:
    """Entries of the tables of contents."""
    index = (DOCS / "index.md").read_text(encoding="utf-8")
    blocks = re.findall(r"```\{toctree\}\n(.*?)```", index, re.S)
    return [line for block in blocks for line in block.splitlines() if line and not line.startswith(":")]


def slug(heading: str) -> str:
    """Anchor of a heading, as Markdown readers and the site make it."""
    plain = re.sub(r"<!--.*?-->", "", heading).strip().lower().replace("`", "")
    return re.sub(r"[^\w\- ]", "", plain).replace(" ", "-")


def anchors(page: Path) -> set[str]:
    text = re.sub(r"```.*?```", "", page.read_text(encoding="utf-8"), flags=re.S)
    return {slug(heading) for heading in re.findall(r"^#+ (.*)$", text, re.M)}


def dangling(page: Path, text: str) -> list[str]:
    """Links of a page that lead nowhere, in the folder or in the site."""
    lost = []
    for link in LINK.findall(re.sub(r"```.*?```", "", text, flags=re.S)):
        target, _, anchor = link.partition("#")
        file = (page.parent / target).resolve() if target else page
        if "://" in link or (file.is_relative_to(DOCS) and file.relative_to(DOCS).as_posix() in made_pages()):
            continue
        if not file.exists() or (anchor and anchor not in anchors(file)):
            lost.append(link)
    return lost


def test_every_page_is_in_one_table_of_contents() -> None:
    entries = listed()
    assert len(entries) == len(set(entries))
    own = {page.stem for page in PAGES} - {"index"}
    assert set(entries) == own | {name.rpartition(".")[0] for name in made_pages()}


@pytest.mark.parametrize("page", [*PAGES, ROOT / "README.md", ROOT / "DEVELOPERS.md"], ids=lambda p: p.stem)
def test_every_link_leads_somewhere(page: Path) -> None:
    assert not dangling(page, page.read_text(encoding="utf-8"))


@pytest.mark.parametrize("page", PAGES, ids=lambda p: p.stem)
def test_no_line_begins_with_a_mark_and_breaks_its_sentence(page: Path) -> None:
    """A line that begins so begins a block of its own, to every reader of Markdown."""
    assert not re.search(r"^<!--=", page.read_text(encoding="utf-8"), re.M)


def test_a_link_that_leads_nowhere_is_found() -> None:
    page = DOCS / "index.md"
    assert dangling(page, "[a](nosuch.md) [b](model.md#nosuch) [c](made/nosuch.md)") == [
        "nosuch.md", "model.md#nosuch", "made/nosuch.md",
    ]  # fmt: skip
    assert not dangling(page, "[a](model.md#what-is-integrated) [b](made/nomenclature.md) [c](../README.md)")


def test_notebooks_stand_in_the_site_with_links_that_hold() -> None:
    for name, text in made.notebooks().items():
        cells = json.loads(text)["cells"]
        words = "\n".join("".join(c["source"]) for c in cells if c["cell_type"] == "markdown")
        assert not dangling(DOCS / "made" / name, words), name


def test_notebooks_are_kept_without_outputs() -> None:
    for file in sorted((ROOT / "notebooks").glob("*.ipynb")):
        cells = json.loads(file.read_text(encoding="utf-8"))["cells"]
        assert not any(cell.get("outputs") or cell.get("execution_count") for cell in cells), file.name


def test_one_command_builds_it_and_ci_does() -> None:
    run = (ROOT / ".ci" / "run").read_text(encoding="utf-8")
    assert BUILD.replace("-m sphinx", "-m sphinx -q") in run and 'step "the guide" guide' in run
    assert all(BUILD in (ROOT / name).read_text(encoding="utf-8") for name in ("README.md", "DEVELOPERS.md"))


def test_tables_hold_every_number_and_every_parameter() -> None:
    pages = made_pages()
    called = {r.name for r in READINGS.values()} | {q.name for q in SERIES}
    assert all(f"`{name}`" in pages["made/nomenclature.md"] for name in called)
    for key, entry in defaults().items():
        (row,) = (line for line in pages["made/defaults.md"].splitlines() if line.startswith(f"| `{key}` |"))
        assert row.endswith(f"| {tables.cell(entry.source)} | {entry.status} |")
    assert all(f"| `{key}` |" in pages["made/unknowns.md"] for key in ranges())


def test_a_cell_may_hold_a_bar_and_breaks_no_row() -> None:
    assert (
        tables.table(("a", "b"), [("x | y", "two\nlines")]) == "| a | b |\n|---|---|\n| x \\| y | two lines |"
    )


def test_every_public_module_of_a_room_is_in_the_reference() -> None:
    home = ROOT / "dryermodel"
    for room in library.ROOMS:
        files = {".".join(f.relative_to(ROOT).with_suffix("").parts) for f in (home / room).rglob("*.py")}
        public = {name.removesuffix(".__init__") for name in files if "._" not in name.replace(".__", ".")}
        assert set(library.modules(room)) == public
    assert set(library.ROOMS) == {f.name for f in home.iterdir() if (f / "__init__.py").is_file()} - {"cli"}


def test_composed_types_are_left_out_of_the_reference() -> None:
    assert {"Vector", "Matrix", "Flags", "Rows"} <= set(library.aliases("dryermodel.cycle.engine.arrays"))
    assert library.aliases("dryermodel.physics.drum") == []


def named(page: str) -> set[str]:
    """Full names of the library's functions and classes that a page names."""
    text = (DOCS / page).read_text(encoding="utf-8")
    return {names.full_name(word) for word in re.findall(r"`([a-z_.]+[A-Za-z_]+)`", text)} - {""}


def test_every_equation_of_the_physics_is_on_its_page_and_no_name_is_misspelt() -> None:
    """A function of the physics that is new, renamed or gone shows here."""
    text = (DOCS / "equations.md").read_text(encoding="utf-8")
    told = set(re.findall(r"`((?:physics|machine|cycle)\.[\w.]+)`", text))
    assert {f"dryermodel.{name}" for name in told} == named("equations.md")
    public = set()
    for file in sorted((ROOT / "dryermodel" / "physics").glob("[a-z]*.py")):
        module = f"dryermodel.physics.{file.stem}"
        tree = ast.parse(file.read_text(encoding="utf-8"))
        public |= {
            f"{module}.{f.name}" for f in tree.body if isinstance(f, ast.FunctionDef) and f.name[0] != "_"
        }
    assert len(public) > 80
    assert public <= named("equations.md")


def test_constants_are_told_with_value_and_what_is_said_of_them() -> None:
    page = made_pages()["made/constants.md"]
    assert "| `EPSILON` | 0.621945 | [1] Molar mass of water over that of dry air [1]. |" in page
    assert all(f"| `{name}` |" in page for name in ("ORIFICE_CONSTANT", "WETNESS_EXPONENT", "RATED_SLIP"))


def test_the_gallery_shows_everything_that_draws() -> None:
    """A command that is new and draws, or writes a page, belongs in it."""
    from typer.main import get_command

    from dryermodel.cli import app

    commands: dict[str, Any] = vars(get_command(app))["commands"]
    options = {name: {word for p in command.params for word in p.opts} for name, command in commands.items()}
    drawing = {name for name, words in options.items() if "--plot" in words} | {"report", "pocket", "lesson"}
    shown = {picture.command.split()[0] for picture in gallery.PICTURES}
    assert drawing - {"calibrate"} == shown
    page = made_pages()["made/gallery.md"]
    assert all(f"(gallery/{p.file})" in page for p in gallery.PICTURES)


def test_a_picture_of_the_gallery_is_drawn_when_it_is_not_there(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(gallery, "PICTURES", gallery.PICTURES[:1])
    (file,) = gallery.make(tmp_path)
    first = file.stat().st_mtime_ns
    assert file.stat().st_size > 10_000 and gallery.make(tmp_path) == {file}
    assert file.stat().st_mtime_ns == first and not gallery.stale(file)
    with pytest.raises(RuntimeError, match="no scenario"):
        gallery.draw(gallery.PICTURES[0]._replace(command="simulate nosuch"), tmp_path / "x.png")


# Sources in docstrings -----------------------------------------------------------------------------------

MODULE = "Air.\n\nReferences\n----------\n1. A book,\n   part 2.\n.. [2] A paper.\n"


def test_sources_are_listed_in_either_form() -> None:
    assert docstrings.listed(MODULE) == {"1": "A book, part 2.", "2": "A paper."}
    assert docstrings.listed("Air, by the rule [1]_.") == {}


def linked(docstring: str) -> str:
    return docstrings.linked(docstring, "room.air.f", "room.air", docstrings.listed(MODULE))


def test_a_source_that_is_cited_becomes_a_link_to_it() -> None:
    assert linked("Sum [2]_.") == "Sum :ref:`[2] <source-room-air-2>`."
    text = linked("Sum in [1].\n\nReferences\n----------\n[1] eq. 3.\n\n>>> f()\n[2]")
    assert ":ref:`[1] <source-room-air-1>` eq. 3." in text and text.startswith("Sum in [1].")
    assert text.endswith(">>> f()\n[2]")


def test_a_list_becomes_targets_and_a_function_s_own_list_goes_first() -> None:
    own = "Sum [1]_, [2]_, [3]_.\n\nReferences\n----------\n.. [1] Its own.\n"
    text = linked(own)
    assert ".. _source-room-air-f-1:\n\n[1] Its own." in text
    assert ":ref:`[1] <source-room-air-f-1>`, :ref:`[2] <source-room-air-2>`, [3]." in text


def test_names_of_the_library_are_known() -> None:
    assert names.full_name("physics.drum.effectiveness") == "dryermodel.physics.drum.effectiveness"
    assert names.full_name("dryermodel.cycle.result.CycleResult") == "dryermodel.cycle.result.CycleResult"
    assert not any(
        map(names.full_name, ("vent.length", "physics.drum", "physics.drum.nosuch", "effectiveness"))
    )
