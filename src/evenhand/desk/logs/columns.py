"""Look at one log before any study names it: what its columns seem to be; confirm them once."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path

from evenhand.desk.logs.column_questions import Question, column_words, question
from evenhand.desk.logs.layouts import known_for, meaning, remember, remembered
from evenhand.errors import BadLog
from evenhand.folders.checks import lacking
from evenhand.records.layouts import Layout
from evenhand.store.workbench import Workbench
from evenhand.traces.limits import MIB, check_size
from evenhand.traces.probe import probe

LOOK_BYTES = 5 * MIB  # a little more than the longest beginning that `probe` ever looks at


@dataclass(frozen=True, slots=True, kw_only=True)
class LogLook:
    """What a log looks like, and the layout remembered for its header, if any."""

    question: Question
    remembered: Layout | None

    @property
    def otherwise(self) -> tuple[str, ...]:
        """The remembered columns in words, where they are not those of the guess: they are what is used."""
        if self.remembered is None or says_the_same(self.remembered, self.question.layout):
            return ()
        return tuple(map(column_words, self.remembered.columns))


def look_at_log(wb: Workbench | None, path: Path) -> LogLook:
    """A guess for every column of a log, with its reason; without a workbench nothing is remembered.

    Raises BadLog where the log cannot be read as rows.
    """
    seen = probe(beginning_of(path), name=path.name)
    layouts = () if wb is None else remembered(wb)
    return LogLook(question=question(seen, name=path.name), remembered=known_for(layouts, seen))


def says_the_same(known: Layout, guess: Layout) -> bool:
    """Whether a layout reads a log as the guess would; where it gives no unit, the header's own stands."""
    kind, columns = meaning(known)
    units = {(column.header, column.role): column.unit for column in guess.columns}
    filled = (replace(c, unit=c.unit or units.get((c.header, c.role), "")) for c in columns)
    return (kind, tuple(filled)) == meaning(guess)


def beginning_of(path: Path) -> bytes:
    """The first bytes of a log, enough for a look. Raises BadLog where they cannot be had, or are none."""
    try:
        size = path.stat().st_size
        if size:  # a pipe has none before it is read
            check_size(size, name=path.name)
        with path.open("rb") as file:
            return file.read(LOOK_BYTES)
    except FileNotFoundError as error:
        raise BadLog(
            "there is no such file", where=str(path), todo="check its name and its folder"
        ) from error
    except OSError as error:
        raise BadLog(
            f"cannot be read ({error.strerror})", where=path.name, todo="check the file's name and rights"
        ) from error


def confirm_columns(wb: Workbench, look: LogLook, *, now: datetime) -> Layout:
    """Remember the guess as what these columns are. Raises BadLog where no log could be read by it."""
    asked = look.question
    lack = lacking(asked.layout.kind, asked.layout.columns)
    if lack:
        raise BadLog(
            f"nothing here can be confirmed: no column was taken for {lack}", where=asked.file,
            todo="say in a layout of study.toml which column is which (docs/formats-study.md)",
        )  # fmt: skip
    return remember(wb, look.question.layout, now=now)
