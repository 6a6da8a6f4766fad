"""The rules of axe-core in a page, where ``npm install --no-save axe-core`` has fetched it."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from tests.show.pages.browser import Browser

SOURCE = Path(__file__).parents[3] / "node_modules" / "axe-core" / "axe.min.js"

needs_axe = pytest.mark.skipif(
    not SOURCE.is_file(),
    reason="no axe-core in node_modules: the rules of accessibility beside our own are left out",
)

LEVELS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
"""Web Content Accessibility Guidelines 2.0 to 2.2, levels A and AA, as axe-core tags its rules."""

_RUN = """
const done = arguments[arguments.length - 1];
axe.run(document, { runOnly: { type: "tag", values: arguments[0] }, resultTypes: ["violations"] }).then(
  (found) => done({ passed: found.passes.length, broken: found.violations.flatMap((rule) => rule.nodes.map(
    (node) => `${rule.id}: ${node.target} ${node.html.slice(0, 120)}: ${node.failureSummary}`)) }),
  (error) => done({ passed: 0, broken: [String(error)] }));
"""


@cache
def _source() -> str:
    return SOURCE.read_text(encoding="utf-8")


def violations(page: Browser) -> list[str]:
    """What breaks a rule on the page as it stands, each with its element; empty where all is well."""
    page.driver.set_script_timeout(60)
    page.run(f"if (!window.axe) {{ {_source()} }}")
    found = page.driver.execute_async_script(_RUN, LEVELS)
    assert found["passed"] > 5 or found["broken"], "the rules did not run"
    return [str(one) for one in found["broken"]]
