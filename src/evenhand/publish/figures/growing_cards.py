"""Two cards of what could be: what each budget buys at its best, and how far each build comes by changes."""

from __future__ import annotations

from collections.abc import Sequence

from evenhand.publish.figures.course_lines import CourseLine, course_lines_seen
from evenhand.publish.figures.frontier import Frontier, frontier_seen
from evenhand.publish.figures.stairs_card import Stair, Stairs, stairs_card
from evenhand.publish.money_words import amount, bare_amount
from evenhand.publish.names import Names
from evenhand.publish.numbers import number
from evenhand.publish.picture import Picture
from evenhand.publish.style import Style
from evenhand.records.prices import Currency

BY_PARTS = "Estimated from what is said of each part by itself; marks were measured."
YEAR = 12


def frontier_card(
    found: Frontier, names: Names, *, audience: str, style: Style, days: Sequence[str] = ()
) -> Picture:
    """The steps of what money buys in grey, each at its own price, and the builds that were measured by name.

    `days` says of which days prices are, at the foot.
    """
    reached = [(each.minor, each.index) for each in found.reaches]
    most = number(reached[-1][1])
    best = Stair(steps=reached, name="the best parts", under=(f"index {most} at the most", f"index {most}"))
    builds = [
        Stair(
            steps=[(each.minor, each.index)], setup=each.setup, name=names.drawn().setup(each.setup),
            under=_wordings(amount(each.minor, found.currency), f"index {number(each.index)}"), is_mark=True,
        )
        for each in found.builds
    ]  # fmt: skip
    first, last = min(found.least_minor, reached[0][0]), found.most_minor
    ticks = [first, (first + last) // 2, last]
    shown = Stairs(
        headline=f"What each budget could buy, for {audience}",
        foot=(BY_PARTS, *days, "The axis of the index does not begin at zero."),
        upward=f"index, {found.base} = 100",
        lines=[best, *builds],
        ticks=[
            (tick, (amount if tick == ticks[-1] else bare_amount)(tick, found.currency)) for tick in ticks
        ],
        end=last,
        described=f"Money across, index upward. {frontier_seen(found, names)}",
    )
    return stairs_card(shown, names, style=style)


def courses_card(
    lines: Sequence[CourseLine],
    names: Names,
    *,
    audience: str,
    months: int,
    currency: Currency,
    assumed: Sequence[str],
    style: Style,
) -> Picture:
    """A line for each build's path, with what it costs in the end; `assumed` is said at the foot."""
    shown = Stairs(
        headline=f"How far each build comes in {months} months, for {audience}",
        foot=(*assumed, "The axis of the index does not begin at zero."),
        upward="index by month",
        lines=[
            Stair(
                steps=[(float(month), index) for month, index in line.indexes], setup=line.setup,
                name=names.drawn().setup(line.setup),
                under=_wordings(f"{amount(line.net_minor, currency)} net", f"mean {number(line.mean, 2)}"),
            )
            for line in lines
        ],
        ticks=[(month, "now" if month == 0 else str(month)) for month in range(0, months + 1, YEAR)],
        end=months,
        described=f"Months across, index upward. {course_lines_seen(lines, names, currency=currency)}",
    )  # fmt: skip
    return stairs_card(shown, names, style=style)


def _wordings(money: str, index: str) -> tuple[str, ...]:
    """Both where there is room, else the money alone."""
    return f"{money}, {index}", money
