"""The machine and what is known of it, from a visit file or from options."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Annotated

import typer

from dryermodel.cli import _completion

if TYPE_CHECKING:
    from dryermodel.field.evidence import Evidence
    from dryermodel.scenario.model import Scenario

VisitOrScenario = Annotated[
    str,
    typer.Argument(
        metavar="VISIT|SCENARIO",
        help="A visit file, or a scenario with what was measured as options.",
        autocompletion=_completion.visits_and_scenarios,
    ),
]


def known(
    visit: str,
    measured: Sequence[str],
    seen: Sequence[str] = (),
    complaint: str = "",
    setting: Sequence[str] = (),
    fault: Sequence[str] = (),
) -> tuple[Scenario, Evidence]:
    """Return the machine and what is known of it, from a visit file or from options."""
    from dryermodel.errors import InputError
    from dryermodel.field.clocked import heating_value_of
    from dryermodel.field.conflicts import require_sensible
    from dryermodel.field.evidence import gather, joined
    from dryermodel.field.visit import is_visit, load_visit
    from dryermodel.scenario.model import load_scenario

    if not is_visit(visit):
        scenario = load_scenario(visit, setting, fault)
        own = gather(measured, seen, complaint, heating_value_of(scenario))
        require_sensible(own, scenario)
        return scenario, own
    for option, given in (("--set", setting), ("--fault", fault)):
        if given:
            raise InputError("is for a scenario; a visit file names its own", option)
    held = load_visit(visit)
    own = gather(measured, seen, complaint, heating_value_of(held.scenario))
    together = joined(held.evidence(), own)
    require_sensible(together, held.scenario)
    return held.scenario, together
