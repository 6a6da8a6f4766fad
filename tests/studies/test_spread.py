"""Samples of what is not known: bands over time and outcomes, against single runs."""

from __future__ import annotations

import time

import numpy as np
import pytest

from dryermodel.cycle.run.simulate import run_cycle
from dryermodel.errors import InputError
from dryermodel.scenario.model import Scenario, load_scenario
from dryermodel.studies.uncertainty.spread import SUMMARY, Spread, draw, spread_summary
from dryermodel.studies.uncertainty.uncertain import Uncertain


@pytest.fixture(scope="module")
def standard() -> Scenario:
    return load_scenario("standard")


@pytest.fixture(scope="module")
def spread(standard: Scenario) -> Spread:
    return spread_summary(standard, 200, seed=0)


def test_draw_moves_what_is_unknown_and_nothing_else(standard: Scenario) -> None:
    drawn = draw(standard, 64, seed=2)
    base = standard.to_parameters()
    moved = {
        name for p in drawn.parameters for name, a, b in zip(base._fields, p, base, strict=True) if a != b
    }
    assert {"dry_mass", "piece_moisture", "cut_out", "cut_in", "room_temp", "room_humidity_ratio"} <= moved
    assert not moved & {"vent_length", "firing_rate", "transfer_base", "fan_speed", "gasket_area"}


def test_seed(standard: Scenario) -> None:
    first, again, other = (draw(standard, 16, seed).values for seed in (1, 1, 2))
    assert np.array_equal(first, again)
    assert not np.array_equal(first, other)


def test_outcomes_are_those_of_single_runs(spread: Spread) -> None:
    for i in (0, 57, 199):
        single = run_cycle(spread.drawn.parameters[i])
        assert spread.outcomes["cycle_time"][i] == pytest.approx(single.cycle_time, rel=1e-9)
        assert spread.outcomes["final_moisture"][i] == pytest.approx(single.final_moisture, rel=1e-7)
        assert spread.outcomes["energy"][i] == pytest.approx(
            single.gas_energy + single.electric_energy, rel=1e-9
        )


def test_bands_are_percentiles_of_single_runs(standard: Scenario) -> None:
    found = spread_summary(standard, 16, seed=5)
    at = 60
    band = found.bands["moisture"]
    singles = [run_cycle(p).sample([band.time[at]])["moisture"][0] for p in found.drawn.parameters]
    # Straight lines between recorded steps of up to 120 s, against the run's own cubics.
    assert band.values[:, at] == pytest.approx(np.percentile(singles, [5, 50, 95]), abs=2e-3)
    warm = found.bands["exhaust_temp_K"]
    temps = [run_cycle(p).sample([warm.time[at]])["exhaust_temp_K"][0] for p in found.drawn.parameters]
    assert warm.values[:, at] == pytest.approx(np.percentile(temps, [5, 50, 95]), abs=0.3)


def test_exhaust_temperature_from_the_element_is_that_of_the_air(standard: Scenario) -> None:
    """One uncertain value of no width to speak of: the band is a single cycle."""
    mass = standard.value("load.dry_mass")
    thin = Uncertain("load.dry_mass", "uniform", mass, mass, mass * (1 + 1e-9), (), "", "", "assumed")
    found = spread_summary(standard, 8, seed=0, uncertain=[thin])
    band = found.bands["exhaust_temp_K"]
    single = run_cycle(found.drawn.parameters[0])
    wet = (band.time > 120.0) & (band.time < 900.0)  # bulk drying: no switching in it
    expected = single.sample(band.time[wet])["exhaust_temp_K"]
    assert band.values[1, wet] == pytest.approx(expected, abs=0.2)
    assert band.values[0, wet] == pytest.approx(band.values[2, wet], abs=1e-3)


def test_duty_adds_up_to_the_burner_time(standard: Scenario) -> None:
    mass = standard.value("load.dry_mass")
    thin = Uncertain("load.dry_mass", "uniform", mass, mass, mass * (1 + 1e-9), (), "", "", "assumed")
    found = spread_summary(standard, 8, seed=0, uncertain=[thin])
    duty = found.bands["burner_duty"]
    bin_length = duty.time[1] - duty.time[0]
    single = run_cycle(found.drawn.parameters[0])
    assert duty.values[1].sum() * bin_length == pytest.approx(single.burner_time, rel=1e-6)


def test_bands_are_in_order_and_sane(spread: Spread) -> None:
    for band in spread.bands.values():
        low, middle, high = band.values
        known = ~np.isnan(low)
        assert np.all(low[known] <= middle[known]) and np.all(middle[known] <= high[known])
    moisture = spread.bands["moisture"].values
    assert moisture[1, 0] == pytest.approx(0.575, abs=0.01)
    assert np.all(moisture >= 0.0)
    duty = spread.bands["burner_duty"].values
    assert np.all((duty >= 0.0) & (duty <= 1.0 + 1e-12))
    assert np.isnan(spread.bands["exhaust_temp_K"].values[1, -1])  # nearly all have ended
    assert duty[2, -1] <= 1.0


def test_percentiles(spread: Spread) -> None:
    for name in SUMMARY:
        found = spread.percentiles(name)
        assert found is not None
        assert found[0] <= found[1] <= found[2]
    low, middle, high = spread.percentiles("cycle_time") or (0.0, 0.0, 0.0)
    values = spread.outcomes["cycle_time"]
    assert np.mean(values < low) == pytest.approx(0.05, abs=0.01)
    assert np.mean(values > high) == pytest.approx(0.05, abs=0.01)
    assert low < run_cycle(spread.scenario.to_parameters()).cycle_time < high
    assert middle == pytest.approx(np.median(values))
    assert sum(spread.end_reasons.values()) == spread.n == 200


def test_what_is_never_reached_is_counted() -> None:
    short = load_scenario("standard", ["controls.time_limit=21 min"])
    found = spread_summary(short, 32, seed=0)
    assert 0 < found.missing("time_to_dry") < 32
    none = spread_summary(load_scenario("standard", ["controls.time_limit=5 min"]), 8, seed=0)
    assert none.percentiles("time_to_dry") is None
    assert none.missing("time_to_dry") == 8


def test_interruptions_are_part_of_every_sample() -> None:
    scenario = load_scenario("standard", ["controls.interruptions=5 min power cut"])
    found = spread_summary(scenario, 8, seed=0)
    assert set(found.end_reasons) == {"stopped: the motor lost its supply and does not restart by itself"}
    assert np.all(found.outcomes["cycle_time"] == 300.0)


def test_electric_machine_has_duty_too() -> None:
    found = spread_summary(load_scenario("electric"), 8, seed=0)
    assert found.bands["burner_duty"].values[1, 3] == 1.0


def test_a_longer_run_than_the_tape_is_recorded_whole(
    standard: Scenario, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("dryermodel.studies.uncertainty.recorded.LONG", 20)
    found = spread_summary(standard, 8, seed=0)
    monkeypatch.undo()
    usual = spread_summary(standard, 8, seed=0)
    for name, band in usual.bands.items():
        assert np.array_equal(found.bands[name].values, band.values, equal_nan=True)


def test_two_hundred_samples_take_less_than_ten_seconds(standard: Scenario, spread: Spread) -> None:
    began = time.perf_counter()  # the engine is compiled by now
    spread_summary(standard, 200, seed=1)
    assert time.perf_counter() - began < 10.0


@pytest.mark.parametrize(
    ("n", "seed", "told"), [(7, 0, "--samples: is 7"), (10**6, 0, "5000"), (8, -1, "--seed")]
)
def test_bad_input(standard: Scenario, n: int, seed: int, told: str) -> None:
    with pytest.raises(InputError, match=told):
        draw(standard, n, seed)


def test_nothing_uncertain(standard: Scenario) -> None:
    with pytest.raises(InputError, match="nothing is uncertain"):
        draw(standard, 8, 0, uncertain=[])
