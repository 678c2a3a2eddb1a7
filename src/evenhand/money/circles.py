"""Markets on which buying and selling a part in a circle would earn money: no advice comes of those."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np

from evenhand.money.market import Ware


@dataclass(frozen=True, slots=True, kw_only=True)
class Circle:
    """A part that fetches more in one month than it costs in the same or an earlier one, in minor units."""

    part: str
    bought_in: int
    costs_minor: int
    sold_in: int
    fetches_minor: int


def circles(wares: Iterable[Ware]) -> Iterator[Circle]:
    """For each such part the months between which a circle earns the most."""
    for ware in wares:
        least = np.minimum.accumulate(ware.costs)
        gains = ware.fetches - least
        sold = int(gains.argmax())
        if gains[sold] > 0:
            bought = int(ware.costs[: sold + 1].argmin())
            yield Circle(
                part=ware.key, bought_in=bought, costs_minor=int(ware.costs[bought]),
                sold_in=sold, fetches_minor=int(ware.fetches[sold]),
            )  # fmt: skip
