"""The picture of a comparison: exact burner times, letters on curves, greyscale, nothing in the way."""

from __future__ import annotations

import itertools
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.collections import PolyCollection
from matplotlib.text import Text

from dryermodel.errors import InputError
from dryermodel.readings import measures as M
from dryermodel.show.plots.comparison import ComparisonPlot, check_plot, draw, plot_comparison, shown_minutes
from dryermodel.show.plots.comparison_panels import CASE_STROKES, CROWDED, set_points
from dryermodel.studies.comparison.cases import Case, plan_comparison, run_cases
from tests.plain import plain_scenario, plain_settings
from tests.show.plots.shades import luminance

FOUR = ("vent_blockage=75 %", "outlet_gasket_leak=20 cm2", "weak_burner=80 %")
ODD = ("vent_blockage=90 %", "thermostat_stuck_open", "weak_burner=50 %", "load.dry_mass=3 lb")


@cache
def cases(*what_ifs: str, scenario: str = "standard") -> tuple[Case, ...]:
    settings = plain_settings() if scenario == "standard" else []
    return tuple(run_cases(plan_comparison([scenario], what_ifs, settings)))


@cache
def picture(*what_ifs: str) -> ComparisonPlot:
    import matplotlib

    from dryermodel.show.plots.style import RC

    with matplotlib.rc_context(RC):
        return draw(cases(*what_ifs))


def lettering(found: ComparisonPlot) -> dict[str, list[tuple[float, float, float, float]]]:
    canvas = FigureCanvasAgg(found.figure)
    canvas.draw()  # type: ignore[no-untyped-call]
    renderer = canvas.get_renderer()  # type: ignore[no-untyped-call]
    boxes: dict[str, list[tuple[float, float, float, float]]] = {}
    for text in found.figure.findobj(Text):
        assert isinstance(text, Text)
        if text.get_visible() and text.get_text().strip():
            box = text.get_window_extent(renderer)
            boxes.setdefault(text.get_text(), []).append((box.x0, box.y0, box.x1, box.y1))
    return boxes


def test_every_axis_has_its_unit_and_every_case_its_letter() -> None:
    found = picture(*FOUR)
    labels = {name: ax.get_ylabel() for name, ax in found.axes.items()}
    assert "[degF]" in labels["exhaust"] and "[lb]" in labels["water"] and labels["burner"] == "burner on"
    assert found.axes["burner"].get_xlabel() == "time since start [min]"
    for name in ("exhaust", "water"):
        letters = [t.get_text() for t in found.axes[name].texts if len(t.get_text()) == 1]
        assert letters == ["A", "B", "C", "D"]
    assert [t.get_text() for t in found.axes["burner"].get_yticklabels()] == ["A", "B", "C", "D"]


@pytest.mark.parametrize("si", [False, True])
def test_units_follow_si(si: bool) -> None:
    figure = plot_comparison(cases("humid_room=40 %"), si=si)
    labels = " ".join(ax.get_ylabel() for ax in figure.axes)
    assert ("[degC]" in labels and "[kg]" in labels) == si
    text = " ".join(t.get_text() for t in figure.findobj(Text) if isinstance(t, Text))
    assert ("cut-out 68 degC" in text) == si and ("cut-out 155 degF" in text) != si


def test_strips_are_filled_exactly_while_the_burner_is_on() -> None:
    ax = picture(*FOUR).axes["burner"]
    bars = [c for c in ax.collections if isinstance(c, PolyCollection)]
    filled = bars[1::2]  # the outline of a strip comes before its bars
    assert len(filled) == 4
    for case, strip in zip(cases(*FOUR), filled, strict=True):
        heat = M.heat_intervals(case.result)
        edges = [np.asarray(path.vertices)[:, 0] for path in strip.get_paths()]
        drawn = [(x.min(), x.max()) for x in edges]
        assert np.array(drawn) * 60.0 == pytest.approx(np.array(heat), abs=1e-6)


def test_curves_are_the_cycles_numbers() -> None:
    ax = picture(*FOUR).axes["water"]
    for case, line in zip(cases(*FOUR), [li for li in ax.lines if len(li.get_xydata()) > 9], strict=True):  # type: ignore[arg-type]
        x, y = line.get_data()
        series = case.result.series
        assert np.asarray(x) * 60.0 == pytest.approx(series["time_s"])
        assert np.asarray(y) * 0.45359237 == pytest.approx(series["water_in_load_kg"], rel=1e-6, abs=1e-6)
        level = 0.04 * case.result.parameters.dry_mass
        at = M.time_to_4pct(case.result)
        assert at is not None and np.interp(
            at, series["time_s"], series["water_in_load_kg"]
        ) == pytest.approx(level, rel=0.02)


def test_strokes_differ_in_grey() -> None:
    """Any two differ by darkness, or by dashes."""
    for i, one in enumerate(CASE_STROKES):
        for other in CASE_STROKES[i + 1 :]:
            darkness = abs(luminance(one.color) - luminance(other.color))
            assert darkness > 0.1 or one.dashes != other.dashes
    assert len(CASE_STROKES) == len(set(CASE_STROKES))


@pytest.mark.parametrize("what_ifs", [FOUR, ODD], ids=["four", "odd"])
def test_lettering_stays_inside_and_names_keep_apart(what_ifs: tuple[str, ...]) -> None:
    found = picture(*what_ifs)
    width, height = found.figure.canvas.get_width_height()
    boxes = lettering(found)
    for text, places in boxes.items():
        for x0, y0, x1, y1 in places:
            assert x0 >= -0.5 and y0 >= -0.5 and x1 <= width + 0.5 and y1 <= height + 0.5, text
    right = found.axes["exhaust"].get_window_extent().x1
    beside = sorted(
        (box for places in boxes.values() for box in places if box[0] > right), key=lambda box: box[1]
    )
    for (_, _, _, top), (_, bottom, _, _) in itertools.pairwise(beside):
        assert bottom >= top - 2.5, "lines of names beside the picture overlap"


def test_a_cycle_without_end_does_not_squeeze_the_others() -> None:
    results = [case.result for case in cases(*ODD)]
    shown = shown_minutes(results)
    endless = [r for r in results if r.cycle_time == 4 * 3600.0]
    assert endless and shown < 200.0
    assert shown >= max(r.cycle_time for r in results if r not in endless) / 60.0
    text = " ".join(lettering(picture(*ODD)))
    assert "not" in text and "end by itself" in text
    dots = [line for line in picture(*ODD).axes["water"].lines if line.get_marker() == "o"]
    assert all(float(np.asarray(d.get_xdata())[0]) <= 1.02 * shown for d in dots)
    assert len(dots) == len(results) - 1


def test_crowded_burns_are_drawn_as_a_share_of_the_time() -> None:
    results = [case.result for case in cases(*ODD)]
    assert len(M.heat_intervals(results[1])) > CROWDED
    assert "height: share of time" in picture(*ODD).axes["burner"].get_ylabel()
    assert "share of time" not in picture(*FOUR).axes["burner"].get_ylabel()


def test_a_stuck_thermostat_has_no_set_point() -> None:
    stuck = cases("humid_room=40 %", scenario="standard")[0].result
    assert [words for words, _ in set_points(stuck)] == ["cut-out", "cut-in"]
    from dryermodel.scenario.run import simulate

    assert set_points(simulate(plain_scenario(faults=["thermostat_stuck_open"]))) == []


def test_electric_machines_have_a_heater() -> None:
    figure = plot_comparison(cases("humid_room=40 %", scenario="electric"))
    assert any(ax.get_ylabel() == "heater on" for ax in figure.axes)


def test_more_cases_than_strokes_are_refused() -> None:
    check_plot(6, Path("a.png"))
    with pytest.raises(InputError, match="--plot: 7 cases are too many for one picture, at most 6"):
        check_plot(7, Path("a.png"))
    with pytest.raises(InputError, match="a picture's name ends in"):
        check_plot(2, Path("a.gif"))
