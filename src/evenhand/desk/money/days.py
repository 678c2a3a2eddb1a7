"""A pair at the prices of every day: who was better value then, on how many days, and when that turned."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from evenhand.desk.money.basis import MoneyGround
from evenhand.money.break_even import Value
from evenhand.money.price_days import PriceDays
from evenhand.money.replay import DayValue, Turn, replayed, shares, turns

OVER = 90


@dataclass(frozen=True, slots=True, kw_only=True)
class Replayed:
    """The days of a pair up to `until`, the last of `days`; `known` of them have a price of both."""

    a: str
    b: str
    until: date
    days: tuple[DayValue, ...]
    turns: tuple[Turn, ...]
    shares: Mapping[Value, float]

    @property
    def known(self) -> int:
        """How many days have a price of both."""
        return sum(day.value is not Value.UNKNOWN for day in self.days)

    def counted(self, value: Value) -> int:
        """On how many days it stood so."""
        return sum(day.value is value for day in self.days)


def replay(
    ground: MoneyGround, prices: Mapping[str, PriceDays], pair: tuple[str, str], *, today: date
) -> Replayed | None:
    """The last 90 days, up to today or to the last day that has a price, if that is later.

    The difference is the one measured; only prices move. None where nothing is said of the pair's value.
    """
    edge, (a, b) = ground.edges.get(pair), pair
    if edge is None:
        return None
    until = max((today, *(day for setup in pair for day in prices.get(setup, ()))))
    days = replayed(
        prices.get(a, {}), prices.get(b, {}), effect=edge.effect, half=edge.half, until=until, over=OVER,
        fixed_minor=ground.fixed_minor,
    )  # fmt: skip
    return Replayed(a=a, b=b, until=until, days=days, turns=tuple(turns(days)), shares=shares(days))
