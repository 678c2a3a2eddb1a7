"""What builds cost: dated prices in whole minor units of a currency, never fractions of one."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True, kw_only=True)
class Currency:
    """A currency as the reviewer writes it. `decimals` says how many digits its minor unit has, 0 to 4."""

    symbol: str
    decimals: int = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Price:
    """What a complete build costs on a day: `minor` units of its currency, 1 or more.

    `note` says where it is from. `id` is 0 until it is on record.
    """

    build: str
    minor: int
    currency: Currency
    on: date
    note: str = ""
    id: int = 0
