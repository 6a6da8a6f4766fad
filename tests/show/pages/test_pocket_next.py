"""The page's next test against the command line's, on the same machines: as much told, in the same order."""

from __future__ import annotations

from pathlib import Path

from dryermodel.field.visit import find_visit, visit_of
from dryermodel.inference.diagnosis import Diagnosis
from dryermodel.inference.next_test import next_tests
from dryermodel.inference.posterior import weigh
from dryermodel.show.pages.pocket.bank import bank_data
from tests.cycle.node import needs_node
from tests.show.pages.pocket_node import in_page
from tests.show.pages.test_pocket_suspects import SCRIPTS, bank

BITS, SHARE = 0.08, 0.2
"""Difference of what a test tells [bit] and as a share: both draw results and shuffles of their own."""

FIRST, MEAN = 6, 0.4
"""First of the command's tests of which each must agree, and the mean over all in those: what tells
little is nought to one of the two and not to the other."""

WORSE = 0.8
"""Least share of the best test's worth that the page's first test has."""

_NEXT = """
const answer = given.question.map((text) => {
  const evidence = suspects.evidenceOf(toml.read(text), reading);
  const tests = nextTests.all(suspects.weigh(evidence), evidence);
  return tests.map(({ test, bits, minutes }) => [test.name, bits, minutes]);
});
"""
VISITS = {
    "nothing": "",
    "complaint": 'complaint = "no heat"\n',
    "one reading": '[[measurement]]\nname = "cycle time"\nvalue = "75 min"\n',
    "shipped": "slow_towels",
    "answers": '[seen]\n"flame seen" = false\n"igniter glows" = true\n',
}  # fmt: skip


@needs_node
def test_the_next_test_is_that_of_the_command() -> None:
    texts = [find_visit(t).read_text(encoding="utf-8") if t == "slow_towels" else t for t in VISITS.values()]
    for text, page in zip(texts, in_page(_NEXT, texts, (*SCRIPTS, "next"), bank_data(bank())), strict=True):
        visit = visit_of(text, Path("visit.toml"))
        usual = {t.name: t for t in next_tests(Diagnosis(weigh(bank(), visit.evidence()), 1))}
        found = {name: (bits, minutes) for name, bits, minutes in page}
        assert list(found) == sorted(found, key=lambda name: -found[name][0] / found[name][1])
        off = {}
        for name in {*usual, *found}:
            own = usual[name].bits if name in usual else 0.0
            off[name] = abs((found[name][0] if name in found else 0.0) - own) / (BITS + SHARE * own)
        assert all(off[name] <= 1.0 for name in list(usual)[:FIRST]), (text, off)
        assert sum(off.values()) <= MEAN * len(off), text
        if usual:
            best = max(t.rate for t in usual.values())
            assert page and usual[page[0][0]].rate > WORSE * best, text
            assert any(name in found for name in ("vent static", "gas input", "exhaust flow"))
