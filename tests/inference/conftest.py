"""A small bank of real machines of a few hypotheses, drawn once for these tests."""

from __future__ import annotations

import pytest

from dryermodel.inference.bank import Bank, draw
from dryermodel.inference.priors import Priors, priors_of
from dryermodel.scenario.model import load_scenario

FEW = (
    "healthy",
    "vent_blockage",
    "vent_flap_stuck",
    "vent_crushed",
    "weak_burner",
    "low_supply_pressure",
    "igniter_open",
    "vent_joint_leak",
    "gas_shut_off",
    "vent_blockage + weak_burner",
)


@pytest.fixture(scope="session")
def few() -> Priors:
    """Priors with ten hypotheses, in the order of `FEW`."""
    found = priors_of(load_scenario("standard"))
    by_name = {h.name: h for h in found.hypotheses}
    return found._replace(hypotheses=tuple(by_name[name] for name in FEW))


@pytest.fixture(scope="session")
def bank(few: Priors) -> Bank:
    """Forty machines of each of them."""
    return draw(load_scenario("standard"), few, 40 * len(FEW), 5)
