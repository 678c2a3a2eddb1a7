"""The setups of a strip beside each other: each one's share of the picture, its name and average on top."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import islice

from evenhand.publish.faces import Face, Fitted, fit, width
from evenhand.publish.figures.frame import MARK_ROOM, Frame, named
from evenhand.publish.figures.strip_runs import RunStrip, Scale, mean_decimals
from evenhand.publish.names import Names
from evenhand.publish.numbers import with_unit
from evenhand.publish.spans import span_of
from evenhand.publish.style import Style
from evenhand.publish.svg import Box, Drawn, Words, moved
from evenhand.records.estimates import Estimate

GAP = 1.1  # of the type size: between two setups
ROW = 1.15  # of the type size: from line to line over the runs of a card


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """One setup's share of the picture, and the common scale upward.

    `two_lines` says that every setup's average stands below its name, `name_lines` how many lines names may
    take then, `decimals` how many the average shows, and `beyond` how far the name may reach over the gap to
    the next setup.
    """

    box: Box
    style: Style
    scale: Scale
    two_lines: bool = False
    name_lines: int = 1
    decimals: int | None = None
    beyond: float = 0.0

    @property
    def head_room(self) -> float:
        """How much room the name has right of its mark."""
        return self.box.right + self.beyond - self.box.left - 20 * self.style.unit

    def y(self, value: float) -> float:
        """The place of a number; of one beyond all drawing, the end of the scale."""
        share = (min(value, self.scale.high) - self.scale.low) / (self.scale.high - self.scale.low)
        return self.box.bottom - share * (self.box.bottom - self.box.top)


def blocks(begun: Frame, strip: RunStrip, scale: Scale, names: Names, *, unit: str) -> list[Block]:
    """The setups beside each other; their averages below their names where one of both would be cut.

    Names that would be cut even then take two lines each.
    """
    setups = tuple(dict.fromkeys(run.setup for run in strip.runs))
    means, style = dict(strip.means), begun.style
    boxes = _boxes(begun, len(setups), scale, unit)
    over = [0.75 * GAP * style.text[1] for _ in boxes[1:]] + [0.0]
    found = [
        Block(
            box=box, style=style, scale=scale, two_lines=style.roomy,
            decimals=mean_decimals(strip, setup), beyond=beyond,
        )
        for setup, box, beyond in zip(setups, boxes, over, strict=True)
    ]  # fmt: skip
    whole = [_headed(s, means.get(s), block, names) for s, block in zip(setups, found, strict=True)]
    if style.roomy or all(name is not None for name in whole):
        return found
    lines = max(len(_name(s, b, names, lines=2).lines) for s, b in zip(setups, found, strict=True))
    lower = ROW * style.text[1] * lines
    return [
        replace(b, box=replace(b.box, top=b.box.top + lower), two_lines=True, name_lines=lines) for b in found
    ]


def _name(setup: str, block: Block, names: Names, *, lines: int) -> Fitted:
    return fit(names.setup(setup), block.head_room, sizes=block.style.text, face=Face.STRONG, lines=lines)


def _headed(setup: str, mean: Estimate | None, block: Block, names: Names) -> Fitted | None:
    """Name and average on one line, where both stand whole."""
    text = (
        f"{names.setup(setup)}{'' if mean is None else f' {span_of(mean).digits(decimals=block.decimals)}'}"
    )
    name = fit(text, block.head_room, sizes=block.style.text, face=Face.STRONG)
    return name if name.lines == (text,) else None


def _boxes(begun: Frame, n: int, scale: Scale, unit: str) -> list[Box]:
    """The setups' shares of the body, beside each other, right of the numbers of the scale and its unit."""
    style, body = begun.style, begun.body
    size = style.text[1]
    numbers = max(width(text, size) for text in (unit, *scale.ticks.values()))
    left, gap = body.left + max(2.6 * size, numbers + 0.6 * size), GAP * size
    wide = (body.right - left - gap * (n - 1)) / n
    top, bottom = body.top + (2.5 if not style.roomy else 3.4) * size, body.bottom - 0.3 * size
    starts = [left + i * (wide + gap) for i in range(n)]
    return [Box(left=start, top=top, right=start + wide, bottom=bottom) for start in starts]


def head(setup: str, mean: Estimate | None, block: Block, names: Names) -> list[Drawn]:
    """Name and average: on one line, or the average below; a number is left out before it is cut."""
    style, box = block.style, block.box
    size, step = style.text[1], (1.4 if style.roomy else ROW) * style.text[1]
    rows = block.name_lines if block.two_lines else 0
    top = box.top - (2.3 * size if style.roomy else 1.5 * size + rows * step)
    name = None if block.two_lines else _headed(setup, mean, block, names)
    if name is None:
        name = _name(setup, block, names, lines=block.name_lines)
    words = Words(x=box.left, y=top, text=name.lines[0], size=name.size, face=Face.STRONG)
    drawn = list(named(names.slot(setup), words, style))
    drawn += [
        replace(moved(words, dx=MARK_ROOM * style.unit * 1.02), y=top + i * step, text=text)
        for i, text in enumerate(name.lines[1:], start=1)
    ]
    if mean is not None and block.two_lines:
        said = (text for text in _averages(mean, block) if width(text, size) <= box.right - box.left)
        drawn += [
            Words(x=box.left, y=top + block.name_lines * step, text=text, size=size, ink="ink2")
            for text in islice(said, 1)
        ]
    return drawn


def _averages(mean: Estimate, block: Block) -> Iterator[str]:
    """The average in words, the fullest first; a card has no room for its interval."""
    span = span_of(mean)
    if block.style.roomy:
        yield span.words(mean.unit)
    digits = span.digits(decimals=block.decimals)
    yield with_unit(digits, mean.unit)
    yield digits
