"""What cannot all be so, on the page: the command line's own rules, over visits that break each of them."""

from __future__ import annotations

from pathlib import Path

import pytest

from dryermodel.field.conflicts import conflicts
from dryermodel.field.visit import Visit, find_visit, shipped_visits, visit_of
from dryermodel.inference.bank import draw
from dryermodel.inference.priors import priors_of
from dryermodel.scenario.files import shipped_scenarios
from dryermodel.scenario.model import load_scenario
from dryermodel.show.pages.pocket.bank import bank_data, differences
from tests.cycle.node import needs_node
from tests.show.pages.pocket_node import in_page

SCRIPTS = ("core", "moves", "toml", "written", "reading", "reckon", "suspects", "conflicts")
_FOUND = """
const answer = given.question.map((text) => {
  const evidence = suspects.evidenceOf(toml.read(text), reading);
  const before = conflicts.found(evidence.taken, evidence.seen);
  return { left: evidence.left, before, after: conflicts.found(evidence.after, []) };
});
"""


def entries(*pairs: tuple[str, str], section: str = "measurement") -> str:
    return "".join(f'[[{section}]]\nname = "{name}"\nvalue = "{value}"\n' for name, value in pairs)


def seen(**answers: bool) -> str:
    return "[seen]\n" + "".join(f'"{k.replace("_", " ")}" = {str(v).lower()}\n' for k, v in answers.items())


SENSELESS = {
    "twice": entries(("vent static", "0.2 in w.c."), ("vent static", "1.1 in w.c.")),
    "gets heavier": entries(("start weight", "13 lb"), ("end weight", "16 lb")),
    "dry above wet": entries(("start weight", "9 lb"), ("dry weight", "12 lb")),
    "cold opening": entries(("cut-out temperature", "120 degF"), ("cut-in temperature", "150 degF")),
    "peak": entries(("exhaust temperature", "190 degF"), ("peak exhaust temperature", "140 degF")),
    "regulator": entries(("supply pressure", "3 in w.c."), ("manifold pressure", "5 in w.c.")),
    "weights": entries(("start weight", "13 lb"), ("dry weight", "8 lb"), ("start moisture", "20 %")),
    "no flame": seen(flame_seen=False) + entries(("gas input", "22000 Btu/h"), ("burner cycles", "6")),
    "no glow": seen(igniter_glows=False) + entries(("ignition tries", "4")),
    "returns": seen(flame_returns=True) + entries(("burner cycles", "1")),
    "returns not": seen(flame_returns=False) + entries(("burner cycles", "9")),
    "needs": seen(flame_returns=True, flame_seen=False, igniter_glows=False, glow_stays_on=True),
    "both": seen(weak_air_at_the_hood=True, strong_air_at_the_hood=True),
    "both ends": seen(auto_never_ends=True, stops_too_soon=True),
    "static": entries(("vent static", "6 in w.c.")),
    "flow": entries(("exhaust flow", "600 cfm")),
    "input": entries(("gas input", "150000 Btu/h")),
    "colder": '[conditions]\nroom_temperature = "80 degF"\n' + entries(("exhaust temperature", "60 degF")),
    "wet bulb": seen(flame_seen=False)
    + entries(("exhaust temperature", "38 degF"), ("room humidity", "60 %")),
    "dial": '[[measurement]]\nname = "timer advance"\nfrom = "20 min"\nto = "40 min"\nvalue = "35 min"\n',
    "afterwards": entries(("vent static", "0.2 in w.c."), ("vent static", "1.1 in w.c."), section="after"),
    "fine": seen(flame_seen=True) + entries(("vent static", "0.5 in w.c."), ("cycle time", "50 min")),
}  # fmt: skip
"""Visits by what is wrong with them."""


def told(visit: Visit) -> tuple[list[str], list[str]]:
    """Messages of the command line before and after the work, with the name they are about in front."""
    found = []
    for measured, answers in ((visit.measured, visit.seen), (visit.after, ())):
        all_of = conflicts([m.item for m in measured], [s.item for s in answers], visit.scenario)
        found.append(
            [c.message if c.message.startswith(c.names[0]) else f"{c.names[0]}: {c.message}" for c in all_of]
        )
    return found[0], found[1]


@needs_node
@pytest.mark.parametrize("machine", ["standard", "electric"])
def test_page_and_command_line_refuse_the_same_in_the_same_words(machine: str) -> None:
    scenario = load_scenario(machine)
    bank = bank_data(draw(scenario, priors_of(scenario), 100, seed=1))
    shipped = [find_visit(name).read_text(encoding="utf-8") for name in shipped_visits()]
    mine = [text for text in shipped if f'scenario = "{machine}"' in text and "\nset" not in text]
    texts = [*(f'scenario = "{machine}"\n{text}' for text in SENSELESS.values()), *mine]
    refused = 0
    for text, page in zip(texts, in_page(_FOUND, texts, SCRIPTS, bank), strict=True):
        before, after = told(visit_of(text, Path("visit.toml")))
        assert page == {"left": [], "before": before, "after": after}, text
        refused += bool(before or after)
    assert refused >= 19


def test_every_rule_is_broken_by_one_of_them() -> None:
    """Otherwise the comparison says nothing of that rule."""
    whole = " ".join(
        message
        for machine in ("standard", "electric")
        for text in SENSELESS.values()
        for found in told(visit_of(f'scenario = "{machine}"\n{text}', Path("visit.toml")))
        for message in found
    )
    for words in (
        "too far apart", "does not get heavier", "cannot weigh less than the dry", "opens hot", "the peak",
        "only lowers", "of water", "is answered no", "'flame returns' is answered yes",
        "'flame returns' is answered no", "is answered yes, but", "cannot both be so", "against a shut vent",
        "with nothing in its way", "times the plate's", "colder than the room", "colder than wet cloth",
        "no faster than the clock", "this machine heats with electricity", "leave it out",
    ):  # fmt: skip
        assert words in whole, words


def test_what_differs_from_another_machine_is_named_with_both_values() -> None:
    found = differences(load_scenario("standard"))
    assert set(found) == set(shipped_scenarios())
    assert found["standard"] == []
    assert any(line.startswith("machine.heat ") and "here" in line for line in found["electric"])
    assert differences(load_scenario("electric"))["electric"] == []
