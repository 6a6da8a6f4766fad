"""The pocket page used for long: what it keeps in memory. Its benchmark does the same with 500 moves."""

from __future__ import annotations

from pathlib import Path

from tests.benchmarks.pocket import answers, memory
from tests.show.pages.browser import Browser, needs_browser

MOVES = 150
GROWTH = 0.6
"""[MB] of the page's script that may come over so many moves: what the browser itself keeps; 0.1 is usual."""


@needs_browser
def test_memory_is_flat_while_a_slider_moves(pocket_file: Path, chromium: Browser) -> None:
    """Nothing that a drawing made is kept by the next one, and no element is left over."""
    chromium.size(390, 844)
    chromium.open(pocket_file, "#fault")
    chromium.driver.set_script_timeout(60)
    answers(chromium, 20)
    before, elements = memory(chromium), chromium.run("return document.querySelectorAll('*').length")
    assert len(answers(chromium, MOVES)) == MOVES
    after = chromium.run("return document.querySelectorAll('*').length")
    assert memory(chromium) - before < GROWTH
    assert abs(after - elements) < 100
    assert chromium.complaints() == []
    assert chromium.requests() == []
