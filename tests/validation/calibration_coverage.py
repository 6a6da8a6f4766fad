"""How often fitted intervals hold the truth: ``python -m tests.validation.calibration_coverage``.

Machines are drawn from what is believed before, so that intervals of 80 % should hold the truth in 80 % of
cases; readings are off by instrument and model together, as the fit takes them to be.
"""

from __future__ import annotations

import math
import sys
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from dryermodel.field.evidence import Evidence, Measured
from dryermodel.field.measurements import find_measurement
from dryermodel.inference.calibration import calibrate
from dryermodel.inference.fitting import Problem
from dryermodel.inference.priors import priors_of
from dryermodel.scenario.model import Scenario, load_scenario

THREE = ("cycle time", "exhaust temperature", "start weight")
SIX = (*THREE, "vent static", "gas input", "dry weight")
TWELVE = (
    *SIX, "room temperature", "time to flame", "burner on late", "burner off late", "burner cycles",
    "motor power early",
)  # fmt: skip
SETS = {"3 readings": THREE, "6 readings": SIX, "12 readings": TWELVE}


class Trial(NamedTuple):
    """What one made-up machine came to."""

    inside: tuple[bool, ...]  # of each value
    determined: tuple[bool, ...]
    chi_square: float
    warned: bool
    agreeing: int


def trial(scenario: Scenario, names: Sequence[str], seed: int, starts: int) -> Trial:
    """Draw a machine, read it, fit it and look whether the intervals hold what it is."""
    generator = np.random.default_rng(seed)
    unknown = priors_of(scenario).unknown
    entries = [find_measurement(name) for name in names]
    blank = [Measured(entry, entry.number(), 1.0, 1.0) for entry in entries]
    asked = Problem(scenario, blank, unknown)
    point = generator.standard_normal((1, len(unknown)))
    exact, true = asked.predicted(point)[0], asked.values(point)[0]
    errors = generator.standard_normal(len(names))
    read = tuple(_read(m, float(v), float(e)) for m, v, e in zip(blank, exact, errors, strict=True))
    found = calibrate(scenario, Evidence(read), starts=starts, seed=seed)
    return Trial(
        tuple(f.interval[0] <= v <= f.interval[1] for f, v in zip(found.fitted, true, strict=True)),
        tuple(f.determined for f in found.fitted),
        found.chi_square, not found.fits, len(found.agreeing),
    )  # fmt: skip


def _read(blank: Measured, exact: float, error: float) -> Measured:
    """A reading that is off by so many of its errors; one of nothing there is left as nothing's place."""
    entry = blank.measurement
    own = math.hypot(entry.accuracy, entry.relative * exact)
    value = exact + error * math.hypot(own, entry.model, entry.model_relative * exact)
    return blank._replace(value=value, accuracy=own)


def line(name: str, trials: Sequence[Trial], starts: int) -> str:
    """One line of the table."""
    inside = np.array([t.inside for t in trials])
    known = np.array([t.determined for t in trials])
    each = np.array([t.inside for t in trials]).mean(axis=1)
    error = 1.96 * each.std(ddof=1) / math.sqrt(len(each))
    return (
        f"{name:12s} {len(trials):8d} {100 * inside.mean():5.1f} +- {100 * error:.1f} % "
        f"{100 * inside[known].mean():10.1f} % {known.sum(axis=1).mean():11.1f} "
        f"{np.mean([t.chi_square for t in trials]):9.1f} {sum(t.warned for t in trials):8d} "
        f"{np.mean([t.agreeing for t in trials]):6.1f} of {starts}"
    )


HEADER = (
    "evidence     machines  truth inside   determined   determined    misfit   warned  agreeing\n"
    "                         (all values)    inside      of 35        mean            starts"
)


def main(trials: int = 20, starts: int = 4) -> None:
    """Print the table."""
    scenario = load_scenario("standard")
    sys.stdout.write(HEADER + "\n")
    for name, names in SETS.items():
        found = [trial(scenario, names, 1000 + seed, starts) for seed in range(trials)]
        sys.stdout.write(line(name, found, starts) + "\n")
        sys.stdout.flush()


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
