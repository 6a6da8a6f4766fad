"""A file is there whole or not at all, whatever goes wrong on the way."""

from __future__ import annotations

import ast
import os
import sys
from pathlib import Path

import pytest

import dryermodel
from dryermodel.errors import InputError
from dryermodel.files import replacing, require_writable, write_file

ROOT = Path(dryermodel.__file__).parent


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def test_the_bytes_are_those_given_and_nothing_else_is_left(tmp_path: Path) -> None:
    target = tmp_path / "a.csv"
    write_file(target, b"one\n")
    write_file(target, b"two\r\n\x00")
    assert target.read_bytes() == b"two\r\n\x00"
    assert names(tmp_path) == ["a.csv"]


@pytest.mark.parametrize("problem", [ValueError("mine"), KeyboardInterrupt(), OSError(28, "No space left")])
def test_what_goes_wrong_while_writing_leaves_the_old_file(tmp_path: Path, problem: BaseException) -> None:
    target = tmp_path / "a.csv"
    target.write_bytes(b"old")
    told = InputError if isinstance(problem, OSError) else type(problem)
    with pytest.raises(told) as caught, replacing(target) as file:
        file.write(b"half")
        file.flush()
        assert target.read_bytes() == b"old", "the target must not be touched before the end"
        raise problem
    assert not isinstance(problem, OSError) or str(caught.value).endswith(
        "a.csv: cannot be written: No space left"
    )
    assert target.read_bytes() == b"old"
    assert names(tmp_path) == ["a.csv"]


def test_it_is_on_disk_before_it_is_moved(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    order: list[str] = []
    fsync, replace = os.fsync, Path.replace

    def force(descriptor: int) -> None:
        order.append("disk")
        fsync(descriptor)

    def move(self: Path, other: Path) -> Path:
        order.append(self.read_bytes().decode())
        return replace(self, other)

    monkeypatch.setattr(os, "fsync", force)
    monkeypatch.setattr(Path, "replace", move)
    write_file(tmp_path / "a.csv", b"all of it")
    assert order == ["disk", "all of it"]


def test_what_a_link_points_to_is_replaced_not_the_link(tmp_path: Path) -> None:
    target, link = tmp_path / "real.csv", tmp_path / "link.csv"
    target.write_bytes(b"old")
    try:
        link.symlink_to(target)
    except OSError:  # a Windows account without the right to make links has none to lose
        return
    write_file(link, b"new")
    assert target.read_bytes() == b"new" and link.is_symlink()


@pytest.mark.parametrize(
    ("name", "told"),
    [
        ("missing/a.csv", "there is no directory"),
        ("file/a.csv", "there is no directory"),
        ("folder", "is a directory"),
        ("a" * 250 + ".csv", "cannot be written"),
    ],
)
def test_places_that_cannot_be_written(tmp_path: Path, name: str, told: str) -> None:
    (tmp_path / "file").write_bytes(b"x")
    (tmp_path / "folder").mkdir()
    for attempt in (require_writable, lambda path: write_file(path, b"x")):
        with pytest.raises(InputError, match=told) as caught:
            attempt(tmp_path / name)
        assert "\n" not in str(caught.value)
    assert names(tmp_path) == ["file", "folder"]


def test_asking_whether_it_can_be_written_makes_no_file(tmp_path: Path) -> None:
    (tmp_path / "old.csv").write_bytes(b"old")
    require_writable(tmp_path / "a.csv")
    require_writable(tmp_path / "old.csv")
    assert names(tmp_path) == ["old.csv"]


WRITERS = ("write_bytes", "write_text", "mkstemp", "NamedTemporaryFile")
"""Methods and functions that make or fill a file, whatever they are given."""

MOVERS = ("os.replace", "os.rename", "shutil.move", "shutil.copy", "shutil.copyfile")
"""Functions that put a file in place."""

FRAMES = ("to_csv", "to_json", "to_parquet", "savefig", "savetxt", "save")
"""Methods that return text or fill what is open, unless they are given a path."""

ALLOWED = {
    "files.py": "the one writer",
    "cycle/run/kept.py": "a folder of machine code, moved whole",
    "studies/sweep/part_file.py": "a file that grows while a sweep runs",
}


def written_by(call: ast.Call) -> str | None:
    """What a call writes a file with, as far as its own text tells; None if with nothing."""
    name = ast.unparse(call.func)
    last = name.rsplit(".", 1)[-1]
    if last in WRITERS or name in MOVERS:
        return name
    if last == "open":
        given = call.args[1:] if name == "open" else call.args[:1]
        modes = [*given[:1], *(key.value for key in call.keywords if key.arg == "mode")]
        return name if any(set(ast.unparse(mode)) & set("wax+") for mode in modes) else None
    given = [*call.args, *(k.value for k in call.keywords if k.arg in ("path_or_buf", "fname", "path"))]
    if last in FRAMES and given:
        return None if ast.unparse(given[0]) == "buffer" else name  # memory goes by that name
    return None


@pytest.mark.parametrize("file", sorted(ROOT.rglob("*.py")), ids=lambda f: f.relative_to(ROOT).as_posix())
def test_nobody_else_writes_files(file: Path) -> None:
    if file.relative_to(ROOT).as_posix() in ALLOWED:
        return
    calls = [n for n in ast.walk(ast.parse(file.read_text(encoding="utf-8"))) if isinstance(n, ast.Call)]
    assert [f"{call.lineno}: {found}" for call in calls if (found := written_by(call))] == []


@pytest.mark.parametrize(
    ("text", "writes"),
    [
        ("path.write_text('a')", True),
        ("Path('a').write_bytes(b'')", True),
        ("os.replace(a, b)", True),
        ("open(path, 'w')", True),
        ("open(path, mode='ab')", True),
        ("path.open('w', encoding='utf-8')", True),
        ("path.open('r+b')", True),
        ("frame.to_csv(path)", True),
        ("frame.to_csv(path_or_buf=path)", True),
        ("figure.savefig(str(path))", True),
        ("frame.to_csv(index=False)", False),
        ("figure.savefig(buffer, format='svg')", False),
        ("open(path)", False),
        ("open(path, 'rb')", False),
        ("path.open(encoding='utf-8')", False),
        ("text.replace('a', 'b')", False),
    ],
)
def test_what_counts_as_writing(text: str, writes: bool) -> None:
    call = ast.parse(text, mode="eval").body
    assert isinstance(call, ast.Call)
    assert (written_by(call) is not None) is writes


if sys.platform != "win32":

    def test_a_read_only_file_is_told_before_anything_is_computed(
        tmp_path: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        (tmp_path / "a.csv").write_bytes(b"old")
        monkeypatch.setattr(os, "access", lambda path, mode: False)  # as root, everything is writable
        with pytest.raises(InputError, match="read-only"):
            require_writable(tmp_path / "a.csv")
