"""Why a cycle ended, in words: the one place that names the engine's codes."""

from __future__ import annotations

from enum import Enum

from dryermodel.cycle.engine import endings


class EndReason(Enum):
    """Why a cycle ended; the value is the reason in plain words.

    Attributes
    ----------
    code : int
        The engine's, in the column ``end_code`` of an outcome.
    slug : str
        The word for programs; it does not change with the wording.
    """

    code: int
    slug: str

    DIAL_RAN_OUT = endings.DIAL_RAN_OUT, "timer ran out"
    MOISTURE_REACHED = endings.MOISTURE_REACHED, "reached the moisture asked for"
    STOPPED = endings.STOPPED, "stopped: the motor lost its supply and does not restart by itself"
    TIME_LIMIT = endings.TIME_LIMIT, "time limit"
    NEVER_CUTS_OUT = (
        endings.NEVER_CUTS_OUT,
        "time limit: never reaches the cut-out, so the timer never runs",
    )
    THERMOSTAT_NEVER_OPENS = (
        endings.THERMOSTAT_NEVER_OPENS,
        "time limit: the exhaust thermostat never opened, so the timer never ran",
    )
    TIMER_ONLY_IN_TRIPS = (
        endings.TIMER_ONLY_IN_TRIPS,
        "time limit: the exhaust thermostat never opened; the timer ran only while the high limit was open",
    )
    TIMER_STILL = endings.TIMER_STILL, "time limit: the timer did not run"
    SCORCHED = (
        endings.SCORCHED,
        "cloth scorches: past this point the model means nothing, and a fire may start",
    )
    NOT_DRY = endings.NOT_DRY, "time limit: the load was not dry yet"

    def __new__(cls, code: int, words: str) -> EndReason:
        """Make the member whose value is the words."""
        member = object.__new__(cls)
        member._value_ = words
        member.code = code
        return member

    def __init__(self, code: int, words: str) -> None:
        self.slug = self.name.lower()

    @classmethod
    def of(cls, code: float) -> EndReason:
        """Return the reason of an engine's code, as in the column ``end_code``.

        Examples
        --------
        >>> EndReason.of(0.0)
        <EndReason.DIAL_RAN_OUT: 'timer ran out'>
        """
        return next(reason for reason in cls if reason.code == int(code))
