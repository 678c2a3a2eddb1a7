"""What a machine costs whoever keeps it for years: price, electricity, repairs, less what it fetches.

What is assumed are spans. All machines stand under the same ones, so that the difference between two of them
is surer than what each of them costs.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import product
from typing import Any

from evenhand.money.running import energy_minor
from evenhand.records.money_terms import Span

SPANS = HOURS, TARIFF, RESALE, FALL = "hours", "tariff", "resale", "fall"


@dataclass(frozen=True, slots=True, kw_only=True)
class Keeping:
    """How a machine is kept, each span low to high.

    `hours` a year at a load, and `tariff` for a kilowatt-hour in minor units: None where nobody said it, so
    that no electricity is counted. `repairs_minor` are set aside each year. It fetches `resale`·e^(−`fall`·t)
    of its price after t years.
    """

    years: float
    repairs_minor: int
    resale: Span
    fall: Span
    hours: Span | None = None
    tariff: Span | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Range:
    """Whole minor units: with everything at its cheap end, in the middle of each span, at its dear end."""

    low: int
    mid: int
    high: int


NOTHING = Range(low=0, mid=0, high=0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Owned:
    """What one machine costs over the years, and of what.

    `energy` is None where it is not counted. `fetches` is what it is sold for in the end, lowest first.
    `swings` say how far apart the two ends of one span alone put the whole, all else in its middle.
    """

    price_minor: int
    energy: Range | None
    repairs_minor: int
    fetches: Range
    whole: Range
    swings: Mapping[str, int]

    @property
    def lost_minor(self) -> int:
        """What the price comes to less what it fetches, in the middle."""
        return self.price_minor - self.fetches.mid


def middle(span: Span) -> float:
    """Half way between both ends."""
    return (span[0] + span[1]) / 2


def owned(price_minor: int, watts: float | None, kept: Keeping) -> Owned:
    """What a machine of this price costs that draws so many watts at the wall; None where nobody read them.

    price + electricity + repairs − what it fetches, each to the whole minor unit, a half rounded up. Idling,
    a screen and changes of the tariff are not in it.

    >>> kept = Keeping(years=3, repairs_minor=20, resale=(0.5, 0.5), fall=(0.3, 0.3), hours=(1000, 1000),
    ...                tariff=(0.3, 0.3))
    >>> own = owned(998, 300.0, kept)
    >>> own.price_minor, own.energy.mid, own.repairs_minor, own.fetches.mid, own.whole.mid
    (998, 270, 60, 203, 1125)
    """
    repairs = _whole(kept.repairs_minor * kept.years)
    fetches, energy = _fetches(price_minor, kept), _energy(watts, kept)

    def whole(spent: int, fetched: int) -> int:
        return price_minor + spent + repairs - fetched

    spent = energy or NOTHING
    return Owned(
        price_minor=price_minor, energy=energy, repairs_minor=repairs, fetches=fetches,
        whole=Range(
            low=whole(spent.low, fetches.high), mid=whole(spent.mid, fetches.mid),
            high=whole(spent.high, fetches.low),
        ),
        swings=dict(_swings(price_minor, watts, kept)),
    )  # fmt: skip


def _fetches(price_minor: int, kept: Keeping) -> Range:
    def after(share: float, fall: float) -> int:
        return _whole(price_minor * share * math.exp(-fall * kept.years))

    return Range(
        low=after(kept.resale[0], kept.fall[1]), mid=after(middle(kept.resale), middle(kept.fall)),
        high=after(kept.resale[1], kept.fall[0]),
    )  # fmt: skip


def _energy(watts: float | None, kept: Keeping) -> Range | None:
    if watts is None or kept.hours is None or kept.tariff is None:
        return None
    ends = ((each[0], middle(each), each[1]) for each in (kept.hours, kept.tariff))
    low, mid, high = (
        energy_minor(watts, hours_a_year=hours, years=kept.years, tariff_minor=tariff)
        for hours, tariff in zip(*ends, strict=True)
    )
    return Range(low=low, mid=mid, high=high)


def _swings(price_minor: int, watts: float | None, kept: Keeping) -> Iterator[tuple[str, int]]:
    plain, counted = settled(kept), _energy(watts, kept) is not None
    for name in SPANS if counted else (RESALE, FALL):
        ends = (_with(plain, {name: (end, end)}) for end in getattr(kept, name))
        low, high = (_moved(price_minor, watts, each) for each in ends)
        yield name, abs(high - low)


def _moved(price_minor: int, watts: float | None, kept: Keeping) -> int:
    """What the spans move of the whole, in the middle of them all."""
    spent = _energy(watts, kept)
    return (0 if spent is None else spent.mid) - _fetches(price_minor, kept).mid


def settled(kept: Keeping) -> Keeping:
    """The same with every span in its middle."""
    spans: dict[str, Span | None] = {name: getattr(kept, name) for name in SPANS}
    return _with(kept, {n: (middle(span), middle(span)) for n, span in spans.items() if span is not None})


def _with(kept: Keeping, spans: Mapping[str, Span]) -> Keeping:
    changed: dict[str, Any] = dict(spans)
    return replace(kept, **changed)


def apart(a: tuple[int, float | None], b: tuple[int, float | None], kept: Keeping) -> Range:
    """How much more a costs than b over the years, both under the same hours, tariff and resale.

    Each is a price in minor units and watts. What lies between the ends of every span lies within this, since
    the difference is the sum of two parts that each lie between their own ends.

    >>> kept = Keeping(years=3, repairs_minor=0, resale=(0.6, 0.8), fall=(0.3, 0.3))
    >>> apart((1200, None), (998, None), kept)
    Range(low=137, mid=144, high=152)
    """
    wholes = [owned(*a, each).whole.mid - owned(*b, each).whole.mid for each in corners(kept)]
    now = owned(*a, settled(kept)).whole.mid - owned(*b, settled(kept)).whole.mid
    return Range(low=min(now, *wholes), mid=now, high=max(now, *wholes))


def corners(kept: Keeping) -> Iterator[Keeping]:
    """The same with every span at one of its ends, in all ways."""
    names = [name for name in SPANS if getattr(kept, name) is not None]
    for ends in product(*(dict.fromkeys(getattr(kept, name)) for name in names)):
        yield _with(kept, {name: (end, end) for name, end in zip(names, ends, strict=True)})


def lost_of(fall: float) -> float:
    """What share of its worth something loses in a year that falls so fast (a log a year).

    >>> round(lost_of(0.25), 4), fall_of(0.0)
    (0.2212, 0.0)
    """
    return 1 - math.exp(-fall)


def fall_of(lost: float) -> float:
    """How fast something falls, as a log a year, that loses this share of its worth in one, below 1."""
    return abs(math.log1p(-lost))


def _whole(amount: float) -> int:
    return math.floor(amount + 0.5)
