"""What each budget buys at its best, as steps, and where the builds that were measured stand beside it.

Across in per cent of the width, upward in pixels, so that type keeps its size on a phone.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from evenhand.publish.figures.percent_svg import at, figure, level, upright, word
from evenhand.publish.money_words import amount, bare_amount
from evenhand.publish.names import Names
from evenhand.publish.numbers import listed, number
from evenhand.publish.picture import Picture
from evenhand.records.prices import Currency

HIGH, TOP, BOTTOM = 250, 30.0, 206.0
ROOM = 0.06  # of the span: left free at each end


@dataclass(frozen=True, slots=True, kw_only=True)
class Reach:
    """The index that a budget buys, the base build's own being 100; None where it buys no machine."""

    minor: int
    index: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Stands:
    """A build that was measured: its setup, its price and its index on the same scale."""

    setup: str
    minor: int
    index: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Frontier:
    """The reaches of rising budgets, and the builds. `base` is the build whose index is 100."""

    base: str
    reaches: Sequence[Reach]
    builds: Sequence[Stands]
    currency: Currency


@dataclass(frozen=True, slots=True, kw_only=True)
class _Scale:
    """Money to per cent, and index to pixels."""

    cheap: float
    dear: float
    low: float
    high: float

    def x(self, minor: float) -> float:
        return 100 * (minor - self.cheap) / (self.dear - self.cheap)

    def y(self, index: float) -> float:
        return BOTTOM - (index - self.low) / (self.high - self.low) * (BOTTOM - TOP)


def frontier_figure(found: Frontier, names: Names) -> Picture:
    """The steps and the builds. Needs one reach with an index at least."""
    scale, seen = _scale(found), frontier_seen(found, names)
    body = "".join((*_ground(found, scale), *_steps(found, scale), *_builds(found, scale, names)))
    title = "The index that the best machine of each budget is estimated to have"
    svg = figure(body, HIGH, title=title, seen=seen, kind="frontier")
    return Picture(svg=svg, width=0, height=HIGH, title=title, description=seen)


def frontier_seen(found: Frontier, names: Names) -> str:
    """What is seen, in words."""
    told = [each for each in found.reaches if each.index is not None]
    first, last = told[0], told[-1]
    ends = f"From {number(first.index or 0)} within {amount(first.minor, found.currency)}"
    if last is not first:
        ends += f" to {number(last.index or 0)} within {amount(last.minor, found.currency)}"
    builds = listed(
        tuple(
            f"{names.setup(each.setup)} at {number(each.index)} for {amount(each.minor, found.currency)}"
            for each in found.builds
        )
    )
    return f"{ends}; measured: {builds}." if builds else f"{ends}."


def _scale(found: Frontier) -> _Scale:
    reached = [each.index for each in found.reaches if each.index is not None]
    indexes = [*reached, *(each.index for each in found.builds)]
    money = [*(each.minor for each in found.reaches), *(each.minor for each in found.builds)]
    low, high, cheap, dear = min(indexes), max(indexes), min(money), max(money)
    up, across = max(high - low, 1.0) * ROOM, max(dear - cheap, 1) * ROOM
    return _Scale(cheap=cheap - across, dear=dear + across, low=low - up, high=high + up)


def _ground(found: Frontier, scale: _Scale) -> Iterator[str]:
    yield level(BOTTOM)
    yield word(f"index, {found.base} = 100", 0, 16)
    if scale.low < 100 < scale.high:
        yield level(scale.y(100), "zero")
    ends = (found.reaches[0].minor, found.reaches[-1].minor)
    for minor, anchor in zip(ends, ("start", "end"), strict=True):
        yield upright(scale.x(minor), BOTTOM, BOTTOM + 6)
        told = bare_amount if anchor == "start" else amount
        yield word(told(minor, found.currency), scale.x(minor), BOTTOM + 24, kind="str", anchor=anchor)


def _steps(found: Frontier, scale: _Scale) -> Iterator[str]:
    """Each budget buys what it buys until the next one buys more."""
    told = [each for each in found.reaches if each.index is not None]
    for i, each in enumerate(told):
        here, y = scale.x(each.minor), scale.y(each.index or 0)
        end = scale.x(told[i + 1].minor) if i + 1 < len(told) else 100.0
        yield level(y, "ln plain", start=here, end=end)
        if i + 1 < len(told):
            then = scale.y(told[i + 1].index or 0)
            yield upright(end, min(y, then), max(y, then), "ln plain")


def _builds(found: Frontier, scale: _Scale, names: Names) -> Iterator[str]:
    for each in found.builds:
        slot = names.slot(each.setup)
        mark = f'<path class="dot b{slot.number}" d="{slot.mark}" transform="scale(1.35)"/>'
        yield at(scale.x(each.minor), scale.y(each.index), mark)
