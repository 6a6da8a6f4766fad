"""The pages for those who read by ear, by keyboard or with little contrast, by rule and in a browser."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest

from tests.show.pages.axe import needs_axe, violations
from tests.show.pages.browser import Browser, needs_browser
from tests.show.pages.controls import PARTS, controls, open_part, reachable, stops

PHONE, DESKTOP = (390, 844), (1280, 900)
SIZES = pytest.mark.parametrize("size", [PHONE, DESKTOP], ids=["phone", "desktop"])

pytestmark = needs_browser

VISIT = """\
complaint = "takes too long to dry"
[safety]
"scorch marks" = true
[seen]
"flame seen" = true
[[measurement]]
name = "vent static"
value = "1.1 in w.c."
"""
CHOSEN = """
const fault = document.getElementById("fault-choice");
fault.value = "vent_blockage";
fault.dispatchEvent(new Event("change"));
visits.load(arguments[0]);
"""


def opened(page: Path, chromium: Browser, part: str) -> None:
    """One part of the pocket page with as much on it as it can have."""
    chromium.open(page)
    chromium.run(CHOSEN, VISIT)
    open_part(chromium, part)
    chromium.wait("return document.querySelectorAll('#fault-picture polyline').length === 6")
    if part == "sums":
        chromium.run(
            "for (const one of document.querySelectorAll('#sums input')) { one.value = '1'; "
            "one.dispatchEvent(new Event('input')); }"
        )


@needs_axe
@SIZES
@pytest.mark.parametrize("part", PARTS)
def test_no_rule_of_accessibility_is_broken(
    part: str, size: tuple[int, int], pocket_file: Path, chromium: Browser
) -> None:
    chromium.size(*size)
    opened(pocket_file, chromium, part)
    assert violations(chromium) == []


@needs_axe
@SIZES
@pytest.mark.parametrize("reader", ["customer", "technician"])
def test_no_rule_is_broken_by_a_report(
    reader: str, size: tuple[int, int], report_files: dict[str, Path], chromium: Browser
) -> None:
    chromium.size(*size)
    chromium.driver.get(report_files[reader].as_uri())
    assert violations(chromium) == []


@needs_axe
def test_the_rules_find_what_is_wrong(chromium: Browser) -> None:
    """A field without a name and a faint text are told: otherwise the tests above say nothing."""
    chromium.driver.get("data:text/html,<title>x</title><p style='color:%23bbb'>faint</p><input>")
    told = " ".join(violations(chromium))
    assert "label:" in told and "color-contrast:" in told and "html-has-lang:" in told


@pytest.mark.parametrize("part", PARTS)
def test_every_control_has_a_name_of_its_own(part: str, pocket_file: Path, chromium: Browser) -> None:
    """As the browser tells it to a screen reader: none without a name, no two alike in a part."""
    opened(pocket_file, chromium, part)
    told = controls(chromium)
    assert len(told) > 9
    assert [one for one in told if not one.name] == []
    assert [one for one, times in Counter(told).items() if times > 1] == []


@pytest.mark.parametrize("part", PARTS)
def test_the_tab_key_reaches_every_control_in_order_and_shows_where_it_is(
    part: str, pocket_file: Path, chromium: Browser
) -> None:
    chromium.size(*DESKTOP)
    opened(pocket_file, chromium, part)
    wanted = reachable(chromium)
    there = stops(chromium)
    assert [stop.place for stop in there] == wanted
    back = stops(chromium, backwards=True)
    assert [stop.place for stop in back] == wanted[::-1]
    assert [stop.told for stop in (*there[1:], *back[1:]) if not (stop.ringed and stop.shown)] == []


def test_every_kind_of_control_answers_to_keys(pocket_file: Path, chromium: Browser) -> None:
    """Slider, list, alternatives, tick, disclosure and button, without a pointer."""
    from selenium.webdriver.common.keys import Keys

    chromium.size(*DESKTOP)
    chromium.open(pocket_file)
    chromium.run("visits.load('')")

    def press(css: str, *keys: str) -> None:
        chromium.driver.find_element("css selector", css).send_keys(*keys)

    drawn = chromium.run("return document.body.dataset.drawn")
    before = chromium.run("return document.getElementById('set-load-dry_mass').value")
    press("input[type=range]", Keys.ARROW_RIGHT)
    assert chromium.run("return document.getElementById('set-load-dry_mass').value") != before
    chromium.wait(f"return document.body.dataset.drawn !== '{drawn}'")
    press("#as-it-came", Keys.ENTER)
    assert chromium.run("return document.getElementById('set-load-dry_mass').value") == before
    press("#machine-choice", Keys.ARROW_DOWN)
    assert chromium.run("return document.getElementById('machine-choice').selectedIndex") == 1
    press("input[value=trade]", Keys.ARROW_RIGHT)
    chromium.wait("return document.querySelector('#controls .unit').textContent === 'kg'")
    press("input[value=si]", Keys.ARROW_LEFT)
    press("nav a[href='#tuneup']", Keys.ENTER)
    chromium.wait("return !document.getElementById('tuneup').hidden")
    press("#step-power-off", Keys.SPACE)
    assert chromium.run("return (pocket.state.visit.work ?? []).length") == 1
    press("nav a[href='#diagnosis']", Keys.ENTER)
    chromium.wait("return !document.getElementById('diagnosis').hidden")
    press("#diagnosis summary", Keys.ENTER)
    assert chromium.run("return document.querySelector('#diagnosis details').open") is True
    press("#read-measurement-vent-static", "0.9", Keys.TAB)
    assert chromium.run("return pocket.state.visit.measurement[0].value") == "0.9 in w.c."
    assert chromium.complaints() == []
