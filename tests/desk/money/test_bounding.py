"""What each bound costs is what trying every choice finds, with that bound a little looser."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from itertools import product

import pytest
from tests.money.test_fitted import KINDS, TERMS, a_shop

from evenhand.desk.money.bounding import Costs, money_and_power, rooms_of
from evenhand.desk.money.shop import Shop
from evenhand.fit.answers import Answer
from evenhand.fit.asking import asked
from evenhand.fit.power import budget
from evenhand.fit.rooms import Room
from evenhand.fit.rules import rules
from evenhand.money.choosing import worth
from evenhand.money.fitted import Fitted
from evenhand.money.shelves import Candidate, Chosen

Goes = Callable[[Sequence[str]], bool]
SEEDS = range(36)


def shop_of(fitted: Fitted) -> Shop:
    return Shop(
        build="wren", kinds=KINDS, own=(), fitted=fitted, held=fitted, kept=(), kept_minor=0,
        unpriced_kept=(),
    )  # fmt: skip


def goes(fitted: Fitted, room: Room | None = None, waived: str = "") -> Goes:
    """Whether a choice goes together, the rules of the room asked with it and one rule not asked."""

    def whole(keys: Sequence[str]) -> bool:
        build = [fitted.items[key] for key in keys]
        roomy = [room.given(part) for part in build] if room else build
        own = room.rules if room else ()
        for rule in rules():
            parts = roomy if rule.key in own else build
            if rule.key != waived and any(f.answer is not Answer.FITS for f in asked(rule, parts)):
                return False
        power = budget(build)
        return waived == "power" or (power is not None and power.answer is Answer.FITS)

    return whole


def best_by_trying(fitted: Fitted, whole: Goes) -> tuple[Candidate, ...] | None:
    of_kind = [[c for c in fitted.shelf.candidates if c.kind == kind] for kind in KINDS]
    able = [c for c in product(*of_kind) if sum(each.minor for each in c) <= TERMS.budget_minor]
    able.sort(key=lambda c: -sum(worth(each, TERMS) for each in c))
    return next((choice for choice in able if whole([each.key for each in choice])), None)


def gain(found: tuple[Candidate, ...] | None, now: Chosen) -> float:
    score = -math.inf if found is None else sum(each.score for each in found)
    return math.expm1(max(0.0, score - now.score))


@pytest.fixture(scope="module")
def shops() -> list[tuple[Shop, Chosen]]:
    """Those of the shops that have a choice at all."""
    made = [shop_of(a_shop(seed)) for seed in SEEDS]
    return [(shop, now) for shop in made if (now := shop.fitted.best(TERMS)) is not None]


def test_what_a_little_more_room_of_every_sort_buys(shops: list[tuple[Shop, Chosen]]) -> None:
    told: dict[str, list[float]] = {}
    for shop, now in shops:
        costs = Costs(shop, TERMS, now)
        for room in rooms_of(shop):
            more = costs.of_room(room)
            tried = best_by_trying(shop.fitted, goes(shop.fitted, room))
            assert more is not None
            assert more.share == pytest.approx(gain(tried, now), abs=1e-6), room.key
            if more.share and tried is not None:
                assert more.minor == sum(each.minor for each in tried)
            else:
                assert more.minor == now.minor
            told.setdefault(room.key, []).append(more.share)
    gains = {key for key, shares in told.items() if max(shares) > 0.01}
    assert len(gains) >= 3, gains
    assert min(min(shares) for shares in told.values()) == 0.0


def test_what_a_rule_costs(shops: list[tuple[Shop, Chosen]]) -> None:
    seen = []
    for shop, now in shops[:12]:
        costs = Costs(shop, TERMS, now)
        for rule in sorted(shop.fitted.barring):
            more = costs.of_rule(rule)
            tried = best_by_trying(shop.fitted, goes(shop.fitted, waived=rule))
            assert more is not None
            assert more.share == pytest.approx(gain(tried, now), abs=1e-6), rule
            seen.append(more.share)
    assert max(seen) > 0.05


def test_a_rule_that_barred_nothing_on_the_way_costs_nothing(shops: list[tuple[Shop, Chosen]]) -> None:
    for shop, now in shops[:12]:
        for rule in {rule.key for rule in rules()} - shop.fitted.barring:
            tried = best_by_trying(shop.fitted, goes(shop.fitted, waived=rule))
            assert gain(tried, now) == pytest.approx(0.0, abs=1e-9), rule


def test_money_and_power_are_asked_of_the_whole_budget(shops: list[tuple[Shop, Chosen]]) -> None:
    shop, now = shops[0]
    costs = Costs(shop, TERMS, now)
    terms = shop.terms(TERMS.budget_minor)
    money, power = money_and_power(shop, terms, step_minor=80)
    assert money.terms.budget_minor == terms.budget_minor + 80
    assert power.fitted.more_w == 50.0
    for each in (money, power):
        more = costs.of(each.fitted, each.terms)
        assert more is not None
        assert more.share >= 0.0
