"""A report on paper and on a phone, where a browser is at hand."""

from __future__ import annotations

import re
import subprocess
from pathlib import Path

import pytest

from tests.show.pages.browser import CHROMIUM, browser, needs_browser
from tests.show.pages.report_visits import QUICK, command

PAPERS = {"letter": "8.5in 11in", "A4": "210mm 297mm"}

pytestmark = pytest.mark.skipif(
    CHROMIUM is None, reason="no chromium on the PATH: what paper shows is left out"
)


def sheets(page: Path) -> int:
    """Pages that a file takes on paper."""
    out = page.with_suffix(".pdf")
    flags = ["--headless=new", "--no-sandbox", "--disable-gpu", "--no-pdf-header-footer"]
    told = [str(CHROMIUM), *flags, f"--user-data-dir={page.parent / 'browser'}", f"--print-to-pdf={out}"]
    subprocess.run([*told, page.as_uri()], check=True, capture_output=True, timeout=120)
    return max(int(count) for count in re.findall(rb"/Count (\d+)", out.read_bytes()))


@pytest.mark.parametrize(("reader", "paper"), [("technician", "letter"), ("customer", "A4")])
def test_two_sheets_hold_it(reader: str, paper: str, tmp_path: Path) -> None:
    out = tmp_path / "report.html"
    assert command("vent_cleared", "--for", reader, "-o", str(out), *QUICK).exit_code == 0
    text = out.read_text(encoding="utf-8")
    assert "@page { " in text
    out.write_text(text.replace("@page { ", f"@page {{ size: {PAPERS[paper]}; "), encoding="utf-8")
    assert 1 <= sheets(out) <= 2


@needs_browser
@pytest.mark.parametrize("reader", ["technician", "customer"])
def test_a_phone_shows_it_without_scrolling_sideways_and_nothing_is_asked_for(
    reader: str, tmp_path: Path
) -> None:
    out = tmp_path / "report.html"
    assert command("vent_cleared", "--for", reader, "-o", str(out), *QUICK).exit_code == 0
    with browser(360, 740) as phone:
        phone.driver.get(out.as_uri())
        width = phone.run("return document.documentElement.scrollWidth")
        small = phone.run(
            "return [...document.querySelectorAll('p, li, td, dd')]"
            ".map(e => parseFloat(getComputedStyle(e).fontSize))"
        )
        assert width <= 360 and min(small) >= 13.0
        assert phone.requests() == [] and phone.complaints() == []
