"""A log that was read, for programs."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from dryermodel.field.traces.outcome import KINDS, SI_UNITS
from dryermodel.show.data.envelope import envelope
from dryermodel.show.data.numbers import clean

if TYPE_CHECKING:
    from dryermodel.field.traces.reading import Trace
    from dryermodel.field.traces.spells import Spell


def as_data(trace: Trace, name: str, version: str) -> dict[str, Any]:
    """Return intervals, duty, temperatures and measurements in SI.

    Parameters
    ----------
    trace : Trace
        The log.
    name : str
        Of the file.
    version : str
        Of the program.
    """
    run, p = trace.run, trace.power
    return {
        **envelope(version, title=name, status="measured"),
        "machine": p.kind if p else None,
        "start_s": clean(run.start.time),
        "length_s": clean(run.end.time - run.start.time),
        "whole": list(run.whole),
        "notes": list(trace.notes),
        "measurements": [
            {
                "measurement": f.name,
                "value": clean(f.value),
                "accuracy": clean(f.accuracy),
                "unit": SI_UNITS[KINDS[f.name]],
            }
            for f in trace.found
        ],
        "heat": _spells(trace.burns),
        "ended_wet": list(trace.wet),
        "gaps": _spells(trace.gaps),
        "igniter": _spells(p.glows if p else ()),
        "failed_tries": p.failed if p else None,
        "duty": [{"start_s": clean(start), "share": clean(share)} for start, share in trace.duty],
        "coil_step_W": clean(p.coil_step.value) if p and p.coil_step else None,
        "heater_W": clean(p.heater.value) if p and p.heater else None,
        "exhaust": _exhaust(trace),
    }


def _spells(spells: tuple[Spell, ...]) -> list[dict[str, float | None]]:
    return [
        {
            "on_s": clean(s.on.time),
            "off_s": clean(s.off.time),
            "on_accuracy_s": clean(s.on.accuracy),
            "off_accuracy_s": clean(s.off.accuracy),
        }
        for s in spells
    ]


def _exhaust(trace: Trace) -> dict[str, Any] | None:
    t = trace.temperatures
    if t is None:
        return None
    return {
        "steady_K": clean(t.steady),
        "highest_K": clean(t.peak),
        "at_off_K": [clean(x) for x in t.cut_outs],
        "at_call_K": [clean(x) for x in t.cut_ins],
        "time_constant_off_s": clean(t.constants.off),
        "time_constant_on_s": clean(t.constants.on),
    }
