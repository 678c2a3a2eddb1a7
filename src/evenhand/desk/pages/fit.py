"""Whether the parts of each build go together, and its power budget, as the builds page shows them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from evenhand.desk.on_record import StudyOnRecord, load_study
from evenhand.desk.pages.fit_shared import Shared, shared_parts
from evenhand.desk.pages.frame import address
from evenhand.desk.parts.assuming import changed_words, taken_by, terms_by
from evenhand.desk.parts.fitting import Fitting, fittings_of
from evenhand.fit.answers import worst
from evenhand.fit.asking import Fit
from evenhand.fit.power_terms import Term
from evenhand.fit.reading import Seen
from evenhand.publish.dates import day_words
from evenhand.publish.fact_words import value_words
from evenhand.publish.figures.power_rows import as_drawn, power_rows
from evenhand.publish.fit_words import MAKER_FIRST, STATE, builds_sentence, by_rule, open_words
from evenhand.publish.numbers import capital, listed
from evenhand.publish.picture import Picture
from evenhand.publish.power_words import assumed_words, length_words, over_words, wall_words
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
    """One build: the answer first, then every rule, those that it does not pass first, and its power."""

    key: str
    name: str
    slot: int
    sort: str
    said: str
    unasked: str
    rules: tuple[RuleShown, ...]
    power: str
    picture: Picture | None
    rows: tuple[tuple[str, str, str], ...]
    wall: str


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenRule:
    """A rule that builds do not pass, with the names and slots of those that it says the very same of."""

    rule: RuleShown
    builds: tuple[tuple[str, int], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class FitShown:
    """All builds: `said` opens the page, "" where no build has a part.

    `open` is what keeps builds from fitting, each thing once; what does not fit comes before what is unknown.
    `terms` are the numbers that are assumed of power, `changed` says which are not the usual ones.
    """

    said: str
    cards: Mapping[str, FitCard]
    open: tuple[OpenRule, ...]
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
    cards = {each.build.key: fit_card(each, study) for each in found if each.items}
    return FitShown(
        said=builds_sentence(asked),
        cards=cards,
        open=open_rules(cards.values()),
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
        rules=tuple(sorted(rules, key=lambda rule: rule.sort == "fits")),
        power=fitting.power_said,
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


def open_rules(cards: Iterable[FitCard]) -> tuple[OpenRule, ...]:
    """What keeps builds from fitting: a rule that says the same of several of them stands there once."""
    builds: dict[RuleShown, list[tuple[str, int]]] = {}
    for card in cards:
        for rule in card.rules:
            if rule.sort != "fits":
                builds.setdefault(rule, []).append((card.name, card.slot))
    found = (OpenRule(rule=rule, builds=tuple(own)) for rule, own in builds.items())
    return tuple(sorted(found, key=lambda each: each.rule.sort != "misfit"))


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
