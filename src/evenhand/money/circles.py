"""Markets on which buying and selling a part in a circle would earn money: no advice comes of those."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np

from evenhand.money.market import Ware


@dataclass(frozen=True, slots=True, kw_only=True)
class Circle:
    """A part that fetches more than it cost when it is bought and sold in these months, in minor units."""

    part: str
    bought_in: int
    costs_minor: int
    sold_in: int
    fetches_minor: int


def circles(wares: Iterable[Ware]) -> Iterator[Circle]:
    """For each such part the months between which a circle earns the most."""
    for ware in wares:
        gains = np.triu(ware.fetches - ware.costs[:, None])
        if gains.max() > 0:
            bought, sold = (int(at) for at in np.unravel_index(gains.argmax(), gains.shape))
            yield Circle(
                part=ware.key, bought_in=bought, costs_minor=int(ware.costs[bought]),
                sold_in=sold, fetches_minor=int(ware.fetches[bought, sold]),
            )  # fmt: skip
