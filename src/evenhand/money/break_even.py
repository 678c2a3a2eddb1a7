"""At which price one machine is worth as much as another."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum


class Value(StrEnum):
    """Which of two is the better buy at the prices given."""

    A = "a"
    B = "b"
    LEVEL = "level"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True, kw_only=True)
class BreakEven:
    """The price of a, in minor units and not rounded, at which a and b give the same for the money.

    `low` and `high` bound it as the effect's interval does; None where no interval is known.
    """

    at: float
    low: float | None
    high: float | None


def break_even(other_minor: float, *, effect: float, half: float | None, fixed_minor: int = 0) -> BreakEven:
    """The price of a against b at `other_minor`, where a is better by `effect` (a log, ± `half`).

    P_a = (P_b + F)·e^d − F, with a band at d ± h; F is what must be bought with either.

    >>> made = break_even(1012, effect=0.01413, half=0.0126)
    >>> round(made.at), round(made.low), round(made.high)
    (1026, 1014, 1039)
    """
    paid = other_minor + fixed_minor
    at = paid * math.exp(effect) - fixed_minor
    if half is None:
        return BreakEven(at=at, low=None, high=None)
    low, high = (paid * math.exp(effect + side * half) - fixed_minor for side in (-1.0, 1.0))
    return BreakEven(at=at, low=low, high=high)


def fixed_at_which_alike(index_a: float, minor_a: int, *, index_b: float, minor_b: int) -> float | None:
    """What must be bought besides for a and b to give the same for all the money; None where nothing does.

    index_a / (P_a + F) = index_b / (P_b + F).

    >>> round(fixed_at_which_alike(1.0, 742, index_b=1.3058, minor_b=998))
    95
    """
    if index_a == index_b:
        return None
    fixed = (index_b * minor_a - index_a * minor_b) / (index_a - index_b)
    return fixed if fixed > 0 else None


def better_value(price_minor: int, *, against: BreakEven) -> Value:
    """Whose money is better spent at a's price: a below the band, b above it, level within, ends included.

    >>> band = BreakEven(at=1026, low=1014, high=1039)
    >>> [better_value(price, against=band).value for price in (998, 1014, 1022, 1044)]
    ['a', 'level', 'level', 'b']
    """
    if against.low is None or against.high is None:
        return Value.UNKNOWN
    if price_minor < against.low:
        return Value.A
    return Value.B if price_minor > against.high else Value.LEVEL


def is_near(price_minor: float, *, against: BreakEven, margin: float) -> bool:
    """Whether all that a may be worth lies within the margin of its price: only then two are level by value.

    >>> band = BreakEven(at=1026, low=1014, high=1039)
    >>> [is_near(price, against=band, margin=0.03) for price in (1022, 1008)]
    [True, False]
    """
    if against.low is None or against.high is None:
        return False
    return price_minor * (1 - margin) < against.low and against.high < price_minor * (1 + margin)


def is_near_throughout(against: BreakEven, *, margin: float) -> bool:
    """Whether two are level by value at every price of a within the band, ends and all.

    >>> [is_near_throughout(BreakEven(at=1026, low=1014, high=end), margin=0.03) for end in (1039, 1045)]
    [True, False]
    """
    ends = (against.low, against.high)
    return all(end is not None and is_near(end, against=against, margin=margin) for end in ends)
