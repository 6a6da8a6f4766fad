"""How each reading of the vocabulary is got from one cycle."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterator, Mapping
from functools import cached_property
from typing import TYPE_CHECKING

from dryermodel.cycle.engine import state as Y
from dryermodel.cycle.engine import switching
from dryermodel.cycle.engine.endings import ENDED
from dryermodel.readings import measures as M
from dryermodel.readings.rows import COLUMNS

if TYPE_CHECKING:
    from dryermodel.cycle.result import CycleResult


class _Sources:
    """What several readings are taken from, each worked out once."""

    def __init__(self, result: CycleResult) -> None:
        self.result = result

    @cached_property
    def running(self) -> dict[str, float] | None:
        return M.running_medians(self.result)

    @cached_property
    def heat(self) -> list[tuple[float, float]]:
        return M.heat_intervals(self.result)

    @cached_property
    def dry_at(self) -> float | None:
        return M.time_to_4pct(self.result)

    @cached_property
    def stretches(self) -> tuple[float | None, float | None]:
        until = M.cool_down_start(self.result) or self.result.cycle_time
        return burner_stretches(self.heat, M.first_cut_out(self.result), until)

    @cached_property
    def glow(self) -> list[tuple[float, float]]:
        return self.result.trajectory.intervals(switching.IGNITER, self.result.cycle_time)

    def when_dry(self, state: int) -> float | None:
        """An accumulated state at 4 %."""
        return None if self.dry_at is None else float(self.result.trajectory.at(self.dry_at)[state])

    def median(self, name: str) -> float | None:
        """A quantity's median over bulk drying, or over the time the motor ran."""
        return None if self.running is None else self.running[name]

    def kept(self, name: str) -> float | None:
        """What the engine kept under a name; None where it never happened."""
        value = float(getattr(self.result.outcome, name))
        return None if math.isnan(value) else value


def _gas_input(s: _Sources) -> float | None:
    p = s.result.parameters
    return None if p.heat_source else p.firing_rate


def _kept(column: str) -> Callable[[_Sources], float | None]:
    return lambda s: s.kept(column)


COMPUTED: dict[str, Callable[[_Sources], float | None]] = {
    "ended": lambda s: float(s.result.end.code in ENDED),
    "time_to_4pct": lambda s: s.dry_at,
    "burner_on_mean": lambda s: s.stretches[0],
    "burner_off_mean": lambda s: s.stretches[1],
    "first_light": lambda s: s.heat[0][0] if s.heat else None,
    "longest_glow": lambda s: max((b - a for a, b in s.glow), default=0.0),
    "gas_input": _gas_input,
    "energy": lambda s: s.result.gas_energy + s.result.electric_energy,
    "energy_per_water": lambda s: s.result.energy_per_water,
    "gas_energy_to_4pct": lambda s: s.when_dry(Y.GAS_ENERGY),
    "electric_energy_to_4pct": lambda s: s.when_dry(Y.ELECTRIC_ENERGY),
    "exhaust_flow": lambda s: s.median("exhaust_flow_m3_per_s"),
    "vent_static": lambda s: s.median("vent_static_Pa"),
    "exhaust_temp_bulk": lambda s: s.result.bulk["exhaust_temp_K"] if s.result.bulk else None,
    "exhaust_temp_max": lambda s: M.exhaust_peak(s.result),
    "combustion_air_ratio": lambda s: M.combustion_air_ratio(s.result),
    "rel_tolerance": lambda s: s.result.parameters.rel_tolerance,
}
"""What the engine does not keep: name in the vocabulary, and how it is worked out of the recording."""

TAKEN = {name: _kept(column) for name, column in COLUMNS.items()} | COMPUTED
"""Name in the vocabulary, and how it is taken; None where a cycle has no such number."""


class CycleReadings(Mapping[str, "float | None"]):
    """The readings of one cycle in SI, by their names in the vocabulary; each is taken when asked for.

    Parameters
    ----------
    result : CycleResult
        The cycle.

    Examples
    --------
    >>> from dryermodel import load_scenario, simulate
    >>> found = CycleReadings(simulate(load_scenario("standard")))
    >>> found["burner_cycles"], found["high_limit_trips"]
    (6.0, 0.0)
    """

    def __init__(self, result: CycleResult) -> None:
        self._sources = _Sources(result)
        self._taken: dict[str, float | None] = {}

    def __getitem__(self, name: str) -> float | None:
        """Return the reading of that name; KeyError if one cycle has none."""
        if name not in self._taken:
            self._taken[name] = TAKEN[name](self._sources)
        return self._taken[name]

    def __iter__(self) -> Iterator[str]:
        """Names, in the order of `TAKEN`."""
        return iter(TAKEN)

    def __len__(self) -> int:
        """Return how many there are."""
        return len(TAKEN)


def burner_stretches(
    heat: list[tuple[float, float]], cut_out_at: float | None, until: float
) -> tuple[float | None, float | None]:
    """Mean length [s] of the stretches with and without heat after the first cut-out.

    A stretch counts when it begins and ends on its own account: a burn that the cool-down ends and
    the pause before the end of the cycle do not.

    Parameters
    ----------
    heat : list of (float, float)
        Times [s] with heat, in order.
    cut_out_at : float or None
        First opening of the exhaust thermostat [s].
    until : float
        Start of the cool-down, or end of the cycle [s].

    Returns
    -------
    tuple of float or None
        On and off; None where there is no such stretch.

    Examples
    --------
    >>> burner_stretches([(30.0, 900.0), (960.0, 1000.0), (1060.0, 1080.0)], 900.0, 1200.0)
    (30.0, 60.0)
    >>> burner_stretches([(30.0, 900.0)], None, 900.0)
    (None, None)
    """
    if cut_out_at is None:
        return None, None
    on = [b - a for a, b in heat if a >= cut_out_at and b < until]
    off = [
        later[0] - earlier[1]
        for earlier, later in itertools.pairwise(heat)
        if earlier[1] >= cut_out_at - 1e-6
    ]
    return _mean(on), _mean(off)


def _mean(values: list[float]) -> float | None:
    return sum(values) / len(values) if values else None
