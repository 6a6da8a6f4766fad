"""Sweeps: rows equal single cycles, files survive a kill, and the same sweep has the same bytes."""

from __future__ import annotations

import csv
import io
import json
from importlib import import_module
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from dryermodel.cycle.reasons import EndReason
from dryermodel.cycle.run.simulate import run_cycle
from dryermodel.errors import InputError
from dryermodel.scenario.model import load_scenario
from dryermodel.studies.sweep.files import about_path, check_output, read_table, sweep_to_file
from dryermodel.studies.sweep.frame import csv_text, record_type, sweep_frame, sweep_records
from dryermodel.studies.sweep.outcomes import OUTCOMES, find_outcome, outcome_names
from dryermodel.studies.sweep.part_file import PartFile, part_path
from dryermodel.studies.sweep.plan import Sweep, plan_sweep
from dryermodel.studies.sweep.size import Estimate, estimate, in_words

KWH = 3.6e6  # J, exact


def planned(
    *vary: str, name: str = "standard", si: bool = False, sobol: int | None = None, seed: int | None = None
) -> Sweep:
    return plan_sweep(load_scenario(name), vary, si=si, sobol=sobol, seed=seed)


def computed(sweep: Sweep) -> pd.DataFrame:
    return sweep_frame(sweep)


def test_grid_equals_single_cycles() -> None:
    sweep = planned("vent.length=5 ft:60 ft:3", "load.dry_mass=3:12 lb:2")
    rows = computed(sweep)
    assert rows["vent_length_ft"].tolist() == [5, 5, 32.5, 32.5, 60, 60]
    assert rows["load_dry_mass_lb"].tolist() == [3, 12] * 3
    for i in range(6):
        feet, pounds = rows["vent_length_ft"][i], rows["load_dry_mass_lb"][i]
        p = load_scenario(
            "standard", [f"vent.length={feet} ft", f"load.dry_mass={pounds} lb"]
        ).to_parameters()
        same = run_cycle(p)
        # Same equations, same tolerance, compiled: rounding only (10 digits are written).
        assert rows["cycle_time_min"][i] == pytest.approx(same.cycle_time / 60.0, rel=1e-8)
        assert rows["gas_kWh"][i] == pytest.approx(same.gas_energy / KWH, rel=1e-8)
        assert rows["energy_kWh"][i] == pytest.approx(
            (same.gas_energy + same.electric_energy) / KWH, rel=1e-8
        )
        assert rows["final_moisture_percent"][i] == pytest.approx(100 * same.final_moisture, rel=1e-7)
        assert same.time_to_marked is not None
        assert rows["time_to_4pct_min"][i] == pytest.approx(same.time_to_marked / 60.0, rel=1e-8)
        assert rows["high_limit_trips"][i] == same.high_limit_trips
        assert rows["end_reason"][i] == same.end.value


def test_a_sweep_shows_the_digits_of_single_cycles() -> None:
    rows = computed(planned("load.dry_mass=6:11 lb:6"))
    for pounds, minutes in zip(rows["load_dry_mass_lb"], rows["time_to_4pct_min"], strict=True):
        fine = run_cycle(load_scenario("standard", [f"load.dry_mass={pounds} lb"]).to_parameters())
        assert fine.time_to_marked is not None
        assert minutes == pytest.approx(fine.time_to_marked / 60.0, rel=1e-7)


def test_csv_is_what_pandas_writes_of_the_same_table() -> None:
    """With empty fields, whole numbers, and end reasons that hold a comma."""
    rows = computed(
        planned("burner.firing_rate=2000:22000 Btu/h:4", "controls.time_limit=10:90 min:3", si=True)
    )
    assert rows["time_to_4pct_s"].isna().any() and rows["end_reason"].str.contains(",").any()
    for header in (True, False):
        written = rows.to_csv(index=False, header=header, lineterminator="\n", float_format="%.10g")
        assert csv_text(rows, header=header) == written


def test_si_table_has_si_names_and_numbers() -> None:
    people, si = (
        computed(planned("room.temperature=60:80 degF:2")),
        computed(planned("room.temperature=60:80 degF:2", si=True)),
    )
    assert si["room_temperature_K"].tolist() == pytest.approx([288.705556, 299.816667], abs=1e-6)
    for si_name, name, scale in (
        ("cycle_time_s", "cycle_time_min", 1 / 60.0),
        ("energy_J", "energy_kWh", 1 / KWH),
        ("final_moisture", "final_moisture_percent", 100.0),
    ):
        assert (si[si_name] * scale).tolist() == pytest.approx(people[name].tolist(), rel=1e-9)
    kelvin = si["load_temp_max_K"]
    assert people["load_temp_max_degF"].tolist() == pytest.approx((kelvin * 1.8 - 459.67).tolist(), abs=1e-6)


def test_water_removed_follows_from_moisture() -> None:
    rows = computed(planned("load.initial_moisture=40:80 %:3"))
    lost = (rows["load_initial_moisture_percent"] - rows["final_moisture_percent"]) / 100.0
    assert rows["water_removed_lb"].tolist() == pytest.approx((8.45 * lost).tolist(), rel=1e-8)


def test_derived_humidity_reaches_the_result() -> None:
    # Warmer room at the same relative humidity: less to heat, but moister air. If only the
    # temperature moved, the two sweeps below would agree.
    moist = computed(planned("room.temperature=60:90 degF:2"))
    ratio = load_scenario("standard", ["room.temperature=60 degF"]).to_parameters().room_humidity_ratio
    p = load_scenario("standard", ["room.temperature=90 degF"]).to_parameters()
    dry = run_cycle(p._replace(room_humidity_ratio=ratio))
    right = run_cycle(p)
    assert moist["energy_kWh"][1] == pytest.approx((right.gas_energy + right.electric_energy) / KWH, rel=1e-8)
    assert right.time_to_marked is not None and dry.time_to_marked is not None
    assert right.time_to_marked > 1.005 * dry.time_to_marked


@pytest.mark.parametrize(
    ("settings_", "vary", "reason"),
    [
        # Half the burner never reaches the cut-out (mechanism; see docs/model.md).
        (["burner.firing_rate=9000 Btu/h"], "load.dry_mass=8:9 lb:2", EndReason.NEVER_CUTS_OUT),
        (["machine.timer_motor=dead"], "load.dry_mass=3:4 lb:2", EndReason.TIMER_STILL),
        (["machine.thermal_cutoff_state=blown"], "load.dry_mass=3:4 lb:2", None),
        (["controls.stop_at_moisture=10 %"], "load.dry_mass=3:4 lb:2", EndReason.MOISTURE_REACHED),
        (
            ["controls.interruptions=5 min power cut"],
            "load.dry_mass=3:4 lb:2",
            EndReason.STOPPED,
        ),
    ],
)
def test_end_reasons_are_those_of_a_single_run(
    settings_: list[str], vary: str, reason: EndReason | None
) -> None:
    scenario = load_scenario("standard", settings_)
    rows = computed(plan_sweep(scenario, [vary]))
    single = run_cycle(scenario.to_parameters(), scenario.interruptions())
    assert reason is None or single.end is reason
    assert set(rows["end_reason"]) == {single.end.value}


def test_not_reached_is_empty_and_named_after_the_marked_moisture() -> None:
    scenario = load_scenario("standard", ["controls.marked_moisture=2.5 %", "controls.time_limit=15 min"])
    sweep = plan_sweep(scenario, ["load.dry_mass=8:9 lb:2"])
    assert "time_to_2p5pct_min" in sweep.columns
    assert np.isnan(computed(sweep)["time_to_2p5pct_min"]).all()
    written = csv.DictReader(csv_text(computed(sweep)).splitlines())
    assert [row["time_to_2p5pct_min"] for row in written] == ["", ""]
    varied = plan_sweep(load_scenario("standard"), ["controls.marked_moisture=2:6 %:2"])
    assert "time_to_marked_min" in varied.columns


def test_seed_decides_the_points() -> None:
    first, again, other = (
        computed(planned("load.dry_mass=3:12 lb", sobol=20, seed=seed)) for seed in (1, 1, 2)
    )
    assert first["cycle_time_min"].tolist() == again["cycle_time_min"].tolist()
    assert first["load_dry_mass_lb"].tolist() != other["load_dry_mass_lb"].tolist()
    assert first["load_dry_mass_lb"].min() >= 3.0
    assert first["load_dry_mass_lb"].max() <= 12.0


@pytest.mark.parametrize(
    ("vary", "more", "told"),
    [
        ([], {}, "nothing varies"),
        (["load.dry_mass=3:12 lb"], {"sobol": 0}, "--sobol: is 0, outside the allowed 1"),
        (["load.dry_mass=3:12 lb"], {"sobol": 2**31}, "--sobol"),
        (["load.dry_mass=3:12 lb"], {"sobol": 8, "seed": -1}, "--seed: is -1"),
        (["load.dry_mass=3:12 lb:3"], {"seed": 0}, "--seed: draws nothing from a grid; add --sobol"),
        (["load.dry_mass=3:12 lb:3", "load.dry_mass=4:5 lb:3"], {}, "varied twice"),
    ],
)
def test_plans_that_cannot_be(vary: list[str], more: dict[str, int], told: str) -> None:
    with pytest.raises(InputError, match=told):
        plan_sweep(load_scenario("standard"), vary, sobol=more.get("sobol"), seed=more.get("seed"))


def test_unknown_outcome_names_the_nearest() -> None:
    with pytest.raises(InputError, match=r"--show: no outcome 'cycle_tme' \(did you mean cycle_time\?\)"):
        find_outcome("cycle_tme", "--show")
    assert len(set(outcome_names())) == len(OUTCOMES)


# files --------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def small() -> Sweep:
    return planned("vent.length=5 ft:60 ft:3", "load.dry_mass=3:12 lb:4")


@pytest.fixture(scope="module")
def finished(small: Sweep, tmp_path_factory: pytest.TempPathFactory) -> bytes:
    path = tmp_path_factory.mktemp("whole") / "s.csv"
    sweep_to_file(small, path)
    return path.read_bytes()


def part_file(sweep: Sweep, path: Path) -> PartFile:
    return PartFile(path, sweep.identity(), record_type(sweep))


def part_bytes(sweep: Sweep, tmp_path: Path) -> bytes:
    """What the unfinished file holds when all of its rows are in it."""
    path = tmp_path / "probe.part"
    path.unlink(missing_ok=True)
    with part_file(sweep, path) as part:
        for records in sweep_records(sweep):
            part.append(records)
    return path.read_bytes()


def test_csv_is_the_table_in_ten_digits(small: Sweep, finished: bytes) -> None:
    assert finished.decode("ascii") == csv_text(computed(small))
    assert b"\r" not in finished
    assert finished.count(b"\n") == 13


def test_nothing_is_left_beside_the_table_but_what_it_follows_from(small: Sweep, tmp_path: Path) -> None:
    path = tmp_path / "s.csv"
    met = sweep_to_file(small, path)
    assert sorted(p.name for p in tmp_path.iterdir()) == ["s.csv", "s.csv.about.json"]
    told = json.loads(about_path(path).read_text(encoding="ascii"))
    assert told["scenario_hash"] == small.scenario.hash
    assert told["rel_tolerance"] == 1e-5
    assert told["end_reasons"] == met.end_reasons == {"timer ran out": 12}
    assert max(told["largest_balance_gaps"].values()) < 1e-6
    assert told["varied"][0] == {
        "key": "vent.length", "column": "vent_length_ft", "unit": "ft", "start": 5.0, "stop": 60.0,
        "values": 3, "spacing": "linear",
    }  # fmt: skip


@given(st.data())
@settings(max_examples=12, derandomize=True, deadline=None, suppress_health_check=list(HealthCheck))
def test_cut_anywhere_it_goes_on_to_the_same_bytes(
    small: Sweep, finished: bytes, tmp_path_factory: pytest.TempPathFactory, data: st.DataObject
) -> None:
    folder = tmp_path_factory.mktemp("cut")
    whole = part_bytes(small, folder)
    cut = data.draw(st.integers(0, len(whole)))
    path = folder / "s.csv"
    part_path(path).write_bytes(whole[:cut])
    sweep_to_file(small, path)
    assert path.read_bytes() == finished
    assert not part_path(path).exists()


def first_records(sweep: Sweep, count: int, tmp_path: Path) -> bytes:
    """An unfinished file that holds the first so many rows."""
    whole = part_bytes(sweep, tmp_path)
    return whole[: len(whole) - (sweep.size - count) * record_type(sweep).itemsize]


def record(sweep: Sweep, run: int, code: int) -> bytes:
    """A record of nothing but a run's number and the code of its end reason."""
    one = np.zeros(1, record_type(sweep))
    one["run"], one["end_reason"] = run, code
    return one.tobytes()


def test_rubbish_after_the_last_whole_row_is_cut_off(small: Sweep, finished: bytes, tmp_path: Path) -> None:
    five = first_records(small, 5, tmp_path)
    size = record_type(small).itemsize
    tails = {
        "half a record": record(small, 5, 1)[:-1],
        "zero bytes, as a power cut leaves them": bytes(3 * size),
        "another run's": record(small, 7, 1) + record(small, 6, 1),
        "without an end": record(small, 5, 0) + record(small, 6, 1),
    }
    for what, tail in tails.items():
        path = tmp_path / "s.csv"
        part_path(path).write_bytes(five + tail)
        done: list[int] = []
        sweep_to_file(small, path, lambda count, of, done=done: done.append(count), replace=True)  # type: ignore[misc]
        assert done[0] == 5, what
        assert path.read_bytes() == finished, what


def test_zero_bytes_are_not_even_the_first_row(small: Sweep, finished: bytes, tmp_path: Path) -> None:
    path = tmp_path / "s.csv"
    part_path(path).write_bytes(first_records(small, 0, tmp_path) + bytes(record_type(small).itemsize))
    sweep_to_file(small, path)
    assert path.read_bytes() == finished


def test_finished_rows_are_not_computed_again(small: Sweep, tmp_path: Path) -> None:
    head = first_records(small, 0, tmp_path)
    five = bytearray(first_records(small, 5, tmp_path))
    marked = np.frombuffer(five, record_type(small), 5, len(head))
    marked["gas_kWh"][3] = 777.0  # by the test
    path = tmp_path / "s.csv"
    part_path(path).write_bytes(five)
    done: list[int] = []
    sweep_to_file(small, path, lambda count, of: done.append(count))
    assert done[0] == 5  # what was there
    assert (pd.read_csv(path)["gas_kWh"] == 777.0).tolist() == [False] * 3 + [True] + [False] * 8


@pytest.mark.parametrize(
    ("other", "names"),
    [
        (planned("vent.length=5 ft:60 ft:3", "load.dry_mass=3:11 lb:4"), "varied"),
        (planned("vent.length=5 ft:60 ft:3", "load.dry_mass=3:12 lb:4", name="small_load"), "scenario_hash"),
        (planned("vent.length=5 ft:60 ft:3", "load.dry_mass=3:12 lb:4", si=True), "columns"),
        (planned("vent.length=5 ft:60 ft", "load.dry_mass=3:12 lb", sobol=12, seed=3), "seed"),
    ],
    ids=["range", "scenario", "units", "points"],
)
def test_part_of_another_sweep_is_left_alone(small: Sweep, other: Sweep, names: str, tmp_path: Path) -> None:
    path = tmp_path / "s.csv"
    part_file(other, part_path(path)).__exit__(None, None, None)
    before = part_path(path).read_bytes()
    with pytest.raises(InputError, match=f"belongs to another sweep .*{names}.*delete the file"):
        sweep_to_file(small, path)
    assert part_path(path).read_bytes() == before
    assert not path.exists()


@pytest.mark.parametrize("content", [b"my notes\n", b"[1, 2]\n", b'{"file": "of another kind"}\n'])
def test_a_file_that_is_no_sweep_is_left_alone(small: Sweep, tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "s.csv"
    part_path(path).write_bytes(content)
    with pytest.raises(InputError, match="is not an unfinished sweep"):
        sweep_to_file(small, path)
    assert part_path(path).read_bytes() == content


def test_two_processes_do_not_write_one_sweep(small: Sweep, tmp_path: Path) -> None:
    path = tmp_path / "s.csv"
    with (
        part_file(small, part_path(path)),
        pytest.raises(InputError, match="another run is writing this sweep"),
    ):
        sweep_to_file(small, path)
    sweep_to_file(small, path)
    assert path.exists()


def test_parquet_holds_the_same(small: Sweep, finished: bytes, tmp_path: Path) -> None:
    pq: Any = import_module("pyarrow.parquet")  # has no type stubs
    first, second = tmp_path / "a.parquet", tmp_path / "b.parquet"
    sweep_to_file(small, first)
    sweep_to_file(small, second)
    assert first.read_bytes() == second.read_bytes()
    rows, table = read_table(first), computed(small)
    pd.testing.assert_frame_equal(rows, table, check_categorical=False)  # to the last bit, kinds too
    assert rows["run"].dtype == np.int64 and isinstance(rows["end_reason"].dtype, pd.CategoricalDtype)
    text = pd.read_csv(io.BytesIO(finished))
    for name in table.columns:
        assert text[name].tolist() == (
            table[name].tolist() if name == "end_reason" else pytest.approx(table[name].tolist(), rel=1e-14)
        )  # the same numbers in every form
    kept = json.loads(pq.read_schema(first).metadata[b"dryermodel"])
    assert kept["scenario_hash"] == small.scenario.hash


def test_parquet_without_pyarrow_says_what_to_do(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def missing(name: str) -> None:
        raise ImportError(name)

    monkeypatch.setattr("dryermodel.studies.sweep.files.import_module", missing)
    with pytest.raises(InputError, match=r"needs pyarrow.*or end in \.csv"):
        check_output(tmp_path / "s.parquet")


@pytest.mark.parametrize(
    ("name", "told"),
    [
        ("s.xlsx", r"ends in .csv or .parquet, not '.xlsx'"),
        ("s", "ends in .csv or .parquet"),
        ("s.cvs", r"did you mean .csv"),
        ("nowhere/s.csv", "there is no directory"),
        ("folder.csv", "is a directory"),
    ],
)
def test_output_is_checked_before_anything_is_computed(tmp_path: Path, name: str, told: str) -> None:
    (tmp_path / "folder.csv").mkdir()
    with pytest.raises(InputError, match=told):
        check_output(tmp_path / name)
    assert [p.name for p in tmp_path.iterdir()] == ["folder.csv"]


def test_estimate_is_of_the_right_size(small: Sweep, finished: bytes) -> None:
    ticks = iter([10.0, 12.0])
    told = estimate(small, lambda: next(ticks))
    assert told.seconds == 2.0  # all twelve runs are the sample
    assert told.file_bytes == pytest.approx(len(finished.partition(b"\n")[2]), rel=0.05)


def test_estimate_in_words() -> None:
    assert in_words(Estimate(5400.0, 3.2e9)) == ("1.5 h", "3.2 GB")
    assert in_words(Estimate(400 * 86400.0, 2.2e11))[0] == "400 days"
    assert in_words(Estimate(3.2e9, 1e15)) == ("101 years", "1,000 TB")
