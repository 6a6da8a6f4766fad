"""The lesson in a browser without a network: drawn, moved, played, asked, by keys alone and on paper."""

from __future__ import annotations

import re
from collections import Counter
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from dryermodel.cli import app
from tests.benchmarks.lesson import moves
from tests.benchmarks.pocket import memory
from tests.show.pages.axe import needs_axe, violations
from tests.show.pages.browser import Browser, needs_browser
from tests.show.pages.controls import controls, reachable, stops
from tests.show.pages.paper import LETTER, cut_off, sheets

PHONE, DESKTOP = (360, 740), (1280, 900)
SIZES = pytest.mark.parametrize("size", [PHONE, DESKTOP], ids=["phone", "desktop"])
MOVES = 150
GROWTH = 0.6
"""[MB] of the page's script that may come over so many moves: what the browser itself keeps. Its benchmark
does the same with 500."""

LEAST_TEXT = 10.5
"""Pixels of the smallest text in a drawing."""

pytestmark = needs_browser


@pytest.fixture(scope="module")
def lesson(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The page as the command writes it."""
    file = tmp_path_factory.mktemp("lesson") / "lesson.html"
    done = CliRunner().invoke(app, ["lesson", "-o", str(file)])
    assert done.exit_code == 0, done.output
    return file


def opened(page: Path, chromium: Browser, size: tuple[int, int] = DESKTOP) -> None:
    """The page as it comes, whatever was kept of an earlier test, without sliding scrolls."""
    still = {"features": [{"name": "prefers-reduced-motion", "value": "no-preference"}]}
    chromium.driver.execute_cdp_cmd("Emulation.setEmulatedMedia", still)
    chromium.size(*size)
    chromium.open(page)
    chromium.run("document.documentElement.style.scrollBehavior = 'auto'")
    change(chromium, "Object.assign(lesson.state, setup.asItCame(), { at: 0, si: false, own: false })")


def change(chromium: Browser, script: str) -> None:
    """Run a script that moves what is set, and wait for the new drawing."""
    before = chromium.run("return document.body.dataset.drawn")
    chromium.run(f"{script}; lesson.redraw()")
    drawn_after(chromium, before)


def drawn_after(chromium: Browser, before: str) -> None:
    chromium.wait(f"return document.body.dataset.drawn !== '{before}'")


def figure(chromium: Browser, words: str) -> str:
    """What the table says of a reading as set."""
    script = (
        "return [...document.querySelectorAll('#figures tr')]"
        ".find((row) => row.textContent.startsWith(arguments[0])).lastChild.textContent"
    )
    return str(chromium.run(script, words))


def flows(chromium: Browser) -> Counter[str]:
    """How many wires carry which kind of current."""
    script = "return [...document.querySelectorAll('.circuit .flow')].map((e) => e.classList[1])"
    return Counter(chromium.run(script))


@SIZES
def test_draws_without_complaint_or_request(lesson: Path, chromium: Browser, size: tuple[int, int]) -> None:
    opened(lesson, chromium, size)
    assert chromium.run("return document.querySelectorAll('#chart polyline').length") == 4
    assert chromium.run("return document.querySelectorAll('.circuit .load').length") == 7
    assert chromium.run("return document.documentElement.scrollWidth <= innerWidth")
    assert chromium.complaints() == []
    assert chromium.requests() == []


SETTINGS = {
    "as it comes": ("", []),
    "blocked vent": ("lesson.state.values = { vent_blockage: 0.75 }", ["--fault", "vent_blockage=75 %"]),
    "whole chain": (
        "lesson.state.values = { vent_blockage: 0.75 }; lesson.state.wiring = 'chain'",
        ["--fault", "vent_blockage=75 %", "--set", "machine.timer_wiring=whole chain"],
    ),
    "straight on the line": (
        "lesson.state.wiring = 'line'",
        ["--set", "controls.program=timed", "--set", "controls.dial_heat=8 min"],
    ),
}


@pytest.mark.parametrize(("script", "options"), SETTINGS.values(), ids=SETTINGS.keys())
def test_figures_are_those_of_the_command_line(
    script: str, options: list[str], lesson: Path, chromium: Browser
) -> None:
    opened(lesson, chromium)
    change(chromium, script)
    words = CliRunner().invoke(app, ["simulate", "standard", *options]).stdout
    for label in ("cycle time", "final moisture", "burner on", "timer on", "high-limit trips"):
        told = re.search(rf"^{label}[^0-9\n]*?([\d.]+)(?: |$)", words, re.M)
        assert told, label
        assert figure(chromium, label) == told[1], label


def test_current_is_drawn_where_it_flows(lesson: Path, chromium: Browser) -> None:
    """Lit: no wire has the timer's small current. Cut out: the heat circuit has nothing else."""
    opened(lesson, chromium)
    chromium.run("player.seek(600)")
    lit = flows(chromium)
    assert lit["small"] == 0 and lit["full"] > 15
    assert "0 V, still" in chromium.run("return document.querySelector('.circuit').textContent")
    assert "bare wire" in chromium.run("return document.getElementById('told').textContent")
    chromium.run("player.seek(1600)")
    off = flows(chromium)
    assert off["small"] > 10
    told = chromium.run("return document.getElementById('told').textContent")
    assert "takes 103 V of the line" in told and "exhaust thermostat is open" in told
    change(chromium, "lesson.state.wiring = 'line'")
    chromium.run("player.seek(300)")
    both = flows(chromium)
    assert both["small"] > 5 and both["full"] > 15
    assert "line to itself" in chromium.run("return document.getElementById('told').textContent")


_OVERLAPS = """
const texts = [...document.querySelectorAll(arguments[0] + " text")];
const boxes = texts.map((e) => [e.textContent, e.getBoundingClientRect()]);
const around = document.querySelector(arguments[0]).getBoundingClientRect();
const touch = ([, a], [, b]) => a.left < b.right - 1 && b.left < a.right - 1 && a.top < b.bottom - 3 && b.top < a.bottom - 3;
const found = [];
boxes.forEach((one, i) => boxes.slice(i + 1).forEach((other) => { if (touch(one, other)) found.push(one[0] + " / " + other[0]); }));
for (const [text, box] of boxes) if (box.left < around.left - 1 || box.right > around.right + 1) found.push(text + " outside");
return found;
"""  # noqa: E501
_SMALLEST = """
const scale = (e) => { const svg = e.ownerSVGElement; return svg.getBoundingClientRect().width / svg.viewBox.baseVal.width; };
return Math.min(...[...document.querySelectorAll("#circuit text, #chart text")].map((e) => parseFloat(getComputedStyle(e).fontSize) * scale(e)));
"""  # noqa: E501


@SIZES
def test_words_in_the_drawings_neither_touch_nor_shrink(
    lesson: Path, chromium: Browser, size: tuple[int, int]
) -> None:
    """In every state of the circuit that a few cycles pass through."""
    opened(lesson, chromium, size)
    assert chromium.run(_SMALLEST) >= LEAST_TEXT
    for script in ("", *(script for script, _ in SETTINGS.values() if script)):
        change(chromium, f"Object.assign(lesson.state, setup.asItCame()); {script}")
        assert chromium.run(_OVERLAPS, "#chart svg") == []
        chromium.run("player.seek(0)")
        for _ in range(9):
            assert chromium.run(_OVERLAPS, ".circuit") == []
            chromium.run("player.step(1)")
        chromium.run("player.seek(1e9)")
        assert chromium.run(_OVERLAPS, ".circuit") == []


def answer(chromium: Browser, question: str, place: int) -> dict[str, Any]:
    """Choose an answer by its place, run it, and read what is said."""
    chromium.run(
        "const all = document.querySelectorAll(`input[name='${arguments[0]}']`);"
        "all[arguments[1]].click(); document.querySelector(`#question-${arguments[0]} button`).click()",
        question, place,
    )  # fmt: skip
    chromium.wait(f"return document.querySelector('#answer-{question} .verdict')")
    said = "const e = document.getElementById(arguments[0]); return [e.dataset.outcome, e.textContent]"
    outcome, text = chromium.run(said, f"answer-{question}")
    return {"outcome": outcome, "text": text}


def test_a_right_and_a_wrong_answer_are_told_with_numbers_of_the_run(lesson: Path, chromium: Browser) -> None:
    opened(lesson, chromium)
    right = answer(chromium, "first-move", 2)
    assert right["outcome"] == "cutOut"
    assert right["text"].startswith("Right.") and "26.2 min" in right["text"]
    wrong = answer(chromium, "damp", 0)
    assert wrong["outcome"] == "wet"
    assert wrong["text"].startswith("Not so. The machine says: A lot")
    assert "2 of 10 answered, 1 of them right." in chromium.run(
        "return document.getElementById('progress').textContent"
    )
    before = chromium.run("return document.body.dataset.drawn")
    chromium.run("[...document.querySelectorAll('#answer-damp button')].at(-1).click()")
    drawn_after(chromium, before)
    assert chromium.run("return document.querySelectorAll('#chart polyline').length") == 6
    assert chromium.run("return document.activeElement.id") == "cycle-title"
    assert "timer runs" in chromium.run("return document.getElementById('state').textContent")
    assert chromium.complaints() == []


def test_a_question_may_be_asked_of_the_sliders(lesson: Path, chromium: Browser) -> None:
    opened(lesson, chromium)
    change(chromium, "lesson.state.values = { weak_burner: 0.45 }")
    assert answer(chromium, "first-move", 2)["outcome"] == "cutOut"
    chromium.run("document.getElementById('own').click()")
    chromium.run("document.querySelector('#answer-first-move').replaceChildren()")
    assert answer(chromium, "first-move", 2)["outcome"] == "never"
    chromium.run("document.getElementById('own').click()")


def test_play_moves_the_cursor_and_pause_holds_it(lesson: Path, chromium: Browser) -> None:
    opened(lesson, chromium)
    chromium.run("lesson.state.tempo = 0.1; document.getElementById('play').click()")
    chromium.wait("return lesson.state.at > 60")
    assert chromium.run("return document.getElementById('play').textContent") == "Pause"
    chromium.run("document.getElementById('play').click()")
    held = chromium.run("return lesson.state.at")
    assert chromium.run("return document.getElementById('play').textContent") == "Play"
    assert chromium.driver.execute_async_script(
        "const done = arguments[0]; setTimeout(() => done(lesson.state.at), 200)"
    ) == pytest.approx(held)
    chromium.run("player.seek(1e9); document.getElementById('play').click()")
    chromium.wait("return lesson.state.at < 600")
    chromium.run("player.pause()")


def test_what_is_new_can_be_read_within_a_minute_of_play(lesson: Path, chromium: Browser) -> None:
    """Each text stands for four seconds when it first comes, and the whole takes no more than a minute."""
    opened(lesson, chromium)
    for script in ("", SETTINGS["blocked vent"][0]):
        change(chromium, f"Object.assign(lesson.state, setup.asItCame(), {{ tempo: 1 }}); {script}")
        shown = chromium.run(
            "const { cycle } = player.current(); const lasts = player.schedule();"
            "return cycle.stretches.map((one, i) => [telling.sentences(cycle, one).join(), lasts[i]])"
        )
        first: dict[str, float] = {}
        for text, seconds in shown[:-1]:
            first.setdefault(text, seconds)
        assert min(first.values()) > 4.0
        assert sum(seconds for _, seconds in shown) < 62.0
    assert chromium.run("return player.onward(1)") > 0.0


def test_who_wants_no_motion_is_taken_from_switching_to_switching(lesson: Path, chromium: Browser) -> None:
    opened(lesson, chromium)
    still = {"features": [{"name": "prefers-reduced-motion", "value": "reduce"}]}
    chromium.driver.execute_cdp_cmd("Emulation.setEmulatedMedia", still)
    chromium.run("document.getElementById('play').click()")
    starts = chromium.run("return player.current().cycle.stretches.map(({ from }) => from)")
    assert chromium.run("return lesson.state.at") == 0
    chromium.wait("return lesson.state.at > 0")
    assert chromium.run("return lesson.state.at") == pytest.approx(starts[1] + 0.5)
    chromium.run("player.pause()")


def test_keys_alone(lesson: Path, chromium: Browser) -> None:
    """Every control is reached in order and shows it; slider, cursor, switch and question answer to keys."""
    from selenium.webdriver.common.keys import Keys

    opened(lesson, chromium)
    # Of alternatives the chosen one is a stop, so one of each is chosen.
    chromium.run("for (const one of document.querySelectorAll('.question input')) one.click()")
    wanted = reachable(chromium)
    there = stops(chromium)
    assert [stop.place for stop in there] == wanted
    assert [stop.told for stop in there[1:] if not (stop.ringed and stop.shown)] == []

    def press(css: str, *keys: str) -> None:
        chromium.driver.find_element("css selector", css).send_keys(*keys)

    press("#time", Keys.HOME)
    press("#time", Keys.ARROW_RIGHT)
    assert chromium.run("return lesson.state.at") == pytest.approx(10.0)
    press("#time", Keys.PAGE_UP)
    assert "flame lit" in chromium.run(
        "return document.getElementById('time').getAttribute('aria-valuetext')"
    )
    press("#time", Keys.PAGE_DOWN)
    assert chromium.run("return lesson.state.at") < 10.0
    chromium.wait("return document.getElementById('spoken').textContent.includes('igniter')")
    press("#next", Keys.ENTER)
    assert chromium.run("return document.getElementById('state').textContent").startswith("flame lit")
    press("#play", Keys.SPACE)
    assert chromium.run("return document.body.dataset.playing") == "yes"
    press("#play", Keys.SPACE)
    before = chromium.run("return document.body.dataset.drawn")
    press("input[name=wiring][value=thermostat]", Keys.ARROW_DOWN)
    drawn_after(chromium, before)
    assert chromium.run("return lesson.state.wiring") == "chain"
    before = chromium.run("return document.body.dataset.drawn")
    press("#set-load-dry_mass ~ input[type=range]", Keys.ARROW_RIGHT)
    drawn_after(chromium, before)
    assert float(figure(chromium, "cycle time")) > 48.2
    said = chromium.run("return document.getElementById('result').textContent")
    assert re.fullmatch(r"As set: the timer first moves at \S+ min; \S+ min in all; \S+ % water left\.", said)
    press("input[name=half]", Keys.SPACE)
    press("#question-half button", Keys.ENTER)
    chromium.wait("return document.querySelector('#answer-half .verdict')")
    assert chromium.complaints() == []


def test_a_set_point_pushes_the_other(lesson: Path, chromium: Browser) -> None:
    opened(lesson, chromium)
    script = (
        "const e = document.getElementById(arguments[0]); e.value = arguments[1];"
        "e.dispatchEvent(new Event('input'))"
    )
    chromium.run(script, "set-machine-exhaust_cut_out", "130")
    assert chromium.run("return document.getElementById('set-machine-exhaust_cut_in').value") == "128"
    chromium.run(script, "set-machine-exhaust_cut_in", "150")
    assert chromium.run("return document.getElementById('set-machine-exhaust_cut_out').value") == "152"


def test_no_more_than_four_kinds_of_cloth(lesson: Path, chromium: Browser) -> None:
    opened(lesson, chromium)
    for name in ("towels", "jeans", "comforter", "bath-mat"):
        chromium.run(
            "const e = document.getElementById(`part-${arguments[0]}`); e.value = 20;"
            "for (const kind of ['input', 'change']) e.dispatchEvent(new Event(kind))",
            name,
        )
    shut = "return [...document.querySelectorAll('#parts input')].filter((e) => e.disabled).map((e) => e.id)"
    assert chromium.run(shut) == ["part-shirts-and-sheets", "part-test-cloth"]
    assert "at most" in chromium.run("return document.getElementById('parts-note').textContent")
    chromium.wait("return document.querySelectorAll('#chart polyline').length === 7")
    assert chromium.run("return document.getElementById('mix').value") == "-1"


def test_what_was_set_is_there_after_a_reload_and_rubbish_is_not(lesson: Path, chromium: Browser) -> None:
    opened(lesson, chromium)
    change(
        chromium, "Object.assign(lesson.state, { values: { vent_blockage: 0.5 }, wiring: 'chain', si: true })"
    )
    chromium.run("player.seek(400); lesson.saveNow()")
    time = figure(chromium, "cycle time")
    chromium.open(lesson)
    assert figure(chromium, "cycle time") == time
    assert chromium.run("return lesson.state.at") == pytest.approx(400.0)
    assert chromium.run("return document.querySelector('input[value=chain]').checked") is True
    assert chromium.run("return document.querySelector('#set-load-dry_mass + .unit').textContent") == "kg"
    rubbish = (
        '{"values": {"no_such": 1, "vent_blockage": "x"}, "mix": {"silk": 3}, "wiring": "lamp", "at": null}'
    )
    chromium.run(
        "addEventListener('pagehide', (event) => event.stopImmediatePropagation(), true);"
        "lesson.state.values = {}; localStorage.setItem('dryer-lesson-1', arguments[0]);"
        "Storage.prototype.setItem = () => {}",
        rubbish,
    )
    chromium.open(lesson)
    assert figure(chromium, "cycle time") == "48.2"
    assert chromium.complaints() == []


def test_memory_is_flat_while_a_slider_moves(lesson: Path, chromium: Browser) -> None:
    opened(lesson, chromium)
    moves(chromium, 20)
    before, elements = memory(chromium), chromium.run("return document.querySelectorAll('*').length")
    assert len(moves(chromium, MOVES)) == MOVES
    assert memory(chromium) - before < GROWTH
    assert abs(chromium.run("return document.querySelectorAll('*').length") - elements) < 100
    assert chromium.complaints() == []
    assert chromium.requests() == []


def test_every_control_has_a_name_of_its_own(lesson: Path, chromium: Browser) -> None:
    opened(lesson, chromium)
    told = controls(chromium)
    assert len(told) > 50
    assert [one for one in told if not one.name] == []
    assert [one for one, times in Counter(told).items() if times > 1] == []


@needs_axe
@SIZES
def test_no_rule_of_accessibility_is_broken(lesson: Path, chromium: Browser, size: tuple[int, int]) -> None:
    opened(lesson, chromium, size)
    change(chromium, "lesson.state.values = { vent_blockage: 0.75 }")
    chromium.run("player.seek(700)")
    answer(chromium, "blocked", 0)
    assert violations(chromium) == []


def test_paper_takes_three_sheets_and_cuts_nothing(lesson: Path, chromium: Browser) -> None:
    opened(lesson, chromium)
    for question in ("first-move", "volts", "damp"):
        answer(chromium, question, 0)
    assert sheets(chromium, LETTER) <= 3
    assert cut_off(chromium, LETTER) == []
