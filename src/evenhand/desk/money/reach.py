"""What each of many budgets buys at its best: the frontier of a build's shop, as it is drawn."""

from __future__ import annotations

import math
from collections.abc import Iterable

from evenhand.desk.money.searching import Bought, Further
from evenhand.desk.money.spending import Spent
from evenhand.publish.figures.frontier import Frontier, Reach, Stands

ALIKE = 1e-7  # of an index: less than that is no step


def reaches(bought: Iterable[Bought]) -> tuple[Reach, ...]:
    """The machines that budgets buy, each at its own price, the cheapest first, none dearer for nothing."""
    found: list[Reach] = []
    for each in bought:
        if each.minor is None or each.index is None:
            continue
        found = [one for one in found if one.minor < each.minor]
        if not found or each.index > found[-1].index + ALIKE:
            found.append(Reach(minor=each.minor, index=each.index))
    return tuple(found)


def frontier_of(spent: Spent, further: Further) -> Frontier | None:
    """What budgets about the one that was asked for reach, beside the builds that were measured.

    None where none of them buys a machine.
    """
    grounds = spent.grounds
    shop, goods = grounds.shops[spent.build], grounds.goods
    found = reaches(further.bought)
    if not found:
        return None
    base = goods.measured.get(shop.build)
    stands = tuple(
        Stands(setup=grounds.setup_of(build), minor=grounds.paid[build], index=100 * math.exp(index - base))
        for build, index in goods.measured.items()
        if base is not None and build in grounds.paid
    )
    budgets = [each.budget_minor for each in further.bought]
    return Frontier(
        base=grounds.name(shop.build), reaches=found, builds=stands, currency=goods.currency,
        least_minor=min(budgets), most_minor=max(budgets),
    )  # fmt: skip
