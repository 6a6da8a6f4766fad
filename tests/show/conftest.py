"""Cycles for the tests of what is shown: each computed once and shared."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache

import pytest

from dryermodel.cycle.result import CycleResult
from dryermodel.cycle.simulate import run_cycle
from dryermodel.scenario.model import load_scenario

Cycles = Callable[..., CycleResult]


@cache
def _run(overrides: tuple[str, ...]) -> CycleResult:
    scenario = load_scenario("standard", overrides)
    return run_cycle(
        scenario.to_parameters(),
        scenario.interruptions(),
        title=scenario.title,
        scenario_hash=scenario.hash,
    )


@pytest.fixture(scope="session")
def cycle() -> Cycles:
    """The standard scenario with the overrides given, as one result."""
    return lambda *overrides: _run(overrides)
