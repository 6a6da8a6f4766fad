"""Findings about a burner off its rating plate, and a load that gets far too hot."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from dryermodel.findings.facts import Facts, Finding
from dryermodel.findings.heat import PLATE_TOLERANCE
from dryermodel.physics.moist_air import STANDARD_PRESSURE
from dryermodel.readings import measures as M

FAR_OVER = 1.20
"""Input over the plate's from which carbon monoxide is mentioned (assumed) [1]."""

SHORT_OF_AIR = 0.8
"""Primary air, as a share of a clean burner's, below which carbon monoxide is mentioned (assumed) [1]."""

USUAL_CUT_OUT = 341.483
"""155 degF, stands in for the cut-out of a contact that never moves (common practice) [K]."""

OVERHEAT, OVERHEAT_TIME = 40.0 / 1.8, 600.0
"""40 degF above the cut-out [K], and for how long [s], from which a load is called overheated (assumed)."""


def gas_input(f: Facts) -> Iterator[Finding]:
    """The gas input against the rating plate's."""
    rate, plate = f.p.firing_rate, f.rated_input
    if not f.gas or plate is None or plate <= 0.0 or rate <= 0.0:
        return
    ratio, thin_air = rate / plate, math.sqrt(f.p.pressure / STANDARD_PRESSURE)
    if abs(ratio - 1.0) <= PLATE_TOLERANCE and abs(ratio / thin_air - 1.0) <= PLATE_TOLERANCE:
        return
    text = (
        f"The gas input with the burner lit is {f.say(rate, 'power')}, {_off(ratio)} {f.say(plate, 'power')}"
    )
    if abs(ratio / thin_air - 1.0) <= PLATE_TOLERANCE:
        yield Finding(
            40,
            f"{text} of the rating plate. The lower air pressure here (less dense air "
            "and gas) explains it: no fault, but the code's altitude rule may ask for a further derate.",
            ("gas",),
        )
        return
    text += " of the rating plate"
    if abs(thin_air - 1.0) > 0.01:
        text += f" (the lower air pressure here alone would make it {f.say(plate * thin_air, 'power')})"
    if ratio / thin_air > 1.0:
        text += ": it is overfired. Check the kind of gas, the orifice and the manifold pressure."
        yield Finding(1, text, ("co", "gas") if ratio / thin_air > FAR_OVER else ("gas",))
    else:
        text += ": it is underfired. Check the kind of gas, the orifice, and supply and manifold pressure."
        yield Finding(11, text, ("gas",))


def _off(ratio: float) -> str:
    percent = round(100.0 * abs(ratio - 1.0))
    if percent == 0:
        return "as much as the"
    return f"{percent} % {'above' if ratio > 1.0 else 'below'} the"


def primary_air(f: Facts) -> Iterator[Finding]:
    """A burner short of primary air: nothing in the cycle shows it, and it is what can kill."""
    if not f.gas or f.p.primary_air >= SHORT_OF_AIR:
        return
    yield Finding(
        1,
        f"The burner draws in {100 * f.p.primary_air:.0f} % of its primary air (caution below "
        f"{100 * SHORT_OF_AIR:.0f} %, assumed): expect a yellow, sooting flame and carbon monoxide. "
        "The cycle does not show it: gas input, times and temperatures stay as they are. Look at the flame.",
        ("co", "gas"),
    )


def overheated(f: Facts) -> Iterator[Finding]:
    """A load far above the cut-out, whether or not the high limit opened."""
    cut_out = f.p.cut_out if M.is_threshold(f.p.cut_out) else USUAL_CUT_OUT
    s = f.result.series
    hot = s["load_temp_K"] > cut_out + OVERHEAT
    lasted = float(np.sum(np.diff(s["time_s"]) * (hot[1:] & hot[:-1])))
    if lasted <= OVERHEAT_TIME:
        return
    named = "its" if M.is_threshold(f.p.cut_out) else "the usual"
    yield Finding(
        2,
        f"The load was more than {f.say(OVERHEAT, 'temperature difference')} above {named} "
        f"{f.say(cut_out, 'temperature')} cut-out for {f.say(lasted, 'time')}, up to "
        f"{f.say(f.tops[1], 'temperature')} (caution from {f.say(OVERHEAT_TIME, 'time', 0)}, a threshold of "
        "this program).",
        ("hot", "limit", "unplug"),
    )
