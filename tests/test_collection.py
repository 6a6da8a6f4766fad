"""Doctests and notebooks are part of the run; an empty collection must not pass unseen."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parent.parent


def collected(where: str) -> list[str]:
    done = subprocess.run(
        [sys.executable, "-m", "pytest", "--collect-only", "-q", "-n", "0", where],
        cwd=ROOT,
        capture_output=True,
        text=True,
        encoding="utf-8",
    )
    return [line for line in done.stdout.splitlines() if "::" in line]


def test_doctests_are_collected() -> None:
    found = collected("dryermodel")
    assert len(found) > 80
    assert any("physics" in line for line in found)
    assert any("machine" in line for line in found)


def test_notebooks_are_collected() -> None:
    assert any(".ipynb" in line for line in collected("notebooks"))
