"""What gas and electricity cost, in money and in CO2, by the scenario's own prices.

The one place where energies become money: the bench sum, the comparison and the repairs all use it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from dryermodel.physics import bench
from dryermodel.scenario.defaults import defaults

if TYPE_CHECKING:
    from dryermodel.scenario.model import Scenario

_PRICES = ("costs.gas_price", "costs.electricity_price")
_KEYS = (*_PRICES, "costs.loads_per_year", "costs.gas_co2", "costs.electricity_co2")


class Tariff(NamedTuple):
    """Prices and CO2 factors; a price of None is not known."""

    currency: str
    gas_price: float | None  # [money/J] per gross energy
    electricity_price: float | None  # [money/J]
    gas_co2: float  # [kg/J] per gross heat
    electricity_co2: float  # [kg/J]
    loads_per_year: int
    assumed: tuple[str, ...]  # keys that stand at their default


class Cost(NamedTuple):
    """Of one load, or of a year; money of None is not known."""

    money: float | None
    co2: float  # [kg]

    def times(self, count: float) -> Cost:
        """Return the cost of so many loads.

        >>> Cost(0.25, 1.5).times(4)
        Cost(money=1.0, co2=6.0)
        """
        return Cost(None if self.money is None else self.money * count, self.co2 * count)


def default_loads_per_year() -> int:
    """Return the loads a year where nothing else is said.

    >>> default_loads_per_year()
    283
    """
    return int(defaults()["costs.loads_per_year"].value)


def default_electricity_co2() -> str:
    """Return the CO2 of electricity where nothing else is said, as written.

    >>> default_electricity_co2()
    '0.4 kg/kWh'
    """
    return str(defaults()["costs.electricity_co2"].value)


def tariff(scenario: Scenario) -> Tariff:
    """Return the prices and CO2 factors of a scenario.

    The default prices are US ones: with another currency a price that is not given is not known.

    Parameters
    ----------
    scenario : Scenario
        Its section ``costs``.

    >>> from dryermodel.scenario.model import load_scenario
    >>> t = tariff(load_scenario("standard"))
    >>> round(t.gas_price * 1.05505585e8, 6), round(t.electricity_price * 3.6e6, 6), t.currency
    (1.5, 0.17, 'USD')
    """
    currency = str(scenario.value("costs.currency"))
    assumed = tuple(key for key in _KEYS if scenario.given[key].rank == 0)
    foreign = currency != defaults()["costs.currency"].value
    gas_price, electricity_price = (
        None if foreign and key in assumed else float(scenario.value(key)) for key in _PRICES
    )
    given_co2 = scenario.value("costs.gas_co2")
    return Tariff(
        currency,
        gas_price,
        electricity_price,
        gas_co2(str(scenario.value("gas.kind"))) if given_co2 is None else float(given_co2),
        float(scenario.value("costs.electricity_co2")),
        int(scenario.value("costs.loads_per_year")),
        assumed,
    )


def gas_co2(kind: str) -> float:
    """Return the CO2 per gross heat of a kind of gas [kg/J]: US EPA factors, from memory.

    Parameters
    ----------
    kind : str
        ``natural``, ``propane`` or ``custom``; a custom gas counts as natural gas.

    >>> round(gas_co2("propane") / gas_co2("natural"), 3)
    1.185
    """
    return bench.CO2_PROPANE if kind == "propane" else bench.CO2_NATURAL_GAS


def cost(gas: float, electricity: float, prices: Tariff) -> Cost:
    """Return what energies cost.

    Parameters
    ----------
    gas, electricity : float
        Energies [J], gas at gross heating value.
    prices : Tariff
        Prices and CO2 factors.

    Returns
    -------
    Cost
        Sum of energy times price, and of energy times CO2 factor. Money is None when an energy that
        is used has no price.

    >>> t = Tariff("USD", 1.5 / 1.05505585262e8, 0.17 / 3.6e6, 0.0, 0.0, 1, ())
    >>> round(cost(8.4404468e6, 0.72e6, t).money, 6)
    0.154
    """
    parts = ((gas, prices.gas_price), (electricity, prices.electricity_price))
    co2 = gas * prices.gas_co2 + electricity * prices.electricity_co2
    if any(energy != 0.0 and price is None for energy, price in parts):
        return Cost(None, co2)
    return Cost(sum(energy * price for energy, price in parts if price is not None), co2)
