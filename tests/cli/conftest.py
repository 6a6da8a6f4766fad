"""The engine is compiled or loaded before these tests, so that its announcement is not in their way."""

from __future__ import annotations

import pytest

from dryermodel.cycle.run.many import prepare


@pytest.fixture(scope="session", autouse=True)
def engine_ready() -> None:
    """Compile once a worker, in silence."""
    prepare(lambda _: None)
