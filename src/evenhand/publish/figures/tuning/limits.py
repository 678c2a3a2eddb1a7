"""The maker's limits around a map: words over the plot, and the upright line of the clock's."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product

from evenhand.publish.faces import Face, width
from evenhand.publish.figures.card_frame import shortest
from evenhand.publish.figures.tuning.scene import TuningMap
from evenhand.publish.style import Style
from evenhand.publish.svg import Box, Drawn, Pen, Words, line
from evenhand.publish.tuning.words import clock_words, whose_words

ROW = 1.25  # of the type size: a row of words over the plot
FOOT = 0.6  # of the type size: how far above the plot the lowest stands
GAP = 1.2  # of the type size: between two on one row


@dataclass(frozen=True, slots=True, kw_only=True)
class Over:
    """What stands over the plot: of the voltage at the left, of the clock at its line; "" for nothing."""

    voltage: str
    clock: str
    rows: int

    def high(self, style: Style) -> float:
        """What it takes."""
        return ROW * self.rows * style.text[1]


def words_over(voltage: Sequence[str], clock: Sequence[str], room: float, style: Style) -> Over:
    """The fullest wordings that stand on one row, else on two. Each side may have none."""
    size = style.text[1]
    if not voltage or not clock:
        one = [shortest(some, room, sizes=(size, size), face=Face.STRONG).lines[0] if some else ""
               for some in (voltage, clock)]  # fmt: skip
        return Over(voltage=one[0], clock=one[1], rows=1 if any(one) else 0)
    for left, right in product(voltage, clock):
        if sum(width(some, size, Face.STRONG) for some in (left, right)) + GAP * size <= room:
            return Over(voltage=left, clock=right, rows=1)
    both = [shortest(some, room, sizes=(size, size), face=Face.STRONG).lines[0] for some in (voltage, clock)]
    return Over(voltage=both[0], clock=both[1], rows=2)


def over_drawn(over: Over, plot: Box, body: Box, at: float, style: Style) -> list[Drawn]:
    """The words over the `plot`, within the `body`; those of the clock about `at`, beside the voltage's."""
    size, y = style.text[1], plot.top - FOOT * style.text[1]
    words = Words(x=body.left, y=y, text=over.voltage, size=size, face=Face.STRONG, halo="paper")
    drawn: list[Drawn] = []
    first = body.left
    if over.voltage:
        upper = y - ROW * (over.rows - 1) * size
        drawn.append(Words(x=words.x, y=upper, text=words.text, size=size, face=Face.STRONG, halo="paper"))
        first += width(over.voltage, size, Face.STRONG) + GAP * size if over.rows == 1 else 0.0
    if over.clock:
        wide = width(over.clock, size, Face.STRONG)
        x = max(min(at - wide / 2, body.right - wide), first)
        drawn.append(Words(x=x, y=y, text=over.clock, size=size, face=Face.STRONG, halo="paper"))
    return drawn


def clock_limit_said(found: TuningMap, last: float) -> tuple[str, ...]:
    """Whose limit of the clock it is, the fullest wording first; one beyond `last` is told to lie there."""
    limit = found.clock_limit
    if limit is None:
        return ()
    beyond = ", beyond" if limit.most > last else ""
    told = f"clock limit {clock_words(limit.most)}{beyond}"
    whose = whose_words(limit).removeprefix("the ")
    return (f"{whose} {told}", f"own {told}" if limit.own else told)


def upright(at: float, plot: Box, style: Style) -> Drawn:
    """A limit of what runs across."""
    dash = Pen(ink="ink", width=style.post, dash=f"{9 * style.unit:g} {4 * style.unit:g}")
    return line((at, plot.top), (at, plot.bottom), dash)
