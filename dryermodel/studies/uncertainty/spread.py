"""How far cycles of one scenario may lie apart, given what is not known of load, room and thermostat.

Each sample is one cycle with its own load, room and thermostat. Bands over time are percentiles of
all samples at each moment, so no single cycle need follow an edge of a band.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from dryermodel.cycle.result import shares_of_bins
from dryermodel.cycle.run.many import OUTCOME_ROW, as_rows
from dryermodel.errors import InputError
from dryermodel.readings.gaps import Gaps, gaps_of_rows
from dryermodel.studies.sweep.design import draw as draw_points
from dryermodel.studies.sweep.design import sobol_sequence
from dryermodel.studies.sweep.outcomes import end_reasons, find_outcome
from dryermodel.studies.sweep.plan import check_seed
from dryermodel.studies.uncertainty.recorded import Recorded, recorded_runs
from dryermodel.studies.uncertainty.uncertain import Uncertain, maker_of, uncertain_of

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from dryermodel.cycle.engine.parameters import Parameters
    from dryermodel.scenario.model import Scenario

LEAST_SAMPLES, MOST_SAMPLES = 8, 5000
PERCENTILES = (5.0, 50.0, 95.0)
STEPS = 240
"""Moments at which the bands are computed."""

STILL_RUNNING = 0.5
"""Share of samples that must still run for the exhaust temperature's band to mean anything."""

BIN = 120.0
"""Length of the bins in which burner duty is counted [s]."""

SUMMARY = ("cycle_time", "time_to_dry", "final_moisture", "energy", "burner_cycles", "high_limit_trips")
"""Outcomes whose percentiles are told."""


class Drawn(NamedTuple):
    """Samples of a scenario."""

    uncertain: tuple[Uncertain, ...]
    values: NDArray[np.float64]  # (n, len(uncertain)) [SI]
    parameters: list[Parameters]


class Band(NamedTuple):
    """Percentiles over time: rows are those of `PERCENTILES`; NaN where nothing can be said."""

    time: NDArray[np.float64]  # (m,) [s]
    values: NDArray[np.float64]  # (3, m) [SI]


class Spread(NamedTuple):
    """What the samples did.

    Bands are ``exhaust_temp_K`` of what still runs, ``moisture`` [kg/kg] which stays where a cycle
    ended, and ``burner_duty`` [1] which is zero after it.
    """

    scenario: Scenario
    drawn: Drawn
    seed: int
    rel_tolerance: float
    gaps: Gaps
    bands: Mapping[str, Band]
    outcomes: Mapping[str, NDArray[np.float64]]  # (n,) [SI] by outcome name; NaN where it does not apply
    end_reasons: Mapping[str, int]

    @property
    def n(self) -> int:
        """Number of samples."""
        return len(self.drawn.parameters)

    def percentiles(self, name: str) -> tuple[float, float, float] | None:
        """5th, 50th and 95th percentile of an outcome [SI] over the samples to which it applies."""
        values = self.outcomes[name]
        there = values[~np.isnan(values)]
        if len(there) == 0:
            return None
        low, middle, high = np.percentile(there, PERCENTILES)
        return float(low), float(middle), float(high)

    def missing(self, name: str) -> int:
        """Number of samples to which an outcome does not apply."""
        return int(np.isnan(self.outcomes[name]).sum())


def draw(scenario: Scenario, n: int, seed: int, uncertain: Sequence[Uncertain] | None = None) -> Drawn:
    """Draw parameter sets around a scenario.

    Parameters
    ----------
    scenario : Scenario
        Its values are the middle of what is drawn.
    n : int
        Samples [1], 8 to 5000; a power of two is spread most evenly.
    seed : int
        Of the scrambled Sobol points, 0 or more; the same seed, the same samples.
    uncertain : sequence of Uncertain, optional
        What is not known; by default load, room and thermostat as in ``ranges.toml``.

    Returns
    -------
    Drawn
        Values and parameters.

    Raises
    ------
    InputError
        `n` or `seed` is outside its range.
    """
    if not LEAST_SAMPLES <= n <= MOST_SAMPLES:
        raise InputError(f"is {n}, outside the allowed {LEAST_SAMPLES} to {MOST_SAMPLES}", "--samples")
    check_seed(seed)
    chosen = tuple(uncertain_of(scenario, band=True) if uncertain is None else uncertain)
    if not chosen:
        raise InputError("nothing is uncertain in this scenario", "--samples")
    shares = draw_points(sobol_sequence(len(chosen), seed), n)
    values = np.column_stack([u.ppf(shares[:, i]) for i, u in enumerate(chosen)])
    maker = maker_of(scenario, chosen)
    return Drawn(chosen, values, [maker(point) for point in values.tolist()])


def spread_summary(
    scenario: Scenario,
    n: int = 256,
    seed: int = 0,
    *,
    uncertain: Sequence[Uncertain] | None = None,
    progress: Callable[[int, int], None] | None = None,
) -> Spread:
    """Run samples of a scenario and take percentiles of what they did.

    Parameters
    ----------
    scenario, n, seed, uncertain
        As in :func:`draw`.
    progress : callable, optional
        Told how many samples are done, and of how many.

    Returns
    -------
    Spread
        Bands over time and the outcome of each sample.
    """
    drawn = draw(scenario, n, seed, uncertain)
    rows = as_rows(drawn.parameters)
    runs = recorded_runs(rows, scenario.interruptions())
    outcomes = np.empty(n, OUTCOME_ROW)
    samples: list[Recorded] = []
    for i, run in enumerate(runs):
        outcomes[i] = run.outcome
        samples.append(run)
        if progress is not None:
            progress(i + 1, n)
    found = {name: o.values(outcomes) for name in SUMMARY for o in [find_outcome(name, "")]}
    reasons = Counter(reason.value for reason in end_reasons(outcomes))
    return Spread(
        scenario,
        drawn,
        seed,
        float(drawn.parameters[0].rel_tolerance),
        gaps_of_rows(outcomes),
        bands(
            samples,
            [p.exhaust_lag for p in drawn.parameters],
            [p.exhaust_metal_share for p in drawn.parameters],
        ),
        found,
        dict(sorted(reasons.items())),
    )


def bands(
    samples: Sequence[Recorded], exhaust_lags: Sequence[float], metal_shares: Sequence[float]
) -> dict[str, Band]:
    """Percentiles over time of exhaust temperature, moisture and burner duty.

    The exhaust air's temperature follows from the recorded element, which lags behind it by a known
    time constant what it feels, a known share of it the blower housing's recorded temperature:
    ``T_felt = T_element + lag dT_element/dt``, exact at every recorded step.

    Parameters
    ----------
    samples : sequence
        Recorded runs.
    exhaust_lags : sequence of float
        Lag of each sample's element [s].
    metal_shares : sequence of float
        Share of the housing's temperature in what each sample's element feels [1].
    """
    longest = max(max(sample.cycle_time for sample in samples), 1.0)
    grid = np.linspace(0.0, longest, STEPS)
    edges = np.arange(0.0, longest + BIN, BIN)
    temp = np.full((len(samples), STEPS), np.nan)
    moisture = np.empty((len(samples), STEPS))
    duty = np.empty((len(samples), len(edges) - 1))
    for i, (sample, lag, metal) in enumerate(zip(samples, exhaust_lags, metal_shares, strict=True)):
        running = grid < sample.cycle_time
        felt = sample.element + lag * sample.element_rate
        # An element that feels nearly nothing but metal says nearly nothing about the air.
        exhaust = felt + (felt - sample.housing) * metal / (1.0 - metal) if metal < 0.95 else felt
        temp[i, running] = np.interp(grid[running], sample.time, exhaust)
        moisture[i] = np.interp(grid, sample.time, sample.moisture)
        duty[i] = shares_of_bins(sample.flame, edges)
    few = np.mean(~np.isnan(temp), axis=0) < STILL_RUNNING
    temp[:, few] = 0.0  # keeps percentiles free of all-NaN columns; blanked below
    hot = np.nanpercentile(temp, PERCENTILES, axis=0)
    hot[:, few] = np.nan
    return {
        "exhaust_temp_K": Band(grid, hot),
        "moisture": Band(grid, np.percentile(moisture, PERCENTILES, axis=0)),
        "burner_duty": Band(0.5 * (edges[1:] + edges[:-1]), np.percentile(duty, PERCENTILES, axis=0)),
    }
