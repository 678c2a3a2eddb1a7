"""The best parts that go together by every rule are those that trying every choice finds."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from itertools import product
from random import Random

import pytest
from tests.fit.test_proof import BUILDS, CATALOGUE

from evenhand.fit.answers import Answer
from evenhand.fit.asking import answer_of, fits
from evenhand.fit.power import budget
from evenhand.fit.reading import Item
from evenhand.money.choosing import worth
from evenhand.money.fitted import POWER, Fitted, fitted
from evenhand.money.further import frontier, ties
from evenhand.money.shelves import Candidate, Terms

KINDS = ("processor", "board", "memory", "graphics", "storage", "supply", "case", "cooler")
TERMS = Terms(budget_minor=2000)


@cache
def sound_builds() -> tuple[dict[str, Item], ...]:
    """Invented builds with a part of each kind that fit, by kind."""
    found = []
    for build in BUILDS:
        of = {CATALOGUE[key].kind: CATALOGUE[key] for key in build["parts"]}
        own = [of[kind] for kind in KINDS if kind in of]
        if len(own) == len(KINDS) and answer_of(fits(own)) is Answer.FITS:
            found.append(of)
    return tuple(found)


def a_shop(seed: int) -> Fitted:
    """The parts of two builds that fit, and one more of some kind: across them much does not."""
    rng = Random(seed)
    one, other = rng.sample(sound_builds(), 2)
    parts = {of[kind].key: of[kind] for of in (one, other) for kind in KINDS}
    more = rng.choice([each for each in CATALOGUE.values() if each.kind in KINDS])
    parts[more.key] = more
    made = [
        Candidate(key=key, kind=part.kind, minor=rng.randint(50, 400), score=round(rng.random(), 3))
        for key, part in parts.items()
    ]
    return fitted(made, parts, kinds=KINDS)


def fits_whole(shop: Fitted, keys: Sequence[str]) -> bool:
    build = [shop.items[key] for key in keys]
    power = budget(build)
    return answer_of(fits(build)) is Answer.FITS and power is not None and power.answer is Answer.FITS


def best_by_trying(shop: Fitted) -> float | None:
    """What the best of all choices counts for that fit by every rule, by trying them from the best on."""
    of_kind = [[c for c in shop.shelf.candidates if c.kind == kind] for kind in KINDS]
    able = [c for c in product(*of_kind) if sum(each.minor for each in c) <= TERMS.budget_minor]
    for choice in sorted(able, key=lambda c: -sum(worth(each, TERMS) for each in c)):
        if fits_whole(shop, [each.key for each in choice]):
            return sum(worth(each, TERMS) for each in choice)
    return None


@pytest.mark.parametrize("tens", range(6))
def test_it_is_the_best_of_all_that_fit(tens: int) -> None:
    for seed in range(10 * tens, 10 * tens + 10):
        shop = a_shop(seed)
        found, best = shop.best(TERMS), best_by_trying(shop)
        assert (found is None) == (best is None), seed
        if found is not None:
            assert worth(found, TERMS) == pytest.approx(best), seed
            assert fits_whole(shop, found.parts), seed


def test_what_only_a_whole_build_shows_is_found_and_kept() -> None:
    """Over the shops some choices fit pair by pair and not as a whole: those are the cuts."""
    shops = [a_shop(seed) for seed in range(60)]
    for shop in shops:
        shop.best(TERMS)
    cuts = [cut for shop in shops for cut in shop.cuts]
    assert cuts
    assert all(len(cut.parts) >= 2 for cut in cuts)


def test_ties_all_fit_and_come_the_best_first() -> None:
    shop = next(each for seed in range(60) if len(ties((each := a_shop(seed)).best, TERMS, within=0.3)) > 2)
    found = ties(shop.best, TERMS, within=0.3)
    assert all(fits_whole(shop, each.parts) for each in found)
    scores = [each.score for each in found]
    assert scores == sorted(scores, reverse=True)
    assert scores[-1] >= scores[0] - 0.3
    assert [each.minor for each in found] == sorted({each.minor for each in found}, reverse=True)


def test_no_smaller_budget_buys_more() -> None:
    shop = a_shop(3)
    scores = [found.score for _, found in frontier(shop.best, TERMS, range(1000, 2600, 200)) if found]
    assert scores == sorted(scores)


def test_a_rule_that_is_not_asked_makes_no_choice_worse_and_says_what_it_costs() -> None:
    gained = []
    for seed in range(40):
        shop = a_shop(seed)
        found = shop.best(TERMS)
        for rule in {*shop.shelf.misfits, *(cut.rule for cut in shop.cuts)}:
            freed = shop.without(rule).best(TERMS)
            if found is not None:
                assert freed is not None
                gained.append(worth(freed, TERMS) - worth(found, TERMS))
    assert min(gained) >= -1e-9
    assert max(gained) > 0.1


def test_a_supply_that_does_not_bear_it_is_not_chosen() -> None:
    """Some cut of the shops is by the power budget alone."""
    shops = [a_shop(seed) for seed in range(60)]
    for shop in shops:
        shop.best(TERMS)
    assert any(cut.rule == POWER for shop in shops for cut in shop.cuts)
