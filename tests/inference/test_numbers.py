"""Numbers that evidence is held against, each got by other means from a single cycle."""

from __future__ import annotations

import math

import numpy as np
import pytest

from dryermodel.cycle.run.many import as_rows, parameters_of, simulate_many
from dryermodel.field.measurements import measurements
from dryermodel.field.observations import observations
from dryermodel.inference.bank import Bank
from dryermodel.inference.numbers import Machines, numbers_of
from dryermodel.physics.moist_air import relative_humidity
from dryermodel.readings.collar import at_collar
from dryermodel.scenario.model import load_scenario
from tests.inference.conftest import FEW

SUPPLY, MANIFOLD = 1743.6, 871.8


@pytest.fixture(scope="module")
def machines() -> Machines:
    """The family's load, sound and with a leaking joint, a dead igniter and a full vent."""
    family = load_scenario("family_load")
    faulty: tuple[dict[str, float], ...] = (
        {},
        {"vent_joint_leak": 1.0},
        {"igniter_open": 1.0},
        {"vent_blockage": 0.85},
    )
    rows = as_rows([family.with_faults(f).to_parameters() for f in faulty])
    n = np.ones(len(rows))
    return Machines(rows, simulate_many(rows), n, n, n)


@pytest.fixture(scope="module")
def numbers(machines: Machines) -> dict[str, np.ndarray[tuple[int], np.dtype[np.float64]]]:
    healthy = {name: float(v[0]) for name, v in numbers_of(machines, None, MANIFOLD, SUPPLY).items()}
    return numbers_of(machines, healthy, MANIFOLD, SUPPLY)


Numbers = dict[str, np.ndarray[tuple[int], np.dtype[np.float64]]]


def test_weights_are_cloth_and_water(machines: Machines, numbers: Numbers) -> None:
    p = parameters_of(machines.rows[0])
    wet = sum(share * moisture for share, moisture in zip(p.piece_share, p.piece_moisture, strict=True))
    assert numbers["start_moisture"][0] == pytest.approx(wet)
    assert numbers["start_weight"][0] == pytest.approx(p.dry_mass * (1.0 + wet))
    lost = numbers["start_weight"] - numbers["end_weight"]
    assert lost == pytest.approx(numbers["water_removed"], rel=1e-3, abs=1e-4)


def test_row_becomes_its_parameters_again(machines: Machines) -> None:
    p = load_scenario("family_load").to_parameters()
    assert parameters_of(machines.rows[0]) == p


def test_collar_at_rest_is_the_bench_s(machines: Machines, numbers: Numbers) -> None:
    for i, row in enumerate(machines.rows):
        told = at_collar(parameters_of(row))
        assert numbers["collar_static"][i] == told.static
        assert numbers["collar_duct_flow"][i] == numbers["hood_flow"][i] == told.duct_flow
        area = 0.25 * math.pi * parameters_of(row).vent_diameter ** 2
        assert numbers["collar_duct_velocity"][i] == pytest.approx(told.duct_flow / area)


def test_hood_misses_what_the_joint_loses(machines: Machines, numbers: Numbers) -> None:
    sound, leak = 0, 1
    assert numbers["mid_drying_hood_flow"][sound] == pytest.approx(numbers["mid_drying_flow"][sound])
    told = at_collar(parameters_of(machines.rows[leak]))
    share = numbers["mid_drying_hood_flow"][leak] / numbers["mid_drying_flow"][leak]
    assert share == pytest.approx(told.duct_flow / told.flow)
    assert share < 0.9


def test_room_is_as_humid_as_its_air(machines: Machines, numbers: Numbers) -> None:
    p = parameters_of(machines.rows[0])
    expected = relative_humidity(p.room_temp, p.room_humidity_ratio, p.pressure)
    assert numbers["room_humidity"][0] == pytest.approx(expected)


def test_glow_needs_an_igniter(numbers: Numbers) -> None:
    assert numbers["glows"].tolist() == [1.0, 1.0, 0.0, 1.0]


def test_tries_in_vain_are_those_without_a_flame(numbers: Numbers) -> None:
    assert numbers["tries_in_vain"] == pytest.approx(numbers["ignition_tries"] - numbers["burner_cycles"])


def test_share_of_the_burner_is_of_the_whole_run(numbers: Numbers) -> None:
    assert numbers["burner_share"] == pytest.approx(numbers["burner_time"] / numbers["cycle_time"])
    assert numbers["burner_share"][2] == 0.0


def test_numbers_over_healthy_are_one_or_nought_on_the_healthy_machine(numbers: Numbers) -> None:
    for name, values in numbers.items():
        if name.endswith("over healthy"):
            own = name.removesuffix(" over healthy")
            expected = 0.0 if own in ("load_temp_max", "wettest_final_moisture") else 1.0
            assert values[0] == pytest.approx(expected), name
    assert numbers["lateness"][0] == pytest.approx(0.0, abs=1e-12)
    assert numbers["combustion_air"][0] == pytest.approx(1.0)


def test_lateness_is_time_over_usual_and_what_is_left_damp(numbers: Numbers) -> None:
    """A blocked vent takes longer; a load that never dries counts as late by its water too."""
    longer = numbers["cycle_time"] / numbers["cycle_time"][0] - 1.0
    left = np.maximum(numbers["final_moisture"] - numbers["final_moisture"][0], 0.0)
    for never_dry in (2, 3):
        assert np.isnan(numbers["time_to_marked"][never_dry])
        assert numbers["lateness"][never_dry] == pytest.approx(longer[never_dry] + 5.0 * left[never_dry])


@pytest.mark.parametrize(
    ("time", "moisture", "so"),
    [(0.9, 0.3, 1.0), (1.1, 0.3, 1.0), (1.3, 0.3, 0.0), (0.9, 0.0, 0.0)],
)
def test_stops_too_soon_is_damp_and_in_time(
    machines: Machines, time: float, moisture: float, so: float
) -> None:
    one = Machines(machines.rows[:1], machines.outcomes[:1].copy(), *[np.ones(1)] * 3)
    healthy = {name: float(v[0]) for name, v in numbers_of(one, None, MANIFOLD, SUPPLY).items()}
    one.outcomes["cycle_time_s"] *= time
    one.outcomes["final_moisture"] += moisture
    assert numbers_of(one, healthy, MANIFOLD, SUPPLY)["stops_damp"][0] == so


def test_gas_pressures_of_a_sound_machine_are_the_scenario_s(numbers: Numbers) -> None:
    assert numbers["manifold_pressure"][0] == MANIFOLD
    assert numbers["supply_pressure"][0] == SUPPLY


def test_every_measurement_and_question_has_its_number(bank: Bank) -> None:
    held = bank.batch.numbers
    asked = {m.number() for m in measurements().values()} - {"dial"}
    asked |= {number for m in measurements().values() for number in m.states.values()} - {"dial"}
    asked |= {o.number for o in observations().values() if o.number}
    assert asked <= set(held)


def test_only_cycles_without_a_middle_lack_its_numbers(bank: Bank) -> None:
    """A machine that burns has its exhaust temperature, static and flow in steady drying."""
    missing = np.isnan(bank.batch.numbers["mid_drying_exhaust_air_temp"])
    assert not missing[bank.batch.which == FEW.index("healthy")].any()
    assert np.array_equal(missing, np.isnan(bank.batch.numbers["mid_drying_static"]))


@pytest.mark.parametrize(
    ("wettest", "mean", "hottest", "burned", "hot_but_damp", "wet_and_cold"),
    [
        (0.20, 0.10, 340.0, 1800.0, 1.0, 0.0),
        (0.04, 0.03, 340.0, 1800.0, 0.0, 0.0),  # dry
        (0.20, 0.10, 310.0, 1800.0, 0.0, 0.0),  # never got hot
        (0.20, 0.10, 340.0, 500.0, 0.0, 0.0),  # hardly burned
        (0.50, 0.30, 300.0, 0.0, 0.0, 1.0),
        (0.50, 0.10, 300.0, 0.0, 0.0, 0.0),  # not wet as a whole
    ],
)
def test_how_a_load_feels_at_the_end(
    machines: Machines, wettest: float, mean: float, hottest: float, burned: float, hot_but_damp: float,
    wet_and_cold: float,
) -> None:  # fmt: skip
    out = machines.outcomes.copy()
    for name, value in (
        ("wettest_final_moisture", wettest), ("final_moisture", mean), ("load_temp_max_K", hottest),
        ("burner_time_s", burned),
    ):  # fmt: skip
        out[name] = value
    told = numbers_of(machines._replace(outcomes=out), None, MANIFOLD, SUPPLY)
    assert told["hot_but_damp"][0] == hot_but_damp and told["wet_and_cold"][0] == wet_and_cold
