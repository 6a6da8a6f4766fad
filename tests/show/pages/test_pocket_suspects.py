"""The page's suspects: the probabilities of the program on the same machines."""

from __future__ import annotations

import base64
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from dryermodel.field.observations import observations
from dryermodel.field.visit import find_visit, shipped_visits, visit_of
from dryermodel.inference.bank import Bank, draw
from dryermodel.inference.diagnosis import Diagnosis
from dryermodel.inference.posterior import weigh
from dryermodel.inference.priors import priors_of
from dryermodel.scenario.model import load_scenario
from dryermodel.show.pages.pocket.bank import NONE, STEPS, bank_data, coded, needed
from tests.cycle.node import needs_node
from tests.show.pages.pocket_node import in_page

SCRIPTS = ("core", "moves", "toml", "written", "reading", "reckon", "suspects")
AGREEMENT = 0.02
MACHINES, SEED = 1060, 3

_SUSPECTS = """
const answer = given.question.map((text) => {
  const evidence = suspects.evidenceOf(toml.read(text), reading);
  const found = suspects.weigh(evidence);
  const groups = suspects.ranking(evidence, found).map(({ members }) => members);
  return { left: evidence.left, probabilities: found.probabilities, outside: found.outside,
    effective: found.effective, groups };
});
"""


@cache
def bank() -> Bank:
    """A small bank of the standard machine."""
    scenario = load_scenario("standard")
    return draw(scenario, priors_of(scenario), MACHINES, SEED)


READINGS = {
    "cycle time": ("38 min", "48 min", "60 min", "95 min"),
    "vent static": ("0.2 in w.c.", "0.55 in w.c.", "1.1 inH2O"),
    "exhaust flow": ("80 cfm", "150 cfm", "60 L/s"), "exhaust temperature": ("95 degF", "118 F", "45 degC"),
    "gas input": ("12000 Btu/h", "22000 Btu/h", "6.5 kW"), "burner cycles": ("1", "6", "20"),
    "start weight": ("13 lb", "20 lb"), "final moisture": ("2 %", "25 %"), "high-limit trips": ("0", "12"),
}  # fmt: skip
COMPLAINTS = ("", "takes too long to dry", "no heat", "runs for ever", "stops early, clothes damp")


def drawn_visits(count: int, seed: int) -> list[str]:
    """Visits with readings and answers as they come, likely together or not."""
    chosen = np.random.default_rng(seed)
    names = [name for name in observations() if name != "timer motor open"]
    found: list[str] = []
    for _ in range(count):
        text = f'complaint = "{chosen.choice(COMPLAINTS)}"\n\n[seen]\n'
        for name in chosen.choice(names, 3, replace=False):
            text += f'"{name}" = {str(observations()[str(name)].normal).lower()}\n'
        for name in chosen.choice(list(READINGS), chosen.integers(0, 5), replace=False):
            text += f'\n[[measurement]]\nname = "{name}"\nvalue = "{chosen.choice(READINGS[str(name)])}"\n'
        if len(found) % 4 == 0:
            text += (
                '\n[[measurement]]\nname = "timer advance"\nfrom = "20 min"\nto = "40 min"\nvalue = "4 min"\n'
            )
        found.append(text)
    return found


def visits() -> list[str]:
    """Shipped ones and drawn ones, twenty in all."""
    shipped = [find_visit(name).read_text(encoding="utf-8") for name in shipped_visits()]
    return shipped + drawn_visits(20 - len(shipped), seed=8)


@needs_node
def test_probabilities_of_twenty_visits() -> None:
    """Every hypothesis and what is outside of them within 0.02, and the same groups at the top."""
    texts = visits()
    assert len(texts) == 20
    told: list[dict[str, Any]] = in_page(_SUSPECTS, texts, SCRIPTS, bank_data(bank()))
    for text, page in zip(texts, told, strict=True):
        assert page["left"] == [], text
        visit = visit_of(text, Path("visit.toml"))
        usual = weigh(bank(), visit.evidence())
        assert page["probabilities"] == pytest.approx(usual.probabilities.tolist(), abs=AGREEMENT), text
        assert page["outside"] == pytest.approx(usual.outside, abs=AGREEMENT)
        assert page["effective"] == pytest.approx(usual.effective, rel=0.1)
        ranked = Diagnosis(usual, SEED).ranking
        likely = [set(r.hypotheses) for r in ranked if r.probability > 0.15]
        assert all(one in [set(members) for members in page["groups"]] for one in likely), text


@needs_node
def test_what_is_not_weighed_is_told() -> None:
    text = '[[measurement]]\nname = "gas at 20 min"\nvalue = "9000 Btu"\n'
    assert in_page(_SUSPECTS, [text], SCRIPTS, bank_data(bank()))[0]["left"] == [
        "gas at 20 min: not weighed on this page: the command line weighs every number of the cycle"
    ]


@needs_node
def test_the_timers_advance_is_weighed_however_it_is_written() -> None:
    """Between two minutes of the clock, in keys of its own or in its name; other minutes are told."""
    ends = 'from = "20 min"\nto = "40 min"\n'
    own = f'[[measurement]]\nname = "timer advance"\n{ends}value = "4 min"\n'
    named = '[[measurement]]\nname = "timer advance 20-40 min"\nvalue = "4 min"\n'
    start = '[[measurement]]\nname = "timer advance"\nfrom = "0 min"\nto = "10 min"\nvalue = "1:05"\n'
    odd = '[[measurement]]\nname = "timer advance"\nfrom = "7 min"\nto = "40 min"\nvalue = "4 min"\n'
    texts = [own, named, start, odd]
    told = in_page(_SUSPECTS, texts, SCRIPTS, bank_data(bank()))
    assert told[0]["probabilities"] == told[1]["probabilities"]
    for text, page in zip((own, start), (told[0], told[2]), strict=True):
        usual = weigh(bank(), visit_of(text, Path("visit.toml")).evidence())
        assert page["probabilities"] == pytest.approx(usual.probabilities.tolist(), abs=0.002)
        assert page["left"] == []
    assert "the dial is read at 0, 5, 10 ... 60 min" in told[3]["left"][0]


def test_numbers_in_sixteen_bits() -> None:
    """Ends come back as they are; a number without value stays one; far apart ones keep their ratio."""
    values = np.array([2.0, np.nan, 3.0, 4.0])
    told = coded(values)
    codes = np.frombuffer(base64.b64decode(told["codes"]), "<u2")
    assert codes.tolist() == [0, NONE, STEPS // 2, STEPS]
    assert (told["low"], told["span"], told["far"]) == (2.0, 2.0, False)
    far = coded(np.array([1.0, 1e9]))
    assert far["far"] and far["span"] == pytest.approx(np.log(1e9))
    assert coded(np.full(3, np.nan))["low"] == 0.0


def test_every_number_that_a_question_needs_is_in_the_bank() -> None:
    assert set(needed()) <= set(bank().batch.numbers)
