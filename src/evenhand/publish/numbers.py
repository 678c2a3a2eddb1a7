"""Rounding, and words for numbers. Nothing is rounded anywhere else.

Digits follow the interval: a number shows no digit that its own uncertainty makes meaningless.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from evenhand.records.estimates import Estimate

MINUS = "−"
NO_BREAK = "\u00a0"
MOST_DECIMALS = 6
WORDS = (
    "none",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
)


def number(value: float, decimals: int = 0, *, signed: bool = False) -> str:
    """A number in digits: true minus, thousands by comma, never a minus before zero.

    >>> number(-14.68, 1), number(10.68, 1, signed=True), number(-0.04, 1), number(12400)
    ('−14.7', '+10.7', '0.0', '12,400')
    """
    digits = f"{abs(value):,.{decimals}f}"
    if not any(c in "123456789" for c in digits):
        return digits
    sign = MINUS if value < 0 else "+" if signed else ""
    return sign + digits


def with_unit(digits: str, unit: str) -> str:
    r"""Digits and unit, held together by a no-break space; a unit of "" or "1" is not said.

    >>> with_unit("88.0", "fps")
    '88.0\xa0fps'
    """
    return f"{digits}{NO_BREAK}{unit}" if unit not in ("", "1") else digits


def count_word(n: int) -> str:
    """A count in words up to twelve, in digits beyond.

    >>> count_word(4), count_word(20)
    ('four', '20')
    """
    return WORDS[n] if 0 < n < len(WORDS) else "no" if n == 0 else number(n)


def capital(words: str) -> str:
    """The words with a capital at their beginning."""
    return words[:1].upper() + words[1:]


def counted(n: int, thing: str, things: str = "") -> str:
    """A count and its noun.

    >>> counted(1, "test"), counted(9, "test"), counted(2, "run of each", "runs of each")
    ('one test', 'nine tests', 'two runs of each')
    """
    return f"{count_word(n)} {thing if n == 1 else things or thing + 's'}"


def listed(things: tuple[str, ...], last: str = "and") -> str:
    """Things in a row, as one says them.

    >>> listed(("a",)), listed(("a", "b")), listed(("a", "b", "c"))
    ('a', 'a and b', 'a, b and c')
    """
    return (
        things[0] if len(things) == 1 else f"{', '.join(things[:-1])} {last} {things[-1]}" if things else ""
    )


def decimals_for(uncertainty: float) -> int:
    """How many decimals a number may show, given half the width of its interval.

    The rule of the Particle Data Group (Review of Particle Physics 2022, §5.3): two digits of the
    uncertainty where its three leading digits lie in 100–354, one in 355–949, and two after
    rounding up to 1000 beyond.

    >>> decimals_for(1.8), decimals_for(0.04), decimals_for(7.6), decimals_for(41)
    (1, 2, 0, 0)
    """
    if not math.isfinite(uncertainty) or uncertainty <= 0:
        return 0
    power = math.floor(math.log10(uncertainty))
    leading = round(uncertainty / 10.0 ** (power - 2))
    if leading >= 950:
        return _within(-power)
    return _within(1 - power if leading < 355 else -power)


def _within(decimals: int) -> int:
    return min(max(decimals, 0), MOST_DECIMALS)


def decimals_alone(value: float, digits: int = 3) -> int:
    """Decimals for a number without an interval: three digits in all, or as many as asked.

    >>> decimals_alone(165.2), decimals_alone(88.0), decimals_alone(143.9, 4)
    (0, 1, 1)
    """
    if value == 0 or not math.isfinite(value):
        return 0
    return _within(digits - 1 - math.floor(math.log10(abs(value))))


def run_words(value: float, unit: str) -> str:
    r"""One run's number: four digits, enough to tell it from its siblings.

    >>> run_words(143.87, "fps"), run_words(3.104, "jobs/h")
    ('143.9\xa0fps', '3.104\xa0jobs/h')
    """
    return with_unit(number(value, decimals_alone(value, 4)), unit)


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """A number and its interval in one unit, ready to be said; `low` and `high` None without repeats.

    `alone` is how many digits the number shows where it has no interval; `note` stands before an
    interval that is not of the usual level ("90 %").
    """

    value: float
    low: float | None
    high: float | None
    alone: int = 3
    note: str = ""

    @property
    def decimals(self) -> int:
        """Decimals that the interval allows, one more where an end would be rounded onto zero."""
        if self.low is None or self.high is None:
            return min(decimals_alone(self.value, self.alone), 3 if self.alone > 2 else 1)
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
        return number(self.value, self.decimals if decimals is None else decimals, signed=signed)

    def range(self, *, signed: bool = False, decimals: int | None = None) -> str:
        """The interval in words, or "" where there is none.

        >>> Span(value=10.68, low=8.91, high=12.47).range()
        '8.9 to 12.5'
        """
        if self.low is None or self.high is None:
            return ""
        places = self.decimals if decimals is None else decimals
        low, high = (number(end, places, signed=signed) for end in (self.low, self.high))
        return f"{low} to {high}"

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
    """
    return Span(
        value=percent(ratio),
        low=None if low is None else percent(low),
        high=None if high is None else percent(high),
        alone=2,
        note=note,
    )


def span_of(estimate: Estimate) -> Span:
    """An estimate as a span, in its own unit."""
    return Span(value=estimate.value, low=estimate.low, high=estimate.high)


def estimate_words(estimate: Estimate) -> str:
    r"""An estimate with unit and interval; alone where it has none.

    >>> estimate_words(Estimate(value=88.02, unit="fps", low=86.9, high=89.1, level=.95, n=5, method="t"))
    '88.0\xa0fps (86.9 to 89.1)'
    """
    return span_of(estimate).words(estimate.unit)


def margin_words(margin: float) -> str:
    r"""The smallest difference that matters, as the posts are named.

    >>> margin_words(0.03), margin_words(0.025)
    ('±3\xa0%', '±2.5\xa0%')
    """
    return with_unit(f"±{100 * margin:.4g}", "%")


def level_words(level: float) -> str:
    r"""A confidence level.

    >>> level_words(0.95)
    '95\xa0%'
    """
    return with_unit(f"{100 * level:.4g}", "%")
