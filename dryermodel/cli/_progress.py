"""A progress bar on stderr; none when stderr is not a terminal."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager


@contextmanager
def progress_bar(words: str, total: int) -> Iterator[Callable[[int, int], None]]:
    """Give a function that moves the bar: it is told how many are done, and of how many.

    Parameters
    ----------
    words : str
        What is under way.
    total : int
        How many there are in all.
    """
    if not sys.stderr.isatty():
        yield lambda done, of: None
        return
    from rich.console import Console
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

    columns = (TextColumn("{task.description}"), BarColumn(), MofNCompleteColumn(), TimeRemainingColumn())
    with Progress(*columns, console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task(words, total=total)
        yield lambda done, of: bar.update(task, completed=done, total=of)
