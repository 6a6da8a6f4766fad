"""Picture of a calibration: what stands where, and that it reads without colour."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from matplotlib.axes import Axes

from dryermodel.field.evidence import gather
from dryermodel.inference.calibration import calibrate
from dryermodel.inference.fit_result import WITHIN, Calibration
from dryermodel.scenario.model import load_scenario
from dryermodel.show.plots.calibration import FARTHEST, plot_calibration
from dryermodel.show.plots.pictures import save_figure
from dryermodel.show.plots.style import PALE, WATER
from tests.show.plots.shades import luminance

KEYS = ["burner.firing_rate", "load.dry_mass", "room.relative_humidity"]


@pytest.fixture(scope="module")
def found() -> Calibration:
    known = gather(["gas input=21000 Btu/h", "dry weight=7.5 lb", "static=1.5 in w.c."], [])
    return calibrate(load_scenario("standard"), known, keys=KEYS, starts=1)


def rows(ax: Axes) -> list[str]:
    return [label.get_text() for label in ax.get_yticklabels()]


def texts(ax: Axes) -> str:
    return "\n".join(text.get_text() for text in ax.texts)


def places(ax: Axes, row: int, marks: str) -> list[float]:
    """Where the marks of a row stand."""
    lines = [line for line in ax.get_lines() if str(line.get_marker()) in marks]
    points = [(np.atleast_1d(line.get_xdata()), np.atleast_1d(line.get_ydata())) for line in lines]
    return [float(x[0]) for x, y in points if len(x) == 1 and y[0] == row]


def test_each_reading_stands_where_it_missed_before_and_after(found: Calibration) -> None:
    ax = plot_calibration(found).axes[0]
    assert [row.split()[0] for row in rows(ax)] == ["gas", "dry", "vent"]
    for row in (0, 1):
        assert places(ax, row, "o") == pytest.approx(found.compared[row].misses)
    assert places(ax, 2, "<") == [-FARTHEST, -FARTHEST]  # far too low, before and after
    assert "22000 Btu/h" in texts(ax)


def test_values_that_are_determined_have_a_row_the_best_known_first(found: Calibration) -> None:
    ax = plot_calibration(found).axes[1]
    assert rows(ax) == ["mass of the dry cloth", "burner input"]
    one = found.fitted_of("load.dry_mass")
    (line,) = [x for x in ax.get_lines() if len(x.get_xdata()) == 2 and x.get_ydata()[0] == 0]  # type: ignore[index, arg-type]
    assert list(line.get_xdata()) == pytest.approx(  # type: ignore[arg-type]
        [one.point - WITHIN * one.left, one.point + WITHIN * one.left]
    )
    assert "1 of 3 values not determined" in ax.get_xlabel()


def test_the_title_says_when_it_does_not_fit(found: Calibration) -> None:
    figure = plot_calibration(found)
    assert "does NOT fit" in figure.get_suptitle()
    fits = calibrate(found.scenario, gather(["dry weight=8 lb"], []), keys=KEYS, starts=1)
    assert plot_calibration(fits).get_suptitle().endswith(": fitted")


def test_metric_units_on_request(found: Calibration) -> None:
    told = "\n".join(texts(ax) + "\n".join(rows(ax)) for ax in plot_calibration(found, si=True).axes)
    assert " kg" in told and " Pa" in told and " lb" not in told and "Btu/h" not in told


def test_before_and_after_differ_without_colour() -> None:
    assert abs(luminance(WATER) - luminance(PALE)) > 0.3


def test_the_same_fit_gives_the_same_bytes(found: Calibration, tmp_path: Path) -> None:
    pictures = [save_figure(plot_calibration(found), tmp_path / f"{n}.svg").read_bytes() for n in (1, 2)]
    assert pictures[0] == pictures[1]
