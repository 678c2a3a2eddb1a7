"""Which layout a log has: named in the study, fitting one of its layouts, remembered, or asked for once."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime
from functools import lru_cache

from evenhand.errors import BadLog, BadRecord, NotFound
from evenhand.folders.study_folder import LayoutEntry
from evenhand.records.layouts import Column, Layout, LogKind, Role
from evenhand.records.runs import Run
from evenhand.store import headers, shelves
from evenhand.store import runs as run_store
from evenhand.store.workbench import Workbench
from evenhand.traces.fingerprints import fingerprint, normalised
from evenhand.traces.probe import Probe, probe
from evenhand.traces.proposals import propose

Ask = Callable[["Question"], bool]
Meaning = tuple[LogKind, tuple[Column, ...]]


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


@dataclass(slots=True, kw_only=True)
class Shelf:
    """The layouts to choose from: those the study names, and those remembered; it learns as people answer."""

    entries: tuple[LayoutEntry, ...] = ()
    remembered: tuple[Layout, ...] = ()
    declined: set[tuple[object, ...]] = field(default_factory=set)

    def knows(self, layout: Layout) -> bool:
        """Whether these columns were confirmed before, under whatever name."""
        marked = (header_of(layout), *meaning(layout))
        return any((header_of(one), *meaning(one)) == marked for one in self.remembered)

    def learn(self, layout: Layout) -> None:
        """Take a layout that was just confirmed into account for every later log."""
        self.remembered = (*self.remembered, layout)

    def choose(self, data: bytes, seen: Probe, *, kind: LogKind, wanted: str | None) -> Layout | Question:
        """The layout of this log, or the question that has to be answered first.

        `seen` is a look at its first rows; only a question needs a longer one. Raises BadLog where nothing
        can be read as rows, or where two layouts fit equally well.
        """
        name = seen.name
        if wanted is not None:
            return bound(next(e for e in self.entries if e.name == wanted), seen)
        fitting = [e for e in self.entries if e.kind is kind and fits(e, seen)]
        if fitting:
            return bound(widest(fitting, name), seen)
        mark = fingerprint(seen.header)
        known = [one for one in self.remembered if (header_of(one), one.kind) == (mark, kind)]
        return known[-1] if known else question(probe(data, name=name), name=name)


def remembered(wb: Workbench) -> tuple[Layout, ...]:
    """Every layout on record; of those for one header and kind, the one that stands comes last."""
    standing = set(headers.standing(wb).values())
    return tuple(sorted(shelves.every(wb, Layout), key=lambda one: one.fingerprint in standing))


def remember(wb: Workbench, layout: Layout, *, now: datetime) -> Layout:
    """Keep a layout that somebody confirmed: from now on it stands for its header.

    Runs on record keep the layout they were read by, whatever stands for their header later.
    """
    kept = keep_layout(wb, layout, now=now)
    headers.let_stand(wb, header_of(kept), kept.kind, kept.fingerprint, now=now)
    return kept


def keep_layout(wb: Workbench, layout: Layout, *, now: datetime) -> Layout:
    """Keep a layout that a log was read by. It stands for its header where it is new on this workbench.

    One that is known already changes nothing: a folder that is brought in again is no correction.
    """
    layout = marked(layout)
    try:
        return shelves.one(wb, Layout, layout.fingerprint)
    except NotFound:
        shelves.save(wb, layout, now=now)
        return remember(wb, layout, now=now)


def note_correction(wb: Workbench, run: Run, *, now: datetime) -> None:
    """Where a run on record is read by another layout than before, that one stands for the header now."""
    before = run_store.on_record(wb, run.id)
    if before is None:
        return
    for was, mark in ((before.log_layout, run.log_layout), (before.sensor_layout, run.sensor_layout)):
        if was and mark and was != mark and was.partition(".")[0] == mark.partition(".")[0]:
            remember(wb, shelves.one(wb, Layout, mark), now=now)


@lru_cache(maxsize=64)
def marked(layout: Layout) -> Layout:
    """The layout as it is kept: its columns in order, and in its mark what it says beside its header."""
    columns = in_role_order(layout.columns)
    said = [layout.kind.value, *(part for c in columns for part in (c.role.value, c.header, c.unit, c.about))]
    header = header_of(layout)
    return replace(
        layout,
        fingerprint=f"{header}.{fingerprint(said)[:8]}",
        columns=columns,
        name=layout.name or f"{layout.kind} {header[:6]}",
    )


def header_of(layout: Layout) -> str:
    """The fingerprint of the header line a layout is for.

    >>> header_of(Layout(fingerprint="5f1d00c2a9e47b36.0c11d9e2", kind=LogKind.FRAMES, columns=()))
    '5f1d00c2a9e47b36'
    """
    return layout.fingerprint.partition(".")[0]


def meaning(layout: Layout) -> Meaning:
    """What a layout says, whatever it is called."""
    return (layout.kind, in_role_order(layout.columns))


def in_role_order(columns: Sequence[Column]) -> tuple[Column, ...]:
    """Columns as a study file lists them: by role, those of one role as given."""
    return tuple(sorted(columns, key=lambda column: list(Role).index(column.role)))


def column_words(column: Column) -> str:
    """One column of a layout in words.

    >>> column_words(Column(header="frame [ms]", role=Role.FRAME_TIME, unit="ms"))
    "frame time 'frame [ms]' in ms"
    """
    unit = f" in {column.unit}" if column.unit else ""
    about = f" of {column.about}" if column.about else ""
    return f"{column.role}{about} '{column.header}'{unit}"


def fits(entry: LayoutEntry, seen: Probe) -> bool:
    """Whether every column the layout uses stands in the log's header."""
    there = {normalised(header) for header in seen.header}
    return all(normalised(column.header) in there for column in entry.columns)


def widest(fitting: Sequence[LayoutEntry], name: str) -> LayoutEntry:
    """The fitting layout that explains the most columns; two as wide leave it to the person."""
    ordered = sorted(fitting, key=lambda entry: len(entry.columns), reverse=True)
    if len(ordered) > 1 and len(ordered[0].columns) == len(ordered[1].columns):
        raise BadLog(
            f"the layouts '{ordered[0].name}' and '{ordered[1].name}' both fit",
            where=name,
            todo='name one of them in the run: layout = "…"',
        )
    return ordered[0]


def bound(entry: LayoutEntry, seen: Probe) -> Layout:
    """A study's layout tied to the header of a log."""
    return Layout(
        fingerprint=fingerprint(seen.header), kind=entry.kind, columns=entry.columns, name=entry.name
    )


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
