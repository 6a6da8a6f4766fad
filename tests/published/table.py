"""The table of published checks in the guide: ``python -m tests.documents --write`` puts it there."""

from __future__ import annotations

from collections.abc import Sequence

from tests.published.air import MOIST_AIR, VENT
from tests.published.check import CHECKED, ELSEWHERE, FITTED, Check
from tests.published.cloth import CLOTH
from tests.published.gas import GAS
from tests.published.machine import ENERGY, HEALTHY

GROUPS: dict[str, Sequence[Check]] = {
    "Moist air and water": MOIST_AIR,
    "Gas": GAS,
    "Duct and vent": VENT,
    "Cloth": CLOTH,
    "Energy of the tests": ENERGY,
    "A healthy machine": HEALTHY,
}

HEAD = "| what | published | here | error | source | status |\n|---|---|---|---|---|---|"


def checks() -> list[Check]:
    """Every check."""
    return [check for group in GROUPS.values() for check in group]


def verdict(c: Check) -> str:
    """Whether it is met, what kind of check it is, and why it is missed."""
    kind = "" if c.kind == CHECKED else f", {c.kind}"
    return f"met{kind}" if c.met else f"**missed**{kind}: {c.missed}"


def told(c: Check) -> str:
    """The error with its sign and unit."""
    number, unit = (c.error, c.unit) if c.unit.startswith("deg") else (100.0 * c.error, "%")
    text = f"{number:+.1f}"
    return f"{'0.0' if text in ('+0.0', '-0.0') else text} {unit}"


def row(c: Check) -> str:
    """One line of the table."""
    digits = max(c.digits, 0)
    published = f"{c.low:.{digits}f} to {c.high:.{digits}f}" if c.value is None else f"{c.value:.{digits}f}"
    error = "in it" if c.value is None and c.met else told(c)
    cells = (
        c.what,
        f"{published} {c.unit}",
        f"{c.here:.{digits}f}",
        error,
        f"{c.source} ({c.status})",
        verdict(c),
    )
    return "| " + " | ".join(cell.strip() for cell in cells) + " |"


def summary() -> str:
    """How many there are of each kind, and how many are missed."""
    kinds = {kind: [c for c in checks() if c.kind == kind] for kind in (CHECKED, FITTED, ELSEWHERE)}
    missed = {kind: sum(not c.met for c in found) for kind, found in kinds.items()}
    told = {
        CHECKED: "nothing was chosen to meet them",
        FITTED: "a constant was chosen so that they are met",
        ELSEWHERE: "read on other machines, so that they are plausible and no more",
    }
    lines = [
        f"- **{len(kinds[k])} {k}** ({words}): {missed[k] or 'none'} missed." for k, words in told.items()
    ]
    return "\n".join(lines)


def table() -> str:
    """The checks as Markdown."""
    parts = [summary()]
    for title, group in GROUPS.items():
        parts.append(f"### {title}\n\n{HEAD}\n" + "\n".join(map(row, group)))
    return "\n" + "\n\n".join(parts) + "\n"
