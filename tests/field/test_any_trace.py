"""Whatever a log holds, it is read without failing and what is read hangs together."""

from __future__ import annotations

import json
import math
from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from dryermodel.errors import InputError
from dryermodel.field.traces.reading import Trace, read_trace
from dryermodel.field.traces.runs import find_runs, moment, stretches
from dryermodel.field.traces.table import Log
from dryermodel.show.data.trace import as_data
from dryermodel.show.text import trace as text

SHAPES = ("noise", "two levels", "constant", "on and off", "heater")


def watts(shape: str, n: int, random: np.random.Generator) -> np.ndarray:
    if shape == "noise":
        return random.uniform(0.0, 800.0, n)
    if shape == "two levels":
        return np.where(random.random(n) < 0.5, 250.0, 700.0) + random.normal(0.0, 3.0, n)
    if shape == "on and off":
        return np.where((np.arange(n) // 20) % 2, 240.0, 2.0)
    return np.where(random.random(n) < 0.1, 3000.0, 240.0) if shape == "heater" else np.full(n, 250.0)


def odd_log(path: Path, shape: str, n: int, every: float, seed: int, columns: str) -> Path:
    """A log of nonsense, with cells missing here and there."""
    random = np.random.default_rng(seed)
    power, degrees = watts(shape, n, random), 40.0 + 20.0 * np.sin(np.arange(n) / 9.0)
    rows = ["time [s]" + ",power [W]" * ("p" in columns) + ",temp [degC]" * ("t" in columns)]
    for i in range(n):
        cells = [f"{i * every:g}"]
        cells += ["" if random.random() < 0.05 else f"{power[i]:.1f}"] * ("p" in columns)
        cells += ["nan" if random.random() < 0.05 else f"{degrees[i]:.1f}"] * ("t" in columns)
        rows.append(",".join(cells))
    path.write_text("\n".join(rows) + "\n", encoding="utf-8")
    return path


def holds_together(trace: Trace) -> None:
    assert all(math.isfinite(f.value) and 0.0 < f.accuracy < math.inf for f in trace.found)
    for burn in trace.burns:
        assert -1e-6 <= burn.on.time <= burn.off.time
    for earlier, later in zip(trace.burns[:-1], trace.burns[1:], strict=True):
        assert earlier.off.time <= later.on.time + 1e-6
    for gap in trace.gaps:
        assert gap.on.time <= gap.off.time + 1e-6
    assert all(0.0 <= share <= 1.0 + 1e-9 for _, share in trace.duty)


@settings(max_examples=15, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))
@given(
    shape=st.sampled_from(SHAPES), n=st.integers(2, 300), every=st.sampled_from([0.5, 1.0, 5.0, 30.0, 120.0]),
    seed=st.integers(0, 1000), columns=st.sampled_from(["p", "t", "pt"]),
    kind=st.sampled_from([None, "gas", "electric"]),
)  # fmt: skip
def test_any_log(
    tmp_path: Path, shape: str, n: int, every: float, seed: int, columns: str, kind: str | None
) -> None:
    path = odd_log(tmp_path / "a.csv", shape, n, every, seed, columns)
    try:
        trace = read_trace(path, kind=kind)
    except InputError as refused:
        assert "a.csv" in str(refused) or "--" in str(refused)
        return
    holds_together(trace)
    json.dumps(as_data(trace, "a", "0"), allow_nan=False)
    assert text.heading(trace, "a") and text.more(trace)
    assert text.measurements(trace) and text.burns(trace)


def log_of(power: list[float], every: float = 10.0) -> Log:
    values = np.array(power)
    return Log(every * np.arange(len(values), dtype=np.float64), {"power": values}, every, True, "", ())


def test_interruptions_and_tumbles() -> None:
    """A pause of five minutes is inside one run, one of eleven parts two; ten seconds' turning is no run."""
    run, rest = [240.0] * 10, [2.0]
    assert len(find_runs(log_of(run + rest * 30 + run))) == 1
    assert len(find_runs(log_of(run + rest * 66 + run))) == 2
    assert find_runs(log_of(run + rest * 5 + [240.0] + rest * 5)) == [(0, 9)]
    assert find_runs(log_of(rest * 9)) == []


def test_moments_by_the_manner_of_reporting() -> None:
    """Half way between readings at set times; just before a report that came early or of a large change."""
    time = np.array([0.0, 30.0, 42.0, 72.0, 102.0])
    power = np.array([240.0, 241.0, 232.0, 231.0, 700.0])
    steady = Log(time, {"power": power}, 30.0, True, "", ())
    reports = Log(time, {"power": power}, 30.0, False, "", (), 5.0, 21.0)
    assert moment(steady, 1) == pytest.approx((36.0, 12.0 / math.sqrt(12.0)))
    assert moment(reports, 1) == pytest.approx((41.5, 1.0 / math.sqrt(12.0)))
    assert moment(reports, 3).time == 101.5  # late, but a change that it reports at once
    assert moment(reports, 2).time == 57.0  # a change too small to be reported: any time between


def test_stretches_at_the_ends() -> None:
    assert stretches(np.array([True, False, True])) == [(0, 0), (2, 2)]
    assert stretches(np.zeros(3, dtype=bool)) == []
