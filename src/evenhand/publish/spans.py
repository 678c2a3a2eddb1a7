"""A number with its interval, and the words for both: digits follow the interval."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from evenhand.publish.numbers import MOST_DECIMALS, decimals_alone, decimals_for, number, with_unit
from evenhand.records.estimates import Estimate

MOST_PERCENT = 1000.0  # eleven times as much: beyond, nobody needs the digits


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """A number and its interval in one unit, ready to be said; `low` and `high` None without repeats.

    `alone` is how many digits the number shows where it has no interval; `note` stands before an
    interval that is not of the usual level ("90 %"). What lies beyond `most` is told as more than that.
    No more than `finest` decimals are told, however narrow the interval.
    """

    value: float
    low: float | None
    high: float | None
    alone: int = 3
    note: str = ""
    most: float | None = None
    finest: int = MOST_DECIMALS

    @property
    def decimals(self) -> int:
        """Decimals that the interval allows, one more where an end would be rounded onto zero."""
        return min(self._allowed, self.finest)

    @property
    def _allowed(self) -> int:
        if self.low is None or self.high is None:
            places = decimals_alone(self.value, self.alone)
            return places if self.alone > 2 else min(places, 1)
        places = decimals_for((self.high - self.low) / 2)
        ends = [e for e in (self.low, self.high) if e]
        while places < MOST_DECIMALS and any(abs(e) < 0.5 * 10.0**-places for e in ends):
            if self.low < 0 < self.high:
                break
            places += 1
        return places

    @property
    def magnitude(self) -> Span:
        """The same distance from zero, told without its sign; low stays the smaller end."""
        if self.value >= 0:
            return self
        low = None if self.high is None else -self.high
        high = None if self.low is None else -self.low
        return replace(self, value=-self.value, low=low, high=high)

    def digits(self, *, signed: bool = False, decimals: int | None = None) -> str:
        """The number alone, to its own decimals or to those of a number it is held against."""
        return self._told(self.value, self.decimals if decimals is None else decimals, signed=signed)

    def _told(self, value: float, decimals: int, *, signed: bool) -> str:
        if self.most is not None and value > self.most:
            return f"more than {number(self.most)}"
        return number(value, decimals, signed=signed)

    def range(self, *, signed: bool = False, decimals: int | None = None) -> str:
        """The interval in words, or "" where there is none.

        >>> Span(value=10.68, low=8.91, high=12.47).range()
        '8.9 to 12.5'
        """
        if self.low is None or self.high is None:
            return ""
        places = self.decimals if decimals is None else decimals
        low, high = (self._told(end, places, signed=signed) for end in (self.low, self.high))
        beyond = self.most is not None and self.low > self.most
        return high if beyond else f"{low} to {high}"

    def words(self, unit: str, *, signed: bool = False) -> str:
        r"""Number, unit and interval.

        >>> Span(value=10.68, low=8.91, high=12.47).words("%", signed=True)
        '+10.7\xa0% (+8.9 to +12.5)'
        >>> Span(value=0.38, low=-0.9, high=1.7, note="90 %").words("%")
        '0.4\xa0% (90 %: −0.9 to 1.7)'
        """
        said = with_unit(self.digits(signed=signed), unit)
        interval = self.range(signed=signed)
        note = f"{self.note}: " if self.note else ""
        return f"{said} ({note}{interval})" if interval else said


def percent(ratio: float) -> float:
    """A ratio as a difference in per cent.

    >>> round(percent(1.107), 1)
    10.7
    """
    return (ratio - 1.0) * 100.0


def percent_span(ratio: float, low: float | None, high: float | None, *, note: str = "") -> Span:
    r"""A ratio and its interval as differences in per cent.

    >>> percent_span(0.853, 0.838, 0.868).words("%", signed=True)
    '−14.7\xa0% (−16.2 to −13.2)'
    >>> percent_span(4.0, 0.5, 1e150).words("%", signed=True)
    '+300\xa0% (−50 to more than 1,000)'
    """
    return Span(
        value=percent(ratio),
        low=None if low is None else percent(low),
        high=None if high is None else percent(high),
        alone=2,
        note=note,
        most=MOST_PERCENT,
    )


def in_front(over: float) -> float:
    """A difference of a over b in per cent, told of the one in front.

    >>> in_front(8.0), round(in_front(-20.0), 9)
    (8.0, 25.0)
    """
    return over if over >= 0 else percent(1 / (1 + over / 100))


def the_other_way(span: Span) -> Span:
    r"""A difference of a over b in per cent told as b over a.

    >>> the_other_way(percent_span(0.863, 0.853, 0.874)).words("%", signed=True)
    '+15.9\xa0% (+14.4 to +17.2)'
    """
    low, high = (None if end is None else percent(1 / (1 + end / 100)) for end in (span.high, span.low))
    return replace(span, value=percent(1 / (1 + span.value / 100)), low=low, high=high)


def to_the_left(span: Span) -> Span:
    r"""A difference in which b is in front, on b's side of an axis that carries each side's own number.

    The numbers are those of b over a: their places are left of 0 as far as a's lead would be right of it.

    >>> to_the_left(percent_span(0.863, 0.853, 0.874)).words("%", signed=True)
    '−15.9\xa0% (−17.2 to −14.4)'
    """
    own = the_other_way(span)
    low, high = (None if end is None else -end for end in (own.high, own.low))
    return replace(own, value=-own.value, low=low, high=high)


def span_of(estimate: Estimate) -> Span:
    """An estimate as a span, in its own unit."""
    return Span(value=estimate.value, low=estimate.low, high=estimate.high)


def decimals_beside(own: Span, others: Iterable[Span]) -> int:
    """The decimals of a number that stands among others: one fewer than its own where one of them has those.

    33.9 below 34 reads as two degrees of care. A number much less sure than the rest keeps its own digits,
    and takes none from them.

    >>> narrow, wide = Span(value=54.0, low=53.8, high=54.2), Span(value=61.0, low=60.0, high=62.0)
    >>> narrow.decimals, decimals_beside(narrow, [wide]), decimals_beside(wide, [narrow])
    (2, 1, 1)
    """
    fewer = own.decimals - 1
    return fewer if any(other.decimals == fewer for other in others) else own.decimals


def estimate_words(estimate: Estimate) -> str:
    r"""An estimate with unit and interval; alone where it has none.

    >>> estimate_words(Estimate(value=88.02, unit="fps", low=86.9, high=89.1, level=.95, n=5, method="t"))
    '88.0\xa0fps (86.9 to 89.1)'
    """
    return span_of(estimate).words(estimate.unit)
