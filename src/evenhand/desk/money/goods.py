"""The catalogue as goods for an audience: what each part costs now, and how good it is."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date

from evenhand.desk.on_record import StudyOnRecord
from evenhand.desk.parts.assuming import changed_words, taken_by
from evenhand.desk.parts.items import items_of
from evenhand.desk.parts.known import WITHOUT_GROUP
from evenhand.desk.parts.price_days import part_days
from evenhand.desk.verdict.judged import ForAudience
from evenhand.fit.power import Assumed, assumed
from evenhand.fit.reading import Item
from evenhand.money.looked import KEPT_DAYS, Looked
from evenhand.money.roles import rated
from evenhand.records.audiences import Audience
from evenhand.records.builds import Part
from evenhand.records.part_facts import PERFORMANCE
from evenhand.records.prices import Currency
from evenhand.records.tests import Test
from evenhand.store import part_facts, shelves
from evenhand.store.workbench import Workbench


@dataclass(frozen=True, slots=True, kw_only=True)
class Good:
    """A part that can be bought: its price in minor units, of which day, and its score for the audience."""

    item: Item
    minor: int
    on: date
    score: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Goods:
    """What can be chosen from, by key, and the scores of all parts, bought or not.

    Left out are the `unpriced`, without an offer in this currency, the `out` of stock when they were looked
    up last, each with the day since when, the `old`, with the day of their last price where that is too long
    ago to stand, and the `unsaid`, of which nobody said how good they are where others of their kind are
    rated. `held` has those out of stock and old as well: what a build has of them keeps its last price, and
    fetches something. `roles` are what was asked of. `measured` are the logs
    of the indexes of builds, `power` is what is assumed of power, and `power_said` how that is not as usual.
    """

    currency: Currency
    by_key: Mapping[str, Good]
    held: Mapping[str, Good]
    scores: Mapping[str, float]
    names: Mapping[str, str]
    unpriced: tuple[str, ...]
    out: Mapping[str, date]
    old: Mapping[str, date]
    unsaid: tuple[str, ...]
    roles: tuple[str, ...]
    measured: Mapping[str, float]
    power: Assumed = field(default_factory=assumed)
    power_said: str = ""

    @property
    def days(self) -> tuple[date, ...]:
        """The first and the last day of the prices of what can be chosen, once where they are one."""
        every = {good.on for good in self.by_key.values()}
        return tuple(sorted({min(every), max(every)})) if every else ()


def goods_of(wb: Workbench, record: StudyOnRecord, here: ForAudience, currency: Currency) -> Goods:
    """Every part of the workbench as this audience would buy it."""
    parts = {part.key: part for part in shelves.every(wb, Part)}
    weights = role_weights(here.audience, record.compared_tests)
    kinds = {key: part.kind for key, part in parts.items()}
    found = rated(_performance(wb, parts), kinds=kinds, weights=weights)
    looked = {key: found.looked for key, found in part_days(wb, parts, currency).items()}
    out = {key: since for key, each in looked.items() if (since := out_since(each)) is not None}
    old = {key: on for key, on in _too_old(looked).items() if key not in out}
    priced = {key: each.days for key, each in looked.items() if each.days}
    items = {item.key: item for item in items_of(wb, parts)}
    held = {
        key: _good(items[key], days, found.scores[key]) for key, days in priced.items() if key in found.scores
    }
    return Goods(
        currency=currency,
        by_key={key: good for key, good in held.items() if key not in out and key not in old},
        held=held,
        scores=found.scores,
        names={key: part.name for key, part in parts.items()},
        unpriced=tuple(key for key in parts if key not in priced and key not in out),
        out=out,
        old=old,
        unsaid=found.unsaid,
        roles=tuple(weights),
        measured=indexes_of(record, here),
        power=taken_by(wb),
        power_said=changed_words(wb),
    )


def out_since(looked: Looked) -> date | None:
    """The first day on which nobody had it since its last price, where somebody looked since; else None."""
    last = max(looked.days, default=date.min)
    return min((day for day in looked.out if day > last), default=None)


def _too_old(looked: Mapping[str, Looked]) -> dict[str, date]:
    """The last day of each price that stands no more: beside the last look at any part it is too long ago."""
    newest = max((day for each in looked.values() for day in (*each.days, *each.out)), default=None)
    last = {key: max(each.days) for key, each in looked.items() if each.days}
    return {key: on for key, on in last.items() if newest is not None and (newest - on).days > KEPT_DAYS}


def _good(item: Item, days: Mapping[date, int], score: float) -> Good:
    on = max(days)
    return Good(item=item, minor=days[on], on=on, score=score)


def role_weights(audience: Audience, tests: Iterable[Test]) -> dict[str, float]:
    """What an audience weighs by role: its groups, and its single tests under the group of each."""
    found, group = dict(audience.groups), {test.key: test.group for test in tests}
    for key, weight in audience.tests.items():
        role = group.get(key) or WITHOUT_GROUP
        found[role] = found.get(role, 0.0) + weight
    return {role: weight for role, weight in found.items() if weight > 0}


def indexes_of(record: StudyOnRecord, here: ForAudience) -> dict[str, float]:
    """The log of each compared build's index, the least being 0; without a verdict against the first none.

    Of several setups of a build the first one stands for it.
    """
    setups = {record.setups[key].build: key for key in reversed(record.study.setups)}
    first = record.study.setups[0] if record.study.setups else ""
    found: dict[str, float] = {}
    for build, setup in setups.items():
        verdict = here.verdict(first, setup)
        if setup == first:
            found[build] = 0.0
        elif verdict is not None and not verdict.is_blind:
            found[build] = -math.log(verdict.ratio)
    least = min(found.values(), default=0.0)
    return {build: index - least for build, index in found.items()}


def _performance(wb: Workbench, parts: Mapping[str, Part]) -> dict[str, dict[str, float]]:
    """How good parts are said to be, by part and role."""
    found: dict[str, dict[str, float]] = {}
    for fact in part_facts.facts_of(wb, parts):
        if fact.fact.startswith(PERFORMANCE) and isinstance(fact.value, int | float) and fact.value > 0:
            found.setdefault(fact.part, {})[fact.fact.removeprefix(PERFORMANCE)] = float(fact.value)
    return found
