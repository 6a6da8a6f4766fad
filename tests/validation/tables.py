"""The study's tables as Markdown, and the places in docs/validation.md where they stand."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from pathlib import Path

import numpy as np

from dryermodel.files import write_file
from dryermodel.inference.priors import HEALTHY, Hypothesis
from dryermodel.scenario.faults import find_fault
from tests.validation.scores import (
    calibration_error,
    difference,
    error_interval,
    evenness,
    ranks,
    share,
)
from tests.validation.study import Outcome

ROOT = Path(__file__).parents[2]
DOCUMENT = ROOT / "docs" / "validation.md"
PICTURES = ROOT / "docs" / "pictures"


def markdown(head: Sequence[str], rows: Sequence[Sequence[object]]) -> str:
    """A table."""
    lines = ["| " + " | ".join(map(str, row)) + " |" for row in (head, ["---"] * len(head), *rows)]
    return "\n".join(lines)


def put(name: str, command: str, text: str, document: Path = DOCUMENT) -> None:
    """Write a part of the document between its marks; the marks must be there."""
    start, end = f"<!-- {name}: {command} -->\n", "<!-- end of part -->"
    held = document.read_text(encoding="utf-8")
    before, mark, rest = held.partition(start)
    if not mark:
        raise ValueError(f"{document.name} has no place for '{name}'")
    after = rest[rest.index(end) :]
    write_file(document, (before + mark + "\n" + text.strip() + "\n\n" + after).encode())


def rates(found: Mapping[str, Outcome]) -> str:
    """Top-1 and top-3 of every judge."""
    rows = []
    for name, o in found.items():
        for judge, a in (("diagnosis", o.method), ("ceiling", o.ceiling)):
            size = f"{np.mean(a.size):.1f}"
            strict = share(np.array(a.strict) == 1)
            rows.append([name, judge, share(a.within(1)), share(a.within(3)), size, strict])
        rows.append([name, "decision list", share(o.listed), "", "", share(o.listed_strictly)])
    head = ["evidence", "judge", "top-1", "top-3", "faults in the first group", "the very fault first"]
    return markdown(head, rows)


def losses(found: Mapping[str, Outcome]) -> str:
    """Points lost to the ceiling and won over the list."""
    rows = []
    for name, o in found.items():
        m, c = o.method, o.ceiling
        first, three = difference(c.within(1), m.within(1)), difference(c.within(3), m.within(3))
        rows.append([name, first, three, difference(m.within(1), o.listed)])
    return markdown(["evidence", "top-1 lost", "top-3 lost", "top-1 over the decision list"], rows)


def calibration(found: Mapping[str, Outcome]) -> str:
    """Calibration error and coverage of severities."""
    rows = []
    for name, o in found.items():
        for judge, a in (("diagnosis", o.method), ("ceiling", o.ceiling)):
            right = a.within(1)
            low, high = error_interval(a.said, right)
            rows.append([
                name, judge, f"{calibration_error(a.said, right):.3f} ({low:.3f} to {high:.3f})",
                f"{calibration_error(a.spread_said, a.spread_right):.3f}",
                share(a.covered), f"{evenness(ranks(a.severity_rank)):.3f}",
                f"{np.median(a.effective):.0f}",
            ])  # fmt: skip
    head = ["evidence", "judge", "calibration error, first group", "all groups", "80 % of severities cover",
            "ranks even, p", "effective machines, median"]  # fmt: skip
    return markdown(head, rows)


def histogram(found: Mapping[str, Outcome]) -> str:
    """Counts of the ranks of true severities in tenths."""
    rows = [
        [name, judge, *ranks(a.severity_rank)]
        for name, o in found.items()
        for judge, a in (("diagnosis", o.method), ("ceiling", o.ceiling))
    ]
    return markdown(["evidence", "judge", *(f"to {(i + 1) / 10:.1f}" for i in range(10))], rows)


FAMILIES: Mapping[str, tuple[str, ...]] = {
    "vent": ("vent_blockage", "vent_flap_stuck", "vent_crushed", "room_depressurised", "vent_joint_leak"),
    "screen, housing, blower": ("lint_screen_blocked", "housing_silted", "blower_wheel_caked"),
    "leaks in": ("outlet_gasket_leak", "drum_seal_leak"),
    "gas": ("weak_burner", "wrong_orifice", "low_supply_pressure", "venturi_dusty", "altitude_unadjusted"),
    "ignition": (
        "gas_shut_off", "igniter_slow", "igniter_open", "flame_sensor_stuck_open",
        "flame_sensor_stuck_closed", "coil_fails_hot", "thermal_cutoff_open", "low_line_voltage",
    ),
    "thermostats": (
        "thermostat_drift", "thermostat_drift_high", "thermostat_stuck_closed", "thermostat_stuck_open",
        "thermostat_lint_coated", "high_limit_weak",
    ),
    "timer, switches": (
        "timer_motor_dead", "start_winding_stays", "hold_contact_open", "switch_intermittent",
    ),
    "drum": ("drum_drags", "belt_slipping", "drum_not_turning"),
    "load, room": ("overload", "wash_spin_poor", "cold_makeup_air", "humid_room"),
    HEALTHY: (HEALTHY,),
    "two faults": (),
}  # fmt: skip


def family(h: Hypothesis) -> str:
    """Family of a hypothesis.

    >>> family(Hypothesis(("belt_slipping",), 1.0)), family(Hypothesis((), 1.0))
    ('drum', 'healthy')
    """
    if len(h.faults) > 1:
        return "two faults"
    return next(name for name, keys in FAMILIES.items() if h.name in keys)


def confusion(o: Outcome, hypotheses: Sequence[Hypothesis]) -> str:
    """What was said for each family of truths, in percent of it."""
    names = list(FAMILIES)
    counts = np.zeros((len(names), len(names)))
    for truth, first, rank in zip(o.truth, o.method.first, o.method.rank, strict=True):
        said = family(hypotheses[truth if rank == 1 else first])
        counts[names.index(family(hypotheses[truth])), names.index(said)] += 1
    rows = []
    for i, name in enumerate(names):
        total = counts[i].sum()
        cells = [f"{100 * n / total:.0f}" if n else "" for n in counts[i]] if total else [""] * len(names)
        rows.append([f"{name} ({total:.0f})", *cells])
    return markdown(["truth (visits)", *names], rows)


def misses(o: Outcome, hypotheses: Sequence[Hypothesis], most: int = 10) -> str:
    """The commonest wrong answers."""
    wrong = Counter(
        (hypotheses[t].name, hypotheses[f].name)
        for t, f, rank in zip(o.truth, o.method.first, o.method.rank, strict=True)
        if rank > 1
    )
    total = sum(wrong.values())
    rows = [[t, f, n, f"{100 * n / total:.0f} %"] for (t, f), n in wrong.most_common(most)]
    return markdown(["truth", "said first", "visits", "of all misses"], rows)


def mild(o: Outcome, hypotheses: Sequence[Hypothesis]) -> str:
    """Top-1 by how bad the fault is, and how often it is called healthy."""
    bad, right = np.array(o.severity), o.method.within(1)
    said = np.array([hypotheses[f].name == HEALTHY for f in o.method.first]) & ~right
    graded = np.array(
        [bool(hypotheses[t].graded) and find_fault(hypotheses[t].faults[0]).graded for t in o.truth]
    )
    rows = []
    for low, high in ((0.2, 0.4), (0.4, 0.6), (0.6, 0.8), (0.8, 1.0)):
        mine = graded & (bad >= low) & (bad < high)
        rows.append([f"{low} to {high}", int(mine.sum()), share(right[mine]), share(said[mine])])
    return markdown(["severity", "visits", "top-1", "called healthy"], rows)
