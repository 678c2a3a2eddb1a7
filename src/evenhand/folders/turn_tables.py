"""When and why something in a study file was taken back or put back: the table, there and back."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Annotated, Any

from pydantic import AwareDatetime

from evenhand.folders.lines import Path
from evenhand.folders.problems import Problem
from evenhand.folders.table import PlainLines, Table, Words
from evenhand.records.turns import Turn


class TurnTable(Table):
    """[[trials.turns]], [[tuned.limits.turns]], [[heat.turns]]: it was taken back, or put back."""

    counts: bool
    reason: Annotated[Words, PlainLines]
    at: AwareDatetime


def turns_of(tables: Iterable[TurnTable]) -> tuple[Turn, ...]:
    """The turns of a thing, the first first."""
    return tuple(Turn(counts=each.counts, reason=each.reason.strip(), at=each.at) for each in tables)


def turn_tables(turns: Iterable[Turn]) -> dict[str, Any]:
    """The turns as a key of the thing's own table; nothing where there are none."""
    told = [{"counts": each.counts, "reason": each.reason, "at": each.at} for each in turns]
    return {"turns": told} if told else {}


def turn_problems(turns: Sequence[Turn], place: Path) -> Iterator[Problem]:
    """Whether what was taken back counted until then, and what was put back did not."""
    for nth, turn in enumerate(turns):
        if turn.counts is not bool(nth % 2):
            said = "it was put back before it was taken back" if turn.counts else "it was taken back twice"
            todo = "write the turns in their order: taken back (counts = false), put back (counts = true)"
            yield Problem(path=(*place, "turns", nth, "counts"), found=said, todo=todo)
            return
