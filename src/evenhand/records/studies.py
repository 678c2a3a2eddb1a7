"""A study: the question, for whom, and what was fixed before any data."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from evenhand.records.audiences import Audience
from evenhand.records.money_terms import MoneyTerms
from evenhand.records.prices import Currency


@dataclass(frozen=True, slots=True, kw_only=True)
class Study:
    """One comparison.

    `margin` is the smallest difference that matters, as a share of the ratio (0.03 is 3 %).
    `boot_allowance` is the error that runs of one boot may share. `ambient_c` is the room
    temperature within which runs belong together. `weights` weighs tests in the index (1 where absent).
    `audiences` are those that a verdict is for; their money and all prices are in `currency`. `money` is
    what is assumed of owning and changing a machine, None where nobody has looked at it.
    """

    key: str
    title: str
    setups: tuple[str, ...]
    tests: tuple[str, ...]
    question: str = ""
    audience: str = ""
    budget: str = ""
    margin: float = 0.03
    boot_allowance: float = 0.01
    ambient_c: tuple[float, float] | None = None
    weights: Mapping[str, float] = field(default_factory=dict)
    audiences: tuple[Audience, ...] = ()
    currency: Currency | None = None
    money: MoneyTerms | None = None
