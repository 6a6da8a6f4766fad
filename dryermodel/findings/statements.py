"""What a cycle's numbers mean, in sentences a technician would say."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING

from dryermodel.findings import burner, drying, heat, motor, pieces, standstill
from dryermodel.findings import ending as end
from dryermodel.findings.facts import Facts, Finding

if TYPE_CHECKING:
    from dryermodel.cycle.result import CycleResult

RULES: tuple[Callable[[Facts], Iterator[Finding]], ...] = (
    heat.combustion,
    burner.primary_air,
    burner.gas_input,
    burner.overheated,
    heat.thermal_cutoff,
    heat.high_limit,
    heat.vent_joint,
    heat.no_heat,
    heat.coil,
    end.ending,
    standstill.interrupted,
    motor.labours,
    end.left_wet,
    pieces.unlike,
    end.thermostat_silent,
    end.timer_story,
    end.over_dried,
    end.duty,
    drying.against_healthy,
    drying.airflow,
    drying.leakage,
    drying.energy,
    drying.load,
    drying.room,
    drying.trust,
)
"""Each looks for one thing and says nothing when it is not there."""

CAUTIONS = {
    "co": "Carbon monoxide: do not run it like this; air the room and have the combustion checked.",
    "fire": "Lint is fuel: a vent that trips a limit is a fire risk, not a setting to adjust.",
    "hot": "Cloth and lint can catch fire: do not run it like this.",
    "limit": "Never bypass a limit or thermal cut-off.",
    "unplug": "Unplug the dryer before opening it.",
    "gas": "Gas work, leak test and combustion checks are for a qualified person where local rules say so.",
}
"""Each is said once, beside the first finding that calls for it."""


def judged(
    result: CycleResult,
    healthy: CycleResult | None = None,
    *,
    si: bool = False,
    rated_input: float | None = None,
) -> list[Finding]:
    """Findings about one cycle, the most important first, each with the cautions it calls for.

    Arguments as in :func:`findings`.
    """
    facts = Facts(result, si, healthy, rated_input)
    return sorted((item for rule in RULES for item in rule(facts)), key=lambda item: item.rank)


def findings(
    result: CycleResult,
    healthy: CycleResult | None = None,
    *,
    si: bool = False,
    rated_input: float | None = None,
) -> list[str]:
    """Plain-English findings about one cycle, the most important first.

    Only what applies is said, computed from the cycle's own numbers; thresholds and their sources are
    named constants of the modules that hold the rules.

    Parameters
    ----------
    result : CycleResult
        The cycle.
    healthy : CycleResult, optional
        The same load in a machine in good order, to compare with.
    si : bool
        degC, kg, L/s and Pa instead of degF, lb, cfm and in w.c.
    rated_input : float, optional
        Gas input on the rating plate [W], to compare the machine's input with.

    Returns
    -------
    list of str
        A sentence or a few each, in ASCII.
    """
    found = judged(result, healthy, si=si, rated_input=rated_input)
    said: set[str] = set()
    texts = []
    for item in found:
        fresh = [key for key in item.cautions if key not in said]
        said.update(fresh)
        texts.append(" ".join([item.text, *(CAUTIONS[key] for key in fresh)]))
    return texts
