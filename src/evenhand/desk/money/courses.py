"""Upgrade paths of every build of a study: what to change when, and which of them no other one beats."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import permutations

import numpy as np

from evenhand.desk.money.goods import Good, Goods
from evenhand.desk.money.searching import Watch, unwatched
from evenhand.desk.money.shop import WATTS, Shop, watts_of
from evenhand.money.circles import Circle, circles
from evenhand.money.courses import Course, Hold, beats, course_of, holds, simplest, unbeaten
from evenhand.money.market import Ware, Ways, Whole
from evenhand.money.owning import middle
from evenhand.money.paths import Heed, Path, best_paths, kept_worth
from evenhand.publish.numbers import counted
from evenhand.records.money_terms import MoneyTerms

YEAR = 12  # months
NEVER = 2**50  # minor units: what cannot be bought costs more than any cash
LINEAGE = "lineage"
PER_STEP = 100  # parts of a step that are told
CHANGES = (1, 2)  # how many are searched at most, one after the other


@dataclass(frozen=True, slots=True, kw_only=True)
class Courses:
    """The courses of all builds that no other one beats, the cheapest first, and all by build.

    `circles` say why there are none; `left_out` are builds with parts that have no price or no score, and
    `unmeasured` those whose index is not known. Of the `unfinished` builds only paths with a single change
    were gone through, or none yet.
    """

    courses: tuple[Course, ...] = ()
    of_builds: Mapping[str, tuple[Course, ...]] = field(default_factory=dict)
    circles: tuple[Circle, ...] = ()
    left_out: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    unmeasured: tuple[str, ...] = ()
    unfinished: tuple[str, ...] = ()


def courses_of(
    shops: Sequence[Shop], goods: Goods, prices: Mapping[str, int], terms: MoneyTerms, *,
    names: Mapping[str, str], watch: Watch = unwatched, keep: Callable[[Courses], None] = lambda _: None,
) -> Courses:  # fmt: skip
    """The paths of every build that has a price, by what is assumed of owning a machine.

    `keep` is given what is found after every step, so that a stop loses nothing: at first the paths with one
    change of all builds, which are found soon, then all of one build after the other.
    """
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
    bare = Courses(left_out=left_out, unmeasured=unmeasured, unfinished=tuple(shop.build for shop in able))
    builds = {shop.build: _BuildPaths(shop, able, wares, prices[shop.build], terms) for shop in able}
    return _searched(builds, bare, names=names, watch=watch, keep=keep)


def _searched(
    builds: Mapping[str, _BuildPaths], bare: Courses, *, names: Mapping[str, str], watch: Watch,
    keep: Callable[[Courses], None],
) -> Courses:  # fmt: skip
    steps = [(build, changes) for changes in CHANGES for build in builds]
    found: dict[str, tuple[Course, ...]] = {}
    so_far, furthest_told = bare, 0
    for at, (build, changes) in enumerate(steps):

        def heed(share: float, at: int = at) -> None:
            nonlocal furthest_told  # what does not fit as a whole is gone through again
            build, changes = steps[at]
            furthest_told = max(furthest_told, int(PER_STEP * (at + share)))
            said = f"paths of {names[build]} with {counted(changes, 'change')}"
            watch(furthest_told, PER_STEP * len(steps), said)

        heed(0.0)
        found[build] = builds[build].search(changes, heed)
        left = tuple(each for each in builds if (each, CHANGES[-1]) in steps[at + 1 :])
        so_far = replace(bare, of_builds=dict(found), courses=_front(found), unfinished=left)
        keep(so_far)
    return so_far


def _front(found: Mapping[str, Sequence[Course]]) -> tuple[Course, ...]:
    return told_apart(unbeaten(course for own in found.values() for course in own))


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


class _BuildPaths:
    """The paths of one build, searched with one change first and then with two."""

    def __init__(
        self, shop: Shop, others: Sequence[Shop], wares: Sequence[Ware], price_minor: int, terms: MoneyTerms
    ) -> None:
        whole_of = {other.build: (*other.own, f"{LINEAGE} {other.build}") for other in others}
        self._shop, self._price_minor = shop, price_minor
        self._found: tuple[Path, ...] = ()
        self._ways = Ways(
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

    def search(self, changes: int, heed: Heed) -> tuple[Course, ...]:
        """The best paths with so many changes at most, and those found before."""
        found = _that_fit(self._shop, replace(self._ways, changes=changes), heed)
        self._found = tuple(dict.fromkeys((*self._found, *found)))
        every = (
            course_of(self._ways, path, start=self._shop.build, price_minor=self._price_minor)
            for path in self._found
        )
        return tuple(map(_of_parts, simplest(every)))


def _of_parts(course: Course) -> Course:
    """The same course in parts alone."""
    changes = tuple(replace(change, parts=change.parts[:-1]) for change in course.path.changes)
    return replace(course, path=replace(course.path, changes=changes))


def _that_fit(shop: Shop, ways: Ways, heed: Heed) -> tuple[Path, ...]:
    """The best paths on which every machine goes together as a whole: what does not is barred, and again."""
    while True:
        found = best_paths(ways, heed=heed)
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
