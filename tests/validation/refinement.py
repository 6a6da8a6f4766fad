"""What fresh cycles where the weight sits are worth: the same visits with and without them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

import numpy as np

from dryermodel.inference.bank import Bank
from dryermodel.inference.posterior import judged
from tests.validation.scores import calibration_error, share
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
    """The answers side by side."""
    rows = []
    for kind, v in visits.items():
        for name, a in refined_answers(bank, reference, v, only, tests).items():
            rows.append([
                kind, name, share(a.within(1)), share(a.within(3)),
                f"{calibration_error(a.said, a.within(1), 5):.3f}", share(a.covered),
                f"{np.median(a.effective):.0f}",
            ])  # fmt: skip
    head = ["machines", "judge", "top-1", "top-3", "calibration error", "80 % of severities cover",
            "effective machines, median"]  # fmt: skip
    return f"{len(only)} visits of each kind.\n\n" + markdown(head, rows)
