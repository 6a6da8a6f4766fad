"""The default ranges: complete, around the scenario's own values, and within what is admissible."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from dryermodel.cycle.engine.parameters import Parameters
from dryermodel.scenario.defaults import STATUSES
from dryermodel.scenario.files import shipped_scenarios
from dryermodel.scenario.model import load_scenario
from dryermodel.scenario.schema import keys, rule_of
from dryermodel.studies.uncertainty.uncertain import (
    SHAPES,
    Uncertain,
    maker_of,
    ranges,
    uncertain_from,
    uncertain_of,
)

U = np.linspace(0.0, 1.0, 2001)[1:-1]


@pytest.mark.parametrize("entry", ranges().values(), ids=lambda e: e.key)
def test_entries_are_whole(entry: object) -> None:
    from dryermodel.studies.uncertainty.uncertain import Range

    assert isinstance(entry, Range)
    assert entry.key in keys() and rule_of(entry.key) is not None
    assert entry.shape in SHAPES and entry.status in STATUSES
    assert len(entry.offset or entry.factor) == 2 and not (entry.offset and entry.factor)
    assert entry.about and entry.source
    assert 0 < len(entry.words) <= 40
    assert set(entry.moves_with) <= set(keys())


@pytest.mark.parametrize("name", shipped_scenarios())
@pytest.mark.parametrize("band", [False, True])
def test_ranges_lie_around_the_scenario_s_values(name: str, band: bool) -> None:
    scenario = load_scenario(name)
    found = uncertain_of(scenario, band=band)
    for u in found:
        rule = rule_of(u.key)
        assert rule is not None
        low, high = rule.bounds()
        assert low <= u.low <= scenario.value(u.key) <= u.high <= high
        assert u.low < u.high
    maker_of(scenario, found)  # no end contradicts another


def test_bands_are_about_load_room_and_thermostat() -> None:
    found = {u.key for u in uncertain_of(load_scenario("standard"), band=True)}
    assert {"load.dry_mass", "load.initial_moisture", "machine.exhaust_cut_out", "room.temperature"} <= found
    assert {key.split(".")[0] for key in found} == {"load", "machine", "room"}


def test_heat_source_decides_which_input_is_uncertain() -> None:
    gas, electric = ({u.key for u in uncertain_of(load_scenario(n))} for n in ("standard", "electric"))
    assert "burner.firing_rate" in gas and "burner.heater_power" not in gas
    assert "burner.heater_power" in electric and "burner.firing_rate" not in electric


def test_thermostat_tolerance_is_five_degrees_fahrenheit_and_keeps_the_differential() -> None:
    # Technical sheets give 155 +- 5 degF (common practice).
    scenario = load_scenario("standard")
    u = next(u for u in uncertain_of(scenario) if u.key == "machine.exhaust_cut_out")
    assert u.text() == "150 to 160 degF"
    base: Parameters = scenario.to_parameters()
    low = maker_of(scenario, [u])([u.low])
    assert base.cut_out - low.cut_out == pytest.approx(5.0 / 1.8)
    assert low.cut_out - low.cut_in == pytest.approx(base.cut_out - base.cut_in)


def test_a_range_is_cut_off_where_the_admissible_one_ends() -> None:
    scenario = load_scenario("standard", ["room.relative_humidity=95 %", "air.gasket_leak=1 cm2"])
    found = {u.key: u for u in uncertain_of(scenario)}
    assert found["room.relative_humidity"].high == 1.0
    assert found["air.gasket_leak"].low == 0.0


def test_what_is_nothing_cannot_be_uncertain_by_a_factor() -> None:
    found = {u.key for u in uncertain_of(load_scenario("standard", ["air.fan_speed=0 %"]))}
    assert "air.fan_speed" not in found


def of(shape: str, low: float, mode: float, high: float) -> Uncertain:
    return Uncertain("vent.length", shape, low, mode, high, (), "", "", "assumed")


def test_shapes_against_scipy() -> None:
    # scipy.stats as the reference for the inverse distribution functions.
    tri = stats.triang(c=0.25, loc=2.0, scale=4.0)
    assert of("triangular", 2.0, 3.0, 6.0).ppf(U) == pytest.approx(tri.ppf(U), rel=1e-12)
    cut = stats.truncnorm(-2.0, 2.0, loc=5.0, scale=0.5)
    assert of("normal", 4.0, 5.0, 6.0).ppf(U) == pytest.approx(cut.ppf(U), rel=1e-9)
    log = stats.loguniform(2.0, 8.0)
    assert of("log-uniform", 2.0, 4.0, 8.0).ppf(U) == pytest.approx(log.ppf(U), rel=1e-12)
    assert of("uniform", 2.0, 4.0, 8.0).ppf(U) == pytest.approx(2.0 + 6.0 * U)


@given(
    st.sampled_from(["uniform", "triangular", "normal", "log-uniform"]),
    st.floats(0.1, 10.0),
    st.floats(0.0, 10.0),
    st.floats(0.001, 10.0),
)
@settings(max_examples=80, derandomize=True, deadline=None)
def test_inverse_is_monotone_and_stays_within_the_range(
    shape: str, low: float, below: float, above: float
) -> None:
    u = of(shape, low, low + below, low + below + above)
    values = u.ppf(np.linspace(0.0, 1.0, 101))
    assert np.all(np.diff(values) >= -1e-12)
    assert values[0] == pytest.approx(u.low) and values[-1] == pytest.approx(u.high)
    assert np.all((values >= u.low) & (values <= u.high))


def test_what_a_person_writes_is_equally_likely_all_over() -> None:
    u = uncertain_from(["vent.length=60 ft:5 ft", "vent.resistance_factor=1:9:log"])
    assert u[0].low < u[0].high and u[0].shape == "uniform"
    assert u[1].shape == "log-uniform"
    assert float(u[1].ppf(0.5)) == pytest.approx(3.0)
    assert u[0].status == "given"


def test_plate_does_not_vary_where_an_orifice_sets_the_input() -> None:
    plate, orifice = load_scenario("standard"), load_scenario("standard", ["burner.orifice=drill 42"])
    assert "burner.firing_rate" in {u.key for u in uncertain_of(plate)}
    found = uncertain_of(orifice)
    assert "burner.firing_rate" not in {u.key for u in found}
    maker_of(orifice, found)  # does not refuse its own ranges
