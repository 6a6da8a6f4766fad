"""The README's commands are the ones that are run."""

from __future__ import annotations

import re
from pathlib import Path

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")


def commands() -> list[str]:
    return [line.strip() for line in README.splitlines() if line.startswith("    python3 -m venv")]


def test_two_commands_do_all_the_set_up() -> None:
    run, test = commands()
    assert "dryermodel simulate" in run
    assert "pytest" in test


def test_ci_runs_the_readme_test_command() -> None:
    assert commands()[1] in (ROOT / ".ci" / "run").read_text(encoding="utf-8")
    assert commands()[1] in (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")


def test_pictures_and_pages_it_points_to_exist() -> None:
    for target in re.findall(r"\]\(([^)#]+)\)", README):
        if "://" not in target:
            assert (ROOT / target).exists(), target
