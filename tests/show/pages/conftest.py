"""Pages as the commands write them, and one browser for the tests of a file."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from typer.testing import CliRunner

from dryermodel.cli import app
from tests.show.pages.browser import Browser, browser
from tests.show.pages.report_visits import QUICK, command


@pytest.fixture(scope="session")
def pocket_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The pocket page with a small bank."""
    file = tmp_path_factory.mktemp("pocket") / "pocket.html"
    done = CliRunner().invoke(app, ["pocket", "-o", str(file), "--bank", "530"])
    assert done.exit_code == 0, done.output
    assert "without a network" in done.stdout
    return file


@pytest.fixture(scope="session")
def report_files(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """A visit with work and readings after it, for each reader."""
    folder = tmp_path_factory.mktemp("reports")
    found = {reader: folder / f"{reader}.html" for reader in ("customer", "technician")}
    for reader, file in found.items():
        done = command("vent_cleared", "--for", reader, "-o", str(file), *QUICK)
        assert done.exit_code == 0, done.output
    return found


@pytest.fixture(scope="module")
def chromium() -> Iterator[Browser]:
    """One browser for all tests of a file."""
    with browser() as found:
        yield found
