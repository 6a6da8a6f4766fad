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
    # what is not so, or only tells when, must not count as a complaint
    ("untrue", r"(no|not|never|isnt|arent|without|doesnt|dont) "
               r"(any |longer |more |very |really |too |so |that )*"
               r"(nois\w+|loud\w*|squeal\w*|squeak\w*|thump\w*|rattl\w*|smell\w*(?! (of )?gas)|humid\w*"
               r"|damp\w*|wet\w*|slow\w*|overheat\w*|hum(s|ming)?|buzz\w*)"
               r"|(not|doesnt|dont) takes? (too |so |very )?long(er)?"),
    ("theend", r"(when|once|after|by the time|until) (it|the dryer|the machine|the cycle) "
               r"(has stopped|(is )?(stops?|shuts? off|done|ends?|finish\w*))"),
    ("slow", r"take[sn]? (me |us )?(for )?(for ?ever|all day|all night|ages)|for ?ever (to|until)"),
    ("endless", r"for ?ever|without end"
                r"|(never|not|doesnt|wont|cant) (stop|end|finish|shuts? off|turns? off)\w*"
                r"|keeps? (on )?(running|going|turning)|runs? on|on and on|endless\w*|all day"),
    ("noheat", r"(not|doesnt|wont|isnt|never|no longer) "
               r"(gets? |getting |becomes? |blows? |puts? out )*(any )?(heat|warm|hot)\w*"
               r"|no (more )?(heat|hot air|warm air)|without heat"
               r"|(stop|stopped|stops|quit|quits) heating|lost (its |the |all )?heat"
               r"|(blows?|blowing|stays|comes out|only) (ice |stone )?cold"),
    ("nostart", r"(not|doesnt|wont|never|no longer) (start|turn on|run)s?(ing)?"
                r"|(is|its|completely|totally) dead|nothing happens|no (sign of )?life"
                r"|(does|do) nothing|doesnt do anything"),
    ("noturn", r"(not|doesnt|wont|isnt|never|no longer|stop|stopped|stops) (turn|spin|tumbl|rotat)\w*"),
    ("nolight", r"(not|doesnt|wont|never|no longer) (light|ignit)\w*|no flame|nothing lights"),
    ("breakertrip", r"(trip|blow|blew|kick|throw|flip|pop)\w* (out )?(the |a |our |my |its |every )?"
                    r"((circuit|main|house) )?(breaker|fuse)s?"
                    r"|breakers? (\w+ ){0,2}(trip|pop|goes|go|went|kick|flip|out)\w*"
                    r"|(the|a|our|my|house|main) fuses? (keeps? )?(blow|blew|pop|goes|go|went)\w*"),
    ("slow", r"slow\w*|(too|so|very|takes?) long(er)?|longer|twice"
             r"|(two|three|2|3) (or (three|3) )?(runs|cycles|loads)|hours?"
             r"|second (run|cycle)"),
    ("stops", r"stops?|quits?|shuts? (it)?self (off|down)|shuts? (off|down)|dies|cuts? out"
              r"|turns? (it)?self off|turns? off"),
    ("early", r"early|too soon|too short|after a few minutes|right away"),
    ("middle", r"middle|mid cycle|half ?way|part ?way"),
    ("humid", r"(house|home|room|basement|cellar|garage|attic|closet|apartment|flat|air|ceilings?|walls?) "
              r"((is|are|gets?|getting|feels?|stays?|becomes?|goes|all|so|very|really|always|too) )*"
              r"(damp|wet|moist|clammy|sticky|drip|sweat|humid|steam|fog|must|mou?ld|mildew|condens)\w*"
              r"( (and|or) (damp|wet|moist|must|humid|mou?ld)\w*)?"
              r"|windows? ((is|are|gets?|all|so|very|always) )*(damp|wet|drip|sweat)\w*"
              r"|((water|drops|moisture) (\w+ ){0,3}|(damp|wet) (smell (in|of) )?(the |our |my )?)"
              r"(windows?|walls?|ceilings?|house|room|basement|cellar)"
              r"|humid\w*|steam\w*|fog\w*|muggy|mou?ld\w*|mildew\w*|musty|condensation|sauna"),
    ("lintabout", r"(lint|dust) ((is|are|gets?|goes|flies|blows|comes|all) )*"
                  r"(all over|over everything|everywhere"
                  r"|(on|in|into) the ((laundry|whole) )?(room|walls?|floor|house|air)"
                  r"|behind the (machine|dryer))|dusty ((laundry|utility) )?room"
                  r"|room ((is|gets|so|very|always) )*(dusty|full of (lint|dust))"),
    ("wet", r"wet|damp\w*|moist|soaked|drip\w*|(not|never|doesnt|wont|arent|isnt|dont|cant) ((really"
            r"|quite|fully|all|always|get|getting|got|the|my|our|clothes|towels|laundry) )*dry(ing)?"),
    ("hot", r"hot(ter|test)?|overheat\w*|burn(s|ing|t) (up|clothes)|scorch\w*"
            r"|sing(es?|ed|eing)|shr(i|a|u)nk\w*"),
    ("smell", r"smell\w*|stink\w*|odou?r\w*|stench|reek\w*"),
    ("squeal", r"squeal\w*|squeak\w*|screech\w*|chirp\w*"),
    ("thump", r"thump\w*|bang\w*|knock\w*|thud\w*"),
    ("rumble", r"rumbl\w*|grind\w*|rattl\w*|noisy|nois(e|es)|loud\w*|scrap(es?|ing)"),
    ("hum", r"hum(s|ming)?|buzz\w*"),
    ("igniter", r"ignit[eo]rs?|glow ?bars?|glow ?coil"),
    ("vent", r"vents?|ducts?|hose|exhaust pipe"),
    ("hood", r"hoods?|flaps?|louv(er|re)s?|dampers?|outside"),
    ("screen", r"screens?|filters?"),
    ("thermostat", r"thermostats?|t ?stats?"),
    ("blower", r"blowers?|fans?|impellers?"),
    ("washer", r"washers?|washing machine"),
    ("load", r"loads?|laundry|clothes|wash"),
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
