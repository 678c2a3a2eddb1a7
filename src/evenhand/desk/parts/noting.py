"""Facts of parts, noted by a person, taken in from a folder, and put back as they were before."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import Any

from evenhand.desk.parts.known import checked_value, fact_kind
from evenhand.desk.parts.usual_marks import marks_asked
from evenhand.desk.parts.values import read_value
from evenhand.desk.study.checking import FieldProblem
from evenhand.desk.study.shelving import refuse_closed
from evenhand.errors import BadRecord, NotFound, Overtaken
from evenhand.records.builds import Part
from evenhand.records.part_facts import PartFact
from evenhand.store import part_facts, shelves
from evenhand.store.workbench import Workbench

UNDONE = "noted by mistake, and taken back"
"""The source of a fact that says that nothing was known before."""
DAY, FROM = "on", "source"


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """Facts of one part that are to be noted, and what is wrong with what was given, at its fact.

    What it `asks` keeps them from being noted until whoever gave them says that they are sure.
    """

    facts: tuple[PartFact, ...]
    problems: tuple[FieldProblem, ...] = ()
    asks: tuple[FieldProblem, ...] = ()


def drafted_facts(
    wb: Workbench,
    part: str,
    given: Mapping[str, str | None],
    *,
    source: str,
    on: str,
    today: date,
    sure: bool = False,
) -> Draft:
    """What a person wrote of a part, by fact: None says that it was looked for and is not known.

    A fact that stands with this value already is passed over, whatever its source. Raises NotFound.
    """
    of = shelves.one(wb, Part, part)
    day, problems = _day(on, today)
    standing = {fact.fact: fact for fact in part_facts.facts_of(wb, [part])}
    facts = []
    for key, text in given.items():
        try:
            value = _value(of.kind, key, text)
        except BadRecord as refused:
            problems.append(_at(key, refused))
            continue
        if key in standing and _same(standing[key].value, value):
            continue
        facts.append(PartFact(part=part, fact=key, value=value, source=source.strip(), on=day))
    if facts and not source.strip():
        todo = "write the maker's page, a ruler, a receipt"
        problems.append(FieldProblem(field=FROM, found="it is not said where this is from", todo=todo))
    asks = () if sure else marks_asked(wb, of, {fact.fact: fact.value for fact in facts})
    return Draft(facts=tuple(facts), problems=tuple(problems), asks=asks)


def _value(kind: str, key: str, text: str | None) -> Any:
    about = fact_kind(kind, key)
    if text is None:
        return None
    if not text.strip():
        raise BadRecord(f"{about.name} is empty", where=key, todo="write it, or say that it is not known")
    return checked_value(kind, key, read_value(about, text), where="a part")


def _same(one: Any, other: Any) -> bool:
    return bool(one == other) and isinstance(one, bool) == isinstance(other, bool)


def _at(key: str, refused: BadRecord) -> FieldProblem:
    return FieldProblem(field=key, found=refused.found, todo=refused.todo)


def _day(written: str, today: date) -> tuple[date, list[FieldProblem]]:
    """A day up to today; today where none is written."""
    if not written.strip():
        return today, []
    try:
        day = date.fromisoformat(written.strip())
    except ValueError:
        found = f"\u2018{written.strip()}\u2019 is no day"
        return today, [FieldProblem(field=DAY, found=found, todo="write it as 2031-05-04")]
    if day > today:
        return today, [
            FieldProblem(field=DAY, found="this day is still to come", todo="write when it was read")
        ]
    return day, []


def note_facts(
    wb: Workbench,
    part: str,
    given: Mapping[str, str | None],
    *,
    source: str,
    on: str,
    now: datetime,
    today: date,
    sure: bool = False,
) -> tuple[PartFact, ...]:
    """What a person wrote of a part, on record, all or none.

    Raises BadRecord that names each fact, or asks whether a mark far from those of its kind is so.
    """
    with wb.writing():
        draft = drafted_facts(wb, part, given, source=source, on=on, today=today, sure=sure)
        refuse(draft.problems)
        refuse(draft.asks)
        return kept(wb, part, draft.facts, now=now)


def refuse(problems: Sequence[FieldProblem]) -> None:
    """Raises BadRecord where there are any."""
    if problems:
        found = "; ".join(f"{each.field}: {each.found}" for each in problems)
        raise BadRecord(found, where="a fact of a part", todo=problems[0].todo)


def kept(wb: Workbench, part: str, facts: Iterable[PartFact], *, now: datetime) -> tuple[PartFact, ...]:
    """Facts of a part on record, unless no study but such as are put away has it."""
    refuse_closed(wb, shelves.one(wb, Part, part))
    return part_facts.add_facts(wb, facts, at=now)


def undo_facts(
    wb: Workbench, part: str, numbers: Sequence[int], *, now: datetime, today: date
) -> tuple[PartFact, ...]:
    """Notes again what stood before these facts of a part; of what nobody noted before, that it is not known.

    Raises NotFound for a number that is none of its facts, Overtaken where a fact was noted again since.
    """
    with wb.writing():
        ever = part_facts.facts_of(wb, [part], ever=True)
        return kept(wb, part, [_before(ever, number, part, today) for number in numbers], now=now)


def undo_many(wb: Workbench, numbers: Sequence[int], *, now: datetime, today: date) -> tuple[PartFact, ...]:
    """The same for facts of several parts, all or none."""
    with wb.writing():
        every = part_facts.facts_of(wb, [part.key for part in shelves.every(wb, Part)], ever=True)
        of = {fact.id: fact.part for fact in every}
        if unknown := [number for number in numbers if number not in of]:
            raise NotFound(f"there is no fact {unknown[0]}", where="facts of parts", todo="look at the parts")
        by_part: dict[str, list[int]] = {}
        for number in numbers:
            by_part.setdefault(of[number], []).append(number)
        done = (undo_facts(wb, part, own, now=now, today=today) for part, own in by_part.items())
        return tuple(fact for facts in done for fact in facts)


def _before(ever: Sequence[PartFact], number: int, part: str, today: date) -> PartFact:
    fact = next((each for each in ever if each.id == number), None)
    if fact is None:
        raise NotFound(f"there is no fact {number}", where=part, todo="look at its history")
    own = [each for each in ever if each.fact == fact.fact]
    if own[-1] is not fact:
        raise Overtaken(
            f"{fact.fact} was noted again since, and undoing would undo that as well",
            where=part,
            todo="note it by hand",
        )
    if len(own) > 1:
        return replace(own[-2], id=0)
    return replace(fact, id=0, value=None, source=UNDONE, on=today)


def take_in_facts(wb: Workbench, facts: Iterable[PartFact], *, now: datetime) -> None:
    """The facts that a folder brings and that were never on record, unless what stands is of a later day."""
    wanted = tuple(facts)
    ever = part_facts.facts_of(wb, {fact.part for fact in wanted}, ever=True)
    last = {(fact.part, fact.fact): fact for fact in ever}

    def is_news(fact: PartFact) -> bool:
        stands = last.get((fact.part, fact.fact))
        return stands is None or (stands.on <= fact.on and all(replace(each, id=0) != fact for each in ever))

    part_facts.add_facts(wb, filter(is_news, wanted), at=now)
