"""Temperature logs of tuned parts in a study file: the table, there and back, and what is wrong with it."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import asdict, replace
from typing import Annotated, Any

from pydantic import AwareDatetime, Field, StringConstraints

from evenhand.errors import nearest
from evenhand.folders.lines import Path
from evenhand.folders.problems import Problem
from evenhand.folders.study_folder import HeatEntry
from evenhand.folders.table import FileName, Key, RoomTemperature, Table, Words
from evenhand.folders.trial_tables import Clock, Named, Note, Settings, Short, Voltage
from evenhand.folders.turn_tables import TurnTable, turn_problems, turn_tables, turns_of
from evenhand.records.heat import HEAT_COLUMNS, HeatColumns, LoggedHeat
from evenhand.records.layouts import LogKind
from evenhand.records.trials import Meter

Header = Annotated[str, StringConstraints(max_length=1000)]
Second = Annotated[float, Field(ge=0, le=10_000_000)]


class HeatFacts(Table):
    """What a person says of a temperature log, whose bytes are named elsewhere."""

    setup: Key
    part: Named
    temperature: Annotated[Header, StringConstraints(min_length=1)]
    watts: Header = ""
    room: Header = ""
    fan: Header = ""
    clock: Header = ""
    watts_at: Annotated[Meter, Field(strict=False)] = Meter.PART
    room_c: RoomTemperature | None = None
    from_s: Second | None = None
    to_s: Second | None = None
    clock_mhz: Clock | None = None
    voltage_mv: Voltage | None = None
    settings: Settings = Field(default_factory=dict)
    at: AwareDatetime | None = None
    note: Note = ""
    by: Short = ""
    key: Short = ""


class HeatTable(HeatFacts):
    """[[heat]]: a temperature log of a tuned part."""

    file: FileName
    layout: Words | None = None
    turns: list[TurnTable] = Field(default_factory=list)


def heat_of(table: HeatFacts, *, log: str = "", layout: str = "") -> LoggedHeat:
    """A log, of these bytes read by this layout."""
    plain = {name: getattr(table, name) for name in HeatFacts.model_fields if name not in HEAT_COLUMNS}
    named = {name: plain[name].strip() for name in ("part", "note", "by", "key")}
    columns = HeatColumns(**{name: getattr(table, name) for name in HEAT_COLUMNS})
    told = {**plain, **named, "settings": dict(table.settings)}
    return LoggedHeat(log=log, layout=layout, columns=columns, **told)


def entry_of(table: HeatTable) -> HeatEntry:
    """A log as a file tells it: its bytes and its layout are known once the file beside it was read."""
    turns = turns_of(table.turns)
    return HeatEntry(file=table.file, layout=table.layout, heat=heat_of(table), turns=turns)


def heat_table(entry: HeatEntry) -> dict[str, Any]:
    """A log as a table; what is silent is not known."""
    told = {"setup": entry.heat.setup, "part": entry.heat.part, "file": entry.file, "layout": entry.layout}
    told |= asdict(entry.heat.columns)
    left = {name: value for name, value in asdict(entry.heat).items() if name not in _WITHIN}
    left["watts_at"] = None if entry.heat.watts_at is Meter.PART else entry.heat.watts_at.value
    known = {
        name: value for name, value in (told | left).items() if value is not None and value not in ("", {})
    }
    return known | turn_tables(entry.turns)


_WITHIN = ("setup", "part", "log", "layout", "columns", "id")


def heat_problems(heat: LoggedHeat, place: Path) -> Iterator[Problem]:
    """What of a log contradicts itself."""
    told = [name for name in asdict(heat.columns).values() if name]
    twice = sorted({name for name in told if told.count(name) > 1})
    if twice:
        said = f"the column '{twice[0]}' is taken for two things"
        yield Problem(path=(*place, "temperature"), found=said, todo="name another for one of them")
    if heat.columns.room and heat.room_c is not None:
        said = "the room is told by a column and as one value"
        yield Problem(path=(*place, "room_c"), found=said, todo="keep one of them")
    if heat.from_s is not None and heat.to_s is not None and heat.from_s >= heat.to_s:
        said = f"it ends at {heat.to_s:g} s, before it begins at {heat.from_s:g} s"
        yield Problem(path=(*place, "to_s"), found=said, todo="write a later second")


def heat_in_file(
    entries: Sequence[tuple[int, HeatEntry]],
    declared: Collection[tuple[str, str]],
    layouts: Mapping[str, LogKind | None],
) -> Iterator[Problem]:
    """What is wrong with the logs of a file. `declared` are setups with the parts of them that are tuned."""
    seen: set[str] = set()
    for at, entry in entries:
        heat = entry.heat
        yield from heat_problems(heat, ("heat", at))
        yield from _turns(entry, at)
        if (heat.setup, heat.part) not in declared:
            said = f"the {heat.part} of {heat.setup} is no tuned part of this file"
            todo = "add it as [[tuned]], with its stock and its steps"
            yield Problem(path=("heat", at, "part"), found=said, todo=todo)
        if entry.layout is not None and layouts.get(entry.layout) is not LogKind.SENSORS:
            known = [name for name, kind in layouts.items() if kind is LogKind.SENSORS]
            said = f"'{entry.layout}' is no layout of sensor logs in this file"
            todo = nearest(entry.layout, known) if known else "add it as [[layouts]]"
            yield Problem(path=("heat", at, "layout"), found=said, todo=todo)
        if heat.key and heat.key in seen:
            said = f"two logs have the key '{heat.key}'"
            yield Problem(path=("heat", at, "key"), found=said, todo="give each its own, or none")
        seen.add(heat.key)


def _turns(entry: HeatEntry, at: int) -> Iterator[Problem]:
    """What is wrong with its turns: a log that was taken back is brought again under another key."""
    yield from turn_problems(entry.turns, ("heat", at))
    if len(entry.turns) > 1:
        said = "a temperature log is taken back once, and not put back"
        todo = "leave the later turns out, and name the log once more"
        yield Problem(path=("heat", at, "turns"), found=said, todo=todo)


def heat_key(heat: LoggedHeat) -> str:
    """A key for a log that has none: its bytes, and what is said of them but for notes.

    The same said of the same bytes is the same log.
    """
    told = asdict(replace(heat, note="", by="", key="", id=0, at=None))
    text = json.dumps({**told, "columns": asdict(heat.columns)}, sort_keys=True)
    return hashlib.sha256(text.encode()).hexdigest()[:24]
