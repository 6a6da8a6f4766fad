"""The numbers of a comparison: of the cycle as it runs, to the same dryness, and at the machine."""

from __future__ import annotations

import string
from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import TYPE_CHECKING, NamedTuple

from dryermodel.bench.costs import cost
from dryermodel.findings.pieces import pieces_left
from dryermodel.findings.trust import ASSUMED, COMPUTED, FITTED, VALIDATED, statuses
from dryermodel.readings import measures as M
from dryermodel.readings.single import CycleReadings
from dryermodel.vocabulary import READINGS, known

if TYPE_CHECKING:
    from dryermodel.studies.comparison.cases import Case

CYCLE, DRYNESS, MACHINE = "the cycle as it runs", "to the same 4 % dryness", "at the machine"
"""Blocks of rows."""

WET = M.TEST_DRYNESS
"""Final moisture above which a load would need a second run [kg/kg]."""

BLOCKS: dict[str, tuple[str, ...]] = {
    CYCLE: (
        "cycle_time", "final_moisture", "wettest_final_moisture", "gas_energy", "electric_energy",
        "cost_load", "cost_year", "co2_load", "co2_year",
    ),
    DRYNESS: (
        "time_to_4pct", "gas_energy_to_4pct", "electric_energy_to_4pct", "cost_to_4pct_load",
        "cost_to_4pct_year", "co2_to_4pct_load", "co2_to_4pct_year",
    ),
    MACHINE: (
        "exhaust_temp_bulk", "exhaust_temp_max", "load_temp_max", "vent_static", "exhaust_flow",
        "burner_cycles", "high_limit_trips",
    ),
}  # fmt: skip
"""Readings compared, block by block."""

NAMES = tuple(name for names in BLOCKS.values() for name in names)
"""All of them, in order."""

_WEAKEST_LAST = (VALIDATED, COMPUTED, FITTED, ASSUMED)


class Figures(NamedTuple):
    """The numbers of one case."""

    values: dict[str, float | None]  # SI, or money, by the names of the vocabulary
    ended: bool  # by itself, not by the time limit
    wet: bool  # a second run would be needed
    pieces: Mapping[str, float] = MappingProxyType({})  # of unlike pieces: moisture at the end [kg/kg]
    told: str = ""  # the same in words


def figures(case: Case) -> Figures:
    """Return the numbers of one case.

    Parameters
    ----------
    case : Case
        From :func:`dryermodel.studies.comparison.cases.run_cases`.
    """
    taken = CycleReadings(case.result)
    bills = {**_bill(case, taken, ""), **_bill(case, taken, "_to_4pct")}
    values = {name: bills[name] if name in bills else taken[name] for name in NAMES}
    wet = known(taken, "final_moisture") > WET
    told = pieces_left(case.result)
    pieces = {kind.name: kind.final_moisture for kind in case.result.pieces} if told else {}
    return Figures(values, bool(taken["ended"]), wet, pieces, told)


def _bill(case: Case, taken: CycleReadings, until: str) -> dict[str, float | None]:
    """Money and CO2 of a load, and of a year's."""
    gas, electricity = taken[f"gas_energy{until}"], taken[f"electric_energy{until}"]
    load = None if gas is None or electricity is None else cost(gas, electricity, case.tariff)
    year = None if load is None else load.times(case.tariff.loads_per_year)
    bills: dict[str, float | None] = {}
    for span, bill in (("load", load), ("year", year)):
        bills[f"cost{until}_{span}"] = None if bill is None else bill.money
        bills[f"co2{until}_{span}"] = None if bill is None else bill.co2
    return bills


class Comparison(NamedTuple):
    """Cases with their numbers."""

    cases: tuple[Case, ...]
    numbers: tuple[Figures, ...]

    @property
    def currency(self) -> str | None:
        """The currency that all cases share, or None."""
        names = {case.tariff.currency for case in self.cases}
        return names.pop() if len(names) == 1 else None

    def letter(self, rank: int) -> str:
        """The letter by which a case is called."""
        return string.ascii_uppercase[rank]

    @property
    def pieces(self) -> tuple[str, ...]:
        """Names of all kinds of cloth in loads of unlike pieces, each once."""
        return tuple(dict.fromkeys(name for numbers in self.numbers for name in numbers.pieces))

    def difference(self, rank: int, name: str) -> float | None:
        """Difference of a reading to that of the first case [SI]; None where there is none.

        Nothing is exchanged: money of different currencies has no difference.
        """
        first, value = self.numbers[0].values[name], self.numbers[rank].values[name]
        if first is None or value is None or (READINGS[name].kind == "money" and self.currency is None):
            return None
        return value - first

    def status_of(self, name: str) -> str:
        """The weakest label that holds for a reading in any of the cases."""
        labels = [_label(name, case) for case in self.cases]
        return max(labels, key=_WEAKEST_LAST.index)


def comparison(cases: Sequence[Case]) -> Comparison:
    """Return the numbers of all cases.

    Parameters
    ----------
    cases : sequence of Case
        From :func:`dryermodel.studies.comparison.cases.run_cases`; the first is what the others are
        compared with.
    """
    return Comparison(tuple(cases), tuple(figures(case) for case in cases))


def _label(name: str, case: Case) -> str:
    labels = {key: status.label for key, status in statuses(case.result).items()}
    if name == "wettest_final_moisture":
        name = "moisture_at_first_cut_out"  # rests on the same
    energy = name.removesuffix("_to_4pct")  # rests on the same, wherever the clock stops
    if name in labels or energy in labels:
        return labels[name if name in labels else energy]
    what = "price" if name.startswith("cost") else "co2"
    if any(f"costs.{source}_{what}" in case.tariff.assumed for source in ("gas", "electricity")):
        return ASSUMED
    return labels["gas_energy"]
