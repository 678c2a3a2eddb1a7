"""Facts of parts in a study file: the table, and there and back."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from pydantic import Field

from evenhand.folders.lines import Path
from evenhand.folders.problems import Problem
from evenhand.folders.table import Table, Words
from evenhand.folders.worth_tables import Day
from evenhand.records.part_facts import PartFact


class FactsTable(Table):
    """[[parts.facts]]: what was read of a part in one place on one day."""

    source: Words
    on: Day
    values: Mapping[Words, Any] = Field(default_factory=dict)
    unknown: list[Words] = Field(default_factory=list)


@dataclass(frozen=True, slots=True, kw_only=True)
class FactInFile:
    """A fact with its place in the file and the kind of its part, which need not have such a fact."""

    path: Path
    kind: str
    fact: PartFact


def facts_in(part: tuple[int, str, str], tables: Iterable[FactsTable]) -> Iterator[FactInFile]:
    """The facts of a part, which is told by its number in the file, its key and its kind."""
    number, key, kind = part
    for at, table in enumerate(tables):
        base: Path = ("parts", number, "facts", at)
        for name, value in table.values.items():
            fact = PartFact(part=key, fact=name, value=value, source=table.source, on=table.on)
            yield FactInFile(path=(*base, "values", name), kind=kind, fact=fact)
        for name in table.unknown:
            fact = PartFact(part=key, fact=name, value=None, source=table.source, on=table.on)
            yield FactInFile(path=(*base, "unknown"), kind=kind, fact=fact)


def repeated_facts(facts: Sequence[FactInFile]) -> Iterator[Problem]:
    """Facts of a part that stand there twice."""
    seen = set()
    for each in facts:
        which = (each.fact.part, each.fact.fact)
        if which in seen:
            yield Problem(
                path=each.path,
                found=f"'{each.fact.fact}' of {each.fact.part} stands there twice",
                todo="keep one",
            )
        seen.add(which)


def facts_tables(part: str, facts: Sequence[PartFact]) -> list[dict[str, Any]]:
    """The facts of a part by source and day, in the order in which these come up."""
    own = [fact for fact in facts if fact.part == part]
    return [_table(own, *place) for place in dict.fromkeys((fact.source, fact.on) for fact in own)]


def _table(facts: Sequence[PartFact], source: str, on: Any) -> dict[str, Any]:
    here = [fact for fact in facts if (fact.source, fact.on) == (source, on)]
    values = {fact.fact: fact.value for fact in here if fact.value is not None}
    unknown = [fact.fact for fact in here if fact.value is None]
    told = {"source": source, "on": on, "values": values, "unknown": unknown}
    return {key: value for key, value in told.items() if value}
