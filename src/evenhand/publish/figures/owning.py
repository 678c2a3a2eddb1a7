"""What each machine costs to own, as bars of its parts, with the range of the whole.

Across in per cent of the width, upward in pixels. Every piece says of whom and what it is, so that a page's
script may move it (`web/static/money.js`).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from evenhand.money.owning import Owned
from evenhand.publish.faces import width
from evenhand.publish.figures.percent_svg import figure, word
from evenhand.publish.names import Names
from evenhand.publish.numbers import counted
from evenhand.publish.owning_words import range_words, years_words
from evenhand.publish.picture import Picture
from evenhand.records.prices import Currency

ROW, BAR_TOP, BAR_HIGH, WORDS = 56.0, 22.0, 18.0, 18.0  # px; under the first bar stand words for its parts
AIR = 1.04  # of the longest bar: what is left free at its right
NARROW, PX = 320.0, 13.0  # the width of a phone's picture, and of its small words
PARTS = ("lost", "energy", "repairs")
CALLED = {"lost": "lost on its price", "energy": "electricity", "repairs": "repairs"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """One machine and what it costs."""

    setup: str
    own: Owned


def owning_bars(bars: Sequence[Bar], names: Names, *, years: float, currency: Currency) -> Picture:
    """A bar for each machine: what is lost on its price, electricity and repairs, and from where to where."""
    most = full_scale(bars)
    rows = (_row(bar, at, most, names, currency) for at, bar in enumerate(bars))
    body = "".join((*_called(bars[0], most), *(piece for row in rows for piece in row)))
    title = f"What each costs to own over {years_words(years)}"
    seen = "; ".join(f"{names.setup(bar.setup)} {range_words(bar.own.whole, currency)}" for bar in bars)
    high = round(WORDS + ROW * len(bars))
    svg = figure(body, high, title=title, seen=f"{counted(len(bars), 'bar')}: {seen}.", kind="owning")
    return Picture(svg=svg, width=0, height=high, title=title, description=seen)


def full_scale(bars: Sequence[Bar]) -> float:
    """The amount that the whole width stands for."""
    return AIR * max(1, *(max(bar.own.whole.high, bar.own.whole.mid, 1) for bar in bars))


def parts_of(own: Owned) -> dict[str, int]:
    """What a bar is made of, from its left end: minor units."""
    spent = 0 if own.energy is None else own.energy.mid
    return {"lost": own.lost_minor, "energy": spent, "repairs": own.repairs_minor}


def places(own: Owned, most: float) -> dict[str, tuple[float, float]]:
    """Where each part begins and how wide it is, in per cent."""
    found, start = {}, 0.0
    for name, minor in parts_of(own).items():
        share = 100 * max(minor, 0) / most
        found[name] = (start, share)
        start += share
    return found


def _called(first: Bar, most: float) -> Iterator[str]:
    """What the parts of the first bar are called, under each of which there is room for it on a phone."""
    end = 0.0
    for name, (start, share) in places(first.own, most).items():
        said = CALLED[name]
        wide = 100 * (width(said, PX) + 8) / NARROW
        if share > 0 and start >= end and start + wide <= 100:
            told = word(said, start, BAR_TOP + BAR_HIGH + 15, kind="mut")
            yield told.replace("<text ", f'<text data-called="{name}" ', 1)
            end = start + wide


def _row(bar: Bar, at: int, most: float, names: Names, currency: Currency) -> Iterator[str]:
    own, slot, top = bar.own, names.slot(bar.setup), ROW * at + (WORDS if at else 0.0)
    key = f'data-setup="{bar.setup}"'
    yield word(names.setup(bar.setup), 0, top + 14, kind="str")
    said = word(range_words(own.whole, currency), 100, top + 14, kind="str", anchor="end")
    yield said.replace("<text ", f'<text data-said="whole" {key} ', 1)
    for name, (start, share) in places(own, most).items():
        yield (
            f'<rect class="cost {name} b{slot.number}" data-part="{name}" {key} x="{start:.2f}%" '
            f'width="{share:.2f}%" y="{top + BAR_TOP:.1f}" height="{BAR_HIGH:.1f}"/>'
        )
    middle = top + BAR_TOP + BAR_HIGH / 2
    low, high = (100 * max(end, 0) / most for end in (own.whole.low, own.whole.high))
    yield (
        f'<line class="reach" data-part="reach" {key} x1="{low:.2f}%" x2="{high:.2f}%" '
        f'y1="{middle:.1f}" y2="{middle:.1f}"/>'
    )
    for name, x in (("low", low), ("high", high)):
        yield (
            f'<line class="reach" data-part="{name}" {key} x1="{x:.2f}%" x2="{x:.2f}%" '
            f'y1="{top + BAR_TOP - 3:.1f}" y2="{top + BAR_TOP + BAR_HIGH + 3:.1f}"/>'
        )
