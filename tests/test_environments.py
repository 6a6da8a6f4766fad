"""Which environments are checked, and with which versions."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest

from tools import environments

ROOT = Path(__file__).parent.parent
TABLE = environments.project()
NEEDS = environments.lowest(environments.declared(TABLE))
PINS = re.findall(r"^([\w.-]+)==(\S+)$", (ROOT / ".ci" / "lint.txt").read_text(encoding="utf-8"), re.M)


def tools(what: str) -> list[str]:
    command = [sys.executable, str(ROOT / "tools" / "environments.py"), what]
    done = subprocess.run(command, capture_output=True, text=True, encoding="utf-8", check=True)
    return done.stdout.splitlines()


def test_lowest_pins_every_dependency_to_what_is_declared() -> None:
    declared = [*TABLE["dependencies"], *TABLE["optional-dependencies"]["test"]]
    assert {line.replace("==", ">=") for line in tools("lowest")} == {need.lower() for need in declared}


@pytest.mark.parametrize(
    ("needs", "told"),
    [
        (["numpy"], "'numpy' declares no lower bound"),
        (["numpy<3"], "'numpy<3' declares no lower bound"),
        (["pandas>=2.2", "Pandas>=2.1"], "pandas is declared with 2.2 and with 2.1"),
    ],
)
def test_no_lowest_version_without_one_bound(needs: list[str], told: str) -> None:
    with pytest.raises(ValueError, match=told):
        environments.lowest(needs)


def test_extras_and_upper_bounds_do_not_hide_the_lower_one() -> None:
    assert environments.lowest(["pandas[parquet] >=2.2.2,<4"]) == {"pandas": "2.2.2"}


def test_newest_release_of_each_admitted_python_oldest_first() -> None:
    found = [environments.Python((3, *v), str(v)) for v in [(13, 0), (9, 1), (11, 10), (11, 9), (12, 2)]]
    kept = environments.newest_of_each(found, (3, 11))
    assert [python.version for python in kept] == [(3, 11, 10), (3, 12, 2), (3, 13, 0)]


def test_oldest_python_is_the_one_declared() -> None:
    assert environments.oldest_admitted({"requires-python": ">=3.12.1"}) == (3, 12)
    assert environments.oldest_admitted(TABLE) == (3, 11)
    assert (
        f"Programming Language :: Python :: 3.{environments.oldest_admitted(TABLE)[1]}"
        in TABLE["classifiers"]
    )


def test_the_running_python_is_found() -> None:
    major, minor = sys.version_info[:2]
    assert any(line.startswith(f"{major}.{minor} ") for line in tools("pythons"))


def test_looked_for_on_the_path_and_under_pyenv(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    on_path, kept = tmp_path / "bin", tmp_path / "versions" / "3.12.9" / "bin"
    for folder, name in [(on_path, "python3.13"), (on_path, "python3-config"), (kept, "python3")]:
        folder.mkdir(parents=True, exist_ok=True)
        (folder / name).touch()
    monkeypatch.setenv("PATH", str(on_path))
    monkeypatch.setenv("PYENV_ROOT", str(tmp_path))
    monkeypatch.setattr(Path, "home", lambda: tmp_path / "nobody")
    assert list(environments.candidates()) == [
        sys.executable,
        str(on_path / "python3.13"),
        str(kept / "python3"),
    ]


@pytest.mark.parametrize(
    ("answer", "version"),
    [
        ("cpython final True 3 12 1", (3, 12, 1)),
        ("pypy final True 3 12 1", None),
        ("cpython candidate True 3 12 1", None),
        ("cpython final False 3 12 1", None),
    ],
)
def test_released_cpythons_with_venv_only(answer: str, version: environments.Version | None) -> None:
    found = environments.understood(answer, "python3")
    assert found == (version and environments.Python(version, "python3"))


def test_what_is_no_python_is_passed_over(tmp_path: Path) -> None:
    assert environments.asked(str(tmp_path / "python3")) is None


def test_versions_are_those_that_run() -> None:
    import numpy

    (line,) = tools("versions")
    assert line.startswith(f"Python {sys.version.split()[0]}: ")
    assert f"numpy {numpy.__version__}," in line


def test_lint_and_types_see_pinned_packages_only() -> None:
    pinned = {name.lower().replace("_", "-"): version for name, version in PINS}
    assert NEEDS.keys() <= pinned.keys()
    for tool in TABLE["optional-dependencies"]["lint"]:
        name, _, version = tool.partition("==")
        assert pinned[name] == version


def test_a_newcomer_installs_and_runs_no_lint_and_builds_no_guide() -> None:
    assert not {"ruff", "mypy", "sphinx"} & NEEDS.keys()
    assert all("==" in need for need in TABLE["optional-dependencies"]["docs"])
