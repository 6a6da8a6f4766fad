"""The pocket page as a file, and in a browser without a network."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from pathlib import Path

import pytest
from typer.testing import CliRunner

from dryermodel.cli import app
from dryermodel.field.tune_up import STAGES
from dryermodel.field.visit import visit_of
from dryermodel.inference.bank import draw
from dryermodel.inference.priors import priors_of
from dryermodel.scenario.model import load_scenario
from dryermodel.show.pages.pocket.page import data, pocket_page
from dryermodel.show.pages.shared.assemble import inside
from tests.show.pages.browser import Browser, needs_browser

PHONE, DESKTOP = (360, 740), (1280, 900)
MOST_BYTES = 2_000_000

CHOOSE = """
const choose = (id, value, kind) => {
  const e = document.getElementById(id);
  e.value = value;
  e.dispatchEvent(new Event(kind, { bubbles: true }));
};
"""


@pytest.fixture
def page(pocket_file: Path) -> Path:
    """The page as the command writes it."""
    return pocket_file


def test_one_file_that_asks_for_nothing(page: Path) -> None:
    text = page.read_text(encoding="utf-8")
    assert len(text.encode("utf-8")) < MOST_BYTES
    assert not re.search(r"""(src|href)=["'](?!#|data:)""", text)
    assert not re.search(r"@import|url\(|fetch\(|XMLHttpRequest|https?://(?!www\.w3\.org/2000/svg)", text)
    assert "default-src 'none'" in text


def test_same_page_every_time() -> None:
    scenario = load_scenario("standard")
    bank = draw(scenario, priors_of(scenario), 53, seed=1)
    assert pocket_page("1", bank) == pocket_page("1", bank)
    assert pocket_page("<b>", bank).count("dryermodel &lt;b&gt;") == 1


def test_what_comes_first_in_the_tables_comes_first_on_the_page(page: Path) -> None:
    """The order of safe work, and the usual state of a measurement, are orders of keys."""
    told = re.search(r'<script id="data"[^>]*>(.*?)</script>', page.read_text(encoding="utf-8"), re.S)
    assert told
    assert json.dumps(json.loads(told[1])) == json.dumps(data())
    assert list(json.loads(told[1])["questions"]["stages"]) == list(STAGES)


@pytest.mark.parametrize("text", ["a</script>", "</STYLE>", "<!-- x"])
def test_a_script_cannot_end_its_element(text: str) -> None:
    with pytest.raises(ValueError, match="end its own element"):
        inside(text)


def test_a_page_is_written_to_html_only(tmp_path: Path) -> None:
    done = CliRunner().invoke(app, ["pocket", "-o", str(tmp_path / "page.pdf")])
    assert done.exit_code == 2
    assert "ends in .html" in done.stderr
    assert not list(tmp_path.iterdir())


@needs_browser
@pytest.mark.parametrize("size", [PHONE, DESKTOP], ids=["phone", "desktop"])
def test_draws_without_complaint_or_request(page: Path, chromium: Browser, size: tuple[int, int]) -> None:
    """The healthy cycle is drawn and nothing is wider than the screen, in every part."""
    chromium.size(*size)
    chromium.open(page)
    assert chromium.run("return document.querySelectorAll('#healthy-picture polyline').length") == 3
    parts = chromium.run("return [...document.querySelectorAll('main > section')].map((part) => part.id)")
    for part in parts:
        chromium.run("location.hash = arguments[0]", part)
        chromium.wait(f"return !document.getElementById('{part}').hidden")
        assert chromium.run("return document.documentElement.scrollWidth <= innerWidth"), part
    assert chromium.complaints() == []
    assert chromium.requests() == []


@needs_browser
def test_a_fault_beside_healthy_is_still_there_after_a_reload(page: Path, chromium: Browser) -> None:
    """Figures in the table are those of the command line, before and after."""
    chromium.size(*PHONE)
    chromium.open(page, "#fault")
    chromium.run(
        f"{CHOOSE} choose('fault-choice', 'vent_blockage', 'change'); choose('severity', '75', 'input')"
    )
    cells = (
        "return [...document.querySelectorAll('#fault-figures tbody tr')].map((r) => r.textContent).join(';')"
    )
    chromium.wait(f"{cells.replace('return', 'return (')}).includes('high-limit trips')")
    chromium.wait("return document.getElementById('severity-said').textContent === '75 %'")
    chromium.wait("return document.querySelectorAll('#fault-picture polyline').length === 6")
    before = settled(chromium, cells)
    words = CliRunner().invoke(app, ["simulate", "standard", "--fault", "vent_blockage=75 %"]).stdout
    for label in (
        "cycle time",
        "final moisture",
        "burner on",
        "burner cycles",
        "timer on",
        "high-limit trips",
    ):
        told = re.search(rf"^{label}[^0-9\n]*?([\d.]+)(?: |$)", words, re.M)
        assert told, label
        assert re.search(rf"{label}[^;]*?{re.escape(told[1])}(;|$)", before), (label, told[1], before)
    chromium.run("pocket.saveNow()")
    chromium.open(page, "#fault")
    chromium.wait("return document.querySelectorAll('#fault-picture polyline').length === 6")
    assert settled(chromium, cells) == before
    assert chromium.complaints() == []


def settled(chromium: Browser, script: str) -> str:
    """What a script returns once two looks at it are alike and the worker has nothing to do."""
    chromium.run("window.seen = document.body.dataset.drawn")
    chromium.run("dispatchEvent(new Event('hashchange'))")
    chromium.wait("return document.body.dataset.drawn !== window.seen")
    return str(chromium.run(script))


@needs_browser
def test_keyboard_alone_and_names_for_all_that_is_entered(page: Path, chromium: Browser) -> None:
    """Every field and button that shows has a name; the part's title is reached by the menu."""
    chromium.size(*DESKTOP)
    chromium.open(page)
    nameless = """
    const named = (e) => e.labels?.length || e.getAttribute("aria-label") || e.textContent.trim();
    const all = [...document.querySelectorAll("input, select, textarea, button")];
    return all.filter((e) => !named(e)).map((e) => e.outerHTML);
    """
    assert chromium.run(nameless) == []
    assert chromium.run("return [...document.querySelectorAll('[tabindex]')].every((e) => e.tabIndex <= 0)")
    from selenium.webdriver.common.keys import Keys

    link = chromium.driver.find_element("css selector", "nav a[href='#fault']")
    link.send_keys(Keys.ENTER)
    chromium.wait("return document.activeElement.id === 'fault-title'")


@needs_browser
def test_texts_stand_out_from_their_ground(page: Path, chromium: Browser) -> None:
    """Contrast of at least 4.5 to 1 (WCAG 2.1, 1.4.3) for every text."""
    chromium.open(page)
    chromium.run("for (const part of document.querySelectorAll('main > section')) part.hidden = false")
    script = """
    const parts = (text) => text.match(/[\\d.]+/g).map(Number);
    const linear = (s) => (s <= 0.03928 ? s / 12.92 : ((s + 0.055) / 1.055) ** 2.4);
    const channel = (c) => linear(c / 255);
    const light = ([r, g, b]) => 0.2126 * channel(r) + 0.7152 * channel(g) + 0.0722 * channel(b);
    const ground = (e) => {
      for (; e; e = e.parentElement) {
        const c = parts(getComputedStyle(e).backgroundColor);
        if (c.length < 4 || c[3] > 0) return c;
      }
      return [255, 255, 255];
    };
    const told = [];
    for (const e of document.querySelectorAll("body *")) {
      const own = [...e.childNodes].some((n) => n.nodeType === 3 && n.textContent.trim());
      if (!own || ["SCRIPT", "STYLE", "NOSCRIPT"].includes(e.tagName)) continue;
      const style = getComputedStyle(e);
      const colour = e instanceof SVGElement ? style.fill : style.color;
      const both = [light(parts(colour)), light(ground(e))].sort((a, b) => b - a);
      if ((both[0] + 0.05) / (both[1] + 0.05) < 4.5) told.push(e.outerHTML.slice(0, 120));
    }
    return told;
    """
    assert chromium.run(script) == []


@needs_browser
def test_a_visit_is_kept_loaded_and_told_as_the_command_reads_it(page: Path, chromium: Browser) -> None:
    """A hostile complaint is text and nothing else; a tick becomes work; a reading gets its unit."""
    chromium.open(page, "#tuneup")
    text = 'complaint = "</script><img src=x onerror=alert(1)>"\n[seen]\n"flame seen" = true\n'
    chromium.run("visits.load(arguments[0])", text)
    assert chromium.run("return document.querySelectorAll('main img').length") == 0
    assert "<img" in chromium.run("return document.getElementById('visit-complaint').value")
    chromium.run("document.getElementById('step-power-off').click()")
    field = "step-first-readings-measurement-vent-static"
    chromium.run(f"{CHOOSE} choose('{field}', '0.62', 'change')")
    told = visit_of(chromium.run("return document.getElementById('visit-text').value"), Path("page.toml"))
    assert [m.name for m in told.evidence().measured] == ["vent static"]
    assert told.file.measurement[0].value == "0.62 in w.c."
    assert told.file.seen == {"flame seen": True}
    assert len(told.work) == 1
    chromium.run("pocket.saveNow()")
    chromium.open(page, "#tuneup")
    assert chromium.run(f"return document.getElementById('{field}').value") == "0.62 in w.c."
    assert chromium.run("return document.getElementById('step-power-off').checked") is True
    assert chromium.complaints() == []


@needs_browser
def test_a_sum_answers_as_soon_as_it_can(page: Path, chromium: Browser) -> None:
    chromium.open(page, "#sums")
    chromium.run(f"{CHOOSE} choose('sum-gas-clock-dial', '1/2 ft3', 'input')")
    assert chromium.run("return document.getElementById('sum-gas-clock').textContent") == ""
    chromium.run(f"{CHOOSE} choose('sum-gas-clock-seconds', '82', 'input')")
    told = chromium.run("return document.getElementById('sum-gas-clock').textContent")
    assert "22500 Btu/h" in told
    assert "common practice" in told
    chromium.run(f"{CHOOSE} choose('sum-gas-clock-seconds', '82 ducks', 'input')")
    assert "no unit known here" in chromium.run("return document.getElementById('sum-gas-clock').textContent")


@needs_browser
def test_suspects_come_after_safety(page: Path, chromium: Browser) -> None:
    """A smell of gas leaves no suspects on the page; without it they answer to a reading."""
    chromium.open(page, "#diagnosis")
    chromium.run("visits.load('')")
    chromium.run(f"{CHOOSE} choose('danger-safety-smell-of-gas', 'yes', 'change')")
    assert "everybody out" in chromium.run("return document.getElementById('dangers-told').textContent")
    assert chromium.run("return document.querySelectorAll('#suspects-told table').length") == 0
    chromium.run(f"{CHOOSE} choose('danger-safety-smell-of-gas', 'no', 'change')")
    chromium.run(f"{CHOOSE} choose('read-measurement-vent-static', '1.3', 'change')")
    told = chromium.run("return document.querySelector('#suspects-told table').textContent")
    assert "Vent blocked" in told
    chromium.wait("return document.querySelectorAll('#suspects-told ol li').length > 2")
    assert chromium.complaints() == []


@needs_browser
def test_another_machine_and_what_cannot_be_are_told_before_suspects(page: Path, chromium: Browser) -> None:
    """Values that differ are named with both; contradictions take the place of percentages."""
    chromium.open(page, "#diagnosis")
    told = "return document.getElementById('suspects-told').textContent"
    chromium.run("visits.load(arguments[0])", 'scenario = "electric"\nset = ["load.dry_mass=12 lb"]\n')
    first = chromium.run(told)
    assert "machine.heat electric, here gas" in first
    assert "set by the visit: load.dry_mass=12 lb" in first
    assert "--scenario" in first
    chromium.run("visits.load(arguments[0])", 'scenario = "mine.toml"\n')
    assert "'mine.toml' is not known" in chromium.run(told)
    chromium.run("visits.load('')")
    assert "another machine" not in chromium.run(told)
    chromium.run("visits.load(arguments[0])", '[seen]\n"flame returns" = true\n"flame seen" = false\n')
    assert "'flame returns' is answered yes, but 'flame seen' no." in chromium.run(told)
    assert chromium.run("return document.querySelectorAll('#suspects-told table').length") == 0
    chromium.run("visits.load('')")
    assert chromium.complaints() == []


@needs_browser
def test_the_timers_advance_is_entered_between_two_minutes(page: Path, chromium: Browser) -> None:
    chromium.open(page, "#diagnosis")
    chromium.run("visits.load('')")
    chromium.run(f"{CHOOSE} choose('read-timer-advance', '4', 'change')")
    chromium.run(f"{CHOOSE} choose('read-timer-advance-to', '45 min', 'change')")
    told = visit_of(chromium.run("return document.getElementById('visit-text').value"), Path("page.toml"))
    assert [m.name for m in told.evidence().measured] == ["timer advance 20-45 min"]
    assert told.evidence().measured[0].value == 240.0
    chromium.run(f"{CHOOSE} choose('read-timer-advance-to', '10 min', 'change')")
    problem = "return document.getElementById('read-timer-advance-problem').textContent"
    assert "the first before the second" in chromium.run(problem)
    chromium.run(f"{CHOOSE} choose('read-timer-advance', '', 'change')")
    assert "timer advance" not in chromium.run("return document.getElementById('visit-text').value")


def test_a_page_for_a_machine_of_ones_own_opens_with_it() -> None:
    """It is the first of the list, and no visit of it counts as one of another machine."""
    shipped = load_scenario("small_load")
    own = replace(shipped, name="mine", title="Mine")
    assert [one["name"] for one in data(own)["machines"][:2]] == ["mine", "standard"]
    assert data(shipped)["machines"][0]["name"] == "small_load"
    assert data()["machines"][0]["name"] == data()["usual"] == "standard"
