"""Who is better value over two prices: a cell for each pair of them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from evenhand.money.value import Stand
from evenhand.publish.figures.percent_svg import figure, word
from evenhand.publish.money_words import amount, bare_amount
from evenhand.publish.names import Names
from evenhand.publish.picture import Picture
from evenhand.records.prices import Currency

TOP, ROW, FOOT = 46.0, 22.0, 48.0
LEFT = 18.0  # per cent: the column of b's prices


@dataclass(frozen=True, slots=True, kw_only=True)
class Grid:
    """Prices of a across and of b upward, in minor units, and how the two stand at each pair of them.

    `stands` has a row for each of b's prices, the lowest first. `now` is where today's prices are, in both.
    """

    a: str
    b: str
    a_minor: Sequence[int]
    b_minor: Sequence[int]
    stands: Sequence[Sequence[Stand]]
    now: tuple[int, int]
    currency: Currency
    seen: str


def price_grid(grid: Grid, names: Names) -> Picture:
    """Cells in the colour of whoever is better value; between them the band, where nobody is."""
    a, b = names.setup(grid.a), names.setup(grid.b)
    bottom = TOP + ROW * len(grid.b_minor)
    body = "".join((
        word(f"{b} costs", 0, 16, kind="str"), word(f"{a} by value", LEFT, TOP - 8, kind="mut"),
        word(f"{b} by value", 100, bottom + 40, kind="mut", anchor="end"),
        *_cells(grid, names), *_prices(grid, a, bottom),
    ))  # fmt: skip
    title = f"Which of {a} and {b} is better value at which prices"
    high = round(bottom + FOOT)
    svg = figure(body, high, title=title, seen=grid.seen)
    return Picture(svg=svg, width=0, height=high, title=title, description=grid.seen)


def _wide(grid: Grid) -> float:
    return (100 - LEFT) / len(grid.a_minor)


def _cells(grid: Grid, names: Names) -> Iterator[str]:
    wide, rows = _wide(grid), len(grid.b_minor)
    for up, stands in enumerate(grid.stands):
        for across, stand in enumerate(stands):
            setup = {Stand.A: grid.a, Stand.B: grid.b}.get(stand)
            kind = f"cell b{names.slot(setup).number}" if setup else "cell neither"
            here = " now" if (across, up) == grid.now else ""
            yield (
                f'<rect class="{kind}{here}" x="{LEFT + across * wide:.2f}%" width="{wide * 0.94:.2f}%" '
                f'y="{TOP + ROW * (rows - 1 - up):.1f}" height="{ROW - 2:.1f}"/>'
            )


def _prices(grid: Grid, a: str, bottom: float) -> Iterator[str]:
    """The prices of both at the ends and today."""
    wide, rows = _wide(grid), len(grid.b_minor)
    for up in dict.fromkeys((0, grid.now[1], rows - 1)):
        kind = "str" if up == grid.now[1] else "mut"
        y = TOP + ROW * (rows - 1 - up) + ROW - 7
        yield word(bare_amount(grid.b_minor[up], grid.currency), 0, y, kind=kind)
    for across in dict.fromkeys((0, grid.now[0], len(grid.a_minor) - 1)):
        kind = "str" if across == grid.now[0] else "mut"
        x = LEFT + across * wide + wide / 2
        said, last = bare_amount(grid.a_minor[across], grid.currency), across == len(grid.a_minor) - 1
        yield word(said, 100 if last else x, bottom + 18, kind=kind, anchor="end" if last else "middle")
    yield word(f"{a} costs", LEFT, bottom + 40, kind="str")


def prices_around(minor: int, *, steps: int, step: float) -> tuple[int, ...]:
    """So many prices below and above one, each a share of it further; all above nothing.

    >>> prices_around(1000, steps=2, step=0.05)
    (900, 950, 1000, 1050, 1100)
    """
    return tuple(max(1, round(minor * (1 + at * step))) for at in range(-steps, steps + 1))


def grid_words(a: str, b: str, lines: Sequence[tuple[int, int, int]], currency: Currency) -> tuple[str, ...]:
    r"""For some prices of b: below which price a is better value, and above which b is.

    >>> grid_words("Elm", "Ash", [(1012, 1014, 1039)], Currency(symbol="dl", decimals=0))
    ('Where Ash costs 1,012\xa0dl, Elm is better value below 1,014\xa0dl and Ash above 1,039\xa0dl.',)
    """

    def words(other: int, low: int, high: int) -> str:
        costs, least, most = (amount(each, currency) for each in (other, low, high))
        return f"Where {b} costs {costs}, {a} is better value below {least} and {b} above {most}."

    return tuple(words(*each) for each in lines)
