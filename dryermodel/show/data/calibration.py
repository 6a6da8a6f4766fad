"""A calibration for programs."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from dryermodel import units
from dryermodel.readings.gaps import gaps_of_rows
from dryermodel.show.data.envelope import envelope
from dryermodel.show.data.numbers import clean
from dryermodel.studies.sweep.vary import quantity_rule

if TYPE_CHECKING:
    from dryermodel.inference.fit_result import Calibration, Compared, Fitted


def as_data(c: Calibration, version: str) -> dict[str, Any]:
    """The fit for programs, in SI.

    Parameters
    ----------
    c : Calibration
        From :func:`dryermodel.inference.calibration.calibrate`.
    version : str
        Of the program.
    """
    return {
        **envelope(
            version,
            scenario_hash=c.scenario.hash,
            title=c.scenario.full_title,
            rel_tolerance=c.scenario.to_parameters().rel_tolerance,
            gaps=gaps_of_rows(c.outcomes),
            status="fitted",
            seed=c.seed,
        ),
        **c.scenario.faults_as_data(),
        "fitted_hash": c.machine.hash,
        "cycles": c.cycles,
        "fits": c.fits,
        "chi_square": clean(c.chi_square),
        "degrees_of_freedom": len(c.compared),
        "chance": clean(c.chance),
        "measurements": [_measurement(one) for one in c.compared],
        "values": [_value(one) for one in c.fitted],
        "not_determined": [one.key for one in c.undetermined],
        "correlations": [
            {"keys": [p.first, p.second], "correlation": clean(p.correlation)} for p in c.pairs
        ],
        "starts": {
            "count": len(c.starts), "as_good_as_the_best": len(c.agreeing),
            "costs": [clean(s.cost) for s in c.starts],
        },
        "settings": dict(c.texts),
    }  # fmt: skip


def _measurement(one: Compared) -> dict[str, Any]:
    before, after = one.misses
    return {
        "measurement": one.measured.name,
        "number": one.measured.number,
        "unit_SI": units.KINDS[one.measured.measurement.kind].si_unit,
        "measured_SI": clean(one.measured.value),
        "error_SI": clean(one.scale),
        "before_SI": clean(one.before),
        "after_SI": clean(one.after),
        "off_before": clean(before),
        "off_after": clean(after),
    }


def _value(one: Fitted) -> dict[str, Any]:
    return {
        "key": one.key,
        "words": one.words,
        "unit_SI": quantity_rule(one.key).si_unit(),
        "fitted_SI": clean(one.value),
        "interval_80_SI": [clean(v) for v in one.interval],
        "before_80_SI": [clean(v) for v in one.prior],
        "spread_left": clean(one.left),
        "status": one.status,
    }
