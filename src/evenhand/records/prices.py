"""What a build costs, as somebody paid or read it on a day."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True, kw_only=True)
class BuildPrice:
    """The price of a whole build on a day, in minor units (99800 is 998.00) of a currency.

    `digits` is how many decimals the currency's major unit has; `note` says where the price stands.
    """

    build: str
    minor: int
    currency: str
    on: date
    digits: int = 2
    note: str = ""
