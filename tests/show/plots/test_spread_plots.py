"""Picture and table of what is not known."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from matplotlib.axes import Axes

from dryermodel.show.plots.pictures import save_figure
from dryermodel.show.plots.spread import plot_spread
from dryermodel.show.text.spread import HEADERS, spread_lines, spread_rows
from dryermodel.studies.uncertainty.spread import Spread, spread_summary
from tests.plain import plain_scenario


def legend_words(ax: Axes) -> list[str]:
    legend = ax.get_legend()
    assert legend is not None
    return [text.get_text() for text in legend.get_texts()]


@pytest.fixture(scope="module")
def spread() -> Spread:
    return spread_summary(plain_scenario(), 64, seed=0)


def test_every_axis_has_words_and_a_unit(spread: Spread) -> None:
    figure = plot_spread(spread)
    bands, histograms = figure.axes[:3], figure.axes[3:]
    assert [ax.get_ylabel() for ax in bands] == [
        "exhaust air\n[degF]", "moisture, dry basis\n[%]", "burner duty\n[%]",
    ]  # fmt: skip
    assert bands[-1].get_xlabel() == "time since start [min]"
    assert [ax.get_xlabel() for ax in histograms] == [
        "cycle time [min]", "time to 4 % [min]", "gas and electricity [kWh]", "final moisture [%]",
    ]  # fmt: skip
    assert all(ax.get_ylabel() == "samples" for ax in histograms)
    words = legend_words(bands[0])
    assert words == ["5 to 95 % of samples", "median"]


def test_every_sample_is_in_the_histograms(spread: Spread) -> None:
    for ax in plot_spread(spread).axes[3:]:
        assert sum(bar.get_height() for bar in ax.containers[0]) == spread.n


def test_median_line_is_the_median(spread: Spread) -> None:
    ax = plot_spread(spread).axes[1]
    drawn = np.asarray(ax.get_lines()[-1].get_ydata(), dtype=float)
    assert drawn == pytest.approx(100.0 * spread.bands["moisture"].values[1])


def test_si(spread: Spread) -> None:
    figure = plot_spread(spread, si=True)
    assert figure.axes[0].get_ylabel() == "exhaust air\n[degC]"
    assert figure.axes[3].get_xlabel() == "cycle time [min]"


def test_rows_and_lines(spread: Spread) -> None:
    rows = spread_rows(spread)
    assert all(len(row) == len(HEADERS) for row in rows)
    low, middle, high = (float(text) for text in rows[0][1:4])
    assert rows[0][0] == "cycle time" and low < middle < high
    told = " ".join(spread_lines(spread))
    assert "64 samples, seed 0" in told and spread.scenario.hash[:12] in told
    assert "load.dry_mass 6.76 to 10.14 lb (assumed)" in told
    assert told.isascii()


def test_what_is_never_reached_is_said_so() -> None:
    short = plain_scenario(["controls.time_limit=5 min"])
    found = spread_summary(short, 8, seed=0)
    row = next(row for row in spread_rows(found) if row[0] == "time to 4 %")
    assert row[1:4] == ["-", "-", "-"] and "8 of 8 samples never got there" in row[-1]
    words = [text.get_text() for ax in plot_spread(found).axes for text in ax.texts]
    assert "in no sample" in words


def test_same_bytes_each_time(spread: Spread, tmp_path: Path) -> None:
    first, second = tmp_path / "a.svg", tmp_path / "b.svg"
    save_figure(plot_spread(spread), first)
    save_figure(plot_spread(spread_summary(plain_scenario(), 64, seed=0)), second)
    assert first.read_bytes() == second.read_bytes()
