"""The load as pieces of unlike cloth: ``[[load.pieces]]``, or ``load.pieces.NAME.FIELD`` in an option."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import Any, NamedTuple

from dryermodel import units
from dryermodel.errors import InputError, did_you_mean, shortened
from dryermodel.scenario.rules import Rule, read

PIECES = "load.pieces"
"""Key of the list."""

PIECE_PREFIX = PIECES + "."
MOST_PIECES = 4
UNIFORM = "test cloth"
"""Name of a load that is given without pieces, and the kind of a piece that names none."""

PIECE_RULES: Mapping[str, Rule] = MappingProxyType(
    {
        "share": Rule("fraction", "0.1 %", "100 %"),
        "exposure": Rule("number", "0", "5"),
        "cotton_fraction": Rule("fraction", "0 %", "100 %"),
        "initial_moisture": Rule("fraction", "1 %", "200 %"),
        "critical_moisture": Rule("fraction", "1 %", "100 %", ("fibre",)),
    }
)
"""What a piece may say of itself, beside its name and kind."""

WHOLE_TOLERANCE = 1.0e-3
"""How far the shares may be from 100 % by rounding [1]."""


class Piece(NamedTuple):
    """One kind of cloth in a load, SI."""

    name: str
    share: float  # [1] of the bone-dry mass
    exposure: float  # [1] area per mass, relative to the test cloth
    cotton_fraction: float  # [1] by mass
    initial_moisture: float  # [kg/kg]
    critical_moisture: float | None  # [kg/kg]; None: that of its fibre


class Kind(NamedTuple):
    """A kind of cloth of the shipped table, as written."""

    exposure: str
    cotton_fraction: str
    initial_moisture: str
    source: str
    status: str


@cache
def kinds() -> Mapping[str, Kind]:
    """Return the shipped kinds of cloth by the word a person uses.

    >>> kinds()["jeans"].exposure
    '0.4'
    """
    text = Path(__file__).with_name("pieces.toml").read_text(encoding="utf-8")
    return MappingProxyType({name: Kind(**entry) for name, entry in tomllib.loads(text).items()})


def read_pieces(value: object) -> tuple[Piece, ...]:
    """Read a list of tables with a share and a name or kind each; none for a load of one cloth.

    Raises
    ------
    ValueError
        Says what is wrong with which piece.
    """
    if isinstance(value, tuple) and all(isinstance(item, Piece) for item in value):
        return value
    if not isinstance(value, list | tuple) or not all(isinstance(item, Mapping) for item in value):
        raise ValueError("is a list of pieces, each written [[load.pieces]] with lines of its own below")
    if len(value) > MOST_PIECES:
        raise ValueError(f"has {len(value)} pieces; at most {MOST_PIECES} kinds of cloth tumble together")
    pieces = tuple(_read_one(item, len(value) == 1) for item in value)
    names = [piece.name for piece in pieces]
    twice = next((name for name in names if names.count(name) > 1), None)
    if twice is not None:
        raise ValueError(f"has two pieces named '{twice}'; give each a name of its own")
    whole = sum(piece.share for piece in pieces)
    if pieces and abs(whole - 1.0) > WHOLE_TOLERANCE:
        raise ValueError(f"has shares that make {100.0 * whole:.4g} % of the load together; they make 100 %")
    return tuple(piece._replace(share=piece.share / whole) for piece in pieces)


def _read_one(item: Mapping[str, object], alone: bool) -> Piece:
    known = ("name", "kind", *PIECE_RULES)
    for key in item:
        if key not in known:
            raise ValueError(f"has a piece with the unknown key '{key}'{did_you_mean(key, known)}")
    name, kind = _name_and_kind(item)
    usual = kinds()[kind]._asdict() | {"critical_moisture": "fibre"} | ({"share": "100 %"} if alone else {})
    values: dict[str, float | None] = {}
    for field, rule in PIECE_RULES.items():
        written = item.get(field, usual.get(field))
        if written is None:
            raise ValueError(f"needs a share of the load for '{name}', such as share = \"25 %\"")
        values[field] = _value(name, field, rule, written)
    return Piece(name, **values)  # type: ignore[arg-type]


def _value(name: str, field: str, rule: Rule, written: object) -> float | None:
    try:
        return read(rule, written, {})
    except ValueError as problem:
        raise ValueError(f"'{name}': {field} {problem}") from None


def _name_and_kind(item: Mapping[str, object]) -> tuple[str, str]:
    """Return what a piece is called and the kind whose values it takes."""
    name, kind = item.get("name", item.get("kind")), item.get("kind")
    if not isinstance(name, str) or not name.strip() or any(mark in name for mark in ".=:;,"):
        raise ValueError("needs a name or kind for each piece: text in quotes without . = : ; or ,")
    if kind is None:
        kind = name if name in kinds() else UNIFORM
    if kind not in kinds():
        near = did_you_mean(str(kind), kinds())
        raise ValueError(
            f"'{name}' is of the unknown kind '{shortened(kind)}'{near}; kinds: {', '.join(kinds())}"
        )
    return name.strip(), str(kind)


# one piece by name ------------------------------------------------------------------------------------


def is_piece_key(key: str) -> bool:
    """Return whether a dotted key names one value of one piece, as ``load.pieces.jeans.share`` does."""
    return key.startswith(PIECE_PREFIX)


def split_piece_key(key: str, where: str) -> tuple[str, str]:
    """Return name and field of ``load.pieces.NAME.FIELD``; InputError if it has another form."""
    name, dot, field = key.removeprefix(PIECE_PREFIX).rpartition(".")
    if not dot or not name or field not in PIECE_RULES:
        near = did_you_mean(field, PIECE_RULES) if dot else ""
        message = f"a piece's value is load.pieces.NAME.FIELD, FIELD one of {', '.join(PIECE_RULES)}{near}"
        raise InputError(message, where, key)
    return name, field


def with_piece_values(written: object, changes: Mapping[str, object], where: str) -> list[dict[str, Any]]:
    """Return the list of pieces with values of some of them changed; InputError if there is no such piece.

    A share that is set leaves the rest of the load to the others in the proportion they had.

    Parameters
    ----------
    written : object
        The list as written.
    changes : mapping of dotted key to value
        ``load.pieces.NAME.FIELD`` each.
    where : str
        Who changes them, for messages.
    """
    pieces = [dict(item) for item in written] if isinstance(written, list) else []
    names = [str(item.get("name", item.get("kind"))) for item in pieces]
    fixed: set[str] = set()
    for key, value in changes.items():
        name, field = split_piece_key(key, where)
        if name not in names:
            raise InputError(_no_such(name, names), where, key)
        pieces[names.index(name)][field] = value
        if field == "share":
            fixed.add(name)
    if fixed:
        _fill_up(pieces, names, fixed, where)
    return pieces


def _fill_up(pieces: Sequence[dict[str, Any]], names: Sequence[str], fixed: set[str], where: str) -> None:
    """Let the pieces whose share was not set share what is left; InputError if nothing is."""
    try:
        shares = [units.parse(str(item.get("share", "100 %")), "fraction") for item in pieces]
    except ValueError:
        return  # said better when the list is read
    free = [i for i, name in enumerate(names) if name not in fixed]
    left, had = (
        1.0 - sum(shares[i] for i in range(len(pieces)) if i not in free),
        sum(shares[i] for i in free),
    )
    if free and left <= 0.0:
        raise InputError(f"leaves nothing of the load to {', '.join(names[i] for i in free)}", where, PIECES)
    for i in free:
        pieces[i]["share"] = f"{100.0 * left * shares[i] / had!r} %"


def replaced(pieces: Sequence[Piece], changes: Mapping[tuple[str, str], float]) -> tuple[Piece, ...]:
    """Return pieces with values changed [SI] by (name, field); the other shares fill up to the whole load."""
    found = []
    for p in pieces:
        own: dict[str, Any] = {f: v for (name, f), v in changes.items() if name == p.name}
        found.append(p._replace(**own))
    fixed = {name for name, field in changes if field == "share"}
    if not fixed:
        return tuple(found)
    left = 1.0 - sum(p.share for p in found if p.name in fixed)
    had = sum(p.share for p in found if p.name not in fixed)
    if left <= 0.0 < had:
        raise InputError("the shares that are varied leave nothing of the load to the others", key=PIECES)
    return tuple(p if p.name in fixed else p._replace(share=p.share * left / had) for p in found)


def piece_value(pieces: Sequence[Piece], key: str) -> float | None:
    """Return one value of one piece [SI]; InputError with the nearest name if there is no such piece."""
    name, field = split_piece_key(key, "")
    for piece in pieces:
        if piece.name == name:
            value: float | None = getattr(piece, field)
            return value
    raise InputError(_no_such(name, [piece.name for piece in pieces]), "", key)


def _no_such(name: str, names: Sequence[str]) -> str:
    has = f"it has {', '.join(names)}" if names else "it is of one cloth; family_load has pieces"
    return f"this load has no piece '{name}'{did_you_mean(name, names)}; {has}"


def mean(pieces: Sequence[Piece], field: str) -> float:
    """Return the mean of a field by mass [SI]."""
    return sum(p.share * float(getattr(p, field)) for p in pieces)


def pieces_text(value: Sequence[Mapping[str, object]]) -> str:
    """Return a list of pieces as one line."""
    named = (f"{item.get('share', '100 %')} {item.get('name', item.get('kind'))}" for item in value)
    return "; ".join(named) or "none"
