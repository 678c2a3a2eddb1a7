"""Whether the parts of each build go together, and its power budget, as the builds page shows them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from evenhand.desk.on_record import StudyOnRecord, load_study
from evenhand.desk.pages.frame import address
from evenhand.desk.parts.assuming import changed_words, taken_by, terms_by
from evenhand.desk.parts.fitting import Fitting, fittings_of
from evenhand.desk.parts.known import PIECES
from evenhand.fit.answers import worst
from evenhand.fit.asking import Fit
from evenhand.fit.power_terms import Term
from evenhand.fit.reading import Seen
from evenhand.publish.dates import day_words
from evenhand.publish.fact_words import value_words
from evenhand.publish.figures.power_rows import as_drawn, power_rows
from evenhand.publish.fit_words import MAKER_FIRST, STATE, builds_sentence, by_rule, open_words
from evenhand.publish.numbers import capital, count_word, listed
from evenhand.publish.picture import Picture
from evenhand.publish.power_words import assumed_words, length_words, over_words, wall_words
from evenhand.records.builds import Build
from evenhand.records.part_facts import PartFact
from evenhand.store.workbench import Workbench


@dataclass(frozen=True, slots=True, kw_only=True)
class FactSeen:
    """A fact that an answer rests on: whose, what, its value, where it is from and when it was read."""

    part: str
    fact: str
    value: str
    source: str
    day: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FactMissing:
    """A fact that an answer waits for, where it is looked up, and the form in which it is noted."""

    part: str
    fact: str
    where: str
    form: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleShown:
    """What one rule says: its question, its answer in a word, of which parts, and what that rests on."""

    asks: str
    state: str
    sort: str
    parts: str
    said: tuple[str, ...]
    reason: str
    caution: str
    seen: tuple[FactSeen, ...]
    missing: tuple[FactMissing, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class FitCard:
    """One build: the answer first, then what is to be looked up, then every rule; and its power."""

    key: str
    name: str
    slot: int
    sort: str
    said: str
    unasked: str
    missing: tuple[FactMissing, ...]
    open: tuple[RuleShown, ...]
    fitting: tuple[RuleShown, ...]
    power: str
    power_alone: str
    power_sort: str
    picture: Picture | None
    rows: tuple[tuple[str, str, str], ...]
    wall: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Shared:
    """A part that several builds have, or one has several times, and nobody said that there are so many.

    `moving` are as many as do for all builds if they move between them, `moves` says so, "" for one build.
    """

    part: str
    key: str
    builds: str
    asks: str
    moving: int
    moves: str
    count: int
    each: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FitShown:
    """All builds: `said` opens the page, "" where no build has a part.

    `terms` are the numbers that are assumed of power, `changed` says which are not the usual ones.
    """

    said: str
    cards: Mapping[str, FitCard]
    shared: tuple[Shared, ...]
    assumed: tuple[str, ...]
    terms: tuple[Term, ...]
    changed: str
    power: str
    careful: str
    parts: str


def fit_shown(wb: Workbench, study: str) -> FitShown:
    """Every build of a study as it stands. Raises NotFound."""
    record = load_study(wb, study)
    return wb.lately(("fit", study), lambda: _shown(wb, record))


def _shown(wb: Workbench, record: StudyOnRecord) -> FitShown:
    found = fittings_of(wb, record)
    asked = [(each.build.name, each.whole) for each in found if each.items]
    study = record.study.key
    return FitShown(
        said=builds_sentence(asked),
        cards={each.build.key: fit_card(each, study) for each in found if each.items},
        shared=tuple(shared_parts(found)),
        assumed=assumed_words(taken_by(wb)),
        terms=terms_by(wb),
        changed=changed_words(wb),
        power=address(study, "builds", "power"),
        careful=MAKER_FIRST,
        parts=address(study, "builds", "parts"),
    )


def fit_card(fitting: Fitting, study: str) -> FitCard:
    """One build."""
    rules = [rule_shown(own, fitting, study) for own in by_rule(fitting.found).values()]
    budget = fitting.budget
    return FitCard(
        key=fitting.build.key,
        name=fitting.build.name,
        slot=fitting.build.slot,
        sort=fitting.answer.name.lower(),
        said=fitting.said,
        unasked=fitting.unasked,
        missing=tuple(missing_fact(seen, study) for seen in fitting.missing),
        open=tuple(rule for rule in rules if rule.sort != "fits"),
        fitting=tuple(rule for rule in rules if rule.sort == "fits"),
        power=fitting.power_said,
        power_alone=capital(fitting.power_said.removeprefix("Power: ")),
        power_sort=fitting.power.name.lower(),
        picture=power_rows(budget, fitting.build.slot, name=fitting.build.name) if budget else None,
        rows=tuple(
            (length_words(each.ms), capital(over_words(each)), STATE[each.answer])
            for each in as_drawn(budget)
        )
        if budget
        else (),
        wall=wall_words(fitting.wall.wall_w, fitting.wall.efficiency, fitting.wall.label)
        if fitting.wall
        else "",
    )


def rule_shown(own: Sequence[Fit], fitting: Fitting, study: str) -> RuleShown:
    """One rule over all that it was asked of."""
    answer, rule = worst(each.answer for each in own), own[0].rule
    said = (words for each in own for words in (each.remark, each.todo, open_words(each)) if words)
    parts = dict.fromkeys(part.name for each in own for part in each.parts)
    return RuleShown(
        asks=rule.asks,
        state=STATE[answer],
        sort=answer.name.lower(),
        parts=listed(tuple(parts)),
        said=tuple(dict.fromkeys(said)),
        reason=rule.reason,
        caution=rule.caution,
        seen=tuple(seen_fact(seen, fitting) for seen in _each(own, "seen")),
        missing=tuple(missing_fact(seen, study) for seen in _each(own, "missing")),
    )


def _each(own: Sequence[Fit], which: str) -> Iterator[Seen]:
    """The facts of these answers, each once."""
    every = [seen for fit in own for seen in getattr(fit, which)]
    yield from {(seen.part.key, seen.fact.key): seen for seen in every}.values()


def seen_fact(seen: Seen, fitting: Fitting) -> FactSeen:
    """A fact with its source and day."""
    fact = fitting.facts.get(seen.part.key, {}).get(seen.fact.key)
    return FactSeen(
        part=seen.part.name, fact=seen.fact.name, value=value_words(seen.fact, seen.value),
        source=fact.source if fact else "", day=day_words(fact.on) if fact else "",
    )  # fmt: skip


def missing_fact(seen: Seen, study: str) -> FactMissing:
    """A fact that is missing, with the way to its form."""
    place = address(study, "builds", "parts", seen.part.key)
    return FactMissing(
        part=seen.part.name,
        fact=seen.fact.name,
        where=seen.fact.where,
        form=f"{place}?edit=facts&fact={seen.fact.key}",
    )


def shared_parts(found: Sequence[Fitting]) -> Iterator[Shared]:
    """Parts that several builds have, or one has several times, where nobody said that there are so many."""
    stand: dict[str, list[tuple[Build, int]]] = {}
    named: dict[str, tuple[str, Mapping[str, PartFact]]] = {}
    for fitting in found:
        for key, times in Counter(item.key for item in fitting.items).items():
            stand.setdefault(key, []).append((fitting.build, times))
        for item in fitting.items:
            named[item.key] = (item.name, fitting.facts.get(item.key, {}))
    for key, own in stand.items():
        name, facts = named[key]
        pieces = facts.get(PIECES)
        there = None if pieces is None or pieces.value is None else float(pieces.value)
        most, every = max(times for _, times in own), sum(times for _, times in own)
        if there < most if there is not None else every > 1:
            yield _shared(key, name, own, there=there)


def _shared(key: str, name: str, own: Sequence[tuple[Build, int]], *, there: float | None) -> Shared:
    """What is asked of one part that stands in these builds so many times each."""
    most, every = max(times for _, times in own), sum(times for _, times in own)
    stands = (f"{build.name} ({count_word(times)})" if most > 1 else build.name for build, times in own)
    asks = "are there so many?" if most > 1 else "one that moves between them, or one for each?"
    if there is not None:
        asks = (
            f"there {'is' if there == 1 else 'are'} {count_word(int(there))} of it on record. Are there more?"
        )
    moves = f"{capital(count_word(most))}, which move{'s' if most == 1 else ''}" if len(own) > 1 else ""
    return Shared(
        part=name, key=key, builds=listed(tuple(stands)), asks=asks, moving=most, moves=moves,
        count=every, each=f"{capital(count_word(every))} of them",
    )  # fmt: skip
