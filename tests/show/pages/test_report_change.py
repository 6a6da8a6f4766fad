"""Before and after: differences machine by machine, money by the tariff, and the verdict on a reading."""

from __future__ import annotations

import math

import numpy as np
import pytest

from dryermodel.bench.costs import tariff
from dryermodel.field.evidence import Measured, read_measured
from dryermodel.inference.diagnosis import Interval
from dryermodel.inference.gains import Mending
from dryermodel.scenario.model import Scenario, load_scenario
from dryermodel.show.pages.report import change
from dryermodel.show.pages.report.picture import change_picture

MACHINES = 40
SHIFT = np.linspace(-1.0, 1.0, MACHINES)
KWH, THERM = 3.6e6, 1.05505585262e8


def numbers(minutes: float, gas: float, electric: float, static: float) -> dict[str, np.ndarray]:
    """Machines whose load scatters by half an hour either way, whatever was mended."""
    return {
        "cycle_time": 60.0 * (minutes + 30.0 * SHIFT),
        "gas_energy": KWH * (gas + SHIFT),
        "electric_energy": KWH * (electric + 0.1 * SHIFT),
        "final_moisture": 0.02 + 0.01 * SHIFT,
        "mid_drying_static": static + 5.0 * SHIFT,
    }


def mending() -> Mending:
    """Twenty minutes, a kWh of gas and a fifth of one of electricity less, on every machine."""
    before, after = numbers(70.0, 4.0, 0.5, 250.0), numbers(50.0, 3.0, 0.3, 125.0)
    return Mending(("vent_blockage",), True, 100.0, before, after)


@pytest.fixture(scope="module")
def scenario() -> Scenario:
    return load_scenario("standard")


def test_what_the_load_does_to_both_sides_is_no_uncertainty_of_the_saving(scenario: Scenario) -> None:
    time, gas, electricity, _ = change.savings(mending(), scenario)
    assert time.load == "20 (20 to 20) min"
    assert electricity.load == "0.2 (0.2 to 0.2) kWh"
    assert gas.load == "3410 (3410 to 3410) Btu"  # a kWh is 3412 Btu


def test_a_year_is_the_load_times_the_loads_and_money_is_energy_times_price(scenario: Scenario) -> None:
    prices = tariff(scenario)
    load = 1.5 * KWH / THERM + 0.17 * 0.2
    money = change.yearly_money(mending(), scenario)
    assert money is not None and money.middle == pytest.approx(load * prices.loads_per_year)
    time, _, electricity, told = change.savings(mending(), scenario)
    assert told.load.split()[0] == f"{load:.2f}" and told.load.endswith(prices.currency)
    assert time.year.split()[0] == f"{20.0 * prices.loads_per_year / 60.0:.0f}"
    assert electricity.year.split()[0] == f"{0.2 * prices.loads_per_year:.2g}"


def test_without_a_price_there_is_no_money() -> None:
    foreign = load_scenario("standard", ["costs.currency=EUR"])
    assert change.yearly_money(mending(), foreign) is None
    assert [line.name for line in change.savings(mending(), foreign)] == ["time", "gas", "electricity"]
    assert change.in_words(mending(), foreign, True) == (
        "By the model, which is not validated here, a load takes 20 minutes less (20 to 20)."
    )
    assert "EUR" not in change.tariff_words(foreign)


def test_whose_prices_they_are_is_told() -> None:
    assert "Assumed" in change.tariff_words(load_scenario("standard"))
    own = load_scenario(
        "standard",
        ["costs.gas_price=2 USD/therm", "costs.electricity_price=0.3 USD/kWh", "costs.loads_per_year=100"],
    )
    told = change.tariff_words(own)
    assert (
        "Assumed" not in told and told == "By gas 2.00 USD/therm, electricity 0.30 USD/kWh, 100 loads a year."
    )


def static(value: str) -> Measured:
    return read_measured(f"vent static={value}")


@pytest.mark.parametrize(
    ("after", "verdict"),
    [
        ("125 Pa", "as expected"),
        ("250 Pa", "higher than expected"),
        ("20 Pa", "lower than expected"),
    ],
)
def test_a_reading_afterwards_is_held_against_the_mended_machines(after: str, verdict: str) -> None:
    found = change.rows([static("250 Pa")], [static(after)], mending(), "technician")
    (row,) = [row for row in found if row.name == "vent static"]
    assert row.verdict == verdict
    assert row.measured_before.startswith("1 ") and row.modelled_before.startswith("1 ")


def test_the_edge_of_what_is_expected_is_two_errors_of_reading_model_and_machines() -> None:
    one = static("125 Pa")
    machines = mending().after["mid_drying_static"]
    error = math.hypot(float(np.std(machines)), one.accuracy)
    model = math.hypot(one.measurement.model, one.measurement.model_relative * 125.0)
    edge = 125.0 + change.APART * math.hypot(error, model)
    for value, verdict in ((edge - 0.01, "as expected"), (edge + 0.01, "higher than expected")):
        found = change.rows([], [one._replace(value=value)], mending(), "technician")
        assert found[-1].verdict == verdict


def test_room_readings_are_no_rows_and_every_other_reading_afterwards_is() -> None:
    after = [static("125 Pa"), read_measured("room temperature=70 degF"), read_measured("cycle time=51 min")]
    names = [row.name for row in change.rows([], after, mending(), "technician")]
    assert names == ["cycle time", "gas used", "electricity used", "final moisture", "vent static"]
    assert [row.name for row in change.rows([], after, None, "technician")] == ["cycle time", "vent static"]


def test_machines_without_a_number_give_no_text_and_no_verdict() -> None:
    none = {name: np.full(MACHINES, np.nan) for name in mending().before}
    found = change.rows([], [static("125 Pa")], mending()._replace(after=none), "technician")
    assert found[-1].modelled_after == "" and found[-1].verdict == "" and found[-1].measured_after


def test_a_saving_that_is_none_is_not_told_as_one() -> None:
    assert change.between(Interval(-7200.0, -60.0, 60.0), "min") == "-1 (-120 to 1) min"
    swapped = mending()._replace(before=mending().after, after=mending().before)
    assert "20 minutes more (20 to 20)" in change.in_words(swapped, load_scenario("standard"), True)


def test_the_picture_marks_what_was_measured() -> None:
    time = {"cycle_time": read_measured("cycle time=70 min")}
    bare, marked = (change_picture(mending(), before, {}, True) for before in ({}, time))
    assert bare.startswith("<svg") and bare.rstrip().endswith("</svg>") and "metadata" not in bare
    assert marked.count("<use") == bare.count("<use") + 1
    assert change_picture(mending(), {}, {}, False) != bare


def test_a_machine_without_gas_has_no_row_of_nought_for_it(scenario: Scenario) -> None:
    gas = mending()
    none = np.zeros(MACHINES)
    electric = gas._replace(
        before={**gas.before, "gas_energy": none}, after={**gas.after, "gas_energy": none}
    )
    for mended, there in ((gas, True), (electric, False)):
        assert any(line.name == "gas" for line in change.savings(mended, scenario)) == there
        assert any("gas" in row.name for row in change.rows([], [], mended, "technician")) == there


def test_a_smaller_load_is_no_saving_of_the_laundry(scenario: Scenario) -> None:
    over = mending()._replace(faults=("overload",), together=False)
    assert change.SMALLER in change.in_words(over, scenario, False)
    assert change.SMALLER not in change.in_words(mending(), scenario, False)
