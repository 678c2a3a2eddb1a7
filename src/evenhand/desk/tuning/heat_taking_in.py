"""Temperature logs of tuned parts between a workbench and a study's folder, each with its file and layout."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass, replace
from datetime import datetime

from evenhand.desk.logs.column_questions import Question
from evenhand.desk.logs.layouts import keep_layout
from evenhand.desk.logs.readings import Reader, Source
from evenhand.desk.tuning.brought import NOTHING, TunedBrought, log_named, turned
from evenhand.desk.tuning.taking_in import take_over
from evenhand.errors import BadRecord
from evenhand.folders.heat_tables import heat_key
from evenhand.folders.study_folder import HeatEntry, LayoutEntry
from evenhand.records.heat import LoggedHeat
from evenhand.records.turns import Turn, why_gone
from evenhand.store import heat as heat_store
from evenhand.store import originals
from evenhand.store.workbench import Workbench

Confirm = Callable[[Question], bool]
Placed = Callable[[str], str]


@dataclass(frozen=True, slots=True, kw_only=True)
class HeatTaken:
    """What became of a log that a folder names; `source` is its file, where that had to be read."""

    brought: TunedBrought = NOTHING
    source: Source | None = None


def take_in_heat(
    wb: Workbench, reader: Reader, entries: Iterable[HeatEntry], confirm: Confirm, *, now: datetime
) -> Iterator[HeatTaken]:
    """What a folder brings and was never on record; of what was, only that it was taken back.

    One whose columns nobody has confirmed, or that lacks one that it names, is left out, with its trouble.
    """
    for entry in entries:
        own = _known(wb, entry.heat) if entry.heat.key else None
        if own is not None:
            yield HeatTaken(brought=_turned(wb, own, entry.turns))
            continue
        source = reader.sensors_of(entry.file, entry.layout)
        if source.question is not None and confirm(source.question):
            source = reader.sensors_of(entry.file, entry.layout)
        yield _taken_in(wb, entry, source, now=now)


def _known(wb: Workbench, heat: LoggedHeat) -> LoggedHeat | None:
    every = heat_store.heat_of(wb, [heat.setup], ever=True)
    return next((each for each in every if each.key == heat.key), None)


def _turned(wb: Workbench, own: LoggedHeat, told: Sequence[Turn]) -> TunedBrought:
    """A log on record, taken back where the folder says so."""
    with wb.writing():
        here = heat_store.turns(wb).get(own.id, ())
        take_over(wb, own.id, told, here, _turn_heat)
    return TunedBrought(known=1) + turned(log_named(own), told, here)


def _turn_heat(wb: Workbench, number: int, turn: Turn) -> None:
    heat_store.take_back_heat(wb, number, turn.reason, at=turn.at)


def _taken_in(wb: Workbench, entry: HeatEntry, source: Source, *, now: datetime) -> HeatTaken:
    if source.kept is None or source.layout is None:
        return HeatTaken(source=source)
    lacks = _lacking(entry.heat, {column.header for column in source.layout.columns}, entry.file)
    if lacks is not None:
        return HeatTaken(source=replace(source, trouble=lacks))
    with wb.writing():
        originals.keep_packed(wb, source.kept.packed, name=entry.file, digest=source.kept.digest)
        layout = keep_layout(wb, source.layout, now=now).fingerprint
        heat = replace(entry.heat, log=source.kept.digest, layout=layout)
        heat = replace(heat, key=heat.key or heat_key(heat))
        if (own := _known(wb, heat)) is not None:
            return HeatTaken(brought=_turned(wb, own, entry.turns), source=source)
        take_over(wb, heat_store.add_heat(wb, heat, at=now).id, entry.turns, (), _turn_heat)
    brought = TunedBrought(logs=1, gone=int(why_gone(entry.turns) is not None))
    return HeatTaken(brought=brought, source=source)


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
    wb: Workbench, logs: Iterable[LoggedHeat], file: Placed, layouts: Mapping[str, LayoutEntry]
) -> tuple[HeatEntry, ...]:
    """The logs as a study file tells them; `file` gives the name of the bytes with this hash."""
    turns = heat_store.turns(wb)
    return tuple(
        HeatEntry(
            file=file(heat.log), layout=layouts[heat.layout].name, turns=turns.get(heat.id, ()),
            heat=replace(heat, log="", layout="", id=0),
        )
        for heat in logs
    )  # fmt: skip
