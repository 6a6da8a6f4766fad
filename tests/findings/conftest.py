"""Cycles of the plain machine, whose numbers do not move with the defaults."""

from __future__ import annotations

import pytest

from dryermodel.cycle.result import CycleResult
from tests.plain import Cycles, plain_run


@pytest.fixture(scope="session")
def cycle() -> Cycles:
    """The plain machine with the overrides given, as one result."""
    return plain_run


@pytest.fixture(scope="session")
def standard_result() -> CycleResult:
    """The plain machine's automatic cycle."""
    return plain_run()
