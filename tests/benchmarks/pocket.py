"""How quickly the pocket page draws and answers: ``python -m tests.benchmarks.pocket FILE.html``.

In a headless browser with no network: time from opening to the first drawing, times from moving the fault's
slider to its new drawing, and the script's memory before and after 500 moves of it.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path
from statistics import median

from tests.show.pages.browser import Browser, browser

MOVES = 500
FAULTS = ("vent_blockage", "weak_burner", "outlet_gasket_leak", "igniter_slow", "drum_seal_leak")

_MOVE = """
const done = arguments[arguments.length - 1];
const slider = document.getElementById("severity");
const times = [];
const moves = arguments[0];
function step() {
  if (times.length === moves) return done(times);
  const before = document.body.dataset.drawn;
  const began = performance.now();
  slider.value = 1 + (times.length * 37) % 100;
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
_CHOOSE = """
const choice = document.getElementById("fault-choice");
choice.value = arguments[0];
choice.dispatchEvent(new Event("change"));
"""


def memory(page: Browser) -> float:
    """Memory of the page's script after a collection [MB]."""
    page.driver.execute_cdp_cmd("HeapProfiler.collectGarbage", {})
    return float(page.driver.execute_cdp_cmd("Runtime.getHeapUsage", {})["usedSize"]) / 1e6


def answers(page: Browser, moves: int) -> list[float]:
    """Time of each of so many moves of the slider [ms], over a few faults."""
    found = []
    for fault in FAULTS:
        drawn = page.run("return document.body.dataset.drawn")
        page.run(_CHOOSE, fault)
        page.wait(f"return document.body.dataset.drawn !== '{drawn}'")
        found += [float(x) for x in page.driver.execute_async_script(_MOVE, moves // len(FAULTS))]
    return found


def main(file: Path) -> None:
    """Print what was measured."""
    with browser() as page:
        page.driver.set_script_timeout(120)
        began = time.perf_counter()
        page.open(file, "#fault")
        print(f"{file.stat().st_size / 1e3:.0f} kB; first drawing after {time.perf_counter() - began:.2f} s")
        answers(page, 50)
        before = memory(page)
        times = sorted(answers(page, MOVES))
        print(f"answers: median {median(times):.0f} ms, 95 % within {times[int(0.95 * len(times))]:.0f} ms")
        print(f"memory: {before:.1f} MB, after {MOVES} moves {memory(page):.1f} MB")
        print(f"complaints: {page.complaints()}; requests: {page.requests()}")


if __name__ == "__main__":
    main(Path(sys.argv[1]))
