"""Shared fixtures: the standard machine and its undisturbed cycle, computed once."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache

import pytest
from hypothesis import settings

from dryermodel.cycle.engine.parameters import Parameters
from dryermodel.cycle.result import CycleResult
from dryermodel.cycle.run.simulate import run_cycle
from dryermodel.scenario.model import load_scenario

# The same examples on every run: a test that passes today does not fail tomorrow by a new draw.
settings.register_profile("repeatable", derandomize=True, deadline=None)
settings.load_profile("repeatable")


@pytest.fixture(scope="session")
def standard_parameters() -> Parameters:
    """The shipped standard machine with the energy test's load, room and gas."""
    return load_scenario("standard").to_parameters()


@pytest.fixture(scope="session")
def standard_result(standard_parameters: Parameters) -> CycleResult:
    """The standard machine's automatic cycle."""
    return run_cycle(standard_parameters)


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
