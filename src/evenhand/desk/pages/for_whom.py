"""For whom the verdict is: the audiences as the brief shows them, and what a new one may weigh."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from evenhand.desk.on_record import StudyOnRecord, load_study
from evenhand.desk.study.for_whom import examples_for, groups_of
from evenhand.publish.money_words import amount
from evenhand.publish.numbers import capital, count_word, counted, listed
from evenhand.publish.owning_words import hours_words, tariff_words
from evenhand.publish.worth_words import BEFORE_LOOKING, currency_words, rescaled_words, share_words
from evenhand.records.audiences import Audience, Property
from evenhand.records.studies import Study
from evenhand.store.workbench import Workbench


@dataclass(frozen=True, slots=True, kw_only=True)
class Weighed:
    """One thing that may be weighed: its `kind` (groups, tests, properties), key, name and what it is."""

    kind: str
    key: str
    name: str
    meaning: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class AudienceRow:
    """One audience: who they are, what share each of their weights says, and what they must buy besides."""

    key: str
    name: str
    told: str
    weighs: tuple[tuple[str, str], ...]
    asks: tuple[tuple[str, str], ...]
    fixed: str
    hours: str = ""
    tariff: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """An example to begin with."""

    key: str
    name: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ForWhom:
    """The part of the brief on audiences. `unit` is the currency's sign, "" where none is said."""

    said: str
    audiences: tuple[AudienceRow, ...]
    offers: tuple[Offer, ...]
    tests: tuple[Weighed, ...]
    properties: tuple[Weighed, ...]
    currency: str
    unit: str
    caution: str


def for_whom(wb: Workbench, study: str) -> ForWhom:
    """The audiences of a study. Raises NotFound."""
    record = load_study(wb, study)
    return ForWhom(
        said=said_of(record.study),
        audiences=tuple(audience_row(record, each) for each in record.study.audiences),
        offers=tuple(offers(record)),
        tests=tests_to_weigh(record),
        properties=tuple(
            Weighed(kind="properties", key=p.value, name=capital(p.value), meaning=capital(p.meaning))
            for p in Property
        ),
        currency=currency_words(record.study.currency),
        unit=record.study.currency.symbol if record.study.currency else "",
        caution=BEFORE_LOOKING,
    )


def said_of(study: Study) -> str:
    """How many there are, as a heading."""
    if not study.audiences:
        return "For whom the verdict is: nobody in particular yet"
    return f"For whom the verdict is: {counted(len(study.audiences), 'audience')}"


def tests_to_weigh(record: StudyOnRecord) -> tuple[Weighed, ...]:
    """The groups of the study, then its tests by themselves."""
    groups = groups_of(record.compared_tests)
    inside = {group: [test.name for test in record.compared_tests if test.group == group] for group in groups}
    return (
        *(
            Weighed(kind="groups", key=group, name=capital(group), meaning=_group_words(inside[group]))
            for group in groups
        ),
        *(
            Weighed(kind="tests", key=test.key, name=test.name, meaning="by itself")
            for test in record.compared_tests
        ),
    )


def _group_words(names: list[str]) -> str:
    if len(names) > 3:
        return f"the group of {count_word(len(names))} tests"
    return f"the group: {listed(tuple(names))}"


def audience_row(record: StudyOnRecord, audience: Audience) -> AudienceRow:
    """One audience, what weighs nothing left out."""
    names = {test.key: test.name for test in record.compared_tests}
    weighed = {("groups", key): weight for key, weight in audience.groups.items()}
    weighed |= {("tests", key): weight for key, weight in audience.tests.items()}
    shares = share_words({f"{kind} {key}": weight for (kind, key), weight in weighed.items()})
    asked = share_words({key.value: weight for key, weight in audience.properties.items()})
    currency = record.study.currency
    return AudienceRow(
        key=audience.key,
        name=audience.name,
        told=audience.told,
        weighs=tuple(
            (capital(key) if kind == "groups" else names.get(key, key), shares[f"{kind} {key}"])
            for (kind, key), weight in weighed.items()
            if weight > 0
        )
        + _rescaled("Weights", {f"{kind} {key}": w for (kind, key), w in weighed.items()}),
        asks=tuple((key.value, asked[key.value]) for key, w in audience.properties.items() if w > 0)
        + _rescaled("", {key.value: w for key, w in audience.properties.items()}),
        fixed=amount(audience.fixed_minor, currency) if audience.fixed_minor and currency else "",
        hours=hours_words(audience.hours_a_year) if audience.hours_a_year else "",
        tariff=tariff_words(audience.tariff_minor, currency) if audience.tariff_minor and currency else "",
    )


def _rescaled(term: str, weights: Mapping[str, float]) -> tuple[tuple[str, str], ...]:
    """A further line where weights did not add up."""
    words = rescaled_words(weights)
    return ((term, words),) if words else ()


def offers(record: StudyOnRecord) -> tuple[Offer, ...]:
    """Examples with what each weighs."""
    return tuple(
        Offer(key=each.key, name=each.name, words=_shared(share_words(each.groups)))
        for each in examples_for(record.study, record.compared_tests)
    )


def _shared(shares: Mapping[str, str]) -> str:
    return ", ".join(f"{name} {share}" for name, share in shares.items())


def shares_said(weights: Mapping[str, float]) -> dict[str, str]:
    """What share each weight of a list says, as a form tells it while it is being filled in."""
    return share_words(weights)
