"""What each of many budgets buys at its best: the frontier of a build's shop."""

from __future__ import annotations

import math
from collections.abc import Sequence

from evenhand.desk.money.better import choice_of, step_of
from evenhand.desk.money.goods import Goods
from evenhand.desk.money.shop import Shop
from evenhand.desk.money.spending import Spent
from evenhand.money.choosing import NoTime
from evenhand.money.further import frontier
from evenhand.money.shelves import Chosen, Terms
from evenhand.publish.figures.frontier import Frontier, Reach, Stands
from evenhand.store.workbench import Workbench

BUDGETS = 20
BELOW = 0.7  # of a budget: from which on others are looked at


def budgets_about(minor: int) -> tuple[int, ...]:
    """Twenty round budgets about one, that one among them.

    >>> budgets_about(1000)[:3], budgets_about(1000)[-1], 1000 in budgets_about(1000)
    ((720, 760, 800), 1480, True)
    """
    step = step_of(minor)
    first = max(step, round(minor * BELOW / step) * step)
    return tuple(sorted({minor, *(first + i * step for i in range(BUDGETS))}))


def reaches_of(shop: Shop, goods: Goods, budgets: Sequence[int]) -> tuple[Reach, ...]:
    """The index that each budget buys, the build's own being 100; a lesser one never buys more."""

    def find(terms: Terms, *, but: Sequence[Chosen] = ()) -> Chosen | None:
        try:
            return shop.fitted.best(terms, but=but)
        except NoTime:
            return None

    found = frontier(find, shop.terms(max(budgets)), [each - shop.kept_minor for each in budgets])
    return tuple(
        Reach(
            minor=budget + shop.kept_minor,
            index=None if chosen is None else 100 * choice_of(shop, goods, chosen).index,
        )
        for budget, chosen in found
    )


def frontier_of(wb: Workbench, spent: Spent) -> Frontier | None:
    """What budgets about the one that was asked for reach, beside the builds that were measured.

    None where none of them buys a machine.
    """
    grounds, shop = spent.grounds, spent.grounds.shops[spent.build]
    goods, record = grounds.goods, grounds.record
    budgets = budgets_about(spent.found.budget_minor)
    key = ("reach", record.study.key, grounds.here.audience.key, shop.build, budgets)
    reaches = wb.lately(key, lambda: reaches_of(shop, goods, budgets))
    if not any(each.index is not None for each in reaches):
        return None
    base = goods.measured.get(shop.build)
    stands = tuple(
        Stands(setup=grounds.setup_of(build), minor=grounds.paid[build], index=100 * math.exp(index - base))
        for build, index in goods.measured.items()
        if base is not None and build in grounds.paid
    )
    return Frontier(base=grounds.name(shop.build), reaches=reaches, builds=stands, currency=goods.currency)
