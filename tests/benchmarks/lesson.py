"""How quickly the lesson draws and answers: ``python -m tests.benchmarks.lesson FILE.html``.

In a headless browser with no network: time from opening to the first drawing, times from moving a slider to
the new drawing, frames while it plays, and the script's memory before and after 500 moves.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path
from statistics import median

from tests.benchmarks.pocket import memory
from tests.show.pages.browser import Browser, browser

MOVES = 500

_MOVE = """
const [moves, done] = arguments;
const slider = document.querySelector("#set-load-dry_mass ~ input[type=range]");
const times = [];
function step() {
  if (times.length === moves) return done(times);
  const before = document.body.dataset.drawn;
  const began = performance.now();
  slider.value = 5 + (times.length * 37) % 12;
  slider.dispatchEvent(new Event("input"));
  const look = () => {
    if (document.body.dataset.drawn === before) return setTimeout(look, 1);
    times.push(performance.now() - began);
    return step();
  };
  return look();
}
step();
"""
_FRAMES = """
const [done] = arguments;
let frames = 0;
const began = performance.now();
document.getElementById("play").click();
function one() {
  frames += 1;
  if (performance.now() - began < 3000) return requestAnimationFrame(one);
  document.getElementById("play").click();
  return done(frames / (performance.now() - began) * 1000);
}
requestAnimationFrame(one);
"""


def moves(page: Browser, count: int) -> list[float]:
    """Time of each of so many moves of the load's slider [ms]."""
    page.driver.set_script_timeout(180)
    return [float(x) for x in page.driver.execute_async_script(_MOVE, count)]


def main(file: Path) -> None:
    """Print what was measured."""
    with browser() as page:
        began = time.perf_counter()
        page.open(file)
        print(f"{file.stat().st_size / 1e3:.0f} kB; first drawing after {time.perf_counter() - began:.2f} s")
        moves(page, 50)
        before = memory(page)
        times = sorted(moves(page, MOVES))
        print(f"answers: median {median(times):.0f} ms, 95 % within {times[int(0.95 * len(times))]:.0f} ms")
        print(f"memory: {before:.1f} MB, after {MOVES} moves {memory(page):.1f} MB")
        print(f"frames a second while it plays: {page.driver.execute_async_script(_FRAMES):.0f}")
        print(f"complaints: {page.complaints()}; requests: {page.requests()}")


if __name__ == "__main__":
    main(Path(sys.argv[1]))
