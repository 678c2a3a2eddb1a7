"""The form of a part's facts: what stands in it, and what its writer changed since they saw it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from evenhand.desk.parts.known import fact_kind, known_facts
from evenhand.desk.parts.telling import facts_ever
from evenhand.desk.parts.values import written
from evenhand.desk.study.checking import FieldProblem
from evenhand.errors import BadRecord
from evenhand.fit.known import FactKind
from evenhand.records.part_facts import PERFORMANCE, PartFact
from evenhand.store.workbench import Workbench


@dataclass(frozen=True, slots=True, kw_only=True)
class Filled:
    """What was changed, by fact, None where it was said not to be known; and what is contradictory."""

    given: Mapping[str, str | None]
    problems: tuple[FieldProblem, ...] = ()


RATED = ("processor", "graphics", "memory", "storage")
"""Kinds of which it is asked how good one is at a role; of any other kind it may be noted all the same."""


def fields_of(kind: str, facts: Sequence[PartFact], roles: Iterable[str] = ()) -> tuple[FactKind, ...]:
    """The facts that a form of this kind of part asks for, and those beyond that are on record and may be.

    `roles` are what a study's tests ask of parts: the groups of its tests.
    """
    known = dict(known_facts(kind))
    asked = (f"{PERFORMANCE}{role}" for role in roles) if kind in RATED else ()
    known |= {key: fact_kind(kind, key) for key in asked}
    for fact in facts:
        if fact.fact not in known:
            try:
                known[fact.fact] = fact_kind(kind, fact.fact)
            except BadRecord:
                continue
    return tuple(known.values())


def as_of(wb: Workbench, part: str, seen: int) -> dict[str, PartFact]:
    """What stood of a part when its last fact was the one of this number."""
    return {fact.fact: fact for fact in facts_ever(wb, part) if fact.id <= seen}


def last_of(facts: Sequence[PartFact]) -> int:
    """The number of the last fact, 0 without any: what somebody saw who opens the form now."""
    return max((fact.id for fact in facts), default=0)


def filled(
    wb: Workbench,
    part: str,
    fields: Sequence[FactKind],
    *,
    texts: Mapping[str, str],
    ticked: frozenset[str],
    seen: int,
) -> Filled:
    """What the writer of a form of these fields changed, who saw the facts up to `seen`.

    `texts` are the values as typed, by fact; `ticked` those that are said not to be known.
    """
    before, now = as_of(wb, part, seen), {fact.fact: fact for fact in facts_ever(wb, part)}
    given: dict[str, str | None] = {}
    problems = []
    for about in fields:
        key, text = about.key, texts.get(about.key, "").strip()
        stood = before.get(key)
        value: Any = None if stood is None else stood.value
        shown = written(about, value)
        if _alike(text, shown) and (key in ticked) == (stood is not None and value is None):
            continue
        if key in ticked and text and not _alike(text, shown):
            todo = "take the tick away, or empty the field"
            problems.append(FieldProblem(field=key, found="both a value and that it is not known", todo=todo))
        elif key in ticked:
            given[key] = None
        elif text or shown:
            given[key] = text
        if key in given and now.get(key) != stood:
            todo = "look at what stands there now, and write yours again where it should"
            problems.append(
                FieldProblem(field=key, found="this was noted in another window since", todo=todo)
            )
    return Filled(given=given, problems=tuple(problems))


def _alike(one: str, other: str) -> bool:
    """Whether two texts are the same but for how a browser ends lines."""
    return one.split() == other.split()
