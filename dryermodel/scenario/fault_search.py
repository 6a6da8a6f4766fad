"""Finding faults by what the customer says or what was measured, in anybody's words.

Plain word matching over the catalogue's own texts: words are brought to one form, a few ways of saying the
same thing to one word, and a fault scores by the words it shares with what was said, rare words more than
common ones. It knows nothing about how often a fault occurs.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from functools import cache
from typing import NamedTuple

from dryermodel.errors import nearest
from dryermodel.scenario.faults import Fault, catalogue

SAME_MEANING: tuple[tuple[str, str], ...] = (
    ("endless", r"for ?ever|without end|(never|not|doesnt|wont|cant) (stop|end|finish|shut off|turn off)\w*"
                r"|keeps? (on )?(running|going|turning)|runs? on|on and on|endless\w*|all day"),
    ("noheat", r"(not|doesnt|wont|isnt|never) (get |getting )?(heat|warm|hot)\w*|no (more )?heat|without heat"
               r"|(blows|stays|comes out|only) cold"),
    ("nostart", r"(not|doesnt|wont|never) (start|turn on)\w*|(is|its|completely|totally) dead"),
    ("noturn", r"(not|doesnt|wont|isnt|never|stopped) (turn|spin|tumbl|rotat)\w*"),
    ("nolight", r"(not|doesnt|wont|never) (light|ignit)\w*|no flame|nothing lights"),
    ("slow", r"slow\w*|(too|so|very|takes?) long(er)?|longer|twice"
             r"|(two|three|2|3) (or (three|3) )?(runs|cycles|loads)|hours?|take[sn]? (for )?ages"
             r"|second (run|cycle)"),
    ("stops", r"stops?|quits?|shuts? (it)?self (off|down)|shuts? (off|down)|dies|cuts? out"
              r"|turns? (it)?self off"),
    ("early", r"early|too soon|too short|after a few minutes|right away"),
    ("middle", r"middle|mid cycle|half ?way|part ?way"),
    ("wet", r"wet|damp\w*|moist|not dry|soaked|drip\w*"),
    ("hot", r"hot(ter|test)?|overheat\w*|burn(s|ing|t) (up|clothes)|scorch\w*"),
    ("smell", r"smell\w*|stink\w*|odou?r\w*|stench"),
    ("squeal", r"squeal\w*|squeak\w*|screech\w*|chirp\w*"),
    ("thump", r"thump\w*|bang\w*|knock\w*|thud\w*"),
    ("rumble", r"rumbl\w*|grind\w*|rattl\w*|noisy|noise|loud\w*"),
    ("hum", r"hum(s|ming)?|buzz\w*"),
    ("igniter", r"ignit[eo]rs?|glow ?bars?|glow ?coil"),
    ("vent", r"vents?|ducts?|hose|exhaust pipe"),
    ("hood", r"hoods?|flaps?|louv(er|re)s?|dampers?|outside"),
    ("screen", r"screens?|filters?"),
    ("thermostat", r"thermostats?|t ?stats?"),
    ("blower", r"blowers?|fans?|impellers?"),
    ("washer", r"washers?|washing machine"),
    ("load", r"loads?|laundry|clothes|wash"),
    ("humid", r"humid\w*|steam\w*|fog\w*|muggy"),
)  # fmt: skip
"""A word of our own, and the ways of saying it that count as the same, in the order they are looked for."""

_SAME = tuple((word, re.compile(rf"\b(?:{ways})\b")) for word, ways in SAME_MEANING)

_COMMON = """
a an and are at by but does do for from get gets got has have i in is it its just my not of off on only or our
run running runs still take takes took than that the their then there they this though to too up very was when
while with without dryer machine customer usual normal
"""
COMMON = frozenset(_COMMON.split())
"""Words that say nothing about a fault."""

WEIGHTS = {"also": 3.0, "customer_says": 3.0, "title": 2.0, "key": 2.0, "measure": 2.0, "effect": 1.0}
"""How much a word counts by the text it stands in [1], assumed."""

CLEAR = 0.35
"""Share of the best score below which a fault is not listed [1], assumed."""


class Match(NamedTuple):
    """A fault that was found."""

    fault: Fault
    score: float
    words: tuple[str, ...]  # shared with what was said


def _stem(word: str) -> str:
    if word.endswith("ss"):
        return word
    for ending in ("ing", "ed", "es", "s"):
        if word.endswith(ending) and len(word) - len(ending) >= 3:
            return word.removesuffix(ending)
    return word


def words_of(text: str) -> tuple[str, ...]:
    """Return the words of a text in one form, each once.

    >>> words_of("Runs for ever in auto, though the clothes are dry.")
    ('endless', 'auto', 'load', 'dry')
    """
    plain = re.sub(r"[\u2019']", "", text.lower())
    plain = " ".join(re.findall(r"[a-z0-9]+", plain))
    for word, ways in _SAME:
        plain = ways.sub(word, plain)
    return tuple(dict.fromkeys(_stem(word) for word in plain.split() if word not in COMMON))


@cache
def _index() -> dict[str, dict[str, float]]:
    """Weight of each word in each fault."""
    found: dict[str, dict[str, float]] = {}
    for key, fault in catalogue().items():
        own = found.setdefault(key, {})
        for name, weight in WEIGHTS.items():
            value = getattr(fault, name)
            text = " . ".join(value) if isinstance(value, tuple) else str(value).replace("_", " ")
            for word in words_of(text):
                own[word] = max(own.get(word, 0.0), weight)
    return found


@cache
def _rarity(word: str) -> float:
    """How much a word tells: the logarithm of one over the share of the faults that have it."""
    having = sum(1 for words in _index().values() if word in words)
    return math.log((1 + len(_index())) / having) if having else 0.0


def _known() -> set[str]:
    return {word for words in _index().values() for word in words}


def _ranked(words: Iterable[str]) -> list[Match]:
    asked = tuple(words)
    found = []
    for key, own in _index().items():
        shared = tuple(word for word in asked if word in own)
        score = sum(own[word] * _rarity(word) for word in shared)
        if score > 0.0:
            found.append(Match(catalogue()[key], score, shared))
    found.sort(key=lambda match: -match.score)  # equals stay in the order of the catalogue
    return [match for match in found if match.score >= CLEAR * found[0].score]


def search(said: str, most: int = 8) -> tuple[list[Match], bool]:
    """Return the faults that go with what was said, the likest first.

    Parameters
    ----------
    said : str
        In the customer's or the technician's words.
    most : int
        How many at most.

    Returns
    -------
    list of Match
        Ranked; empty if not even a similar word is known.
    bool
        Whether its own words were found; otherwise those nearest to them in spelling were taken.

    >>> [match.fault.key for match in search("thermal fuse")[0]]
    ['thermal_cutoff_open']
    """
    words = words_of(said)
    found = _ranked(words)
    if found:
        return found[:most], True
    near = [close for word in words for close in nearest(word, _known(), 1)]
    return _ranked(near)[:most], False


def smells_of_gas(said: str) -> bool:
    """Return whether a smell of gas is spoken of, which comes before any fault.

    >>> smells_of_gas("it stinks of gas"), smells_of_gas("no gas")
    (True, False)
    """
    return {"smell", "gas"} <= set(words_of(said))


def by_other_names(word: str) -> list[str]:
    """Return the keys of the faults that the trade calls by a name, or by one like it.

    >>> by_other_names("thermal_fuse"), by_other_names("weak coil")
    (['thermal_cutoff_open'], ['coil_fails_hot'])
    """
    names: dict[str, list[str]] = {}
    for key, fault in catalogue().items():
        for name in fault.also:
            names.setdefault(name.lower(), []).append(key)
    like = nearest(word.replace("_", " "), names, 4)
    return list(dict.fromkeys(key for name in like for key in names[name]))
