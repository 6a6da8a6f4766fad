"""The whole study: ``python -m tests.validation`` writes tables and pictures of docs/validation.md.

Options: ``--visits`` of each kind (1000), ``--advised`` visits for the next test (60), ``--refined`` visits
judged with fresh cycles (30). With the defaults it takes about ten minutes of two idle cores, most of which
goes into the bank of 72,000 machines; banks are kept as the program keeps its own.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Mapping, Sequence

import numpy as np

from dryermodel.inference.bank import SIZE, Bank
from dryermodel.inference.keep import bank_for
from dryermodel.inference.priors import priors_of
from dryermodel.scenario.model import load_scenario
from tests.validation import advice
from tests.validation.advice import Step
from tests.validation.long_run import long_run_table
from tests.validation.pictures import draw_advice, draw_reliability
from tests.validation.refinement import refined_table
from tests.validation.scores import share
from tests.validation.study import Judge, Outcome, study
from tests.validation.tables import (
    PICTURES,
    calibration,
    confusion,
    histogram,
    losses,
    markdown,
    mild,
    misses,
    put,
    rates,
)
from tests.validation.visits import DIFFERENT, LOG, PRIOR, Visits, draw_visits

COMMAND = "python -m tests.validation"
SEEDS: Mapping[str, int] = {PRIOR: 101, DIFFERENT: 202}
BEST = "six and a log"
SHOWN_MINUTES = (0, 15, 30, 60, 90, 120, 180, 240)


def write_study(found: Mapping[str, Mapping[str, Outcome]], bank: Bank) -> None:
    """Tables of both kinds of visits, and the picture of reliability."""
    for kind, sets in found.items():
        best = sets[BEST]
        parts = [
            f"{len(best.truth)} visits, seed {SEEDS[kind]}.", rates(sets), losses(sets), calibration(sets),
            "Ranks of the true severity within its posterior, counts in tenths:", histogram(sets),
            f"Top-1 with {BEST} by how bad the fault is:", mild(best, bank.hypotheses),
            f"The commonest misses with {BEST}:", misses(best, bank.hypotheses),
            f"What was said for each family of truths with {BEST} [%]:", confusion(best, bank.hypotheses),
        ]  # fmt: skip
        put(f"visits {kind}", COMMAND, "\n\n".join(parts))
    draw_reliability(found, PICTURES / "reliability.png")


def write_advice(bank: Bank, reference: Bank, visits: Visits, count: int) -> None:
    """Advice against a fixed order, and what the reference says with every test done."""
    chosen = advice.complaining(visits)[:count]
    judge, whole = Judge(bank), Judge(reference)
    order = advice.FIXED
    most = sum(advice.work(name) for name in order)
    fixed = [advice.by_order(judge, visits, i, order) for i in chosen]
    advised = [advice.by_advice(judge, visits, i, most) for i in chosen]
    tests = advice.most_tests()
    done = []
    for i in chosen:
        evidence = visits.evidence(i, tests, visits.said[i])
        log = whole.more(whole.start(), evidence)
        own = whole.posterior(log, evidence).probabilities
        done.append(int(np.argmax(own)) == int(visits.truth.which[i]))
    put("advice", COMMAND, advice_table(advised, fixed, done))


def advice_table(
    advised: Sequence[Sequence[Step]], fixed: Sequence[Sequence[Step]], done: Sequence[bool]
) -> str:
    """Shares right on top against minutes, both ways, and the picture of it."""
    minutes = np.arange(0.0, 241.0)
    curves = {"next-test advice": advice.curve(advised, minutes), "fixed order": advice.curve(fixed, minutes)}
    ceiling = float(np.mean(done))
    draw_advice(minutes, curves, ceiling, len(done), PICTURES / "next_test.png")
    near = ceiling - 0.05
    rows = []
    for (name, c), walks in zip(curves.items(), (advised, fixed), strict=True):
        shares = [f"{100 * c[int(t)]:.0f} %" for t in SHOWN_MINUTES]
        sure = [advice.sure(steps) for steps in walks]
        median = np.median([s.minutes if s else np.inf for s in sure])
        right = share([s.right for s in sure if s])
        rows.append([name, *shares, f"{advice.reached(c, minutes, near):.0f}", f"{median:.0f}", right])
    head = ["order", *(f"{t} min" for t in SHOWN_MINUTES), "minutes to within 5 points of the ceiling",
            "median minutes to 90 % sure", "of those right"]  # fmt: skip
    both = np.arange(5, 100, 5) / 100.0
    level = max(
        float(s) for s in both if all(advice.reached(c, minutes, s) < np.inf for c in curves.values())
    )
    times = [advice.reached(c, minutes, level) for c in curves.values()]
    return "\n\n".join([
        f"{len(done)} visits with a complaint. Ceiling: {share(done)} right, by the 72,000 machines with "
        "every look and the readings of six and a log (inf: not within four hours).",
        markdown(head, rows),
        f"Both reach {100 * level:.0f} % right: the advice after {times[0]:.0f} min, the fixed order after "
        f"{times[1]:.0f} min.",
    ])  # fmt: skip


def main(arguments: list[str]) -> None:
    """Run the study."""
    parser = argparse.ArgumentParser(prog=COMMAND)
    parser.add_argument("--visits", type=int, default=1000)
    parser.add_argument("--advised", type=int, default=60)
    parser.add_argument("--refined", type=int, default=30)
    given = parser.parse_args(arguments)
    scenario = load_scenario("standard")
    priors = priors_of(scenario)
    bank, reference = bank_for(scenario, priors, SIZE, 1), bank_for(scenario, priors, 3 * SIZE, 2)
    visits = {kind: draw_visits(bank, kind, given.visits, seed) for kind, seed in SEEDS.items()}
    write_study({kind: study(bank, reference, v) for kind, v in visits.items()}, bank)
    put("refined", COMMAND, refined_table(bank, reference, visits, range(given.refined), LOG))
    put("long run", COMMAND, long_run_table(bank, reference, visits[PRIOR]))
    write_advice(bank, reference, visits[PRIOR], given.advised)


if __name__ == "__main__":
    main(sys.argv[1:])
