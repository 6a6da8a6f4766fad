"""The pocket page and the reports on paper: how many sheets, and that nothing is cut."""

from __future__ import annotations

from pathlib import Path

import pytest

from dryermodel.field.visit import find_visit
from tests.show.pages.browser import Browser, needs_browser
from tests.show.pages.controls import PARTS, open_part
from tests.show.pages.paper import A4, LETTER, Paper, cut_off, sheets

pytestmark = needs_browser

MOST = {"healthy": 2, "fault": 2, "tuneup": 3, "sums": 1, "diagnosis": 2}
"""Sheets for each part: picture and figures, the list of work, sums that were done, a record of the visit."""

PAPERS = pytest.mark.parametrize("paper", [LETTER, A4], ids=["letter", "A4"])
_FILL = """
const fault = document.getElementById("fault-choice");
fault.value = "vent_blockage";
fault.dispatchEvent(new Event("change"));
visits.load(arguments[0]);
for (const [id, text] of [["sum-gas-clock-dial", "1/2 ft3"], ["sum-gas-clock-seconds", "82"]]) {
  document.getElementById(id).value = text;
  document.getElementById(id).dispatchEvent(new Event("input"));
}
"""


@PAPERS
@pytest.mark.parametrize("part", PARTS)
def test_a_part_takes_few_sheets_and_nothing_is_cut(
    part: str, paper: Paper, pocket_file: Path, chromium: Browser
) -> None:
    chromium.size(1280, 900)
    chromium.open(pocket_file)
    chromium.run(_FILL, find_visit("slow_towels").read_text(encoding="utf-8"))
    open_part(chromium, part)
    chromium.wait("return document.querySelectorAll('#fault-picture polyline').length === 6")
    assert sheets(chromium, paper) <= MOST[part]
    assert cut_off(chromium, paper) == []


def test_a_record_leaves_out_what_was_not_asked(pocket_file: Path, chromium: Browser) -> None:
    """On paper the suspects show answers, folded away or not; the tune-up keeps its empty lines."""
    chromium.size(1280, 900)
    chromium.open(pocket_file, "#diagnosis")
    chromium.run("visits.load(arguments[0])", '[seen]\n"flame seen" = true\n')
    chromium.driver.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": "print"})
    asked = (
        "return [...document.querySelectorAll('#PART .reading select, #PART .reading input')]"
        ".filter((e) => e.checkVisibility()).map((e) => e.value)"
    )
    assert chromium.run(asked.replace("PART", "diagnosis")) == []
    chromium.run("dispatchEvent(new Event('beforeprint'))")
    assert chromium.run(asked.replace("PART", "diagnosis")) == ["yes"]
    chromium.run("dispatchEvent(new Event('afterprint'))")
    assert chromium.run("return document.querySelectorAll('#looks details[open]').length") == 0
    open_part(chromium, "tuneup")
    assert chromium.run(asked.replace("PART", "tuneup")).count("") > 10
    chromium.driver.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": ""})


@PAPERS
@pytest.mark.parametrize("reader", ["customer", "technician"])
def test_nothing_of_a_report_is_cut(
    reader: str, paper: Paper, report_files: dict[str, Path], chromium: Browser
) -> None:
    chromium.driver.get(report_files[reader].as_uri())
    assert cut_off(chromium, paper) == []
    assert sheets(chromium, paper) <= 2
