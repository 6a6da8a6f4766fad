"""What fresh cycles where the weight sits are worth: the same visits with and without them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

import numpy as np

from dryermodel.inference.bank import Bank
from dryermodel.inference.posterior import judged
from tests.validation.scores import share
from tests.validation.study import Answers, Judge, note, severity_rank
from tests.validation.tables import markdown
from tests.validation.visits import Visits


def refined_answers(
    bank: Bank, reference: Bank, visits: Visits, only: Iterable[int], tests: Sequence[str]
) -> dict[str, Answers]:
    """Answers of the bank alone, of the bank with fresh cycles, and of the reference, on the same groups."""
    found = {name: Answers() for name in ("bank alone", "with fresh cycles", "ceiling")}
    judge, ceiling = Judge(bank), Judge(reference)
    for visit in only:
        evidence = visits.evidence(visit, tests)
        plain = judge.posterior(judge.more(judge.start(), evidence), evidence)
        better = judged(plain, seed=visit)
        whole = ceiling.posterior(ceiling.more(ceiling.start(), evidence), evidence)
        truth = int(visits.truth.which[visit])
        sets = judge.sets(better)
        home = next(i for i, members in enumerate(sets) if truth in members)
        graded = bank.hypotheses[truth].graded[:1] == bank.hypotheses[truth].faults[:1] != ()
        for a, p in zip(found.values(), (plain, better, whole), strict=True):
            note(a, p, sets, home, truth)
            if graded:
                below = severity_rank(p, truth, float(visits.truth.severities[visit, 0]))
                a.covered.append(0.1 <= below <= 0.9)
    return found


def refined_table(
    bank: Bank, reference: Bank, visits: Mapping[str, Visits], only: Sequence[int], tests: Sequence[str]
) -> str:
    """The answers of all judges side by side."""
    return refined_rows(
        {kind: refined_answers(bank, reference, v, only, tests) for kind, v in visits.items()}
    )


def refined_rows(found: Mapping[str, Mapping[str, Answers]]) -> str:
    """Table of answers by kind of visit and judge."""
    rows = []
    for kind, answers in found.items():
        for name, a in answers.items():
            right = a.within(1)
            rows.append([
                f"{kind} ({len(right)})", name, share(right), share(a.within(3)),
                f"{np.mean(a.said):.2f}", share(a.covered), f"{np.median(a.effective):.0f}",
            ])  # fmt: skip
    head = ["machines (visits)", "judge", "top-1", "top-3", "said of the first group, mean",
            "80 % of severities cover", "effective machines, median"]  # fmt: skip
    return markdown(head, rows)
