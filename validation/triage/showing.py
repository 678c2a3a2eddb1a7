"""How far the judging is: a bar on a terminal where rich is installed, else a line now and then."""

from __future__ import annotations

import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager

from validation.triage.table import Progress

EVERY_S = 20.0


@contextmanager
def progress() -> Iterator[Progress]:
    """What to tell of every piece that is done; all of it goes to standard error."""
    try:
        from rich.console import Console  # not needed to judge
        from rich.progress import BarColumn, MofNCompleteColumn, TextColumn, TimeRemainingColumn
        from rich.progress import Progress as Bar
    except ImportError:
        yield in_lines()
        return
    console = Console(stderr=True)
    if not console.is_terminal:
        yield in_lines()
        return
    columns = (
        TextColumn("{task.description:<60.60}"),
        BarColumn(),
        MofNCompleteColumn(),
        TimeRemainingColumn(),
    )
    with Bar(*columns, console=console, transient=True) as bar:
        task = bar.add_task("judging", total=None)
        yield lambda what, done, total: bar.update(task, description=what, completed=done, total=total)


def in_lines(every_s: float = EVERY_S) -> Progress:
    """The first piece, one every so many seconds, and the last, a line each with the time still to go."""
    began = time.monotonic()
    told_s = -every_s

    def tell(what: str, done: int, total: int) -> None:
        nonlocal told_s
        spent_s = time.monotonic() - began
        if spent_s - told_s < every_s and done < total:
            return
        told_s = spent_s
        left_s = spent_s / done * (total - done)
        said = f"{done:,} of {total:,} pieces in {spent_s:,.0f} s, some {left_s:,.0f} s to go: {what}"
        print(said, file=sys.stderr, flush=True)

    return tell
