"""Several scenarios side by side, or one scenario and what would happen if."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, NamedTuple

from dryermodel.bench.costs import Tariff, tariff
from dryermodel.errors import InputError
from dryermodel.scenario.fault_section import PREFIX, reading_of
from dryermodel.scenario.model import load_scenario
from dryermodel.scenario.run import simulate

if TYPE_CHECKING:
    from pathlib import Path

    from dryermodel.cycle.result import CycleResult
    from dryermodel.scenario.model import Scenario

OPTION = "--with"
"""How messages about a what-if begin."""

FEWEST, MOST = 2, 26
"""Cases of one comparison; beyond it they no longer have a letter each."""

UNCHANGED = "as it is"
"""What is said of the first case."""

# A comma parts two pieces when what follows it could be a key; "1,200 ft" stays whole.
_BETWEEN = re.compile(r",(?=\s*[A-Za-z_][\w.]*\s*(?:=|,|$))")


class WhatIf(NamedTuple):
    """One change of a scenario: faults and settings as written."""

    text: str
    faults: tuple[str, ...]
    settings: tuple[str, ...]


class Case(NamedTuple):
    """One of the things compared."""

    name: str  # of the scenario, with what is changed in it
    scenario: Scenario
    result: CycleResult
    tariff: Tariff


def read_what_if(text: str) -> WhatIf:
    """Read one what-if: faults and settings with commas between.

    Parameters
    ----------
    text : str
        Such as ``"vent_blockage=75 %, vent.length=40 ft"``: a key with a point in it is a setting
        ``section.key=value``, any other one a fault as ``key`` or ``key=value``.

    Raises
    ------
    InputError
        Nothing is written, or a setting has no value.

    Examples
    --------
    >>> read_what_if("weak_burner=80 %,vent.length=1,200 ft").settings
    ('vent.length=1,200 ft',)
    """
    pieces = [piece.strip() for piece in _BETWEEN.split(text)]
    if not all(pieces):
        raise InputError(
            f"'{text}' is not faults or settings with commas between, "
            "e.g. 'vent_blockage=75 %, vent.length=40 ft'",
            OPTION,
        )
    settings = tuple(piece for piece in pieces if "." in piece.partition("=")[0])
    faults = tuple(piece for piece in pieces if piece not in settings)
    return WhatIf(", ".join(pieces), faults, settings)


def plan_comparison(
    scenarios: Sequence[str | Path],
    what_ifs: Sequence[str] = (),
    settings: Sequence[str] = (),
    faults: Sequence[str] = (),
) -> list[tuple[str, Scenario]]:
    """Return the cases of a comparison, the one that the others are compared with first.

    Parameters
    ----------
    scenarios : sequence of str or Path
        Two or more scenario files or shipped names; or one, with what-ifs.
    what_ifs : sequence of str
        As in :func:`read_what_if`; each is one case beside the unchanged scenario.
    settings : sequence of "section.key=value"
        Of every case.
    faults : sequence of str
        Of every case, as in :func:`~dryermodel.scenario.model.load_scenario`.

    Returns
    -------
    list of (str, Scenario)
        Name and scenario of each case.

    Raises
    ------
    InputError
        Too few or too many cases, or bad input in one of them.
    """
    if what_ifs and len(scenarios) > 1:
        raise InputError("goes with one scenario; write a file for each other one", OPTION)
    count = len(scenarios) + len(what_ifs)
    if count < FEWEST:
        raise InputError("give two scenarios or more, or one and what to change in it with --with", "compare")
    if count > MOST:
        raise InputError(f"{count} cases are too many, at most {MOST}; 'dryermodel sweep' suits", "compare")
    cases = [(str(name), load_scenario(name, settings, faults)) for name in scenarios]
    if what_ifs:
        cases[0] = (UNCHANGED, cases[0][1])
    found = as_found(cases[0][1], faults)
    return cases + [_changed(scenarios[0], text, settings, found) for text in what_ifs]


def as_found(scenario: Scenario, faults: Sequence[str]) -> list[str]:
    """Return the faults as written, those that were measured as the severity they came to.

    What was measured was measured on the machine as it was found: a longer vent in a what-if does not make
    its blockage another one.
    """
    came_to = {
        key: f"{key}=severity {severity!r}"
        for key, severity in scenario.faults.items()
        if reading_of(key, scenario.texts[PREFIX + key])
    }
    return [fault for fault in faults if _key(fault) not in came_to] + list(came_to.values())


def _changed(
    name: str | Path, text: str, settings: Sequence[str], faults: Sequence[str]
) -> tuple[str, Scenario]:
    what = read_what_if(text)
    kept = [fault for fault in faults if _key(fault) not in {_key(own) for own in what.faults}]
    try:
        changed = load_scenario(name, [*settings, *what.settings], [*kept, *what.faults])
    except InputError as problem:
        # The scenario itself was read without complaint, so the what-if is to blame.
        raise InputError(problem.message, OPTION, problem.key) from None
    return what.text, changed


def _key(fault: str) -> str:
    return fault.partition("=")[0].strip()


def run_cases(
    cases: Sequence[tuple[str, Scenario]], progress: Callable[[int, int], None] | None = None
) -> list[Case]:
    """Simulate every case.

    Parameters
    ----------
    cases : sequence of (str, Scenario)
        From :func:`plan_comparison`.
    progress : callable, optional
        Told how many are done, and of how many.

    Examples
    --------
    >>> cases = run_cases(plan_comparison(["standard"], ["thermostat_stuck_open"]))
    >>> [round(case.result.cycle_time / 60) for case in cases]
    [48, 13]
    """
    done: list[Case] = []
    for name, scenario in cases:
        done.append(Case(name, scenario, simulate(scenario), tariff(scenario)))
        if progress is not None:
            progress(len(done), len(cases))
    return done
