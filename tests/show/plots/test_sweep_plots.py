"""Pictures of sweeps and sensitivities: labelled axes with units, readable in grey, same bytes each time."""

from __future__ import annotations

import re
from itertools import pairwise
from pathlib import Path

import matplotlib
import numpy as np
import pandas as pd
import pytest
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from dryermodel.errors import InputError
from dryermodel.show.plots.pictures import save_figure
from dryermodel.show.plots.sensitivity import plot_sensitivity
from dryermodel.show.plots.style import HEAT, RC, WATER
from dryermodel.show.plots.sweep import MAP_COLOURS, plot_sweep
from dryermodel.show.text.sensitivity import HEADERS, outcome_line, sensitivity_rows
from dryermodel.studies.sweep.frame import sweep_frame
from dryermodel.studies.sweep.plan import Sweep, plan_sweep
from dryermodel.studies.uncertainty.sensitivity import Study, plan_study, sensitivity
from dryermodel.studies.uncertainty.uncertain import ranges
from dryermodel.units import digits
from tests.plain import plain_scenario
from tests.show.plots.shades import luminance

Computed = tuple[Sweep, pd.DataFrame]


def computed(
    *vary: str, settings: tuple[str, ...] = (), si: bool = False, sobol: int | None = None
) -> Computed:
    sweep = plan_sweep(plain_scenario(settings), vary, si=si, sobol=sobol)
    return sweep, sweep_frame(sweep)


def legend_words(ax: Axes) -> list[str]:
    legend = ax.get_legend()
    assert legend is not None
    return [text.get_text() for text in legend.get_texts()]


@pytest.fixture(scope="module")
def line() -> Computed:
    return computed("vent.resistance_factor=1:30:6:log")


@pytest.fixture(scope="module")
def grid() -> Computed:
    return computed("vent.resistance_factor=1:30:5:log", "load.dry_mass=3:12 lb:4")


def test_one_key_has_a_panel_for_each_question(line: Computed) -> None:
    figure = plot_sweep(*line)
    labels = [ax.get_ylabel() for ax in figure.axes]
    assert labels == ["time [min]", "gas and electricity [kWh]", "final moisture [%]", "high-limit trips"]
    assert figure.axes[-1].get_xlabel() == "vent resistance factor"
    assert figure.axes[-1].get_xscale() == "log"
    words = legend_words(figure.axes[0])
    assert words == ["cycle time", "time to 4 %"]


def test_lines_hold_the_table_s_numbers(line: Computed) -> None:
    sweep, rows = line
    first = plot_sweep(sweep, rows).axes[0].get_lines()[0]
    assert np.asarray(first.get_xdata()) == pytest.approx(rows["vent_resistance_factor"])
    assert np.asarray(first.get_ydata()) == pytest.approx(rows["cycle_time_min"])


def test_one_outcome_alone_and_into_given_axes(line: Computed) -> None:
    assert [ax.get_ylabel() for ax in plot_sweep(*line, show="gas").axes] == ["gas, gross [kWh]"]
    host = Figure()
    ax = host.subplots()
    assert plot_sweep(*line, ax=ax) is host
    assert ax.get_ylabel() == "cycle time [min]"


def test_a_fault_s_axis_says_severity() -> None:
    figure = plot_sweep(*computed("faults.vent_blockage=0:80 %:3"))
    assert figure.axes[-1].get_xlabel() == "severity of vent blockage [1]"


def test_si_axes() -> None:
    """Energies in kWh and times in min, as the numbers of the table in J and s come to."""
    sweep, table = computed("room.temperature=60:80 degF:2", si=True)
    figure = plot_sweep(sweep, table)
    assert figure.axes[-1].get_xlabel() == "room temperature [K]"
    assert [ax.get_ylabel().rpartition(" ")[2] for ax in figure.axes[:3]] == ["[min]", "[kWh]", "[%]"]
    for ax, name, unit in ((figure.axes[0], "cycle_time_s", 60.0), (figure.axes[1], "energy_J", 3.6e6)):
        assert np.asarray(ax.lines[0].get_ydata()) == pytest.approx(table[name].to_numpy() / unit)


@pytest.mark.parametrize(
    ("vary", "si"),
    [
        ("room.altitude=0:15000 ft:2", False),
        ("burner.firing_rate=8000:150000 Btu/h:2:log", False),
        ("vent.length=5:60 ft:2", True),  # energy in kWh
    ],
)
def test_ticks_are_plain_numbers(vary: str, si: bool) -> None:
    figure = plot_sweep(*computed(vary, si=si))
    with matplotlib.rc_context(RC):  # as when it is saved
        figure.draw_without_rendering()
        axes = [axis for ax in figure.axes for axis in (ax.xaxis, ax.yaxis)]
        found = [(tick.get_loc(), tick.label1.get_text()) for axis in axes for tick in axis.get_major_ticks()]
    ticks = [(at, text) for at, text in found if text]
    assert len(ticks) > 10
    for at, text in ticks:  # no power of ten in a corner, no exponent
        assert float(text) == pytest.approx(at, abs=1e-9)
        assert re.fullmatch(r"-?\d+(\.\d{1,5})?", text), text


def test_counts_have_whole_ticks() -> None:
    figure = plot_sweep(*computed("vent.length=5:20 ft:2"))
    panel = next(ax for ax in figure.axes if ax.get_ylabel() == "high-limit trips")
    assert all(float(at).is_integer() for at in panel.get_yticks())
    energy = next(ax for ax in figure.axes if ax.get_ylabel().startswith("gas"))
    assert not all(float(at).is_integer() for at in energy.get_yticks())


def test_two_keys_make_a_map_with_labelled_contours(grid: Computed) -> None:
    figure = plot_sweep(*grid, show="energy")
    ax, bar = figure.axes
    assert ax.get_xlabel() == "vent resistance factor"
    assert ax.get_ylabel() == "load dry mass [lb]"
    assert bar.get_ylabel() == "gas and electricity [kWh]"
    assert len([text for text in ax.texts if text.get_text()]) >= 2


def test_map_holds_the_table_s_numbers_the_right_way_round(grid: Computed) -> None:
    sweep, rows = grid
    mesh = plot_sweep(sweep, rows, show="time_to_dry").axes[0].collections[0]
    drawn = np.asarray(mesh.get_array()).reshape(4, 5)
    assert drawn[3, 0] == pytest.approx(rows["time_to_4pct_min"][3])  # open vent, large load
    assert drawn[0, 4] == pytest.approx(rows["time_to_4pct_min"][16])  # tight vent, small load


def test_map_of_something_that_does_not_vary_has_no_contours(grid: Computed) -> None:
    ax = plot_sweep(*grid, show="timer_time").axes[0]
    assert not [text for text in ax.texts if text.get_text()]


def test_drawn_points_are_points() -> None:
    one = plot_sweep(*computed("load.dry_mass=3:12 lb", sobol=8))
    assert one.axes[0].get_lines()[0].get_linestyle() == "None"
    two = plot_sweep(*computed("load.dry_mass=3:12 lb", "vent.length=5:60 ft", sobol=8))
    assert "drawn with seed 0" in two.axes[0].get_title(loc="left")


def test_runs_that_hit_the_time_limit_are_marked() -> None:
    cut = computed("load.dry_mass=3:12 lb:3", settings=("controls.time_limit=20 min",))
    figure = plot_sweep(*cut)
    words = legend_words(figure.axes[0])
    assert "stopped by the time limit" in words
    cut = computed(
        "load.dry_mass=3:12 lb:2", "vent.length=5:60 ft:2", settings=("controls.time_limit=20 min",)
    )
    assert "time limit" in legend_words(plot_sweep(*cut).axes[0])[0]


def test_colours_can_be_told_apart_in_grey() -> None:
    greys = [luminance(colour) for colour in MAP_COLOURS]
    assert greys == sorted(greys, reverse=True)
    assert min(a - b for a, b in pairwise(greys)) > 0.15
    assert greys[-1] > 0.3  # contour labels in black stay readable
    assert abs(luminance(WATER) - luminance(HEAT)) > 0.25


def test_what_cannot_be_drawn() -> None:
    sweep = plan_sweep(plain_scenario(), ["load.dry_mass=3:12 lb:2"])
    empty = pd.DataFrame(columns=list(sweep.columns))
    with pytest.raises(InputError, match="no outcome 'speed'"):
        plot_sweep(sweep, empty, show="speed")


def test_same_bytes_each_time(grid: Computed, tmp_path: Path) -> None:
    for ending in ("png", "svg", "pdf"):
        first, second = tmp_path / f"a.{ending}", tmp_path / f"b.{ending}"
        save_figure(plot_sweep(*grid), first)
        save_figure(plot_sweep(*grid), second)
        assert first.read_bytes() == second.read_bytes()


@pytest.fixture(scope="module")
def study() -> Study:
    scenario = plain_scenario()
    vary = ["load.dry_mass=5:12 lb", "room.temperature=60:80 degF", "machine.dial_very_dry=1:9 min"]
    return sensitivity(scenario, plan_study(scenario, vary), n=64)


def test_bars_are_sorted_and_labelled(study: Study) -> None:
    figure = plot_sensitivity(study)
    words = {u.key: u.words for u in study.uncertain}
    assert words["load.dry_mass"] == ranges()["load.dry_mass"].words
    assert words["machine.dial_very_dry"] == "machine dial very dry"  # not among the usual unknowns
    assert len(figure.axes) == 2
    for ax, outcome in zip(figure.axes, study.outcomes, strict=True):
        assert [t.get_text() for t in ax.get_yticklabels()] == [words[i.key] for i in outcome.influences]
        assert "variance" in ax.get_xlabel() and "95 %" in ax.get_xlabel()
        assert legend_words(ax) == ["in all, with others", "alone"]
        widths = [bar.get_width() for bar in ax.containers[0]]
        assert widths == pytest.approx([i.total.value for i in outcome.influences])


def test_table_rows(study: Study) -> None:
    rows = [dict(zip(HEADERS, row, strict=True)) for row in sensitivity_rows(study, study.outcomes[0])]
    assert rows[0]["key"] == "load.dry_mass" and rows[0]["from ... to"] == "5 to 12 lb"
    assert rows[0]["range is"] == "given"
    idle = rows[-1]  # the dial of another dryness
    assert (idle["alone"], idle["in all"], idle["95 % interval"]) == ("0.00", "0.00", "0.00 to 0.00")
    assert "2.268 to 5.443 kg" in [row[1] for row in sensitivity_rows(study, study.outcomes[0], si=True)]


def test_the_sentence_names_what_matters_and_counts_the_rest(study: Study) -> None:
    for outcome in study.outcomes:
        line = outcome_line(study, outcome)
        matter = [i for i in outcome.influences if i.total.value >= 0.05 and i.total.low > 0.0]
        for u in study.uncertain:
            assert (f"{u.words} (" in line) == (u.key in [i.key for i in matter]), u.key
        assert f"the other {3 - len(matter)} less" in line
        least, greatest = (
            float(outcome.outcome.shown(np.array(x))) for x in (outcome.least, outcome.greatest)
        )
        assert f"from {digits(least, 4)} to {digits(greatest, 4)} {outcome.outcome.unit}" in line
