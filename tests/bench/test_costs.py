"""Energies become money and CO2 in one place, by the scenario's own prices."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dryermodel.bench import load as sums
from dryermodel.bench.costs import Tariff, cost, gas_co2, tariff
from dryermodel.errors import InputError
from dryermodel.scenario.model import load_scenario
from tests.cycle.cases import KWH

THERM = 1.05505585262e8  # [J] 100,000 Btu (IT)
MMBTU = 1.05505585262e9


def test_by_hand() -> None:
    """0.08 therm at 1.50 and 0.2 kWh at 0.17; 53.06 kg/MMBtu (EPA, from memory) and 0.4 kg/kWh (assumed)."""
    found = cost(0.08 * THERM, 0.2 * KWH, tariff(load_scenario("standard")))
    assert found.money == pytest.approx(0.08 * 1.50 + 0.2 * 0.17)
    assert found.co2 == pytest.approx(0.008 * 53.06 + 0.2 * 0.4)
    year = found.times(283)
    assert year.money == pytest.approx(283 * 0.154) and year.co2 == pytest.approx(283 * found.co2)


def test_same_as_the_bench_sum() -> None:
    t = tariff(load_scenario("standard"))
    use = sums.LoadEnergy(
        8e6, 1e6, t.gas_price, t.electricity_price, "USD", t.gas_co2, t.electricity_co2, False
    )
    told, found = sums.cost(use), cost(8e6, 1e6, t)
    assert told.value("cost_load") == found.money
    assert told.value("co2_year") == found.times(sums.LOADS_A_YEAR).co2
    assert sums.LOADS_A_YEAR == t.loads_per_year == 283


def test_scenario_gives_its_own_prices() -> None:
    given_ = [
        "costs.currency=EUR", "costs.gas_price=0.11 EUR/kWh", "costs.electricity_price=0.35 EUR/kWh",
        "costs.loads_per_year=150", "costs.gas_co2=0.2 kg/kWh", "costs.electricity_co2=0.05 kg/kWh",
    ]  # fmt: skip
    t = tariff(load_scenario("standard", given_))
    assert (t.currency, t.loads_per_year, t.assumed) == ("EUR", 150, ())
    found = cost(3.0 * KWH, 0.2 * KWH, t)
    assert found.money == pytest.approx(3.0 * 0.11 + 0.2 * 0.35)
    assert found.co2 == pytest.approx(3.0 * 0.2 + 0.2 * 0.05)


def test_the_default_prices_are_us_ones_and_hold_in_no_other_currency() -> None:
    t = tariff(load_scenario("standard", ["costs.currency=EUR", "costs.gas_price=0.11 EUR/kWh"]))
    assert t.gas_price is not None and t.electricity_price is None
    assert cost(KWH, KWH, t).money is None
    assert cost(KWH, 0.0, t).money == pytest.approx(0.11)
    assert "costs.electricity_price" in t.assumed


def test_co2_follows_the_gas_unless_it_is_given() -> None:
    """US EPA factors for stationary combustion, from memory: 53.06 and 62.9 kg/MMBtu."""
    assert tariff(load_scenario("propane_altitude")).gas_co2 == pytest.approx(62.9 / MMBTU)
    assert gas_co2("natural") == gas_co2("custom") == pytest.approx(53.06 / MMBTU)
    own = ["gas.kind=propane", "costs.gas_co2=0.05 kg/kWh"]
    assert tariff(load_scenario("standard", own)).gas_co2 == pytest.approx(0.05 / KWH)


@pytest.mark.parametrize(
    ("setting", "said"),
    [
        ("costs.gas_price=1.2 EUR/therm", "is in EUR, but costs.currency is 'USD'; nothing is exchanged"),
        ("costs.gas_price=1.2 psi", "is a price per energy, e.g. '1.50 USD/therm'; '1.2 psi' is a pressure"),
        ("costs.gas_price=1.2", "has no unit"),
        ("costs.gas_price=-1 USD/therm", "outside the allowed 0 money/kWh to 1000 money/kWh"),
        ("costs.gas_price=1.2 XYZ/therm", "unknown unit 'XYZ/therm'"),
        ("costs.currency=DOLLAR", "is 'DOLLAR'; choose 'USD' or"),
        ("costs.loads_per_year=0", "outside the allowed 1 to 10000"),
    ],
)
def test_bad_prices(setting: str, said: str) -> None:
    with pytest.raises(InputError) as problem:
        load_scenario("standard", [setting])
    assert said in str(problem.value)
    assert str(problem.value).startswith("--set: costs.")


def test_a_currency_s_code_is_only_a_name() -> None:
    one = load_scenario("standard", ["costs.currency=CAD", "costs.gas_price=0.60 CAD/therm"])
    other = load_scenario("standard", ["costs.currency=CAD", "costs.gas_price=0.60 money/therm"])
    assert one.value("costs.gas_price") == other.value("costs.gas_price")


@given(st.floats(0.0, 1e9), st.floats(0.0, 1e9), st.floats(0.0, 1.0), st.floats(0.0, 1.0))
def test_money_is_linear_in_both_energies(gas: float, power: float, one: float, other: float) -> None:
    t = Tariff("USD", one, other, 1e-8, 1e-7, 1, ())
    whole, half = cost(gas, power, t), cost(0.5 * gas, 0.5 * power, t)
    assert whole.money is not None and half.money is not None
    assert half.money == pytest.approx(0.5 * whole.money)
    assert half.co2 == pytest.approx(0.5 * whole.co2)
