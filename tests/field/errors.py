"""Errors of the readings of logs against the truth of the modelled cycles they were made from.

``python -m tests.field.errors`` prints the table of docs/traces.md; ``python -m tests.documents --write``
puts it there.
"""

from __future__ import annotations

import math
import sys
from collections import defaultdict
from collections.abc import Iterable

import numpy as np

from dryermodel.cycle.result import CycleResult
from dryermodel.field.traces.outcome import KINDS
from dryermodel.field.traces.reading import read_run
from dryermodel.field.traces.runs import cut_out
from dryermodel.scenario.model import load_scenario
from dryermodel.scenario.run import simulate
from tests.field.logs import MANNERS, made

CASES: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("standard", ()),
    ("family_load", ()),
    ("towels_and_jeans", ()),
    ("small_load", ()),
    ("old_high_cutout", ()),
    ("long_vent", ()),
    ("standard", ("igniter_slow=30 s",)),
    ("family_load", ("thermostat_drift=20 delta_degF",)),
    ("family_load", ("vent_blockage=50 %",)),
    ("family_load", ("weak_burner=80 %",)),
)
"""Scenarios and faults whose logs are read."""

SEEDS = range(4)
"""Logs of each case, with other noise, igniter, coils and times of the first report."""

UNITS = {
    "time": (1.0, "s"),
    "temperature": (1.8, "degF"),
    "power": (1.0, "W"),
    "number": (1.0, ""),
    "energy": (1 / 3.6e6, "kWh"),
}
"""Factor from SI, and unit, of an error."""

GROSS = 5.0
"""An error of more standard deviations than this is a misreading and not noise."""


def errors(
    cases: Iterable[tuple[str, CycleResult]], manner: str, seeds: Iterable[int], probe: bool = True
) -> dict[str, list[tuple[float, float]]]:
    """By measurement: error [SI] and the standard deviation it came with, of every log that gave it."""
    found: dict[str, list[tuple[float, float]]] = defaultdict(list)
    for rank, (_, result) in enumerate(cases):
        for seed in seeds:
            log = made(result, MANNERS[manner], 100 * rank + seed)
            values = log.log.values if probe else {"power": log.log.values["power"]}
            for f in read_run(cut_out(log.log._replace(values=values))).found:
                if f.name in log.truth:
                    found[f.name].append((f.value - log.truth[f.name], f.accuracy))
    return found


def row(name: str, pairs: list[tuple[float, float]]) -> list[str]:
    """Measurement, unit, number, bias, spread, standard deviation told, and how many were misread."""
    scale, unit = UNITS[KINDS[name]]
    error = np.array([e for e, _ in pairs])
    sigma = np.array([s for _, s in pairs])
    gross = int(np.sum(np.abs(error) > GROSS * sigma))
    fine = error[np.abs(error) <= GROSS * sigma] * scale
    numbers = [fine.mean(), fine.std(), float(np.median(sigma)) * scale] if len(fine) else [math.nan] * 3
    digits = 4 if unit == "kWh" else 2 if unit in ("", "degF") else 1
    return [name, unit, str(len(pairs)), *(f"{x + 0.0:.{digits}f}" for x in numbers), str(gross)]


def table() -> str:
    """The table in Markdown, one for each manner of reporting."""
    cases = [(name, simulate(load_scenario(name, [], list(faults)))) for name, faults in CASES]
    parts = []
    for manner, probe in (*((manner, True) for manner in MANNERS), ("every 30 s", False)):
        found = errors(cases, manner, SEEDS, probe)
        lines = [
            f"**A reading {manner}{'' if probe else ', power alone'}**",
            "",
            "| reading | unit | logs | bias | spread | told | misread |",
            "|---|---|---|---|---|---|---|",
        ]
        lines += ["| " + " | ".join(row(name, found[name])) + " |" for name in KINDS if name in found]
        parts.append("\n".join(lines))
    return "\n\n".join(parts)


if __name__ == "__main__":
    sys.stdout.write(table() + "\n")
