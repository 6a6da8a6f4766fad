"""From a scenario to a result."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dryermodel.cycle.run.simulate import run_cycle
from dryermodel.scenario.fault_section import is_fault_key
from dryermodel.scenario.model import as_text

if TYPE_CHECKING:
    from dryermodel.cycle.result import CycleResult
    from dryermodel.scenario.model import Scenario


def simulate(scenario: Scenario, *, stop_at_moisture: float | None = None) -> CycleResult:
    """Simulate one cycle of a scenario.

    Parameters
    ----------
    scenario : Scenario
        From :func:`~dryermodel.scenario.model.load_scenario`.
    stop_at_moisture : float, optional
        End the run when the load reaches this moisture [kg/kg, dry basis], 0 to 3; in place of
        what the scenario says.

    Returns
    -------
    CycleResult
        Trajectory, switchings, sums and their closure.

    Raises
    ------
    ValueError
        `stop_at_moisture` is outside its range.
    """
    parameters = scenario.to_parameters()
    if stop_at_moisture is not None:
        if not 0.0 <= stop_at_moisture <= 3.0:
            raise ValueError(f"stop_at_moisture is {stop_at_moisture}, allowed 0 to 3 kg/kg")
        parameters = parameters._replace(stop_moisture=stop_at_moisture)
    return run_cycle(
        parameters,
        scenario.interruptions(),
        title=changed_title(scenario),
        scenario_hash=scenario.hash,
        piece_names=[piece.name for piece in scenario.pieces],
    )


def changed_title(scenario: Scenario) -> str:
    """Return the title with every fault, and what else was changed on the way in (three keys by name)."""
    options = [key for key, who in scenario.given.items() if who.label.startswith("--")]
    changed = [key for key in options if not is_fault_key(key)]
    if not changed:
        return scenario.full_title
    named = [f"{key.split('.')[-1].replace('_', ' ')} {as_text(scenario.texts[key])}" for key in changed[:3]]
    more = f" and {len(changed) - 3} more" if len(changed) > 3 else ""
    return f"{scenario.full_title}; changed: {', '.join(named)}{more}"
