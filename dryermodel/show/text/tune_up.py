"""The tune-up as a list for a clipboard: boxes to tick and lines to write on."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence

from dryermodel.field.measurements import find_measurement
from dryermodel.field.tune_up import LICENSED, STAGES, STANDING, Step
from dryermodel.kinds import label, metric_unit

WIDTH = 100
"""Letters in a line."""

BLANK = "_" * 10
"""Where a reading is written."""


def lines(steps: Sequence[Step], si: bool = False) -> list[str]:
    """Return the list as plain ASCII lines.

    Parameters
    ----------
    steps : sequence of Step
        In the order of safe work.
    si : bool
        Readings in metric units.
    """
    found = ["Tune-up of a gas dryer", *textwrap.wrap(STANDING, WIDTH)]
    numbered = list(enumerate(steps, start=1))
    for stage, heading in STAGES.items():
        own = [(number, step) for number, step in numbered if step.stage == stage]
        found += ["", heading] if own else []
        for number, step in own:
            found += _step(number, step, si)
    return found


def _step(number: int, step: Step, si: bool) -> Iterator[str]:
    told = [f"[ ] {number}. {step.do}", f"why: {step.why}"]
    if step.caution:
        told.append(f"CAUTION: {step.caution}")
    if step.licensed:
        told.append(LICENSED)
    for i, text in enumerate(told):
        first = "" if i == 0 else "    "
        yield from textwrap.wrap(text, WIDTH, initial_indent=first, subsequent_indent="      ")
    for word, names in (("before", step.before), ("after", step.after)):
        for name in names:
            unit = find_measurement(name).unit
            shown = label(metric_unit(unit) if si else unit)
            yield f"    {word + ':':<8}{name} {BLANK} {shown}"
    yield from (f"    seen:   {name}?  yes / no" for name in step.look)
