"""Upgrade paths of every build of a study: what to change when, and which of them no other one beats."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import permutations

import numpy as np

from evenhand.desk.money.goods import Good, Goods
from evenhand.desk.money.shop import WATTS, Shop, watts_of
from evenhand.money.circles import Circle, circles
from evenhand.money.courses import Course, Hold, beats, course_of, holds, simplest, unbeaten
from evenhand.money.market import Ware, Ways, Whole
from evenhand.money.owning import middle
from evenhand.money.paths import Path, best_paths, kept_worth
from evenhand.records.money_terms import MoneyTerms

YEAR = 12  # months
NEVER = 2**50  # minor units: what cannot be bought costs more than any cash
LINEAGE = "lineage"


@dataclass(frozen=True, slots=True, kw_only=True)
class Courses:
    """The courses of all builds that no other one beats, the cheapest first, and all by build.

    `circles` say why there are none; `left_out` are builds with parts that have no price or no score, and
    `unmeasured` those whose index is not known.
    """

    courses: tuple[Course, ...] = ()
    of_builds: Mapping[str, tuple[Course, ...]] = field(default_factory=dict)
    circles: tuple[Circle, ...] = ()
    left_out: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    unmeasured: tuple[str, ...] = ()


def courses_of(shops: Sequence[Shop], goods: Goods, prices: Mapping[str, int], terms: MoneyTerms) -> Courses:
    """The paths of every build that has a price, by what is assumed of owning a machine."""
    lacking = {shop.build: lacks(shop, goods) for shop in shops}
    unmeasured = tuple(shop.build for shop in shops if shop.build not in goods.measured)
    able = [
        shop for shop in shops
        if not lacking[shop.build] and shop.build in prices and shop.build in goods.measured
    ]  # fmt: skip
    wares = (
        *wares_of(_on_market(able, goods), terms, gone=goods.held.keys() - goods.by_key.keys()),
        *(lineage(shop, goods, terms.horizon_months) for shop in able),
    )
    turning = tuple(circles(wares))
    left_out = {build: parts for build, parts in lacking.items() if parts}
    if turning:
        return Courses(circles=turning, left_out=left_out, unmeasured=unmeasured)
    found = {shop.build: tuple(_of_build(shop, able, wares, prices[shop.build], terms)) for shop in able}
    every = told_apart(unbeaten(course for own in found.values() for course in own))
    return Courses(courses=every, of_builds=found, left_out=left_out, unmeasured=unmeasured)


def lacks(shop: Shop, goods: Goods) -> tuple[str, ...]:
    """The parts of a build's own that have no price or no score."""
    return tuple(key for key in shop.own if key not in goods.held)


def _on_market(shops: Sequence[Shop], goods: Goods) -> tuple[Good, ...]:
    """What can be bought, and what builds have of the rest: that may still be kept and sold."""
    own = {key: goods.held[key] for shop in shops for key in shop.own}
    return tuple((dict(goods.by_key) | own).values())


def wares_of(goods: Iterable[Good], terms: MoneyTerms, *, gone: Collection[str] = ()) -> tuple[Ware, ...]:
    """Parts on the market: new ones stay at today's price, and fetch the middle of what is assumed.

    What is `gone` costs more than anybody has, and fetches what its last price lets one assume.
    """
    share, fall = middle(terms.resale), middle(terms.fall)
    return tuple(
        Ware(
            key=good.item.key,
            kind=good.item.kind,
            score=good.score,
            costs=_by_month(NEVER if good.item.key in gone else good.minor, terms),
            fetches=kept_worth(_by_month(good.minor, terms), share=share, lost_a_month=fall / YEAR),
            uses={WATTS: watts_of(good.item)},
        )
        for good in goods
    )


def _by_month(minor: int, terms: MoneyTerms) -> Whole:
    return np.full(terms.horizon_months + 1, minor, dtype=np.int64)


def lineage(shop: Shop, goods: Goods, months: int) -> Ware:
    """What a measured build has beyond what is said of its parts: a ware that comes with the whole alone."""
    beyond = goods.measured[shop.build] - sum(goods.scores[key] for key in shop.own)
    nothing = np.zeros((months + 1, months + 1), dtype=np.int64)
    return Ware(key=f"{LINEAGE} {shop.build}", kind=LINEAGE, score=beyond, costs=nothing[0], fetches=nothing)


def _of_build(
    shop: Shop, others: Sequence[Shop], wares: Sequence[Ware], price_minor: int, terms: MoneyTerms
) -> Iterator[Course]:
    whole_of = {other.build: (*other.own, f"{LINEAGE} {other.build}") for other in others}
    ways = Ways(
        wares=tuple(ware for ware in wares if ware.kind in (*shop.kinds, LINEAGE)),
        owned=whole_of[shop.build],
        months=terms.horizon_months,
        cash_minor=terms.cash_minor,
        saved_minor=terms.saved_minor,
        wholes=tuple(
            whole_of[other.build] for other in others if other is not shop and other.kinds == shop.kinds
        ),
        fixed=frozenset({LINEAGE}),
        barred=shop.held.shelf.barred,
        limits={WATTS: shop.terms(0).limits[WATTS]},
    )
    paths = (*_that_fit(shop, replace(ways, changes=1)), *_that_fit(shop, ways))
    every = (
        course_of(ways, path, start=shop.build, price_minor=price_minor) for path in dict.fromkeys(paths)
    )
    yield from map(_of_parts, simplest(every))


def _of_parts(course: Course) -> Course:
    """The same course in parts alone."""
    changes = tuple(replace(change, parts=change.parts[:-1]) for change in course.path.changes)
    return replace(course, path=replace(course.path, changes=changes))


def _that_fit(shop: Shop, ways: Ways) -> tuple[Path, ...]:
    """The best paths on which every machine goes together as a whole: what does not is barred, and again."""
    while True:
        found = best_paths(ways)
        machines = {change.parts[:-1] for path in found for change in path.changes}
        wrong = [cut for parts in machines if (cut := shop.held.cut(parts)) is not None]
        if not wrong:
            return found
        ways = replace(ways, cuts=(*ways.cuts, *(cut.parts for cut in wrong)))


def told_apart(courses: Iterable[Course]) -> tuple[Course, ...]:
    """Of those that change the same parts in the same order, the one that does so first that can be paid."""
    found: dict[tuple[object, ...], Course] = {}
    for each in courses:
        line = (each.start, *(change.parts for change in each.path.changes))
        if line not in found or each.path.mean > found[line].path.mean:
            found[line] = each
    return tuple(sorted(found.values(), key=lambda each: each.net_minor))


def furthest(courses: Iterable[Course]) -> Course | None:
    """The course with the highest mean index that the cash allows; of those alike the cheapest."""
    return max(courses, key=lambda each: (each.path.mean, -each.net_minor), default=None)


def orders(found: Courses, *, margin: float = 0.0) -> Iterator[tuple[Course, Course, Hold]]:
    """Of the furthest course of each build every two of which one beats the other, and how far that holds.

    Worst months that differ by no more than the margin count as alike.
    """
    firsts = [each for own in found.of_builds.values() if (each := furthest(own)) is not None]
    for one, other in permutations(firsts, 2):
        if beats(one, other, margin=margin):
            yield one, other, holds(one, other, margin=margin)
