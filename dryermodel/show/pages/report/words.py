"""Words of a report: the trade's for a technician, plain ones for the customer."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from dryermodel.errors import InputError, did_you_mean
from dryermodel.inference.diagnosis import is_healthy
from dryermodel.inference.priors import HEALTHY
from dryermodel.scenario.faults import find_fault
from dryermodel.show.text.diagnosis import percent, severity_text, title_of

if TYPE_CHECKING:
    from dryermodel.inference.diagnosis import Interval, Ranked

CUSTOMER, TECHNICIAN = "customer", "technician"
READERS = (CUSTOMER, TECHNICIAN)
"""For whom a report is written."""

SAID_ALONE = 0.1
"""Share of a group's probability below which a member of it is not named."""

SHARES = (
    (0.95, "almost certain"), (0.75, "very likely"), (0.45, "likely"), (0.2, "possible"), (0.0, "not likely"),
)  # fmt: skip
"""Least probability and the words for it."""

DEGREES = ((2.0 / 3.0, "severe"), (1.0 / 3.0, "marked"), (0.0, "slight"))
"""Least severity [1] and the words for it, by thirds of the range that the catalogue spans."""


@cache
def _plain() -> Mapping[str, Mapping[str, str]]:
    return tomllib.loads(Path(__file__).with_name("plain.toml").read_text(encoding="utf-8"))


def check_reader(word: str) -> str:
    """Return for whom a report is; raise InputError for anybody else.

    >>> check_reader("customer")
    'customer'
    """
    if word not in READERS:
        listed = " or ".join(READERS)
        raise InputError(f"is '{word[:40]}'; choose {listed}{did_you_mean(word, READERS)}", "--for")
    return word


def plain_fault(key: str) -> str:
    """What a fault is, as a sentence for somebody who does not repair dryers.

    >>> plain_fault("vent_crushed")
    'The duct behind the dryer is crushed or kinked.'
    """
    return "Nothing is wrong with the dryer." if key == HEALTHY else _plain()["faults"][key]


def measurement_name(name: str, reader: str) -> str:
    """What was measured, in the words of the reader.

    >>> measurement_name("vent static", "customer"), measurement_name("vent static", "technician")
    ('Back pressure of the exhaust duct', 'vent static')
    """
    found = _plain()["measurements"]
    return found.get(name, name) if reader == CUSTOMER else name


def share_words(p: float) -> str:
    """A probability in words.

    >>> share_words(0.82), share_words(0.999), share_words(0.02)
    ('very likely, about 8 in 10', 'almost certain, more than 19 in 20', 'not likely, less than 1 in 20')
    """
    words = next(text for least, text in SHARES if p >= least)
    if p >= SHARES[0][0]:
        return f"{words}, more than 19 in 20"
    return f"{words}, less than 1 in 20" if p < 0.05 else f"{words}, about {max(1.0, 10.0 * p):.0f} in 10"


def degree_words(low: float, high: float) -> str:
    """How bad something is, from one severity [1] to another.

    >>> degree_words(0.5, 0.7), degree_words(0.1, 0.2)
    ('marked to severe', 'slight')
    """
    first, last = (next(text for least, text in DEGREES if v >= least) for v in (low, high))
    return first if first == last else f"{first} to {last}"


def severity_words(key: str, s: Interval, si: bool = False) -> str:
    """How bad a fault is in its own quantity and in words, over its interval of 80 %.

    Parameters
    ----------
    key : str
        Of the fault.
    s : Interval
        Of its severity [1].
    si : bool
        In metric units.

    >>> from dryermodel.inference.diagnosis import Interval
    >>> severity_words("vent_blockage", Interval(0.5, 0.6, 0.7))
    "blocked share of the duct's area 50 % to 70 %: marked to severe"
    """
    return f"{find_fault(key).quantity} {severity_text(key, s, si)}: {degree_words(s.low, s.high)}"


def how_bad(r: Ranked, reader: str, si: bool = False) -> str:
    """How bad a group of faults is, in the words of the reader; empty for no fault.

    Parameters
    ----------
    r : Ranked
        Of a ranking.
    reader : str
        For whom.
    """
    if is_healthy(r):
        return ""
    known = [(key, r.severities[key]) for key in members(r) if key in r.severities]
    if not known:
        return "there or not"
    if reader == TECHNICIAN:
        return "; ".join(severity_words(key, s, si) for key, s in known[:3])
    if r.together:
        said = [degree_words(s.low, s.high) for _, s in known]
        return said[0] if len(set(said)) == 1 else f"the first {said[0]}, the second {said[1]}"
    return degree_words(min(s.low for _, s in known), max(s.high for _, s in known))


def members(r: Ranked) -> list[str]:
    """Faults of a group that are worth naming, the likeliest first.

    Parameters
    ----------
    r : Ranked
        Of a ranking.
    """
    named = [key for key in r.faults if r.together or r.members[key] >= SAID_ALONE * r.probability]
    return named[:4] or list(r.faults[:3])  # of many that hold little each, the first


def fault_name(key: str, reader: str) -> str:
    """A fault in the words of the reader."""
    return plain_fault(key) if reader == CUSTOMER else title_of(key)


def group_name(r: Ranked, reader: str) -> str:
    """A group of faults in the words of the reader, as one sentence or more."""
    names = [fault_name(key, reader) for key in members(r)]
    if reader == CUSTOMER:
        return " Together with that: ".join(names) if r.together else " Or: ".join(names)
    return " with ".join(names) if r.together else " / ".join(names)


def how_likely(p: float, reader: str) -> str:
    """A probability in the words of the reader."""
    return share_words(p) if reader == CUSTOMER else f"{percent(p)}, {share_words(p).partition(',')[0]}"


def summary(r: Ranked, unexplained: float, reader: str) -> str:
    """What a diagnosis comes to, in the words of the reader.

    Parameters
    ----------
    r : Ranked
        What leads it.
    unexplained : float
        Probability that nothing of the catalogue explains it [1].
    reader : str
        For whom.
    """
    if unexplained > 0.5:
        return "What was measured fits no fault that this program knows: it needs a closer look."
    likely = how_likely(r.probability, reader)
    if is_healthy(r):
        return f"Most likely nothing is wrong with the dryer ({likely})."
    if reader == TECHNICIAN:
        return f"{group_name(r, reader)} ({likely})."
    names = members(r)
    if len(names) > 1 and not r.together:
        listed = " ".join(f"({i}) {plain_fault(key)}" for i, key in enumerate(names, 1))
        return f"One of these, which what was measured does not tell apart ({likely}): {listed}"
    return f"{group_name(r, reader)} That is {likely}."
