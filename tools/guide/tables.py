"""Tables of the guide that say what the program's own files and tables say."""

from __future__ import annotations

import ast
import importlib
import tomllib
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from itertools import groupby, pairwise
from pathlib import Path
from typing import Any

HOME = Path(__file__).parents[2] / "dryermodel"

SECTIONS = {
    "machine": "Machine", "burner": "Burner", "gas": "Gas", "air": "Air in the machine", "vent": "Vent",
    "load": "Load", "room": "Room", "controls": "Controls", "costs": "Costs",
}  # fmt: skip
"""Sections of a scenario file with the headings of their tables."""


def cell(text: object) -> str:
    """A text as a cell of a table."""
    return " ".join(str(text).split()).replace("|", "\\|")


def table(head: Sequence[str], rows: Iterable[Sequence[object]]) -> str:
    """A table in Markdown."""
    lines = ["| " + " | ".join(head) + " |", "|" + "---|" * len(head)]
    lines += ["| " + " | ".join(map(cell, row)) + " |" for row in rows]
    return "\n".join(lines)


def raw(file: str) -> dict[str, Any]:
    """A table of the program, as its file has it."""
    return tomllib.loads((HOME / file).read_text(encoding="utf-8"))


def nomenclature() -> str:
    """Page of every number with its names and units."""
    from dryermodel.vocabulary import READINGS, SERIES

    cycle = [
        (f"`{r.name}`", f"{r.words}: {r.about}", *_units(r.kind), f"`{r.key}`") for r in READINGS.values()
    ]
    moment = [(f"`{q.name}`", q.words, *_units(q.kind), f"`{q.si}`") for q in SERIES]
    return "\n\n".join(
        [
            "# Nomenclature and units",
            "Every number has one name, from the engine to the screen; where it leaves the program its unit"
            " ends the name. Inside, all is SI; people's units come in and go out at the edges. Made from the"
            " program's own table of names.",
            SYMBOLS,
            "## Numbers of a whole cycle",
            table(("name", "what it is", "SI", "trade", "key for programs"), cycle),
            "## Numbers at every moment",
            table(("name", "what it is", "SI", "trade", "name with its unit"), moment),
            "## Units",
            table(("kind", "SI", "trade", "metric"), _kinds()),
            "",
        ]
    )


SYMBOLS = """## Symbols of the equations

| symbol | what it is | unit |
|---|---|---|
| $T$, $t$ | temperature; the same in degrees Celsius | K, degC |
| $P$, $p$, $\\Delta p$ | air pressure, partial pressure, difference of pressure | Pa |
| $w$ | humidity ratio: water vapour per dry air | kg/kg |
| $X$ | moisture of cloth: water per bone-dry cloth (remaining moisture content as a share) | kg/kg |
| $M$, $m$ | mass of dry cloth; flow of dry air | kg, kg/s |
| $h$, $H$ | enthalpy of moist air per dry air; of a kind of cloth | J/kg, J |
| $\\beta$, $N$ | conductance of mass transfer; number of transfer units | kg/s, 1 |
| $Q$, $A$, $D$, $K$, $f$ | flow, area, diameter, loss coefficient, friction factor | m3/s, m2, m, 1, 1 |
| $a_w$, $q$ | water activity of cloth, heat of sorption | 1, J/kg |
| $s$, $e$ | share of a kind of cloth in the load, its exposure to the air | 1, 1 |"""


def _units(kind: str) -> tuple[str, str]:
    from dryermodel.kinds import KINDS

    return KINDS[kind].si_unit or "1", KINDS[kind].trade.label or "1"


def _kinds() -> list[tuple[str, ...]]:
    from dryermodel.kinds import KINDS

    return [
        (name, k.si_unit or "1", k.trade.label or "1", k.metric.label or "1") for name, k in KINDS.items()
    ]


def defaults_page() -> str:
    """Page of every default with its value, source and status."""
    from dryermodel.scenario.defaults import STATUSES, defaults

    entries = defaults()
    count = Counter(entry.status for entry in entries.values())
    told = ", ".join(f"{count[status]} {status}" for status in STATUSES)
    parts = [
        "# Parameters: value, source, status",
        f"What a scenario leaves out has these values: {len(entries)} keys, {told}. Made from"
        " `dryermodel/scenario/defaults.toml`; `dryermodel scenario show` prints the same of any scenario.",
        STATUS_WORDS,
    ]
    for section, keys in groupby(entries, key=lambda key: key.partition(".")[0]):
        parts += [f"## {SECTIONS.get(section, section)}", keys_table(keys)]
    parts += ["## Kinds of cloth", pieces()]
    return "\n\n".join([*parts, ""])


STATUS_WORDS = """*Published*: read in the source that is named.
*Common practice*: usual in the trade, without a source.
*Fitted*: chosen so that published or customary values come out for the standard machine.
*Assumed*: our choice, or quoted from memory; not tested against a machine."""


def keys_table(keys: Iterable[str]) -> str:
    """Table of some keys with their defaults."""
    from dryermodel.scenario.defaults import defaults

    entries = defaults()
    rows = [
        (f"`{key}`", entries[key].value, entries[key].about, entries[key].source, entries[key].status)
        for key in keys
    ]
    return table(("key", "value", "what it is", "source", "status"), rows)


def pieces() -> str:
    """Table of the kinds of cloth."""
    from dryermodel.scenario.pieces import kinds

    head = ("kind", "exposure", "cotton", "moisture after the spin", "source", "status")
    return table(
        head,
        [
            (n, k.exposure, k.cotton_fraction, k.initial_moisture, k.source, k.status)
            for n, k in kinds().items()
        ],
    )


def constants() -> str:
    """Page of the constants written into the equations, with what stands beside each in the source."""
    parts = [
        "# Constants written into the equations",
        "Made from the source: each constant of the physics and the machine with its value and what is said"
        " of it there. A number in brackets after it is the source in its module's list in the reference.",
    ]
    for room in ("physics", "machine"):
        for file in sorted((HOME / room).glob("[a-z]*.py")):
            rows = [(f"`{name}`", value, about) for name, value, about in _constants(file)]
            if rows:
                parts += [f"## {room}.{file.stem}", table(("constant", "value", "what it is"), rows)]
    return "\n\n".join([*parts, ""])


def _constants(file: Path) -> list[tuple[str, str, str]]:
    """Names, values and docstrings of a module's public numbers."""
    body = ast.parse(file.read_text(encoding="utf-8")).body
    module = importlib.import_module(".".join(file.relative_to(HOME.parent).with_suffix("").parts))
    said = [(item, after.value) for item, after in pairwise(body) if isinstance(after, ast.Expr)]
    return [
        (name.id, f"{getattr(module, name.id):.6g}", str(text.value))
        for item, text in said
        if isinstance(item, ast.Assign) and isinstance(text, ast.Constant)
        for name in ast.walk(item.targets[0])
        if isinstance(name, ast.Name) and isinstance(getattr(module, name.id), (int, float))
    ]


def unknowns() -> str:
    """Page of what is unknown about a machine and how well people measure it."""
    return "\n\n".join(
        [
            "# What is not known, and how well it is measured",
            "Ranges that `sensitivity`, the bands of `simulate --samples`, `diagnose` and `calibrate` draw"
            " from, and what instruments and eyes are good for. Made from the program's own files. Nearly all"
            " of it is assumed.",
            "## Unknown of a machine, its load and its room",
            table(("key", "what it is", "range", "shape", "source", "status"), _ranges()),
            "## Measurements",
            "One standard deviation of instrument and reader, and how far the model itself is trusted on it.",
            table(("measurement", "accuracy", "model", "tools", "minutes"), _measurements()),
            "## Yes-or-no observations",
            table(("observation", "question", "minutes"), _observations()),
            "",
        ]
    )


def _ranges() -> list[tuple[str, ...]]:
    from dryermodel.studies.uncertainty.uncertain import ranges

    return [
        (f"`{r.key}`", r.about, _span(r.offset, r.factor), r.shape, r.source, r.status)
        for r in ranges().values()
    ]


def _span(offset: Sequence[str], factor: Sequence[float]) -> str:
    if not offset:
        return " to ".join(f"{end:g}" for end in factor) + " times"
    low, high = (end.replace("delta_", "") for end in offset)
    return f"{low} to +{high}"


def _measurements() -> list[tuple[str, ...]]:
    entries = raw("field/measurements.toml").items()
    return [
        (
            n,
            _good_to(e, "accuracy", "relative"),
            _model(e),
            ", ".join(e.get("tools", ())),
            f"{e['minutes']:g}",
        )
        for n, e in entries
    ]


def _good_to(entry: Mapping[str, Any], absolute: str, relative: str) -> str:
    parts = [str(entry[absolute])] if absolute in entry else []
    return " and ".join(parts + ([f"{100 * entry[relative]:g} %"] if entry.get(relative) else []))


def _model(entry: Mapping[str, Any]) -> str:
    model = entry.get("model", "")
    return f"{100 * model:g} %" if isinstance(model, (int, float)) else str(model)


def _observations() -> list[tuple[str, ...]]:
    return [(n, e["question"], f"{e['minutes']:g}") for n, e in raw("field/observations.toml").items()]
