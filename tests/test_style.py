"""Lint, format and types, as part of the one command."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent


@pytest.mark.parametrize(
    "command",
    [
        ["ruff", "check", "."],
        ["ruff", "format", "--check", "."],
        ["mypy", "--strict", "dryermodel", "tests"],
    ],
    ids=["lint", "format", "types"],
)
def test_style(command: list[str]) -> None:
    done = subprocess.run(
        [sys.executable, "-m", *command], cwd=ROOT, capture_output=True, text=True, encoding="utf-8"
    )
    assert done.returncode == 0, done.stdout + done.stderr
