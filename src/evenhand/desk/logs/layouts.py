"""Which layout a log has: named in the study, fitting one of its layouts, remembered, or asked for once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime
from functools import lru_cache

from evenhand.desk.logs.column_questions import Question, question
from evenhand.errors import BadLog, NotFound
from evenhand.folders.study_folder import LayoutEntry
from evenhand.records.layouts import Column, Layout, LogKind, Role
from evenhand.records.runs import Run
from evenhand.store import headers, shelves
from evenhand.store import runs as run_store
from evenhand.store.workbench import Workbench
from evenhand.traces.fingerprints import fingerprint, normalised
from evenhand.traces.probe import Probe, probe

Meaning = tuple[LogKind, tuple[Column, ...]]

ANY_HEADER = "any"  # where a header's fingerprint stands in a layout that came before its first log


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
        known = known_for(self.remembered, seen, kind=kind)
        return question(probe(data, name=name), name=name) if known is None else known


def remembered(wb: Workbench) -> tuple[Layout, ...]:
    """Every layout on record; of those for one header and kind, the one that stands comes last."""
    standing = set(headers.standing(wb).values())
    return tuple(sorted(shelves.every(wb, Layout), key=lambda one: one.fingerprint in standing))


def known_for(layouts: Sequence[Layout], seen: Probe, *, kind: LogKind | None = None) -> Layout | None:
    """How a log is read: as was confirmed for its header, or as a study said before any log of it came.

    `layouts` as `remembered` gives them; None where two that came before their logs fit equally well.
    """
    usable = [one for one in layouts if kind in (None, one.kind)]
    mark = fingerprint(seen.header)
    known = [one for one in usable if header_of(one) == mark]
    if known:
        return known[-1]
    foretold = [entry_of(one) for one in usable if header_of(one) == ANY_HEADER]
    try:
        fitting = [entry for entry in foretold if fits(entry, seen)]
        return bound(widest(fitting, seen.name), seen) if fitting else None
    except BadLog:
        return None


def foretell(wb: Workbench, entries: Sequence[LayoutEntry], *, now: datetime) -> None:
    """Keep a study's layouts that no log of it has been read by yet: they serve the first that fits."""
    said = {meaning(one) for one in shelves.every(wb, Layout)}
    for entry in entries:
        layout = Layout(fingerprint=ANY_HEADER, kind=entry.kind, columns=entry.columns, name=entry.name)
        if meaning(layout) not in said:
            shelves.save(wb, marked(layout), now=now)


def entry_of(layout: Layout) -> LayoutEntry:
    """A layout as a study file names it."""
    return LayoutEntry(name=layout.name, kind=layout.kind, columns=layout.columns)


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
