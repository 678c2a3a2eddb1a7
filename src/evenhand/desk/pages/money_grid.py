"""The part of the money page on two prices at once: who is better value at each pair of them."""

from __future__ import annotations

from dataclasses import dataclass

from evenhand.desk.money.basis import MoneyGround
from evenhand.desk.money.gridding import UP, price_grid_of
from evenhand.money.break_even import break_even
from evenhand.money.value import Edge, Stand
from evenhand.publish.figures.price_grid import Grid, grid_words, price_grid
from evenhand.publish.money_words import inside
from evenhand.publish.picture import Picture


@dataclass(frozen=True, slots=True, kw_only=True)
class GridPart:
    """The picture with its words: at three prices of the one, the prices at which the other turns it."""

    heading: str
    about: str
    picture: Picture
    words: tuple[str, ...]


def grid_part(ground: MoneyGround, pair: tuple[str, str]) -> GridPart | None:
    """The grid around today's prices; None where nothing is said of the pair's value."""
    found, names = price_grid_of(ground, pair), ground.names
    if found is None:
        return None
    a, b = (names.setup(each) for each in pair)
    words = grid_words(a, b, _lines(ground, found.b_minor, ground.edges[pair]), ground.currency)
    drawn = Grid(
        a=pair[0], b=pair[1], a_minor=found.a_minor, b_minor=found.b_minor, stands=found.stands,
        now=found.now, currency=ground.currency, seen=" ".join(words),
    )  # fmt: skip
    return GridPart(
        heading=_heading(found.stands, a, b), about=f"{a}’s price across, {b}’s upward; outlined: today",
        picture=price_grid(drawn, names), words=words,
    )  # fmt: skip


def _lines(ground: MoneyGround, up: tuple[int, ...], edge: Edge) -> list[tuple[int, int, int]]:
    """For the lowest, today's and the highest price of b: where the band of a's price begins and ends."""
    found = []
    for other in (up[0], up[UP], up[-1]):
        even = break_even(other, effect=edge.effect, half=edge.half, fixed_minor=ground.fixed_minor)
        band = inside(even)
        if band is not None and band[0] > 0:
            found.append((other, *band))
    return found


def _heading(stands: tuple[tuple[Stand, ...], ...], a: str, b: str) -> str:
    """Whether prices around today's turn it."""
    every = {each for row in stands for each in row}
    if every in ({Stand.A}, {Stand.B}):
        return f"No prices near today’s turn it: {a if every == {Stand.A} else b} stays better value"
    if len(every & {Stand.A, Stand.B}) == 2:
        return f"Prices near today’s make either {a} or {b} better value"
    return "What other prices would make of it"
