"""The cycle picture: units, exact switchings, labels that keep apart, same bytes, whole files."""

from __future__ import annotations

import itertools
import subprocess
import sys
import warnings
from collections.abc import Callable
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.collections import PolyCollection
from matplotlib.colors import to_hex
from matplotlib.figure import Figure
from matplotlib.gridspec import GridSpec
from matplotlib.text import Text

from dryermodel.cycle.engine import switching
from dryermodel.cycle.result import CycleResult
from dryermodel.cycle.run.simulate import run_cycle
from dryermodel.errors import InputError
from dryermodel.readings import measures as M
from dryermodel.scenario.model import load_scenario
from dryermodel.scenario.run import simulate
from dryermodel.show.plots.curves import bin_minutes
from dryermodel.show.plots.cycle import CyclePlot, plot_cycle, save_figure
from dryermodel.show.plots.strips import TOO_MANY, strips
from dryermodel.show.plots.style import STROKES
from tests.show.plots.shades import luminance

Cycles = Callable[..., CycleResult]

CASES: dict[str, tuple[str, ...]] = {
    "standard": (),
    "three minutes": ("controls.time_limit=3 min",),
    "eight hours": ("burner.firing_rate=11000 Btu/h", "controls.time_limit=8 h"),
    "high limit cycles": ("vent.resistance_factor=20",),
    "shut vent": ("vent.open_area=0 %", "controls.time_limit=3 h"),
    "air only": ("controls.program=air only",),
    "electric": ("machine.heat=electric",),
    "timed": ("controls.program=timed", "controls.timed_length=8 min", "machine.cool_down=2 min"),
    "door": ("controls.interruptions=10 min door opened; 12 min door closed; 13 min start pressed",),
    "blown": ("machine.thermal_cutoff_state=blown", "controls.time_limit=30 min"),
    "stuck closed": ("machine.exhaust_thermostat=stuck closed", "controls.time_limit=1 h"),
    "stuck open": ("machine.exhaust_thermostat=stuck open",),
}
MARGIN_PX = 0.5


def _texts(figure: Figure) -> list[tuple[str, tuple[float, float, float, float]]]:
    """Every piece of visible lettering with its box in pixels, after a drawing."""
    canvas = FigureCanvasAgg(figure)
    canvas.draw()  # type: ignore[no-untyped-call]
    renderer = canvas.get_renderer()  # type: ignore[no-untyped-call]
    found = []
    for text in figure.findobj(Text):
        assert isinstance(text, Text)
        if text.get_visible() and text.get_text().strip() and _shown(text, figure):
            box = text.get_window_extent(renderer)
            found.append((text.get_text(), (box.x0, box.y0, box.x1, box.y1)))
    return found


def _shown(text: Text, figure: Figure) -> bool:
    """Tick labels beyond the limits of their axis exist but are not drawn."""
    for axes in figure.axes:
        for axis in (axes.xaxis, axes.yaxis):
            for tick in axis.get_major_ticks():
                if text in (tick.label1, tick.label2):
                    low, high = sorted(axis.get_view_interval())
                    return low - 1e-9 <= tick.get_loc() <= high + 1e-9
    return True


@pytest.mark.parametrize("name", CASES)
@pytest.mark.parametrize("si", [False, True])
def test_lettering_neither_collides_nor_leaves_the_page(cycle: Cycles, name: str, si: bool) -> None:
    figure = plot_cycle(cycle(*CASES[name]), si=si).figure
    boxes = _texts(figure)
    width, height = figure.bbox.width, figure.bbox.height
    for words, (x0, y0, x1, y1) in boxes:
        assert x0 >= 0.0 and y0 >= 0.0 and x1 <= width and y1 <= height, words
    for (one, a), (two, b) in itertools.combinations(boxes, 2):
        apart = (
            a[2] <= b[0] + MARGIN_PX
            or b[2] <= a[0] + MARGIN_PX
            or a[3] <= b[1] + MARGIN_PX
            or b[3] <= a[1] + MARGIN_PX
        )
        assert apart, (one, two)


@pytest.mark.parametrize(("si", "temperature", "mass"), [(False, "degF", "lb"), (True, "degC", "kg")])
def test_every_scale_names_its_unit(cycle: Cycles, si: bool, temperature: str, mass: str) -> None:
    axes = plot_cycle(cycle(), si=si).axes
    expected = {
        "exhaust": temperature, "burner": temperature, "water": mass, "moisture": "%", "dial": "min",
        "duty": "share of time",
    }  # fmt: skip
    for name, unit in expected.items():
        assert f"[{unit}]" in axes[name].get_ylabel(), name
    assert axes["duty"].get_xlabel() == "time since start [min]"
    assert axes["strips"].get_ylabel() == "filled: on / closed"


def test_one_time_axis(cycle: Cycles) -> None:
    axes = plot_cycle(cycle()).axes
    limits = {panel.get_xlim() for panel in axes.values()}
    assert limits == {(0.0, cycle().cycle_time / 60.0)}


@pytest.mark.parametrize(("si", "dry_mass"), [(False, 8.45), (True, 8.45 * 0.45359237)])
def test_the_two_water_scales_agree(cycle: Cycles, si: bool, dry_mass: float) -> None:
    """8.45 lb of bone-dry cloth: 1 lb of water is 11.83 % moisture."""
    axes = plot_cycle(cycle(), si=si).axes
    assert axes["moisture"].get_ylim()[1] / axes["water"].get_ylim()[1] == pytest.approx(100.0 / dry_mass)


def test_title_tells_scenario_reason_and_time(cycle: Cycles) -> None:
    words = [text.get_text() for text in plot_cycle(cycle()).figure.texts]
    assert words == ["Healthy standard machine with the test load", "timer ran out; 41.0 min after the start"]


@pytest.mark.parametrize("title", ["$x_1$ costs $5", "a\nb", "", "long " * 60, "Caf\u00e9"])
def test_any_title_can_be_drawn(cycle: Cycles, title: str, tmp_path: Path) -> None:
    plot = plot_cycle(replace(cycle("controls.time_limit=3 min"), title=title))
    drawn = plot.figure.texts[0].get_text()
    assert "\n" not in drawn and 0 < len(drawn) <= 80
    assert save_figure(plot, tmp_path / "a.png").stat().st_size > 10_000


def test_set_points_are_where_they_belong(cycle: Cycles) -> None:
    axes = plot_cycle(cycle()).axes

    def levels(name: str) -> set[float]:
        lines = (np.asarray(line.get_ydata(), dtype=float) for line in axes[name].lines)
        return {round(float(y[0]), 6) for y in lines if len(y) == 2 and y[0] == y[1] and y[0] > 1.0}

    assert {155.0, 140.0} <= levels("exhaust")
    assert {225.0, 207.0, 300.0} <= levels("burner")


def test_a_stuck_thermostat_has_no_set_points(cycle: Cycles) -> None:
    axes = plot_cycle(cycle(*CASES["stuck closed"])).axes
    words = " ".join(text.get_text() for text in axes["exhaust"].texts)
    assert "cut-out" not in words and "thermostat element" in words
    assert axes["exhaust"].get_ylim()[1] < 400.0


def test_bars_stand_at_the_exact_switching_times(cycle: Cycles) -> None:
    result = cycle()
    axes = plot_cycle(result).axes["strips"]
    bars = [c for c in axes.collections if isinstance(c, PolyCollection)]
    rows = strips(result)
    assert len(bars) == len(rows)
    for bar, row in zip(bars, rows, strict=True):
        corners = [np.asarray(path.vertices, dtype=float) for path in bar.get_paths()]
        edges = [(corner[:, 0].min(), corner[:, 0].max()) for corner in corners]
        assert np.array(edges) * 60.0 == pytest.approx(np.array(row.intervals)), row.words
    flame = next(row for row in rows if row.words == "flame")
    assert flame.intervals == result.trajectory.intervals(switching.FLAME, result.cycle_time)


def test_a_jump_is_drawn_as_one(cycle: Cycles) -> None:
    result = cycle()
    opened = M.first_cut_out(result)
    assert opened is not None
    line = next(
        line for line in plot_cycle(result).axes["burner"].lines if line.get_label() == "burner outlet"
    )
    x, y = np.asarray(line.get_xdata()) * 60.0, np.asarray(line.get_ydata())
    around = np.abs(x - opened) < 2.0 * M.BEFORE
    assert np.ptp(y[around]) > 150.0


def test_rows_follow_the_machine(cycle: Cycles) -> None:
    def words(*overrides: str) -> set[str]:
        return {row.words for row in strips(cycle(*overrides))}

    assert {"igniter", "flame", "flame sensor"} <= words()
    assert {"igniter", "flame", "flame sensor"}.isdisjoint(words("machine.heat=electric"))
    assert "heater" in words("machine.heat=electric")
    assert "door switch" in words(*CASES["door"]) and "door switch" not in words()
    assert "thermal cut-off" in words(*CASES["blown"]) and "thermal cut-off" not in words()


def test_loads_and_contacts_add_up(cycle: Cycles) -> None:
    """The thermostat's open time before the cool-down is the dial's 3 min of heat-off time."""
    result = cycle()
    timer = next(row for row in strips(result) if row.words == "timer motor")
    assert sum(b - a for a, b in timer.intervals) == pytest.approx(8.0 * 60.0)


def test_too_many_bars_become_a_share(cycle: Cycles) -> None:
    result = cycle(*CASES["shut vent"])
    assert max(len(row.intervals) for row in strips(result)) > TOO_MANY
    axes = plot_cycle(result).axes
    assert "height: share of time" in axes["strips"].get_ylabel()
    words = [text.get_text() for text in axes["burner"].texts]
    assert "burner outlet air, range" in words


def test_the_dial_ends_where_it_should(cycle: Cycles) -> None:
    line = max(plot_cycle(cycle()).axes["dial"].lines, key=lambda item: len(np.asarray(item.get_xdata())))
    assert np.asarray(line.get_ydata())[-1] == pytest.approx(8.0)
    still = plot_cycle(cycle("machine.timer_motor=dead", "controls.time_limit=1 h")).axes["dial"]
    line = max(still.lines, key=lambda item: len(np.asarray(item.get_xdata())))
    assert np.asarray(line.get_ydata()).max() == 0.0


@pytest.mark.parametrize("minutes", [1, 5, 10, 11, 25, 60, 180, 181, 360, 480, 1440])
def test_bins_are_neither_few_nor_many(minutes: int) -> None:
    bins = minutes / bin_minutes(60.0 * minutes)
    assert 2 <= bins <= 96


# unlike pieces ----------------------------------------------------------------------------------

FOUR = ("controls.time_limit=30 min",)
NAMES = (
    "thin",
    "BATH TOWELS XXL",
    "one-word-name-without-a-place-to-break",
    "shirts, sheets and pillow cases",
)


@cache
def family(*overrides: str) -> CycleResult:
    return simulate(load_scenario("family_load", list(overrides)))


def unlike_four() -> CycleResult:
    """Four kinds of cloth with names of all lengths, the wettest at 90 %."""
    p = load_scenario("family_load", list(FOUR)).to_parameters()
    changed = {
        "piece_share": (0.3, 0.3, 0.2, 0.2), "piece_exposure": (1.5, 1.0, 0.4, 0.3),
        "piece_moisture": (0.4, 0.5, 0.75, 0.9),
        **{n: (v := getattr(p, n))[:3] + v[2:3] for n in p._fields if n in SAME_AS_THIRD},
    }  # fmt: skip
    return run_cycle(p._replace(**changed), piece_names=NAMES)


SAME_AS_THIRD = {
    "piece_specific_heat", "piece_sorption_share", "piece_sorption_heat", "piece_critical_moisture",
}  # fmt: skip


def cloth_lines(result: CycleResult) -> dict[str, tuple[np.ndarray, np.ndarray]]:
    axes = plot_cycle(result).axes["moisture"]
    return {
        str(line.get_label()): (np.asarray(line.get_xdata()), np.asarray(line.get_ydata()))
        for line in axes.lines
        if str(line.get_label()).startswith("cloth")
    }


def test_each_kind_of_cloth_has_a_line_of_its_moisture() -> None:
    result = family()
    drawn = cloth_lines(result)
    assert list(drawn) == ["cloth 1", "cloth 2", "cloth 3"]
    for (x, y), kind in zip(drawn.values(), result.by_piece, strict=True):
        assert 60.0 * x == pytest.approx(result.series["time_s"])
        assert y == pytest.approx(100.0 * kind.moisture)
    mean = sum(k.share * y for (_, y), k in zip(drawn.values(), result.by_piece, strict=True))
    assert mean == pytest.approx(100.0 * result.series["moisture"])


def test_kinds_are_named_at_their_ends_with_the_whole_load() -> None:
    result = family()
    axes = plot_cycle(result).axes["moisture"]
    height = {text.get_text(): text.get_position()[1] for text in axes.texts}
    assert set(height) == {"whole load", *(kind.name for kind in result.by_piece)}
    assert height["jeans"] > height["whole load"] > height["shirts"]


@pytest.mark.parametrize("si", [False, True])
@pytest.mark.parametrize("four", [False, True])
def test_names_of_kinds_neither_collide_nor_leave_the_page(four: bool, si: bool) -> None:
    result = unlike_four() if four else family()
    test_lettering_neither_collides_nor_leaves_the_page(lambda: result, "standard", si)


def test_every_line_of_cloth_stays_below_the_words() -> None:
    for result in (unlike_four(), family()):
        axes = plot_cycle(result).axes["moisture"]
        assert max(y.max() for _, y in cloth_lines(result).values()) < 0.8 * axes.get_ylim()[1]


def test_a_load_of_one_kind_has_only_its_water(cycle: Cycles) -> None:
    assert cloth_lines(cycle()) == {}
    assert not plot_cycle(cycle()).axes["moisture"].texts


# seen in grey -----------------------------------------------------------------------------------

PANELS = {
    "exhaust": ("load", "exhaust air", "thermostat element", "set point"),
    "burner": ("burner outlet", "drum inlet", "high-limit element", "set point"),
    "water": ("water", "cloth 1", "cloth 2", "cloth 3", "cloth 4", "set point"),
    "duty": ("burner", "timer"),
}


@pytest.mark.parametrize("panel", PANELS)
def test_lines_of_a_panel_differ_without_colour(panel: str) -> None:
    """In darkness by a tenth, in dashes, or in width by half: something a grey print keeps."""
    for one, two in itertools.combinations([STROKES[name] for name in PANELS[panel]], 2):
        darkness = abs(luminance(one.color) - luminance(two.color)) >= 0.1
        width = max(one.width, two.width) >= 1.5 * min(one.width, two.width)
        assert darkness or one.dashes != two.dashes or width


def test_flame_and_timer_bars_differ_in_darkness_or_hatch(cycle: Cycles) -> None:
    rows = {row.words: row for row in strips(cycle())}
    loads = [rows[name] for name in ("heat circuit fed", "igniter", "flame", "timer motor")]
    for one, two in itertools.combinations(loads, 2):
        shade = abs(luminance(to_hex(one.fill)) - luminance(to_hex(two.fill)))
        assert shade >= 0.08 or one.hatch != two.hatch


@pytest.mark.parametrize("stroke", STROKES)
def test_lines_stand_out_from_the_paper(stroke: str) -> None:
    """Contrast of at least 2 to 1 against white, (1 + 0.05)/(Y + 0.05) as in WCAG 2.1 (from memory)."""
    assert 1.05 / (luminance(STROKES[stroke].color) + 0.05) >= 2.0


# files ------------------------------------------------------------------------------------------


@pytest.mark.parametrize("suffix", [".png", ".svg", ".pdf"])
def test_the_same_result_is_the_same_bytes(cycle: Cycles, suffix: str, tmp_path: Path) -> None:
    result = cycle("controls.time_limit=3 min")
    one = save_figure(plot_cycle(result), tmp_path / f"one{suffix}")
    two = save_figure(plot_cycle(result), tmp_path / f"two{suffix}")
    assert one.read_bytes() == two.read_bytes()
    assert sorted(path.name for path in tmp_path.iterdir()) == [f"one{suffix}", f"two{suffix}"]


@pytest.mark.parametrize("suffix", [".png", ".svg", ".pdf"])
def test_no_date_in_the_file(cycle: Cycles, suffix: str, tmp_path: Path) -> None:
    """Two savings within a second agree whatever the date; a month later they must as well."""
    content = save_figure(
        plot_cycle(cycle("controls.time_limit=3 min")), tmp_path / f"a{suffix}"
    ).read_bytes()
    for word in (b"CreationDate", b"ModDate", b"<dc:date>", b"matplotlib.org"):
        assert word not in content, word


def test_capital_endings_and_plain_figures_are_fine(cycle: Cycles, tmp_path: Path) -> None:
    written = save_figure(plot_cycle(cycle("controls.time_limit=3 min")).figure, tmp_path / "A.PNG")
    assert written.read_bytes().startswith(b"\x89PNG")


@pytest.mark.parametrize("name", ["a.jpg", "a", "a.pn", "a.png.txt"])
def test_an_unknown_ending_is_told_the_known_ones(tmp_path: Path, name: str) -> None:
    with pytest.raises(InputError, match=r"\.png, \.svg, \.pdf"):
        save_figure(Figure(), tmp_path / name)
    assert list(tmp_path.iterdir()) == []


def test_a_letter_the_font_lacks_is_no_warning(tmp_path: Path) -> None:
    figure = Figure()
    figure.text(0.5, 0.5, "\u4e7e\u71e5")
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        assert save_figure(figure, tmp_path / "a.png").stat().st_size > 0


def test_places_that_cannot_be_written(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("x", encoding="utf-8")
    (tmp_path / "dir.png").mkdir()
    with pytest.raises(InputError, match="there is no directory"):
        save_figure(Figure(), tmp_path / "missing" / "a.png")
    with pytest.raises(InputError, match="there is no directory"):
        save_figure(Figure(), tmp_path / "file" / "a.png")
    with pytest.raises(InputError, match="is a directory"):
        save_figure(Figure(), tmp_path / "dir.png")
    assert sorted(path.name for path in tmp_path.iterdir()) == ["dir.png", "file"]


def test_a_failed_write_leaves_the_old_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    target = tmp_path / "a.png"
    target.write_bytes(b"old")

    def full(self: Path, other: Path) -> Path:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "replace", full)
    with pytest.raises(InputError, match="cannot be written: No space left"):
        save_figure(Figure(), target)
    assert target.read_bytes() == b"old"
    assert [path.name for path in tmp_path.iterdir()] == ["a.png"]


# in someone else's figure -----------------------------------------------------------------------


def test_panels_take_the_place_of_the_axes_given(cycle: Cycles) -> None:
    figure = Figure(figsize=(20.0, 12.0))
    place = figure.add_axes((0.5, 0.0, 0.5, 1.0))
    plot = plot_cycle(cycle(), ax=place)
    assert isinstance(plot, CyclePlot) and plot.figure is figure
    for panel in plot.axes.values():
        box = panel.get_position()
        assert box.x0 >= 0.5 and box.x1 <= 1.0 and box.y0 >= 0.0 and box.y1 <= 1.0
    assert not place.axison


def test_a_subfigure_will_do(cycle: Cycles) -> None:
    figure = Figure(figsize=(20.0, 12.0))
    left = figure.add_subfigure(GridSpec(1, 2, figure=figure)[0])
    plot = plot_cycle(cycle("controls.time_limit=3 min"), ax=left.add_subplot())
    assert plot.figure is figure
    assert plot.axes["duty"].bbox.x1 < figure.bbox.width / 2.0


def test_importing_the_picture_module_imports_nothing_heavy() -> None:
    code = (
        "import sys, dryermodel.show.plots.cycle, dryermodel.cycle.frame\n"
        "import dryermodel.show.text.cycle, dryermodel.show.data.cycle\n"
        "heavy = {'matplotlib', 'pandas', 'pint', 'rich', 'scipy', 'numba', 'pydantic'} & set(sys.modules)\n"
        "sys.exit(f'imported {heavy}' if heavy else 0)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr


def test_drawing_leaves_pyplot_alone() -> None:
    code = (
        "import sys\n"
        "from dryermodel import load_scenario, simulate\n"
        "from dryermodel.show.plots.cycle import plot_cycle\n"
        "plot_cycle(simulate(load_scenario('standard', ['controls.time_limit=3 min'])))\n"
        "sys.exit('pyplot' if 'matplotlib.pyplot' in sys.modules else 0)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
