"""One JSON contract: the same envelope for every command, finite numbers, units in the keys."""

from __future__ import annotations

import json
import math
from collections.abc import Iterator
from functools import cache
from typing import Any

import pytest

from dryermodel.bench.gas import MeterReading, gas_clock
from dryermodel.field.evidence import gather
from dryermodel.inference.calibration import calibrate
from dryermodel.readings.gaps import gaps_of, gaps_of_rows
from dryermodel.scenario.model import load_scenario
from dryermodel.scenario.run import simulate
from dryermodel.show.data import (
    bench,
    calibration,
    comparison,
    cycle,
    faults,
    repairs,
    sensitivity,
    spread,
    sweep,
)
from dryermodel.show.data.envelope import envelope
from dryermodel.studies.comparison import cases
from dryermodel.studies.comparison.figures import comparison as compared
from dryermodel.studies.fault_table import report, run_faults
from dryermodel.studies.repairs import plan_repairs
from dryermodel.studies.sweep.frame import sweep_frame, tally
from dryermodel.studies.sweep.plan import plan_sweep
from dryermodel.studies.uncertainty.sensitivity import plan_study
from dryermodel.studies.uncertainty.sensitivity import sensitivity as study
from dryermodel.studies.uncertainty.spread import spread_summary
from tests.plain import plain_scenario

ENVELOPE = (
    "version",
    "scenario_hash",
    "title",
    "seed",
    "rel_tolerance",
    "balance_water",
    "balance_energy",
    "status",
)
DRAWN = {"calibration": 2, "spread": 3, "sensitivity": 5, "sweep": 7}


@cache
def told(command: str) -> dict[str, Any]:
    scenario = plain_scenario()
    if command == "cycle":
        return cycle.summary_json(simulate(scenario), "1.2.3")
    if command == "faults":
        return faults.as_data(report(run_faults(scenario, only=["thermostat_stuck_open"])), "1.2.3")
    if command == "comparison":
        return comparison.as_data(
            compared(cases.run_cases(cases.plan_comparison(["standard"], ["thermostat_stuck_open"]))), "1.2.3"
        )
    if command == "repairs":
        return repairs.as_data(plan_repairs(plain_scenario(faults=["weak_burner=80 %"])), "1.2.3")
    if command == "calibration":
        known, key = gather(["gas input=21500 Btu/h", "time to flame=20 s"], []), "burner.firing_rate"
        return calibration.as_data(calibrate(scenario, known, keys=[key], seed=2, starts=1), "1.2.3")
    if command == "spread":
        return spread.as_data(spread_summary(scenario, 8, seed=DRAWN["spread"]), "1.2.3")
    if command == "sweep":
        planned = plan_sweep(scenario, ["load.dry_mass=3:12 lb"], sobol=4, seed=DRAWN["sweep"])
        rows = sweep_frame(planned)
        return sweep.as_data(planned, tally([rows]), "1.2.3", rows)
    ranges = plan_study(scenario, ["vent.length=10 ft:20 ft"])
    return sensitivity.as_data(study(scenario, ranges, n=64, seed=DRAWN["sensitivity"]), "1.2.3")


COMMANDS = ["cycle", "faults", "comparison", "repairs", "calibration", "spread", "sensitivity", "sweep"]


def leaves(data: Any) -> Iterator[Any]:
    if isinstance(data, dict):
        for value in data.values():
            yield from leaves(value)
    elif isinstance(data, list | tuple):
        for value in data:
            yield from leaves(value)
    else:
        yield data


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_tells_the_same_of_itself(command: str) -> None:
    data = told(command)
    assert tuple(data)[: len(ENVELOPE)] == ENVELOPE, "the same keys in the same places"
    assert data["version"] == "1.2.3" and len(data["scenario_hash"]) == 64 and data["title"]
    assert data["seed"] == DRAWN.get(command)
    assert 0.0 < data["rel_tolerance"] <= 1e-3
    assert abs(data["balance_water"]) < 1e-6 and abs(data["balance_energy"]) < 1e-6
    assert data["status"]


def test_a_bench_sum_tells_the_same_with_null_for_what_it_has_not() -> None:
    done = gas_clock(MeterReading(0.03, 180.0, 2, 3.8e7))
    data = bench.as_json(done, "1.2.3")
    assert tuple(data)[: len(ENVELOPE)] == ENVELOPE
    assert {key: data[key] for key in ENVELOPE if data[key] is not None} == {
        "version": "1.2.3",
        "title": done.title,
        "status": "computed",
    }
    assert {"sum", "rows", "results", "rules", "cautions"} <= set(data)


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_prints_valid_json_and_the_same_twice(command: str) -> None:
    text = json.dumps(told(command), allow_nan=False)
    assert text.isascii()
    assert all(not isinstance(leaf, float) or math.isfinite(leaf) for leaf in leaves(told(command)))
    assert json.loads(text) == json.loads(json.dumps(told(command)))


def test_the_widest_gap_is_told_with_its_sign() -> None:
    from dryermodel.cycle.run.many import as_rows, in_order, run_block

    results = [simulate(load_scenario(name)) for name in ("standard", "long_vent")]
    widest = gaps_of(results)
    assert abs(widest.water) == max(abs(r.balance_water) for r in results)
    assert abs(widest.energy) == max(abs(r.balance_energy) for r in results)
    # One after another: the gaps are of the size of rounding, which differs abreast.
    rows = gaps_of_rows(run_block(as_rows(r.parameters for r in results), *in_order(()), abreast=False))
    assert rows.water == pytest.approx(widest.water, rel=1e-3, abs=1e-15)
    kept = envelope(
        "0", scenario_hash="", title="", rel_tolerance=1e-5, gaps=widest, status="assumed", seed=None
    )
    assert (kept["balance_water"], kept["balance_energy"]) == (
        pytest.approx(widest.water, rel=1e-8),
        pytest.approx(widest.energy, rel=1e-8),
    )


def test_percentiles_are_numbers_with_their_unit_in_the_key() -> None:
    found = told("spread")["percentiles"]
    assert {"cycle_time_min", "time_to_marked_min", "energy_kWh", "final_moisture"} <= set(found)
    for part in found.values():
        assert part["p5"] <= part["p50"] <= part["p95"] and part["missing"] == 0
    shown = {row["outcome"]: row for row in told("spread")["outcomes"]}
    assert float(shown["cycle time"]["median"]) == pytest.approx(found["cycle_time_min"]["p50"], rel=1e-3)


def test_a_load_of_pieces_is_told_piece_by_piece() -> None:
    """Fractions, null where it never happened; the gaps of the late cycle beside them."""
    result = simulate(load_scenario("family_load"))
    told = json.loads(json.dumps(cycle.summary_json(result, "0")))
    assert [piece["name"] for piece in told["pieces"]] == ["shirts", "mixed cloth", "jeans"]
    whole = sum(piece["share"] * piece["moisture_at_first_cut_out"] for piece in told["pieces"])
    assert told["moisture_at_first_cut_out"] == pytest.approx(whole, rel=1e-6)
    left = sum(piece["share"] * piece["final_moisture"] for piece in told["pieces"])
    assert left == pytest.approx(result.final_moisture, rel=1e-6)
    assert 48.0 < told["heat_off_late_s"] < 120.0
    assert told["first_cut_out_min"] * 60.0 == pytest.approx(result.first_cut_out, abs=1e-3)
    stuck = simulate(load_scenario("family_load", ["controls.time_limit=10 min"]))
    told = json.loads(json.dumps(cycle.summary_json(stuck, "0")))
    assert told["heat_off_late_s"] is None and told["moisture_at_first_cut_out"] is None
    assert told["pieces"][0]["moisture_at_first_cut_out"] is None
