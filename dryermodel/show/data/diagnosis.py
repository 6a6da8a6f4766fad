"""A diagnosis for programs."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from dryermodel import units
from dryermodel.field.measurements import Measurement
from dryermodel.inference.cautions import cautions
from dryermodel.inference.diagnosis import Interval, Ranked, Reason
from dryermodel.scenario.faults import find_fault
from dryermodel.show.data.numbers import clean

if TYPE_CHECKING:
    from collections.abc import Sequence

    from dryermodel.inference.diagnosis import Diagnosis
    from dryermodel.inference.gains import Gain
    from dryermodel.inference.next_test import NextTest


def as_data(d: Diagnosis, tests: Sequence[NextTest], found: Sequence[Gain], version: str) -> dict[str, Any]:
    """The diagnosis for programs: probabilities as fractions, severities in the fault's own unit.

    Parameters
    ----------
    d : Diagnosis
        What is likely wrong.
    tests : sequence of NextTest
        What to do next.
    found : sequence of Gain
        What repairs buy.
    version : str
        Of the program.
    """
    p = d.posterior
    return {
        "version": version,
        "scenario_hash": d.bank.scenario.hash,
        "hash": d.bank.scenario.hash,
        "title": d.bank.scenario.full_title,
        "seed": d.seed,
        "status": "assumed",
        "cycles": p.cycles,
        "effective_samples": clean(p.effective),
        "enough": d.enough,
        "cautions": cautions(d),
        "complaint": d.evidence.complaint,
        "measured": [
            {"measurement": m.name, "value_SI": clean(m.value), "accuracy_SI": clean(m.accuracy),
             "unit_SI": units.KINDS[m.measurement.kind].si_unit}
            for m in d.evidence.measured
        ],
        "seen": [{"observation": s.name, "yes": s.yes} for s in d.evidence.seen],
        "ranking": [_ranked(d, r) for r in d.ranking],
        "unexplained": clean(d.unexplained),
        "each_fault": {key: clean(value) for key, value in sorted(d.involved.items(), key=lambda kv: -kv[1])},
        "doubtful_readings": [m.name for m in d.doubtful()],
        "could_hide": [
            {"fault": key, "up_to": _amount(key, worst), "unit": find_fault(key).unit}
            for key, worst in d.hidden()
        ],
        "next_tests": [_test(d, t) for t in tests],
        "repairs": [_gain(g) for g in found],
    }  # fmt: skip


def _ranked(d: Diagnosis, r: Ranked) -> dict[str, Any]:
    lead = r.faults[0]
    severity = _severity(lead, r.severities[lead]) if lead in r.severities else None
    return {
        "faults": list(r.faults),
        "together": r.together,
        "probability": clean(r.probability),
        "members": {key: clean(value) for key, value in r.members.items()},
        "severity": severity,
        "severities": {key: _severity(key, s) for key, s in r.severities.items()},
        "evidence": [_reason(x) for x in d.reasons(r)] if r.probability >= 0.01 else [],
    }


def _severity(key: str, s: Interval) -> dict[str, Any]:
    """How bad a fault is, with an interval of 80 %, in its own unit and on the scale of the catalogue."""
    fault = find_fault(key)
    return {
        "fault": key,
        "low": _amount(key, s.low),
        "middle": _amount(key, s.middle),
        "high": _amount(key, s.high),
        "unit": fault.unit,
        "quantity": fault.quantity,
        "scale_0_to_1": [clean(s.low), clean(s.middle), clean(s.high)],
    }


def _amount(key: str, severity: float) -> float | None:
    fault = find_fault(key)
    return clean(units.convert(fault.amount(severity), fault.unit))


def _reason(x: Reason) -> dict[str, Any]:
    predicted = [clean(v) for v in x.predicted] if isinstance(x.predicted, Interval) else clean(x.predicted)
    name = "measurement" if x.measurement is not None else "observation"
    value = x.measured if isinstance(x.measured, bool) else clean(x.measured)
    return {name: x.name, "bits": clean(x.bits), "value": value, "predicted": predicted}


def _test(d: Diagnosis, t: NextTest) -> dict[str, Any]:
    return {
        "measurement": t.name,
        "kind": "measurement" if isinstance(t.test, Measurement) else "observation",
        "bits": clean(t.bits),
        "minutes": clean(t.minutes),
        "tools": list(t.test.tools),
        "caution": t.test.caution,
        "results": [
            {
                "result": p.result if isinstance(p.result, str) else [clean(v) for v in p.result],
                "share": clean(p.share),
                "points_to": list(d.bank.hypotheses[p.leader].faults) or ["healthy"],
                "probability": clean(p.probability),
            }
            for p in t.pointers
        ],
    }


def _gain(g: Gain) -> dict[str, Any]:
    def data(found: dict[str, Interval]) -> dict[str, Any]:
        return {name: [clean(v) for v in interval] for name, interval in found.items()}

    return {
        "fault": g.fault,
        "probability": clean(g.probability),
        "before_SI": data(g.before),
        "saved_SI": data(g.saved),
        "cycles_given_up": g.given_up,
    }
