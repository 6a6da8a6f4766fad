"""Findings about a load of unlike pieces: who is dry when, and what is left in the wettest."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from dryermodel.findings.ending import WET
from dryermodel.findings.facts import Facts, Finding
from dryermodel.readings import quantities as Q

if TYPE_CHECKING:
    from dryermodel.cycle.result import CycleResult, PieceOutcome

DAMP = 0.085
"""Moisture above which a piece is called damp [kg/kg]: the commercial regain of cotton, ASTM D1909-13, what
cotton holds in ordinary room air. That a hand feels more than that as damp is assumed."""

APART = 0.05
"""Least difference between two kinds of cloth at the first cut-out that is worth a sentence (assumed)
[kg/kg]."""


def pieces_left(result: CycleResult) -> str:
    """What each kind of cloth holds at the end, in words; empty for a load of one kind.

    In the order of the scenario, but the wettest last. The verdict at the end is about the
    wettest: damp above `DAMP`, at its seams where it is thicker than the test cloth, wet above `WET`.

    Parameters
    ----------
    result : CycleResult
        The cycle.
    """
    kinds = result.pieces
    if len(kinds) < 2:
        return ""
    wettest = max(kinds, key=lambda piece: piece.final_moisture)
    told = _told([(k.name, k.final_moisture) for k in sorted(kinds, key=lambda piece: piece is wettest)])
    if wettest.final_moisture <= DAMP:
        return told
    if wettest.final_moisture > WET:
        return f"{told}: wet"
    return f"{told}: damp{' seams' if _is_thick(result, wettest) else ''}"


def _told(kinds: Sequence[tuple[str, float]]) -> str:
    return ", ".join(
        f"{Q.printable(name)} {Q.text(moisture, 'moisture', False, 0)}" for name, moisture in kinds
    )


def _is_thick(result: CycleResult, piece: PieceOutcome) -> bool:
    """Whether a kind meets less air than the test cloth."""
    p = result.parameters
    present = [exposure for share, exposure in zip(p.piece_share, p.piece_exposure, strict=True) if share]
    return bool(present[result.pieces.index(piece)] < 1.0)


def unlike(f: Facts) -> Iterator[Finding]:
    """The thermostat opens on the air of all: its thin pieces are dry by then and its thick ones not."""
    then = [(k.name, k.moisture_at_first_cut_out) for k in f.result.pieces]
    kinds = [(name, moisture) for name, moisture in then if moisture is not None]
    held = [moisture for _, moisture in kinds]
    if f.cut_out_at is None or len(kinds) < 2 or max(held) - min(held) < APART:
        return
    rest = " What the thick pieces still hold is then up to the dryness setting." if f.auto else ""
    after = f.say(f.cut_out_at, "time")
    yield Finding(
        19,
        f"The pieces dry unlike. When the exhaust thermostat first opened, after {after}, "
        f"they held: {_told(kinds)}. At the end: {pieces_left(f.result)}.{rest}",
    )
