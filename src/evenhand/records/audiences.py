"""Audiences: what somebody does with a machine, as weights that were written down before looking."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum


class Property(StrEnum):
    """What an audience may care about in a machine."""

    SPEED = "speed"
    LOWS = "lows"
    POWER = "power"
    NOISE = "noise"
    PRICE = "price"

    @property
    def meaning(self) -> str:
        """What is compared, in a few words."""
        return _MEANINGS[self]


_MEANINGS: Mapping[Property, str] = {
    Property.SPEED: "the headline number of each test",
    Property.LOWS: "the 1% low of each game",
    Property.POWER: "watts at the wall while a test runs; fewer are better",
    Property.NOISE: "loudness at the seat: ten decibels more are twice as loud; less is better",
    Property.PRICE: "what is paid, with the audience's fixed costs; less is better",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Audience:
    """Who buys, and what counts for them.

    `groups` weighs groups of tests ("games", "work"), each shared out in its group by the study's weights;
    `tests` weighs single tests and goes before their group. `properties` weighs what is looked at in a test.
    All are read as shares of their sum. `fixed_minor` is what this audience must buy with any of the builds
    (screen, desk, system), in minor units of the study's currency. `hours_a_year` are spent at a load and
    `tariff_minor` is paid for a kilowatt-hour, a decimal number of minor units as text: each from, to; None
    where nobody said it.
    """

    key: str
    name: str
    told: str = ""
    groups: Mapping[str, float] = field(default_factory=dict)
    tests: Mapping[str, float] = field(default_factory=dict)
    properties: Mapping[Property, float] = field(default_factory=lambda: {Property.SPEED: 1.0})
    fixed_minor: int = 0
    hours_a_year: tuple[float, float] | None = None
    tariff_minor: tuple[str, str] | None = None
