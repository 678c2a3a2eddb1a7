"""The catalogue of parts, and one part with all that is known of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from evenhand.desk.on_record import StudyOnRecord, load_study
from evenhand.desk.pages.frame import Frame, address, frame_of
from evenhand.desk.pages.told_parts import ToldShown, told_shown
from evenhand.desk.parts.catalogue import EVERY_KIND, Listed, catalogue, place_of, unruled_words
from evenhand.desk.parts.filling import fields_of, last_of
from evenhand.desk.parts.fitting import fittings_of
from evenhand.desk.parts.known import PIECES, WITHOUT_GROUP
from evenhand.desk.parts.telling import facts_ever
from evenhand.errors import NotFound
from evenhand.fit.known import FactKind, Sort
from evenhand.publish.dates import day_words
from evenhand.publish.direction import isolated
from evenhand.publish.fact_words import value_words
from evenhand.publish.numbers import capital, count_word, counted, listed
from evenhand.records.part_facts import PartFact
from evenhand.store.workbench import Workbench


@dataclass(frozen=True, slots=True, kw_only=True)
class Chip:
    """A kind of part to choose, with how many there are."""

    words: str
    count: int
    address: str
    here: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class PartRow:
    """A part in the catalogue; `twice` asks whether it is there twice."""

    name: str
    kind: str
    address: str
    known: str
    builds: tuple[tuple[str, int], ...]
    twice: str
    waits: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CataloguePage:
    """Every part of the workbench, or those of one kind."""

    frame: Frame
    answer: str
    chips: tuple[Chip, ...]
    rows: tuple[PartRow, ...]
    kind: str
    kinds: tuple[str, ...]
    told: tuple[ToldShown, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class FactRow:
    """One fact of a part: `state` is "known", "not known" (looked for in vain) or "" (nobody noted it).

    `before` are the values that stood before, newest first. `waits` says that an answer waits for it.
    """

    key: str
    name: str
    unit: str
    where: str
    state: str
    value: str
    source: str
    day: str
    before: tuple[str, ...]
    waits: bool
    form: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Noted:
    """What was just noted, with the numbers by which it is undone."""

    words: str
    numbers: str
    every: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PartPage:
    """One part; `fields` are the facts that its form asks for, `seen` the last fact that is on record."""

    frame: Frame
    answer: str
    key: str
    name: str
    kind: str
    note: str
    builds: tuple[tuple[str, int], ...]
    pieces: str
    unruled: str
    rows: tuple[FactRow, ...]
    fields: tuple[FactKind, ...]
    seen: int
    noted: Noted | None
    here: str
    all_parts: str


def catalogue_page(wb: Workbench, study: str, *, kind: str = "") -> CataloguePage:
    """The catalogue, under a study's builds; `kind` leaves the others out. Raises NotFound."""
    record = load_study(wb, study)
    every = catalogue(wb)
    shown = [each for each in every if not kind or each.part.kind == kind]
    waits = _waiting(wb, record)
    return CataloguePage(
        frame=frame_of(record, "builds"),
        answer=_catalogue_answer(every),
        chips=_chips(every, study, kind),
        rows=tuple(_part_row(each, study, waits.get(each.part.key, frozenset())) for each in shown),
        kind=kind,
        kinds=EVERY_KIND,
        told=told_shown(wb, study),
    )


def _catalogue_answer(every: Sequence[Listed]) -> str:
    if not every:
        return "No part is on this workbench yet. Add the first one, or a build with its parts."
    lacking = sum(each.known < each.asked for each in every)
    said = capital(f"{counted(len(every), 'part')} {'is' if len(every) == 1 else 'are'} on this workbench")
    if not lacking:
        return f"{said}; all is known of them that rules ask for."
    whole = "it" if len(every) == 1 else "each" if lacking == len(every) else f"{count_word(lacking)} of them"
    return f"{said}; of {whole} something is not known that rules may ask for."


def _waiting(wb: Workbench, record: StudyOnRecord) -> dict[str, frozenset[str]]:
    """By part, the facts that an answer about a build of this study waits for."""
    found: dict[str, frozenset[str]] = {}
    for fitting in fittings_of(wb, record):
        for seen in fitting.missing:
            found[seen.part.key] = found.get(seen.part.key, frozenset()) | {seen.fact.key}
    return found


def _chips(every: Sequence[Listed], study: str, kind: str) -> tuple[Chip, ...]:
    base = address(study, "builds", "parts")
    kinds = sorted({each.part.kind for each in every}, key=lambda each: (place_of(each), each))
    own = (
        Chip(
            words=capital(each), count=sum(one.part.kind == each for one in every),
            address=f"{base}?kind={each.replace(' ', '+')}", here=each == kind,
        )
        for each in kinds
    )  # fmt: skip
    return (Chip(words="All", count=len(every), address=base, here=not kind), *own)


def _part_row(each: Listed, study: str, waits: frozenset[str]) -> PartRow:
    return PartRow(
        name=each.part.name,
        kind=each.part.kind,
        address=address(study, "builds", "parts", each.part.key),
        known=f"{each.known} of {each.asked} facts" if each.asked else "no rule asks about it",
        builds=tuple((build.name, build.slot) for build in each.builds),
        twice="Another part has this kind and name: is it the same one twice?" if each.alike else "",
        waits=f"{capital(counted(len(waits), 'fact'))} of it would settle an answer." if waits else "",
    )


def part_page(wb: Workbench, study: str, part: str, *, noted: str = "") -> PartPage:
    """One part; `noted` are the numbers of facts that were just noted. Raises NotFound."""
    record = load_study(wb, study)
    listed_one = next((each for each in catalogue(wb) if each.part.key == part), None)
    ever = facts_ever(wb, part)  # raises NotFound
    if listed_one is None:
        raise NotFound(f"no part is called '{part}'", where=study, todo="see all parts")
    of, here = listed_one.part, address(study, "builds", "parts", part)
    fields = fields_of(of.kind, ever, roles_of(record))
    waits = _waiting(wb, record).get(part, frozenset())
    return PartPage(
        frame=frame_of(record, "builds"),
        answer=_part_answer(listed_one),
        key=of.key,
        name=of.name,
        kind=of.kind,
        note=of.note,
        builds=tuple((build.name, build.slot) for build in listed_one.builds),
        pieces=_pieces_words(listed_one, ever),
        unruled=unruled_words(of.kind),
        rows=tuple(fact_row(about, ever, here, waits=about.key in waits) for about in fields),
        fields=fields,
        seen=last_of(ever),
        noted=_noted(ever, fields, noted),
        here=here,
        all_parts=address(study, "builds", "parts"),
    )


def roles_of(record: StudyOnRecord) -> tuple[str, ...]:
    """What the tests that are compared ask of parts: their groups, and everything where one is in none."""
    return tuple(dict.fromkeys(test.group or WITHOUT_GROUP for test in record.compared_tests))


def _part_answer(each: Listed) -> str:
    name = isolated(each.part.name)
    if not each.asked:
        return f"No rule asks about {name}: what is known of it stands below."
    if each.known == each.asked:
        return f"All is known of {name} that rules may ask for."
    if not each.known:
        return f"Nothing is known of {name} yet. Rules may ask for {counted(each.asked, 'fact')}."
    return f"Of {name} {count_word(each.known)} of {counted(each.asked, 'fact')} are known."


def _pieces_words(each: Listed, ever: Sequence[PartFact]) -> str:
    """How many there are against the builds that have it; "" where that says nothing."""
    pieces = next((fact.value for fact in reversed(ever) if fact.fact == PIECES), None)
    if pieces is None or len(each.builds) < 2:
        return ""
    builds = f"{counted(len(each.builds), 'build')} {'has' if len(each.builds) == 1 else 'have'} it"
    if pieces < len(each.builds):
        there = "there is one" if pieces == 1 else f"there are {count_word(pieces)}"
        return f"{capital(builds)}, and {there}: it moves between them."
    return f"{capital(builds)}, and there is one for each."


def fact_row(about: FactKind, ever: Sequence[PartFact], here: str, *, waits: bool) -> FactRow:
    """One fact with what stood before."""
    own = [fact for fact in ever if fact.fact == about.key]
    last = own[-1] if own else None
    return FactRow(
        key=about.key,
        name=about.name,
        unit=about.unit,
        where=about.where,
        state="" if last is None else "not known" if last.value is None else "known",
        value="" if last is None else value_words(about, last.value),
        source="" if last is None else last.source,
        day="" if last is None else day_words(last.on),
        before=tuple(
            f"{value_words(about, fact.value)} ({fact.source}, {day_words(fact.on)})" for fact in own[-2::-1]
        ),
        waits=waits,
        form=f"{here}?edit=facts&fact={about.key}",
    )


def _noted(ever: Sequence[PartFact], fields: Sequence[FactKind], numbers: str) -> Noted | None:
    """What was noted under these numbers, "12-15" or "12"; None for none of this part."""
    first, _, last = numbers.partition("-")
    if not all(each.isascii() and each.isdigit() and len(each) < 18 for each in (first, last or first)):
        return None
    chosen = [fact for fact in ever if int(first) <= fact.id <= int(last or first)]
    kinds = {about.key: about for about in fields}
    said = tuple(
        f"{kinds[fact.fact].name} {value_words(kinds[fact.fact], fact.value)}"
        for fact in chosen
        if fact.fact in kinds
    )
    if not said:
        return None
    what = listed(said) if len(said) < 4 else counted(len(said), "fact")
    every = tuple(fact.id for fact in chosen)
    return Noted(words=f"Noted: {what}. This is on record.", numbers=numbers, every=every)


def is_lines(about: FactKind) -> bool:
    """Whether a fact is written in several lines."""
    return about.sort in (Sort.TABLE, Sort.PLACES, Sort.BY_MS, Sort.BY_LOAD)
