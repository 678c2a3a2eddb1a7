"""How the command line shows things: JSON for scripts, tables for people, progress for long work."""

from __future__ import annotations

import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from rich.console import Console
    from rich.progress import Progress, TaskID

as_json = click.option("--json", "as_json", is_flag=True, help="Answer as JSON on standard output.")


def say_json(answer: object) -> None:
    """One JSON document on standard output, numbers unrounded; text as it is where the stream is UTF-8."""
    import json  # few commands are asked for it, and every one loads this

    spelt_out = (sys.stdout.encoding or "").lower() not in ("utf-8", "utf8")
    click.echo(json.dumps(answer, ensure_ascii=spelt_out, indent=2, allow_nan=False))


def console(*, stderr: bool = False) -> Console:
    """A terminal writer; imported late because most commands that scripts call never need it."""
    from rich.console import Console

    # A pipe or file has no width: give it enough that no row is folded.
    wide = None if Console(stderr=stderr).is_terminal else 240
    return Console(stderr=stderr, highlight=False, markup=False, width=wide)


def say(text: str = "") -> None:
    """One line, as it is."""
    click.echo(text)


def table(headings: Sequence[str], rows: Sequence[Sequence[str]], *, right: Sequence[int] = ()) -> None:
    """A plain table; columns whose index is in `right` are set flush right."""
    from rich.table import Table

    shown = Table(box=None, pad_edge=False, header_style="bold", padding=(0, 2, 0, 0))
    for index, heading in enumerate(headings):
        shown.add_column(heading, justify="right" if index in right else "left", overflow="fold")
    for row in rows:
        shown.add_row(*row)
    console().print(shown)


@dataclass(frozen=True, slots=True, kw_only=True)
class Watch:
    """Told by long work how many are done, of how many, and what is at hand; a bar where somebody looks."""

    bar: Progress | None = None
    task: TaskID | None = None

    def __call__(self, done: int, total: int, what: str) -> None:
        """Move the bar."""
        if self.bar is not None and self.task is not None:
            self.bar.update(self.task, completed=done, total=total, what=what)

    @contextmanager
    def paused(self) -> Iterator[None]:
        """Takes the bar away while a person is asked something."""
        if self.bar is None:
            yield
            return
        self.bar.stop()
        try:
            yield
        finally:
            self.bar.start()


@contextmanager
def progress(title: str, *, quiet: bool = False) -> Iterator[Watch]:
    """A progress bar on standard error while the work lasts; nothing where nobody watches."""
    screen = None if quiet else console(stderr=True)
    if screen is None or not screen.is_terminal:
        yield Watch()
        return
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeElapsedColumn

    columns: tuple[Any, ...] = (
        TextColumn("{task.description}"),
        BarColumn(),
        MofNCompleteColumn(),
        TimeElapsedColumn(),
        TextColumn("{task.fields[what]}"),
    )
    with Progress(*columns, console=screen, transient=True) as bar:
        yield Watch(bar=bar, task=bar.add_task(title, total=None, what=""))
