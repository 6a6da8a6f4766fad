"""What a page in a browser becomes on paper."""

from __future__ import annotations

import base64
import re
from typing import NamedTuple

from tests.show.pages.browser import Browser

INCH = 96.0
"""Pixels of CSS in an inch."""


class Paper(NamedTuple):
    """Width and height [in]."""

    width: float
    height: float


LETTER, A4 = Paper(8.5, 11.0), Paper(8.27, 11.69)
MARGIN = 0.4
"""Of a sheet where the page asks for none of its own [in]; what browsers take."""


def sheets(page: Browser, paper: Paper) -> int:
    """Sheets that the page takes on that paper."""
    told = {"paperWidth": paper.width, "paperHeight": paper.height}
    pdf = base64.b64decode(page.driver.execute_cdp_cmd("Page.printToPDF", told)["data"])
    return max(int(count) for count in re.findall(rb"/Count (\d+)", pdf))


def cut_off(page: Browser, paper: Paper) -> list[str]:
    """What on that paper would reach past its edges, or be hidden in a box that is too small for it."""
    page.driver.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": "print"})
    wide = int((paper.width - 2 * MARGIN) * INCH)
    page.size(wide, int(paper.height * INCH))
    page.run("dispatchEvent(new Event('beforeprint'))")
    told = page.run(_CUT, wide)
    page.driver.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": ""})
    return [str(one) for one in told]


_CUT = """
const all = [...document.querySelectorAll("body *")];
const shown = all.filter((e) => e.checkVisibility() && !e.closest(".spoken"));
const inside = (e) => e.getBoundingClientRect().right <= arguments[0] + 1;
const held = (e) => getComputedStyle(e).overflowX === "visible" || e.scrollWidth <= e.clientWidth + 1;
return shown.filter((e) => !inside(e) || !held(e)).map((e) => e.outerHTML.slice(0, 120));
"""
