"""The index of each build over the months of its path, as steps, with what it costs in the end.

Across in per cent of the width, upward in pixels, so that type keeps its size on a phone.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from evenhand.publish.figures.percent_svg import at, figure, level, upright, word
from evenhand.publish.money_words import amount
from evenhand.publish.names import Names
from evenhand.publish.numbers import counted, listed, number
from evenhand.publish.picture import Picture
from evenhand.records.prices import Currency

HIGH, TOP, BOTTOM = 250, 34.0, 206.0
WIDE = 68.0  # per cent: where the months end and the names begin
LABEL = 20.0  # px: between two names
YEAR = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class CourseLine:
    """One build's path: from each month on its index, the first from 0, and what it costs in the end."""

    setup: str
    indexes: Sequence[tuple[int, float]]
    net_minor: int
    mean: float


def course_lines(lines: Sequence[CourseLine], names: Names, *, months: int, currency: Currency) -> Picture:
    """A line for each build, its name at the right."""
    every = [index for line in lines for _, index in line.indexes]
    low, high = min(every), max(every)
    span = max(high - low, 0.01)

    def y(index: float) -> float:
        return BOTTOM - 12 - (index - low) / span * (BOTTOM - 12 - TOP)

    def x(month: float) -> float:
        return WIDE * month / months

    seen = course_lines_seen(lines, names, currency=currency)
    pieces = [word("index by month", 0, 16), level(BOTTOM, end=WIDE)]
    for month in range(0, months + 1, YEAR):
        pieces.append(upright(x(month), BOTTOM, BOTTOM + 6))
        anchor = "start" if month == 0 else "middle"
        pieces.append(word("now" if month == 0 else str(month), x(month), BOTTOM + 24, anchor=anchor))
    for line in lines:
        kind = f"ln b{names.slot(line.setup).number}"
        ends = [*(month for month, _ in line.indexes[1:]), months]
        for i, ((month, index), end) in enumerate(zip(line.indexes, ends, strict=True)):
            pieces.append(level(y(index), kind, start=x(month), end=x(end)))
            if i:
                before = y(line.indexes[i - 1][1])
                pieces.append(upright(x(month), min(before, y(index)), max(before, y(index)), kind))
    last = {line.setup: y(line.indexes[-1][1]) for line in lines}
    pieces.extend(_named(lines, names, last, currency))
    title = "The index of each build over the months of its path"
    svg = figure("".join(pieces), HIGH, title=title, seen=seen)
    return Picture(svg=svg, width=0, height=HIGH, title=title, description=seen)


def course_lines_seen(lines: Sequence[CourseLine], names: Names, *, currency: Currency) -> str:
    """What is seen, in words."""
    told = []
    for line in lines:
        first, last = line.indexes[0][1], line.indexes[-1][1]
        moved = "stays at" if len(line.indexes) == 1 else f"goes from {number(first, 2)} to"
        when = "" if len(line.indexes) == 1 else f" after {counted(line.indexes[-1][0], 'month')}"
        cost = f"{amount(line.net_minor, currency)} in the end"
        told.append(f"{names.setup(line.setup)} {moved} {number(last, 2)}{when}, {cost}")
    return f"{listed(tuple(told))}."


def _named(
    lines: Sequence[CourseLine], names: Names, heights: dict[str, float], currency: Currency
) -> Iterator[str]:
    """Each build by name at the end of its line, none over another, with its mark and its cost."""
    ordered = sorted(lines, key=lambda line: heights[line.setup])
    placed: list[float] = []
    for line in ordered:
        y = heights[line.setup]
        placed.append(max(y, placed[-1] + LABEL) if placed else y)
    over = max(placed[-1] - BOTTOM + 6, 0.0)
    for line, y in zip(ordered, placed, strict=True):
        slot = names.slot(line.setup)
        mark = f'<path class="dot b{slot.number}" d="{slot.mark}" transform="scale(1.15)"/>'
        yield at(WIDE, heights[line.setup], mark)
        told = f"{names.setup(line.setup)} {amount(line.net_minor, currency)}"
        yield word(told, WIDE, y - over + 5, kind="str", dx=14)
