"""Visits as hypothesis draws them, for more than one test module."""

from __future__ import annotations

from hypothesis import strategies as st

from dryermodel.field.measurements import ADVANCE, measurements
from dryermodel.field.observations import observations
from dryermodel.field.safety import DANGERS
from dryermodel.field.visit_file import Conditions, Entry, VisitFile, Work

WORDS = st.text(st.characters(exclude_categories=["Cs"]), max_size=30)
"""Whatever a person may type, quotes, line breaks, hashes and control characters included."""


@st.composite
def entries(draw: st.DrawFn) -> Entry:
    """Draw an entry that is written well, whether or not it makes sense."""
    return Entry.model_validate(
        {
            "name": draw(st.sampled_from([*measurements(), ADVANCE]) | WORDS),
            "value": draw(st.none() | WORDS),
            "accuracy": draw(st.none() | WORDS),
            "state": draw(WORDS),
            "from": draw(st.none() | WORDS),
            "to": draw(st.none() | WORDS),
            "dial": draw(st.none() | WORDS),
            "seconds": draw(st.none() | WORDS),
            "turns": draw(st.integers(1, 100)),
            "note": draw(WORDS),
        }
    )


@st.composite
def works(draw: st.DrawFn) -> Work:
    """Draw a job."""
    return Work(date=draw(WORDS), did=draw(WORDS), fault=draw(WORDS))


@st.composite
def files(draw: st.DrawFn) -> VisitFile:
    """Draw a visit file that is written well, whether or not it makes sense."""
    few = st.lists(entries(), max_size=3).map(tuple)
    names = st.sampled_from([*observations()]) | WORDS
    return VisitFile(
        scenario=draw(WORDS),
        set=tuple(draw(st.lists(WORDS, max_size=2))),
        date=draw(WORDS),
        complaint=draw(WORDS),
        logs=tuple(draw(st.lists(WORDS, max_size=2))),
        safety=draw(st.dictionaries(st.sampled_from([d.name for d in DANGERS]), st.booleans())),
        conditions=Conditions(
            room_temperature=draw(st.none() | WORDS),
            room_humidity=draw(st.none() | WORDS),
            load=draw(WORDS),
            controls=draw(WORDS),
            notes=draw(WORDS),
        ),
        seen=draw(st.dictionaries(names, st.booleans(), max_size=4)),
        measurement=draw(few),
        work=tuple(draw(st.lists(works(), max_size=2))),
        after=draw(few),
    )
