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

MeasuredOption = Annotated[
    list[str],
    typer.Option(
        metavar="NAME=VALUE",
        help="What was measured, e.g. 'static=0.9 in w.c.' or 'cycle time=75 min +- 2 min'; repeatable.",
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
    from dryermodel.field.conflicts import require_sensible
    from dryermodel.field.evidence import gather, joined
    from dryermodel.field.visit import is_visit, load_visit
    from dryermodel.scenario.model import load_scenario

    own = gather(measured, seen, complaint)
    if not is_visit(visit):
        scenario = load_scenario(visit, setting, fault)
        require_sensible(own, scenario)
        return scenario, own
    for option, given in (("--set", setting), ("--fault", fault)):
        if given:
            raise InputError("is for a scenario; a visit file names its own", option)
    held = load_visit(visit)
    together = joined(held.evidence(), own)
    require_sensible(together, held.scenario)
    return held.scenario, together
