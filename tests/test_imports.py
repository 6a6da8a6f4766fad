"""Importing is cheap, and public names are there."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

import dryermodel

ROOT = Path(__file__).parent.parent
HEAVY = {"scipy", "pandas", "matplotlib", "numba", "pint", "pydantic", "numpy"}


def loaded_by(code: str) -> set[str]:
    program = f"{code}\nimport sys; print('modules:', *{{m.split('.')[0] for m in sys.modules}})"
    done = subprocess.run(
        [sys.executable, "-c", program],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
    )
    return set(done.stdout.rsplit("modules:", 1)[1].split())


def test_importing_the_package_loads_nothing_heavy() -> None:
    assert not loaded_by("import dryermodel") & (HEAVY | {"typer", "rich"})


def test_help_loads_nothing_heavy() -> None:
    code = (
        "import sys\nsys.argv = ['dryermodel', '--help']\nfrom dryermodel.cli import main\n"
        "try:\n    main()\nexcept SystemExit:\n    pass"
    )
    assert not loaded_by(code) & HEAVY


@pytest.mark.parametrize("name", dryermodel.__all__)
def test_public_names_exist(name: str) -> None:
    assert getattr(dryermodel, name) is not None
    assert name in dir(dryermodel)


def test_unknown_name_is_an_attribute_error() -> None:
    with pytest.raises(AttributeError, match="no attribute 'simulat'"):
        _ = dryermodel.simulat
