"""What money buys at its best, as steps, and where the builds that were measured stand beside it.

Across in per cent of the width, upward in pixels, so that type keeps its size on a phone.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import zip_longest

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
    """A machine: its own price, from which on it can be had, and its index, the base build's being 100."""

    minor: int
    index: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Stands:
    """A build that was measured: its setup, its price and its index on the same scale."""

    setup: str
    minor: int
    index: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Frontier:
    """The best machines, each dearer and better than the one before, and the builds.

    `base` is the build whose index is 100; budgets were looked at from `least_minor` to `most_minor`.
    """

    base: str
    reaches: Sequence[Reach]
    builds: Sequence[Stands]
    currency: Currency
    least_minor: int
    most_minor: int


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
    """The steps and the builds. Needs one reach at least."""
    scale, seen = _scale(found), frontier_seen(found, names)
    body = "".join((*_ground(found, scale), *_steps(found, scale), *_builds(found, scale, names)))
    title = "The index that the best machine is estimated to have, by what it costs"
    svg = figure(body, HIGH, title=title, seen=seen, kind="frontier")
    return Picture(svg=svg, width=0, height=HIGH, title=title, description=seen)


def frontier_seen(found: Frontier, names: Names) -> str:
    """What is seen, in words."""
    first, last = found.reaches[0], found.reaches[-1]
    ends = f"From {number(first.index)} for {amount(first.minor, found.currency)}"
    if last is not first:
        ends += f" to {number(last.index)} for {amount(last.minor, found.currency)}"
    builds = listed(
        tuple(
            f"{names.setup(each.setup)} at {number(each.index)} for {amount(each.minor, found.currency)}"
            for each in found.builds
        )
    )
    return f"{ends}; measured: {builds}." if builds else f"{ends}."


def _scale(found: Frontier) -> _Scale:
    indexes = [*(each.index for each in found.reaches), *(each.index for each in found.builds)]
    money = [*(each.minor for each in found.reaches), *(each.minor for each in found.builds)]
    money += [found.least_minor, found.most_minor]
    low, high, cheap, dear = min(indexes), max(indexes), min(money), max(money)
    up, across = max(high - low, 1.0) * ROOM, max(dear - cheap, 1) * ROOM
    return _Scale(cheap=cheap - across, dear=dear + across, low=low - up, high=high + up)


def _ground(found: Frontier, scale: _Scale) -> Iterator[str]:
    yield level(BOTTOM)
    yield word(f"index, {found.base} = 100", 0, 16)
    if scale.low < 100 < scale.high:
        yield level(scale.y(100), "zero")
    ends = (min(found.reaches[0].minor, found.least_minor), found.most_minor)
    for minor, anchor in zip(ends, ("start", "end"), strict=True):
        yield upright(scale.x(minor), BOTTOM, BOTTOM + 6)
        told = bare_amount if anchor == "start" else amount
        yield word(told(minor, found.currency), scale.x(minor), BOTTOM + 24, kind="str", anchor=anchor)


def _steps(found: Frontier, scale: _Scale) -> Iterator[str]:
    """Each machine stands from its price on until a better one can be had."""
    for each, after in zip_longest(found.reaches, found.reaches[1:]):
        y, end = scale.y(each.index), scale.x(found.most_minor if after is None else after.minor)
        yield level(y, "ln plain", start=scale.x(each.minor), end=end)
        if after is not None:
            yield upright(end, scale.y(after.index), y, "ln plain")


def _builds(found: Frontier, scale: _Scale, names: Names) -> Iterator[str]:
    for each in found.builds:
        slot = names.slot(each.setup)
        mark = f'<path class="dot b{slot.number}" d="{slot.mark}" transform="scale(1.35)"/>'
        yield at(scale.x(each.minor), scale.y(each.index), mark)
