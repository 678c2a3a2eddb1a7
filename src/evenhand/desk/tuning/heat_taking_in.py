"""Temperature logs of tuned parts between a workbench and a study's folder, each with its file and layout."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import asdict, replace
from datetime import datetime

from evenhand.desk.logs.column_questions import Question
from evenhand.desk.logs.layouts import keep_layout
from evenhand.desk.logs.readings import Reader, Source
from evenhand.errors import BadRecord
from evenhand.folders.heat_tables import heat_key
from evenhand.folders.study_folder import HeatEntry, LayoutEntry
from evenhand.records.heat import LoggedHeat
from evenhand.store import heat as heat_store
from evenhand.store import originals
from evenhand.store.workbench import Workbench

Confirm = Callable[[Question], bool]
Placed = Callable[[str], str]


def take_in_heat(
    wb: Workbench, reader: Reader, entries: Iterable[HeatEntry], confirm: Confirm, *, now: datetime
) -> Iterator[Source]:
    """What a folder brings and was never on record; each file with what became of it.

    What was taken back stays so. One whose columns nobody has confirmed, or that lacks one that it names, is
    left out, with its trouble.
    """
    for entry in entries:
        if entry.heat.key and _known(wb, entry.heat):
            continue
        source = reader.sensors_of(entry.file, entry.layout)
        if source.question is not None and confirm(source.question):
            source = reader.sensors_of(entry.file, entry.layout)
        yield _taken_in(wb, entry, source, now=now)


def _known(wb: Workbench, heat: LoggedHeat) -> bool:
    return any(each.key == heat.key for each in heat_store.heat_of(wb, [heat.setup], ever=True))


def _taken_in(wb: Workbench, entry: HeatEntry, source: Source, *, now: datetime) -> Source:
    if source.kept is None or source.layout is None:
        return source
    lacks = _lacking(entry.heat, {column.header for column in source.layout.columns}, entry.file)
    if lacks is not None:
        return replace(source, trouble=lacks)
    with wb.writing():
        originals.keep_packed(wb, source.kept.packed, name=entry.file, digest=source.kept.digest)
        layout = keep_layout(wb, source.layout, now=now).fingerprint
        heat = replace(entry.heat, log=source.kept.digest, layout=layout)
        heat = replace(heat, key=heat.key or heat_key(heat))
        if not _known(wb, heat):
            heat_store.add_heat(wb, heat, at=now)
    return source


def _lacking(heat: LoggedHeat, headers: set[str], file: str) -> BadRecord | None:
    """That a column is named which the layout does not read."""
    missing = [name for name in asdict(heat.columns).values() if name and name not in headers]
    if not missing:
        return None
    return BadRecord(
        f"its layout reads no column '{missing[0]}', which is named for the {heat.part} of {heat.setup}",
        where=file, todo="name a column of the layout, or a layout that has this one",
    )  # fmt: skip


def heat_entries(
    logs: Iterable[LoggedHeat], file: Placed, layouts: Mapping[str, LayoutEntry]
) -> tuple[HeatEntry, ...]:
    """The logs as a study file tells them; `file` gives the name of the bytes with this hash."""
    return tuple(
        HeatEntry(
            file=file(heat.log), layout=layouts[heat.layout].name, heat=replace(heat, log="", layout="", id=0)
        )
        for heat in logs
    )
