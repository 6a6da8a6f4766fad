"""The engines are compiled or loaded before these tests, so that their announcements are not in their way."""

from __future__ import annotations

import pytest

from dryermodel.cycle.run.many import prepare, prepare_many


@pytest.fixture(scope="session", autouse=True)
def engine_ready() -> None:
    """Compile once a worker, in silence."""
    prepare(announce=lambda _: None)
    prepare_many(lambda _: None)
