"""A progress bar where rich is installed, else nothing."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from validation.triage.table import Progress


@contextmanager
def progress() -> Iterator[Progress | None]:
    """What to tell of every piece that is done."""
    try:
        from rich.console import Console  # not needed to judge
        from rich.progress import BarColumn, MofNCompleteColumn, TextColumn, TimeRemainingColumn
        from rich.progress import Progress as Bar
    except ImportError:
        yield None
        return
    columns = (
        TextColumn("{task.description:<60.60}"),
        BarColumn(),
        MofNCompleteColumn(),
        TimeRemainingColumn(),
    )
    with Bar(*columns, console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task("judging", total=None)
        yield lambda what, done, total: bar.update(task, description=what, completed=done, total=total)
