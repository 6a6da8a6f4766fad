"""Sources that docstrings cite, as links: from ``[2]_`` in a function to entry 2 of its module's list.

The library's docstrings number their sources per module, or per function where it has a list of its own,
as ``1. ASHRAE ...`` or ``.. [1] ASHRAE ...``. On a page of many modules these numbers would collide, so each
entry gets a target of its own and each citation becomes a link to it.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping

HEADING = re.compile(r"^References\n-{3,}\n", re.M)
ENTRY = re.compile(r"^(?:\.\. \[(?P<marked>\d+)\]|(?P<plain>\d+)\.) +", re.M)
CITED = re.compile(r"\[(\d+)\]_")
NUMBER = re.compile(r"\[(\d+)\](?!_)")
NEXT = re.compile(r"^(?:>>> |[A-Z][a-z ]+\n-{3,}\n)", re.M)

Link = Callable[[str], str]
"""What a number that is cited becomes."""


def label(owner: str, number: str) -> str:
    """Name of the target of a source: owner is the dotted name of what has the list.

    >>> label("dryermodel.physics.drum", "2")
    'source-dryermodel-physics-drum-2'
    """
    return f"source-{owner}-{number}".replace(".", "-").replace("_", "-").lower()


def parted(docstring: str) -> tuple[str, str, str]:
    """What stands before the sources, the sources without their heading, and what comes after them."""
    found = HEADING.search(docstring)
    if not found:
        return docstring, "", ""
    rest = docstring[found.end() :]
    after = NEXT.search(rest)
    end = after.start() if after else len(rest)
    return docstring[: found.start()], rest[:end], rest[end:]


def listed(docstring: str) -> dict[str, str]:
    r"""Sources of a docstring's own list, by number, each on one line.

    >>> listed("Sum.\n\nReferences\n----------\n1. A book,\n   part 2.\n2. Another.")
    {'1': 'A book, part 2.', '2': 'Another.'}
    """
    section = parted(docstring)[1]
    marks = list(ENTRY.finditer(section))
    ends = [*(mark.start() for mark in marks), len(section)][1:]
    return {
        mark["marked"] or mark["plain"]: " ".join(section[mark.end() : end].split())
        for mark, end in zip(marks, ends, strict=True)
    }


def linked(docstring: str, name: str, module: str, module_list: Mapping[str, str]) -> str:
    """Return a docstring with its list of sources as targets and its citations as links to them.

    Parameters
    ----------
    docstring : str
        As written, without its indent.
    name, module : str
        Dotted names of what it belongs to and of the module in which that stands.
    module_list : mapping
        The module's own sources by number.
    """
    own = listed(docstring)

    def link(number: str) -> str:
        owner = name if number in own else module if number in module_list else ""
        return f":ref:`[{number}] <{label(owner, number)}>`" if owner else f"[{number}]"

    before, section, after = parted(docstring)
    if not section:
        return _cited(docstring, link)
    body = _targets(own, name, link) if own else NUMBER.sub(lambda m: link(m[1]), _cited(section, link))
    return f"{_cited(before, link)}References\n----------\n{body.strip()}\n\n{_cited(after, link)}"


def _cited(text: str, link: Link) -> str:
    # A link must not touch a letter on its left.
    spaced = re.sub(r"(?<=\w)(\[\d+\]_)", r" \1", text)
    return CITED.sub(lambda m: link(m[1]), spaced)


def _targets(own: Mapping[str, str], owner: str, link: Link) -> str:
    entries = (f".. _{label(owner, n)}:\n\n[{n}] {_cited(text, link)}" for n, text in own.items())
    return "\n\n".join(entries)


def dedented(lines: Iterable[str]) -> str:
    """Lines of a docstring as one text that ends in a line's end."""
    return "\n".join(lines).rstrip("\n") + "\n"
