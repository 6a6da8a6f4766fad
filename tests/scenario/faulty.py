"""The standard machine with a fault, and one cycle of it."""

from __future__ import annotations

from typing import Any

from dryermodel.cycle.engine.parameters import Parameters
from dryermodel.cycle.result import CycleResult
from dryermodel.cycle.run.simulate import run_cycle
from dryermodel.scenario.fault_text import parse_fault
from dryermodel.scenario.faults import apply_faults
from dryermodel.scenario.model import load_scenario

STANDARD = load_scenario("standard").to_parameters()


def severities(*texts: str) -> dict[str, float]:
    """Severities [1] of faults as written."""
    return dict(map(parse_fault, texts))


def with_fault(text: str) -> Parameters:
    return apply_faults(STANDARD, severities(text))


def run(text: str, **fields: Any) -> CycleResult:
    return run_cycle(with_fault(text)._replace(**fields))
