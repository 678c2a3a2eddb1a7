"""What each bound of a choice costs: a little more money, power or room of every sort; one rule not asked."""

from __future__ import annotations

import math
from contextlib import suppress
from dataclasses import dataclass, replace

from evenhand.desk.money.shop import WATTS, Shop
from evenhand.fit.rooms import Room, rooms
from evenhand.money.choosing import NoTime, worth
from evenhand.money.fitted import Fitted
from evenhand.money.shelves import Chosen, Terms

MONEY = ""
STEP_W = 50.0
NOTHING = 1e-9  # of a score: less than that is none


@dataclass(frozen=True, slots=True, kw_only=True)
class More:
    """What a looser bound buys: an index higher by this share, and what the machine costs in all then.

    Nothing better: a share of 0 at the price of the choice as it is. `gap` is how much better, as a share of
    the score, another one might still be, where the time ran out.
    """

    share: float
    minor: int
    gap: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Looser:
    """A bound made looser: what it is called by, and what is searched then."""

    name: str
    fitted: Fitted
    terms: Terms


def money_and_power(shop: Shop, terms: Terms, *, step_minor: int) -> tuple[Looser, ...]:
    """A step more of money, and 50 W more from every supply."""
    dearer = replace(terms, budget_minor=terms.budget_minor + step_minor)
    stronger = replace(terms, limits={**terms.limits, WATTS: terms.limits[WATTS] + STEP_W})
    return (
        Looser(name=MONEY, fitted=shop.fitted, terms=dearer),
        Looser(name=WATTS, fitted=shop.fitted.with_more_power(STEP_W), terms=stronger),
    )


def rooms_of(shop: Shop) -> tuple[Room, ...]:
    """The rooms that parts of this machine have, as far as a rule is asked about them."""
    there = {*shop.kinds, *(item.kind for item in shop.kept)}
    return tuple(room for room in rooms() if room.of in there)


class Costs:
    """What looser bounds buy beyond the choice that is best now, by searching again.

    A room is only searched where its rules bar anything, and something better would be bought without them.
    """

    def __init__(self, shop: Shop, terms: Terms, now: Chosen) -> None:
        self._shop, self._terms, self._now = shop, terms, now
        self._freed: dict[frozenset[str], Chosen | None] = {}

    def of(self, fitted: Fitted, terms: Terms | None = None) -> More | None:
        """What the best choice brings then; None where the time ran out before any was found."""
        with suppress(NoTime):
            return self._more(fitted.best(terms or self._terms))
        return None

    def of_room(self, room: Room) -> More | None:
        """What a little more room brings."""
        barring = frozenset(room.rules) & self._shop.fitted.barring
        if not barring or not self._is_better_without(barring):
            return self._more(None)
        return self.of(self._shop.fitted.with_room(room))

    def of_rule(self, rule: str) -> More | None:
        """What would be bought were one rule not asked."""
        with suppress(NoTime):
            return self._more(self._without(frozenset({rule})))
        return None

    def _is_better_without(self, waived: frozenset[str]) -> bool:
        try:
            freed = self._without(waived)
        except NoTime:
            return True  # nobody knows
        return freed is not None and worth(freed, self._terms) > worth(self._now, self._terms) + NOTHING

    def _without(self, waived: frozenset[str]) -> Chosen | None:
        """The best choice were these rules not asked."""
        if waived not in self._freed:
            self._freed[waived] = self._shop.fitted.without(*waived).best(self._terms)
        return self._freed[waived]

    def _more(self, found: Chosen | None) -> More:
        gain = 0.0 if found is None else found.score - self._now.score
        if found is None or gain <= NOTHING:
            return More(share=0.0, minor=self._now.minor + self._shop.kept_minor)
        return More(
            share=math.expm1(gain), minor=found.minor + self._shop.kept_minor, gap=found.gap
        )  # fmt: skip
