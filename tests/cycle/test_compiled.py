"""The cache of compiled code: found again, not trusted when damaged, and every compilation is told."""

from __future__ import annotations

import errno
import os
import shutil
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import llvmlite.binding
import numba
import pytest

from dryermodel.cycle.engine import equations
from dryermodel.cycle.run import compiled as room
from dryermodel.cycle.run import kept
from dryermodel.cycle.run.compiled import Twinned, cache_folder, compiled, is_kept
from dryermodel.cycle.run.reach import fingerprint, reachable
from dryermodel.cycle.run.rows import run_rows
from dryermodel.errors import InputError
from dryermodel.physics import moist_air
from tests.cycle import tiny

TINY = Twinned(tiny.tripled, (1.0,))


@pytest.fixture(autouse=True)
def own_cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("DRYERMODEL_CACHE", str(tmp_path / "cache"))
    return tmp_path / "cache"


def lines_of_a_process() -> list[str]:
    """What a process would hear that needs the function; and the function is right."""
    heard: list[str] = []
    function = compiled(TINY, heard.append)
    assert function(2.0) == tiny.tripled(2.0) == 6.25
    assert function(-1.0) == tiny.tripled(-1.0)
    assert sum(function.stats.cache_hits.values()) == (0 if heard else 1)
    return heard


def test_the_first_use_compiles_and_says_so_the_second_does_neither() -> None:
    assert not is_kept(TINY)
    (line,) = lines_of_a_process()
    assert "compiling the engine for this machine, once" in line
    assert room.PATIENCE in line
    assert is_kept(TINY)
    assert lines_of_a_process() == []


def test_it_goes_to_stderr_unless_somebody_listens(capfd: pytest.CaptureFixture[str]) -> None:
    compiled(TINY)
    out, err = capfd.readouterr()
    assert out == ""
    assert err.startswith("dryermodel: compiling")
    assert err.count("\n") == 1


def cut_off(file: Path) -> None:
    file.write_bytes(file.read_bytes()[: file.stat().st_size // 2])


def emptied(file: Path) -> None:
    file.write_bytes(b"")


def garbage(file: Path) -> None:
    file.write_bytes(b"\x00garbage\xff" * 50)


def one_bit(file: Path) -> None:
    content = bytearray(file.read_bytes())
    content[len(content) // 2] ^= 1
    file.write_bytes(content)


def unreadable(file: Path) -> None:
    """As where rights are missing, which do not bind an administrator: reading it fails."""
    file.unlink()
    file.mkdir()


@pytest.mark.parametrize("damage", [cut_off, emptied, garbage, one_bit, unreadable, Path.unlink])
@pytest.mark.parametrize("what", ["*.nbi", "*.nbc", kept.SUMS])
def test_a_damaged_cache_is_made_again(what: str, damage: Callable[[Path], None]) -> None:
    lines_of_a_process()
    folder = cache_folder(TINY)
    (file,) = folder.rglob(what)
    damage(file)
    (line,) = lines_of_a_process()
    assert f"the compiled engine in {folder} is damaged; compiling it again" in line
    assert lines_of_a_process() == []
    assert [path.name for path in folder.parent.iterdir()] == [folder.name]


def test_a_read_only_cache_is_read(monkeypatch: pytest.MonkeyPatch, own_cache: Path) -> None:
    """Nothing is written into it, so that it makes no difference that nothing could be."""
    lines_of_a_process()
    before = {path: path.stat().st_mtime_ns for path in own_cache.rglob("*")}
    for path in before:
        path.chmod(0o555 if path.is_dir() else 0o444)
    monkeypatch.setattr(kept, "keep", None)
    assert lines_of_a_process() == []
    assert {path: path.stat().st_mtime_ns for path in own_cache.rglob("*")} == before
    for path in before:
        path.chmod(0o755)


def test_where_nothing_can_be_kept_every_run_says_so(own_cache: Path) -> None:
    own_cache.write_text("a file where a folder should be")
    for _ in range(2):
        (line,) = lines_of_a_process()
        assert f"at every run because {own_cache} cannot be written" in line
    assert own_cache.read_text() == "a file where a folder should be"


def test_a_disk_that_fills_up_leaves_nothing_behind(own_cache: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*_: Any) -> None:
        raise OSError("no space left")

    monkeypatch.setattr(shutil, "copytree", full)
    assert len(lines_of_a_process()) == 1
    assert list(own_cache.iterdir()) == []


@pytest.mark.parametrize("compiles", [True, False])
def test_a_full_temporary_folder_is_told_in_one_line(
    compiles: bool, own_cache: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whether machine code is to be compiled or only fetched from the cache, which stays as it is."""
    if not compiles:
        lines_of_a_process()
    before = sorted(own_cache.rglob("*.nb*"))

    def full(*_: Any, **__: Any) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(Path, "write_bytes", full)
    monkeypatch.setattr(room, "_dispatcher", full)
    told = "the compiled engine cannot be put into the temporary folder: No space left on device"
    with pytest.raises(InputError, match=told) as caught:
        compiled(TINY, lambda line: None)
    assert str(caught.value).startswith(Path(tempfile.gettempdir()).as_posix())
    assert isinstance(caught.value.__cause__, OSError)
    assert sorted(own_cache.rglob("*.nb*")) == before
    assert bool(before) is not compiles


def test_old_folders_go_and_what_is_not_ours_stays(own_cache: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for age, name in enumerate(["new", "older", "oldest"]):
        (own_cache / name).mkdir(parents=True)
        (own_cache / name / kept.SUMS).write_text("{}")
        os.utime(own_cache / name, (1e9 - age, 1e9 - age))
    (own_cache / "banks").mkdir()
    monkeypatch.setattr(room, "KEPT", 2)
    assert len(lines_of_a_process()) == 1
    assert {path.name for path in own_cache.iterdir()} == {cache_folder(TINY).name, "new", "banks"}
    kept.prune(own_cache / "missing", 1)


@pytest.mark.parametrize(
    ("home", "name", "other"),
    [
        (numba, "__version__", "0.0.1"),
        (llvmlite.binding, "get_host_cpu_name", lambda: "another"),
        (llvmlite.binding, "get_host_cpu_features", llvmlite.binding.FeatureMap),
        (sys, "version", "3.99"),
        (tiny, "FACTOR", 4.0),
    ],
)
def test_another_machine_or_source_has_a_folder_of_its_own(
    monkeypatch: pytest.MonkeyPatch, home: Any, name: str, other: Any
) -> None:
    lines_of_a_process()
    before = cache_folder(TINY)
    monkeypatch.setattr(home, name, other)
    assert cache_folder(TINY) != before
    assert not is_kept(TINY)


def test_settings_of_numba_have_a_folder_of_their_own(monkeypatch: pytest.MonkeyPatch) -> None:
    before = cache_folder(TINY)
    monkeypatch.setenv("NUMBA_OPT", "1")
    assert cache_folder(TINY) != before


def test_other_types_have_a_folder_of_their_own() -> None:
    assert cache_folder(TINY) != cache_folder(Twinned(tiny.tripled, (1,)))


def test_every_constant_of_the_engine_counts(monkeypatch: pytest.MonkeyPatch) -> None:
    """Whatever number any reached function uses, in whichever file: another value, another fingerprint."""
    usual, tried = fingerprint(run_rows), 0
    for function in reachable(run_rows):
        for name in function.__code__.co_names:
            value = function.__globals__.get(name)
            if isinstance(value, int | float):
                with monkeypatch.context() as changed:
                    changed.setitem(function.__globals__, name, value + 1.5)
                    assert fingerprint(run_rows) != usual or value != value, (function, name)
                tried += 1
    assert tried > 100
    assert fingerprint(run_rows) == usual


def test_code_and_defaults_count_and_docstrings_do_not() -> None:
    def variant(source: str) -> str:
        names: dict[str, Any] = {"__name__": "variant"}
        exec(source, names)
        return fingerprint(names["f"])

    usual = variant("def f(a, b=1.0): return a + 2.0 * b")
    assert variant("def f(a, b=1.0):\n  '''About.'''\n  return a + 2.0 * b  # why") == usual
    for other in ("a + 3.0 * b", "a - 2.0 * b", "2.0 * a + b"):
        assert variant(f"def f(a, b=1.0): return {other}") != usual
    assert variant("def f(a, b=1.5): return a + 2.0 * b") != usual


def test_the_walk_reaches_every_room_of_the_engine() -> None:
    found = reachable(run_rows)
    assert len(set(found)) == len(found)
    assert {equations.derivatives, moist_air.saturation_pressure} <= set(found)
    assert {function.__module__.split(".")[1] for function in found} == {"cycle", "machine", "physics"}
