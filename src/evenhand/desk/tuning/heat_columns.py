"""Which columns of a log are a tuned part's: guessed by what they sit on, and as a person says it."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from evenhand.desk.logs.column_questions import Question, question
from evenhand.desk.logs.columns import LOOK_BYTES
from evenhand.desk.logs.layouts import bound, entry_of, known_for, remembered
from evenhand.desk.study.checking import FieldProblem
from evenhand.errors import BadLog, nearest
from evenhand.folders.checks import check_layout
from evenhand.records.heat import HeatColumns
from evenhand.records.layouts import Column, Layout, LogKind, Role
from evenhand.records.trials import Meter
from evenhand.store import originals
from evenhand.store.workbench import Workbench
from evenhand.traces.probe import probe

ROLES: Mapping[str, Role] = {
    "temperature": Role.TEMPERATURE, "watts": Role.POWER, "room": Role.TEMPERATURE, "fan": Role.FAN,
    "clock": Role.CLOCK,
}  # fmt: skip
"""What each column of a temperature log has to be."""

PARTS = ("board", "graphics", "memory", "processor")
"""What a column is guessed to sit on, where that is a part."""

OWN = ("temperature", "watts", "clock")
"""Columns that have to be the part's own; a fan cools several."""

ROOMS = ("room", "ambient", "intake", "inlet")
AT_WALL = re.compile(r"\b(wall|mains|plug|socket)\b", re.IGNORECASE)
"""Words in the header of watts that were read before the supply; any other sits on the part."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HeatFile:
    """A log that is kept: its header, what its columns are or seem to be, and its name.

    `asked` says that nobody has confirmed the layout yet.
    """

    log: str
    name: str
    header: tuple[str, ...]
    layout: Layout
    asked: Question | None = None


def look_at(wb: Workbench, log: str, *, layout: Layout | None = None) -> HeatFile:
    """A log that is kept, as `layout` reads it, or the one that is known for its header, or a guess.

    Raises BadLog where it holds no rows, or frames or scores and no sensors.
    """
    name = (*originals.names(wb, log), "the log")[0]
    seen = probe(originals.beginning(wb, log, LOOK_BYTES), name=name)
    known = layout or known_for(remembered(wb), seen, kind=LogKind.SENSORS)
    if known is not None:
        tied = bound(entry_of(known), seen) if layout is None else known
        return HeatFile(log=log, name=name, header=seen.header, layout=tied)
    asked = question(seen, name=name)
    if asked.kind is not LogKind.SENSORS and not _sensed(asked):
        raise BadLog(
            f"this looks like a log of {asked.kind}, and no column of it reads a temperature", where=name,
            todo="bring the log in which a program wrote temperatures and watts, row by row",
        )  # fmt: skip
    guessed = replace(asked.layout, kind=LogKind.SENSORS)
    return HeatFile(log=log, name=name, header=seen.header, layout=guessed, asked=asked)


def _sensed(asked: Question) -> bool:
    return any(column.role == Role.TEMPERATURE.value for column in asked.columns)


def guessed_columns(layout: Layout, part: str) -> dict[str, str]:
    """The column of each kind that most likely is this part's; "" where none or several could be."""
    found = {"room": _room(layout)}
    for name in ("temperature", "watts", "fan", "clock"):
        of_role = [c for c in layout.columns if c.role is ROLES[name] and c.header != found["room"]]
        own = [c for c in of_role if _is_of(c, part)]
        taken = own if len(own) == 1 else of_role if len(of_role) == 1 and not own else []
        found[name] = taken[0].header if taken else ""
    return found


def guessed_meter(layout: Layout, header: str) -> Meter:
    """Where the watts of a column most likely were read: at the wall where its name says so."""
    said = " ".join(f"{c.about} {c.header}" for c in layout.columns if c.header == header) or header
    return Meter.WALL if AT_WALL.search(said) else Meter.PART


def _room(layout: Layout) -> str:
    warm = [c for c in layout.columns if c.role is Role.TEMPERATURE]
    rooms = [c for c in warm if any(word in f"{c.about} {c.header}".lower() for word in ROOMS)]
    return rooms[0].header if len(rooms) == 1 and len(warm) > 1 else ""


def _is_of(column: Column, part: str) -> bool:
    return part.lower() in (column.about or column.header).lower()


def said_columns(file: HeatFile, columns: HeatColumns, part: str) -> Layout:
    """The layout by which a log is read once somebody has said which columns are this part's.

    What that says of a column counts above a guess that nobody has confirmed.
    """
    named = {getattr(columns, name): name for name in ROLES if getattr(columns, name)}
    guesses = {each.header: each.about for each in file.asked.columns} if file.asked else {}
    kept = []
    for column in file.layout.columns:
        name = named.pop(column.header, "")
        role = ROLES.get(name, column.role)
        about = _sits_on(column.about, part) if file.asked and name in OWN else column.about
        kept.append(replace(column, role=role, unit=column.unit if role is column.role else "", about=about))
    for header, name in named.items():
        about = guesses.get(header, "")
        about = _sits_on(about, part) if name in OWN else about
        kept.append(Column(header=header, role=ROLES[name], about=about))
    return replace(file.layout, columns=tuple(kept))


def _sits_on(guess: str, part: str) -> str:
    """The part, in place of another one that was guessed."""
    return part if guess.lower() in PARTS and guess.lower() != part.lower() else guess


def column_problems(
    file: HeatFile, columns: HeatColumns, *, part: str, kinds: set[str]
) -> Iterator[FieldProblem]:
    """Columns that the log has not, or that by a confirmed layout are another part's.

    `kinds` are those of the build's parts.
    """
    layout = said_columns(file, columns, part)
    about = {column.header: column.about.lower() for column in layout.columns}
    for name in ROLES:
        header = getattr(columns, name)
        if not header:
            continue
        if header not in file.header:
            todo = nearest(header, file.header)
            yield FieldProblem(field=name, found=f"'{header}' is no column of this log", todo=todo)
        elif not file.asked and name in OWN and (other := _another(about[header], part, kinds)):
            found = f"'{header}' is a column of the {other}, and this is the {part}"
            yield FieldProblem(field=name, found=found, todo=f"choose the one of the {part}")
    for problem in check_layout(entry_of(layout), 0):
        yield FieldProblem(field="temperature", found=problem.found, todo=problem.todo)


def _another(about: str, part: str, kinds: set[str]) -> str:
    if part.lower() in about:
        return ""
    return next((kind for kind in sorted(kinds) if kind != part and kind.lower() in about), "")
