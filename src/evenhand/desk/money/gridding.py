"""Two prices at once: who is better value at each pair of prices around today's."""

from __future__ import annotations

from dataclasses import dataclass

from evenhand.desk.money.basis import MoneyGround
from evenhand.money.value import Stand, grid
from evenhand.publish.figures.price_grid import prices_around

ACROSS, UP = 8, 4  # cells to each side of today's prices
STEP = 0.01  # of a price: how far one is from the next


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceGrid:
    """How a and b stand, a row for each of b's prices and a column for each of a's; `now` is today's cell."""

    a_minor: tuple[int, ...]
    b_minor: tuple[int, ...]
    stands: tuple[tuple[Stand, ...], ...]
    now: tuple[int, int] = (ACROSS, UP)


def price_grid_of(ground: MoneyGround, pair: tuple[str, str]) -> PriceGrid | None:
    """The grid around today's prices; None where nothing is said of the pair's value."""
    edge = ground.edges.get(pair)
    if edge is None or edge.half is None:
        return None
    across = prices_around(ground.prices[pair[0]], steps=ACROSS, step=STEP)
    up = prices_around(ground.prices[pair[1]], steps=UP, step=STEP)
    stands = grid(across, up, edge, margin=ground.margin, fixed_minor=ground.fixed_minor)
    return PriceGrid(a_minor=across, b_minor=up, stands=stands)
