"""What a browser tells a screen reader of a page, and where the keyboard gets to."""

from __future__ import annotations

from typing import Any, NamedTuple

from tests.show.pages.browser import Browser

PARTS = ("healthy", "fault", "tuneup", "sums", "diagnosis")
"""Of the pocket page."""

SPOKEN = frozenset(
    ("button", "link", "textbox", "combobox", "checkbox", "radio", "slider", "spinbutton", "Date",
     "DisclosureTriangle", "searchbox", "listbox", "switch", "tab", "menuitem"),
)  # fmt: skip
"""Roles that a person operates."""

_FIELDS = "a[href], button, input, select, textarea, summary, [tabindex='0']"


_WALK = """
const [walkable, backwards] = arguments;
const all = [...document.querySelectorAll(walkable)];
window.walked = [];
if (window.walk) removeEventListener("keydown", window.walk, true);
window.walk = ({ key }) => {
  if (key !== "Tab") return;
  const at = document.activeElement;
  const style = getComputedStyle(at);
  const box = at.getBoundingClientRect();
  window.walked.push([all.indexOf(at), at.outerHTML.slice(0, 90),
    style.outlineStyle !== "none" && parseFloat(style.outlineWidth) >= 2,
    box.width > 0 && box.bottom > 0 && box.top < innerHeight]);
};
addEventListener("keydown", window.walk, true);
const shown = all.filter((e) => e.checkVisibility() && !e.disabled);
shown.at(backwards ? -1 : 0).focus();
return shown.length;
"""
"""Before each Tab it is noted where the focus is, whether a ring shows it and whether it is on the screen."""


class Control(NamedTuple):
    """A control as a screen reader is told of it."""

    role: str
    name: str


def controls(page: Browser) -> list[Control]:
    """Every control that shows, by the browser's own computation of its name."""
    nodes: list[dict[str, Any]] = page.driver.execute_cdp_cmd("Accessibility.getFullAXTree", {})["nodes"]
    told = [node for node in nodes if not node.get("ignored") and node["role"]["value"] in SPOKEN]
    return [Control(n["role"]["value"], n.get("name", {}).get("value", "").strip()) for n in told]


def open_part(page: Browser, part: str) -> None:
    """Show one part of the pocket page, with a fault chosen and all that folds opened."""
    page.run("location.hash = arguments[0]", part)
    page.wait(f"return !document.getElementById('{part}').hidden")
    page.run("for (const one of document.querySelectorAll('details')) one.open = true")


class Stop(NamedTuple):
    """A control that got the focus by a key, and whether that could be seen."""

    place: int  # in the order of the document
    told: str
    ringed: bool
    shown: bool


def stops(page: Browser, backwards: bool = False) -> list[Stop]:
    """Where the Tab key goes from one end of the page to the other; at the first a script put the focus."""
    from selenium.webdriver import ActionChains
    from selenium.webdriver.common.keys import Keys

    still = {"features": [{"name": "prefers-reduced-motion", "value": "reduce"}]}
    page.driver.execute_cdp_cmd("Emulation.setEmulatedMedia", still)
    count = page.run(_WALK, _FIELDS, backwards)
    keys = ActionChains(page.driver, duration=0)
    if backwards:
        keys.key_down(Keys.SHIFT)
    for _ in range(count + 20):
        keys.send_keys(Keys.TAB)
    if backwards:
        keys.key_up(Keys.SHIFT)
    keys.perform()
    kept: list[Stop] = []
    for stop in (Stop(*one) for one in page.run("return window.walked")):
        if kept and stop.place == kept[-1].place:
            continue  # a date has several places of its own
        if stop.place < 0 or stop.place in {one.place for one in kept}:
            break
        kept.append(stop)
    return kept


def reachable(page: Browser) -> list[int]:
    """Places, in the order of the document, of the controls that show; of alternatives only the chosen."""
    return [
        int(place)
        for place in page.run(
            """
            const all = [...document.querySelectorAll(arguments[0])];
            const there = (e) => e.checkVisibility() && !e.disabled && (e.type !== "radio" || e.checked);
            return all.map((e, i) => (there(e) ? i : -1)).filter((i) => i >= 0);
            """,
            _FIELDS,
        )
    ]
