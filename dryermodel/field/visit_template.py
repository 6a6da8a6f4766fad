"""A new visit file: every question as a comment, in the order of safe work."""

from __future__ import annotations

import textwrap
from pathlib import Path

from dryermodel.errors import InputError
from dryermodel.field.clocked import GAS_INPUT
from dryermodel.field.measurements import ADVANCE, Measurement
from dryermodel.field.round import Part, is_electric, parts
from dryermodel.field.safety import DANGERS, RULES
from dryermodel.field.visit import visit_of
from dryermodel.field.visit_text import toml_key, toml_text
from dryermodel.kinds import label
from dryermodel.scenario.files import find, write_new

_HEAD = """\
# A visit: one machine, the complaint, what was measured and seen. What stays a comment is not known, and
# need not be: take the "#" away where you know something. Quantities are written in quotes with their unit,
# as people write them. Check it with: dryermodel visit check {name}

# The machine: a scenario file, or the name of one that comes with the program.
scenario = {scenario}
# What differs here, as for --set of the other commands.
#set = ["vent.length=35 ft"]
#date = "2026-01-31"
complaint = {complaint}
# Recordings of a logger, beside this file.
#logs = ["plug.csv"]

"""


def template(name: str, scenario: str = "standard", complaint: str = "", electric: bool = False) -> str:
    """Return the text of a new visit file of that name.

    Parameters
    ----------
    name : str
        Of the file.
    scenario, complaint : str
        What is known already.
    electric : bool
        The machine heats with electricity: what only gas has is left out.
    """
    head = _HEAD.format(name=name, scenario=toml_text(scenario), complaint=toml_text(complaint))
    blocks = [head, _safety_text(), _conditions_text(), _seen_text(electric)]
    blocks += [_part_text(part) for part in parts(electric) if part.measurements]
    return "\n".join([*blocks, _WORK])


def _comment(text: str) -> str:
    return textwrap.fill(text, 110, initial_indent="# ", subsequent_indent="#   ") + "\n"


def _safety_text() -> str:
    lines = [*map(_comment, ("Before anything else:", *RULES)), "[safety]\n"]
    for danger in DANGERS:
        lines += [_comment(danger.question), f"#{toml_key(danger.name)} = false\n"]
    return "".join(lines)


def _conditions_text() -> str:
    return """\
[conditions]
#room_temperature = "72 degF"
#room_humidity = "50 %"
# What was in the drum, and how the controls stood.
#load = ""
#controls = ""
#notes = ""
"""


def _seen_text(electric: bool) -> str:
    lines = ["# Answers: true or false.\n", "[seen]\n"]
    for part in parts(electric):
        lines += [f"# {part.title}.\n"] if part.observations else []
        for question in part.observations:
            caution = f" ({question.caution})" if question.caution else ""
            lines += [_comment(question.question + caution)]
            lines += [f"#{toml_key(question.name)} = {'true' if question.normal else 'false'}\n"]
    return "".join(lines)


def _part_text(part: Part) -> str:
    return f"# {part.title}.\n" + "\n".join(_measurement_text(entry) for entry in part.measurements)


def _measurement_text(entry: Measurement) -> str:
    """Return one measurement as a comment to be filled in."""
    unit = label(entry.unit)
    caution = f" {entry.caution}" if entry.caution else ""
    said = ", ".join(f"{word} ({value})" for word, value in entry.words.items())
    words = f" Or in words: {said}." if said else ""
    lines = [
        _comment(f"{entry.question}{words} Tools: {', '.join(entry.tools)}.{caution}"),
        "#[[measurement]]\n",
    ]
    lines += [f'#name = "{entry.name}"\n', *_value_lines(entry, unit)]
    others = [f'"{state}"' for state in entry.states if state != entry.usual_state]
    if others:
        lines += [f'#state = "{entry.usual_state}"  # or {", ".join(others)}\n']
    return "".join(lines)


def _value_lines(entry: Measurement, unit: str) -> list[str]:
    lines = [f'#value = "... {unit}"\n' if unit else "#value = 0\n"]
    if entry.name == ADVANCE:
        lines += ['#from = "20 min"\n', '#to = "40 min"\n']
    if entry.name == GAS_INPUT:
        lines += ["# or, instead of value, the meter's test dial and the time of its turns:\n"]
        lines += ['#dial = "1/2 ft3"\n', '#seconds = "... s"\n', "#turns = 1\n"]
    return lines


_WORK = """\
# What was done, and the fault of the catalogue it mended if known (dryermodel faults lists them).
#[[work]]
#date = "2026-01-31"
#did = "vent cleared"
#fault = "vent_blockage"

# Measurements afterwards, written like those before, and answers with yes or no.
#[[after]]
#name = "vent static"
#value = "... in w.c."
#[[after]]
#name = "weak air at the hood"
#value = "no"
"""


def new_visit(path: str | Path, scenario: str = "standard", complaint: str = "") -> Path:
    """Write a commented visit file.

    Parameters
    ----------
    path : str or Path
        File to make, ending in ``.toml``. An existing file is left as it is.
    scenario, complaint : str
        What is known already.

    Raises
    ------
    InputError
        The file exists, has another ending, or cannot be written; or there is no such machine.
    """
    target = Path(path)
    if target.suffix != ".toml":
        raise InputError("must end in .toml, e.g. visit.toml", target.as_posix())
    find(scenario, target.parent, "--scenario")
    machine = visit_of(template(target.name, scenario, complaint), target).scenario
    text = template(target.name, scenario, complaint, is_electric(machine))
    write_new(target, text)
    return target
