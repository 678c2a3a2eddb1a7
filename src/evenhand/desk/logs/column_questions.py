"""A log whose columns nobody has confirmed yet: the guess for each, and what is said where it will not do."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from evenhand.errors import BadRecord
from evenhand.records.layouts import Column, Layout, LogKind
from evenhand.traces.probe import Probe
from evenhand.traces.proposals import propose


@dataclass(frozen=True, slots=True, kw_only=True)
class ColumnGuess:
    """What one column is taken for, and why."""

    header: str
    role: str
    unit: str
    about: str
    reason: str
    sure: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """A log whose columns nobody has confirmed yet, with a guess for each.

    `doubt` says why the guess is not sure; empty where header and values both speak for it.
    """

    file: str
    dialect: str
    kind: LogKind
    columns: tuple[ColumnGuess, ...]
    preview: tuple[tuple[str, ...], ...]
    doubt: str
    layout: Layout

    @property
    def sure(self) -> bool:
        """Whether nothing speaks against the guess: it may be confirmed unseen."""
        return not self.doubt


Ask = Callable[[Question], bool]  # whether the guess may stand


def question(seen: Probe, *, name: str) -> Question:
    """A log's columns as the program guesses them."""
    guess = propose(seen)
    return Question(
        file=name,
        dialect=guess.dialect,
        kind=guess.kind,
        columns=tuple(
            ColumnGuess(
                header=p.column.header,
                role=p.column.role.value,
                unit=p.column.unit,
                about=p.column.about,
                reason=p.reason,
                sure=p.sure,
            )
            for p in guess.columns
        ),
        preview=guess.preview,
        doubt=guess.doubt,
        layout=guess.layout(),
    )


def another_kind(asked: Question, kind: LogKind) -> BadRecord:
    """The refusal of a log that seems to hold something else than the run needs."""
    return BadRecord(
        f"it looks like a log of {asked.kind}, and the run needs one of {kind}{in_doubt(asked)}",
        where=asked.file,
        todo="name the run's own file, or a layout that says which of its columns is what",
    )


def in_doubt(asked: Question) -> str:
    """Why a guess is not sure, to be put behind it; empty where it is."""
    return f" (not sure: {asked.doubt})" if asked.doubt else ""


def unconfirmed(asked: Question) -> BadRecord:
    """The refusal of a log whose columns nobody confirmed."""
    used = ", ".join(f"{c.header} = {c.role}" for c in asked.columns if c.role != "not used")
    return BadRecord(
        f"nobody has confirmed what its columns are; the guess is: {used or 'none of them is known'}"
        f"{in_doubt(asked)}",
        where=asked.file,
        todo=f"see `evenhand columns {asked.file}` and confirm them, or name a layout in study.toml",
    )


def column_words(column: Column) -> str:
    """One column of a layout in words.

    >>> from evenhand.records.layouts import Role
    >>> column_words(Column(header="frame [ms]", role=Role.FRAME_TIME, unit="ms"))
    "frame time 'frame [ms]' in ms"
    """
    unit = f" in {column.unit}" if column.unit else ""
    about = f" of {column.about}" if column.about else ""
    return f"{column.role}{about} '{column.header}'{unit}"
