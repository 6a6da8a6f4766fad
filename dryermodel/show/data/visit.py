"""A visit as it was understood, for programs."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from dryermodel import units
from dryermodel.field.complaints import complained_of
from dryermodel.show.data.envelope import envelope
from dryermodel.show.data.numbers import clean

if TYPE_CHECKING:
    from dryermodel.field.evidence import Evidence, Measured
    from dryermodel.field.visit import Visit


def as_data(visit: Visit, version: str) -> dict[str, Any]:
    """Return machine, complaint, dangers, what was measured and seen before and after, and the work, in SI.

    Parameters
    ----------
    visit : Visit
        Without problems.
    version : str
        Of the program.
    """
    file = visit.file
    return {
        **envelope(
            version,
            title=visit.scenario.full_title,
            status="measured",
            scenario_hash=visit.scenario.hash,
        ),
        "file": visit.label,
        "date": file.date,
        "complaint": visit.complaint,
        "understood_as": [c.name for c in complained_of(visit.complaint)],
        "dangers": [{"danger": d.name, "advice": d.advice, "leave": d.leave} for d in visit.dangers],
        "load": file.conditions.load,
        "controls": file.conditions.controls,
        "recordings": list(file.logs),
        **_evidence(visit.evidence()),
        "work": [job._asdict() for job in visit.work],
        "after": _evidence(visit.evidence_after()),
    }


def _evidence(known: Evidence) -> dict[str, Any]:
    return {
        "measured": [_measured(one) for one in known.measured],
        "seen": [{"observation": one.name, "yes": one.yes} for one in known.seen],
    }


def _measured(one: Measured) -> dict[str, Any]:
    kind = one.measurement
    return {
        "measurement": one.name,
        "state": next((state for state, number in kind.states.items() if number == one.number), ""),
        "value_SI": clean(one.value),
        "accuracy_SI": clean(one.accuracy),
        "unit_SI": units.KINDS[kind.kind].si_unit,
    }
