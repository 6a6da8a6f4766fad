"""What a study varies: one key of a scenario between two values, read from one line of text."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from dryermodel import units
from dryermodel.cycle.engine.parameters import NEVER
from dryermodel.cycle.frame import affine
from dryermodel.errors import InputError, shortened
from dryermodel.kinds import label, with_unit
from dryermodel.scenario.defaults import named_values
from dryermodel.scenario.fault_section import PREFIX, is_fault_key, require_fault
from dryermodel.scenario.fault_text import parse_fault, plainly
from dryermodel.scenario.faults import find_fault
from dryermodel.scenario.merge import require_key
from dryermodel.scenario.rules import Rule, is_whole_number, read
from dryermodel.scenario.schema import choices_of, is_switch, rule_of
from dryermodel.scenario.words import known_key

if TYPE_CHECKING:
    from numpy.typing import ArrayLike, NDArray

OPTION = "--vary"
"""How messages about a varied key begin."""

MOST_VALUES = 1_000_000_000
"""Most values of one key: beyond it a number is a slip of the finger."""

_FORM = "is written start:stop:n, e.g. 'vent.length=5 ft:60 ft:12'"
_RANGE_FORM = "is written low:high, e.g. 'vent.length=5 ft:60 ft'"
_BARE = re.compile(r"[\d\s.,+/-]*\d[\d\s.,+/-]*(?:[eE][+-]?\d+)?")
_NOT_A_RATIO = ("temperature", "temperature difference")
_SEVERITY = Rule("number", "0", "1")
_NO_PART = ("costs",)
"""Sections that play no part in the cycle."""

SEVERITY = "severity "
"""Before the values of a fault: they are on the catalogue's scale from 0 to 1."""


class Varied(NamedTuple):
    """One key with the two ends of what it runs through, in SI."""

    key: str
    start: float  # [SI]
    stop: float  # [SI]
    n: int  # values on a grid; 0 for a range that is drawn from
    log: bool  # equal ratios instead of equal differences
    whole: bool  # a count, such as elbows

    @property
    def rule(self) -> Rule:
        """Kind and admissible range of the key."""
        return quantity_rule(self.key)

    def at(self, share: ArrayLike) -> NDArray[np.float64]:
        """Values [SI] at shares 0 to 1 of the way from start to stop.

        >>> read_vary("load.dry_mass=1 kg:4 kg:4:log").at([0.0, 0.5, 1.0]).tolist()
        [1.0, 2.0, 4.0]
        """
        u = np.asarray(share, dtype=np.float64)
        if self.whole:
            low, high = sorted((self.start, self.stop))
            inside = np.floor(low + u * (high - low + 1.0))
            return np.rint(self.start + u * (self.stop - self.start)) if self.n else np.minimum(inside, high)
        if self.log:
            values = self.start * (self.stop / self.start) ** u
        else:
            values = self.start + u * (self.stop - self.start)
        return np.where(u == 0.0, self.start, np.where(u == 1.0, self.stop, values))

    def unit(self, si: bool = False) -> str:
        """Unit its values are shown in: that of the key's admissible range, or the SI unit."""
        return self.rule.si_unit() if si else self.rule.low.partition(" ")[2]

    def shown(self, values: ArrayLike, si: bool = False) -> NDArray[np.float64]:
        """SI values as numbers in the unit shown."""
        unit = self.unit(si)
        if si or not unit:
            return np.asarray(values, dtype=np.float64)
        scale, offset = affine(unit)
        return scale * np.asarray(values, dtype=np.float64) + offset

    @property
    def words(self) -> str:
        """The key in words.

        >>> read_vary("gas.supply_pressure=4:9 inH2O:6").words
        'gas supply pressure'
        """
        return self.key.removeprefix(PREFIX).replace(".", " ").replace("_", " ")

    def said(self, value: float, si: bool = False) -> str:
        """One value, in the unit shown, with the key in words.

        >>> read_vary("vent.length=5:60 ft:3").said(32.5)
        'vent length 32.5 ft'
        """
        number = units.digits(value, 4)
        if is_fault_key(self.key):
            return f"{self.words} at severity {number}"
        return f"{self.words} {number} {label(self.unit(si))}".rstrip()

    def column(self, si: bool = False) -> str:
        """Name of its column, unit included.

        >>> read_vary("gas.supply_pressure=4:9 inH2O:6").column()
        'gas_supply_pressure_inwc'
        """
        return with_unit(self.key.replace(".", "_"), self.unit(si))


def quantity_rule(key: str) -> Rule:
    """Return the rule of a key that holds a quantity; InputError if it holds words.

    The quantity of a graded fault is its severity, 0 to 1.
    """
    if is_fault_key(key):
        return _severity_rule(key)
    rule = rule_of(key)
    if rule is not None:
        return rule
    words = "true or false" if is_switch(key) else " or ".join(f"'{word}'" for word in choices_of(key))
    what = f"is words ({words})" if words else "is a list of events"
    raise InputError(
        f"{what}, not a quantity, and cannot run from one value to another; "
        "'dryermodel compare' puts such settings side by side",
        OPTION,
        key,
    )


def _severity_rule(key: str) -> Rule:
    fault = find_fault(key.removeprefix(PREFIX))
    if fault.graded:
        return _SEVERITY
    words = f"'{fault.at_0}' or '{fault.at_1}'"
    raise InputError(
        f"is there or not ({words}); 'dryermodel compare' puts the two side by side", OPTION, key
    )


def _require(key: str) -> None:
    """Raise InputError unless there is such a key and it plays a part in the cycle."""
    if is_fault_key(key):
        require_fault(key, OPTION)
        return
    require_key(key, OPTION)
    if key.partition(".")[0] in _NO_PART:
        raise InputError("changes nothing in the cycle; set it once with --set", OPTION, key)


def read_vary(text: str, *, drawn: bool = False) -> Varied:
    """Read one varied key.

    Parameters
    ----------
    text : str
        ``key=start:stop:n``, with ``:log`` after it for equal ratios. A unit given at one end holds
        for both.
    drawn : bool
        Values are drawn from the range: ``n`` may be left out and is without effect.

    Returns
    -------
    Varied
        Both ends in SI.

    Raises
    ------
    InputError
        The text has another form, the key is unknown or holds words, a value is not admissible.

    >>> v = read_vary("load.dry_mass=3:12 lb:10")
    >>> v.n, round(v.start, 4), v.column()
    (10, 1.3608, 'load_dry_mass_lb')
    """
    key, equals, spec = (part.strip() for part in text.partition("="))
    form = _RANGE_FORM if drawn else _FORM
    if not equals:
        raise InputError(f"'{text}' is not key=values; a varied key {form}", OPTION)
    _require(key)
    key = known_key(key)
    rule = quantity_rule(key)
    # "severity 0:1:5": the word holds for both ends.
    scale, spec = (
        (SEVERITY, spec[len(SEVERITY) :]) if is_fault_key(key) and spec.startswith(SEVERITY) else ("", spec)
    )
    parts = [part.strip() for part in spec.split(":")]
    log = len(parts) > 2 and parts[-1].lower() == "log"
    parts = parts[:-1] if log else parts
    if not (len(parts) == 3 or (drawn and len(parts) == 2)) or not all(parts):
        raise InputError(f"'{spec}' {form}", OPTION, key)
    count = 0 if drawn else _count(key, parts[2])
    start, stop = (_end(key, rule, scale + end) for end in _share_unit(parts[0], parts[1]))
    varied = Varied(key, start, stop, count, log, rule.kind == "count")
    _check(varied, spec)
    return varied


def read_all(texts: Sequence[str], settings: Sequence[str] = (), *, drawn: bool = False) -> list[Varied]:
    """Read all varied keys and see that none is there twice, or set to one value as well.

    Parameters
    ----------
    texts : sequence of str
        As in :func:`read_vary`.
    settings : sequence of "section.key=value"
        What is set beside them.
    drawn : bool
        As in :func:`read_vary`.
    """
    varied = [read_vary(text, drawn=drawn) for text in texts]
    fixed = {known_key(setting.partition("=")[0].strip()) for setting in settings}
    seen: set[str] = set()
    for v in varied:
        if v.key in seen:
            raise InputError("is varied twice", OPTION, v.key)
        if v.key in fixed:
            raise InputError("is varied, and set to one value by --set as well; choose one", OPTION, v.key)
        seen.add(v.key)
    return varied


def _share_unit(start: str, stop: str) -> tuple[str, str]:
    """Give an end without a unit that of the other end: "3" and "12 lb" are 3 lb and 12 lb."""
    bare = [_BARE.fullmatch(end) is not None for end in (start, stop)]
    if bare[0] and not bare[1]:
        return f"{start} {_unit_of(stop)}".strip(), stop
    if bare[1] and not bare[0]:
        return start, f"{stop} {_unit_of(start)}".strip()
    return start, stop


def _unit_of(text: str) -> str:
    number = _BARE.match(text)
    return text[number.end() :].strip() if number else ""


def _end(key: str, rule: Rule, text: str) -> float:
    """Return one end in SI; a fault's as severity."""
    if is_fault_key(key):
        return _severity_of(key, text)
    value: object = int(text) if rule.kind == "count" and is_whole_number(text) else text
    try:
        si = read(rule, value, named_values(key))
    except ValueError as problem:
        raise InputError(str(problem), OPTION, key) from None
    if si is None or si >= NEVER:
        raise InputError(f"'{text}' is no end of a range; allowed {rule.low} to {rule.high}", OPTION, key)
    return float(si)


def _severity_of(key: str, text: str) -> float:
    if _BARE.fullmatch(text):
        fault = find_fault(key.removeprefix(PREFIX))
        ends = f"{plainly(fault.at_0)}:{plainly(fault.at_half)}"
        message = f"'{text}' has no unit; write '{key}={ends}:5' or '{key}={SEVERITY}0:1:5'"
        raise InputError(message, OPTION, key)
    try:
        return parse_fault(f"{key.removeprefix(PREFIX)}={text}")[1]
    except InputError as problem:
        raise InputError(problem.message, OPTION, key) from None


def _count(key: str, text: str) -> int:
    if not re.fullmatch(r"[+-]?[0-9]+", text):
        hint = "; the unit goes with start or stop" if re.match(r"[0-9]", text) else ""
        raise InputError(f"n is '{text}'; it is a whole number of values{hint}", OPTION, key)
    count = int(text[:12])
    if not 1 <= count <= MOST_VALUES or len(text) > 12:
        raise InputError(f"n is {shortened(text)}, outside the allowed 1 to {MOST_VALUES}", OPTION, key)
    return count


def _check(v: Varied, spec: str) -> None:
    """Raise InputError for ends and spacing that do not go together."""
    if v.start == v.stop and v.n != 1:
        raise InputError(f"'{spec}' starts and stops at the same value", OPTION, v.key)
    if v.log and (v.rule.kind in _NOT_A_RATIO or v.whole):
        raise InputError("has no equal ratios; leave out ':log'", OPTION, v.key)
    if v.log and min(v.start, v.stop) <= 0.0:
        raise InputError("equal ratios need both ends above 0; leave out ':log'", OPTION, v.key)
    if v.whole and v.n > 1 and not ((v.stop - v.start) / (v.n - 1)).is_integer():
        every = int(abs(v.stop - v.start)) + 1
        raise InputError(
            f"takes whole numbers, which {v.n} values from {v.start:g} to {v.stop:g} cannot all be; "
            f"n = {every} gives every one",
            OPTION,
            v.key,
        )
