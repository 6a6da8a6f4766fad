"""Errors a person can act on, and the nearest-name helper they share."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

_LONGEST = 60
"""Characters of a value that are repeated in a message."""


class InputError(Exception):
    """Bad input, told in one line.

    Parameters
    ----------
    message : str
        What is wrong, what is allowed and in which unit.
    where : str
        File, option or source that holds the value; empty if there is none.
    key : str
        Dotted key of the value, such as ``vent.length``; empty if there is none.

    >>> print(InputError("is missing", where="mine.toml", key="vent.length"))
    mine.toml: vent.length: is missing
    """

    def __init__(self, message: str, where: str = "", key: str = "") -> None:
        self.message = " ".join(message.split())
        self.where = where
        self.key = key
        told = ": ".join(part for part in (where, key, self.message) if part)
        super().__init__(_on_one_line(told))


def _on_one_line(text: str) -> str:
    r"""Return text whose letters all show: a name may hold a line break, or what steers a terminal.

    >>> print(_on_one_line("a\nb\x1b[31m"))
    a b\x1b[31m
    """
    line = " ".join(text.splitlines())
    return "".join(c if c.isprintable() else c.encode("unicode_escape").decode("ascii") for c in line)


class SeveralErrors(InputError):
    """Several things that are wrong with one input; as an error it is the first of them.

    Parameters
    ----------
    problems : sequence of InputError
        At least one.

    >>> several = SeveralErrors([InputError("is missing", key="a"), InputError("is wrong", key="b")])
    >>> print(several, "and", len(several.problems) - 1, "more")
    a: is missing and 1 more
    """

    def __init__(self, problems: Sequence[InputError]) -> None:
        self.problems = tuple(problems)
        super().__init__(problems[0].message, problems[0].where, problems[0].key)


class Stopped(KeyboardInterrupt):
    """The person stopped the run; the message says what is kept of it."""


def nearest(word: str, known: Iterable[str], count: int = 3) -> list[str]:
    """Return up to `count` known names that look like `word`, best first.

    >>> nearest("lenght", ["length", "diameter", "elbows"])
    ['length']
    """
    from difflib import get_close_matches

    by_lower = {name.lower(): name for name in known}
    return [by_lower[match] for match in get_close_matches(word.lower(), list(by_lower), count, 0.6)]


def did_you_mean(word: str, known: Iterable[str]) -> str:
    """Return ``" (did you mean a, b?)"`` or, when nothing is near, an empty string.

    >>> did_you_mean("vent.lenght", ["vent.length"])
    ' (did you mean vent.length?)'
    """
    names = nearest(word, known)
    return f" (did you mean {', '.join(names)}?)" if names else ""


def shortened(value: object) -> str:
    """Return a value as text, cut where it would fill the message.

    >>> shortened(12), shortened(10**5000)
    ('12', 'something very long')
    """
    try:
        text = str(value)
    except (ValueError, RecursionError):  # very many digits, or lists in lists in lists
        return "something very long"
    return text if len(text) <= _LONGEST else text[:_LONGEST] + "..."
