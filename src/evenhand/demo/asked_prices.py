"""What the parts of the Saltmarsh machines were offered for in the 90 days up to the snapshot: all invented.

Plover costs 1,022 from the 21st day on, 1,044 from the 38th, and 998 again from the 70th, all by its graphics
card: at its break-even of 1,026 (1,019 to 1,033) it is the better value, then level with Dunlin, then behind,
then the better value again. Dunlin stays at 1,012. Wren's card is dearer for a month and out of stock for a
week. On the last day the parts of each machine cost what its counter price is. The least offer of a day is
the price that is planted; what others ask, and on which days somebody looked, is drawn from a seed.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from datetime import date, timedelta

import numpy as np

from evenhand.demo.truth import PRICED_ON
from evenhand.records.offers import Offer, Seller
from evenhand.records.prices import Currency

DAYS = 90
FIRST = PRICED_ON - timedelta(days=DAYS - 1)
SEED = 38
LEVELS: Mapping[str, Mapping[int, int]] = {
    "harrowfen-lantern-40": {1: 0, 21: 24, 38: 46, 70: 0},
    "harrowfen-lantern-20": {1: 0, 30: 12, 61: 0},
}
"""What a part costs more from a day on, the first day being 1."""
OUT: Mapping[str, range] = {"harrowfen-lantern-20": range(53, 60)}
"""Days on which a part was in stock nowhere."""

LAST: Mapping[str, int] = {
    "brellow-ash-4": 128, "nimtal-quay-b": 92, "harrowfen-lantern-20": 240, "osk-450": 52,
    "brellow-ash-6": 192, "nimtal-quay-b2": 108, "harrowfen-lantern-40": 390, "osk-650": 78,
    "brellow-elm-8": 262, "nimtal-mole-x": 132, "harrowfen-lantern-36": 310,
    "nimtal-pair-32": 84, "harrowfen-slate-1": 62, "osk-crate": 58, "brellow-breeze": 26,
}  # fmt: skip
"""What each part costs on the day of the snapshot."""
ON_SHELF: Mapping[str, int] = {"harrowfen-lantern-60": 430, "nimtal-quay-c": 240}
"""The same of parts that no machine has."""

NOTES = {
    Seller.SHOP: ("the counter on the quay", "by post from across the bay"),
    Seller.MARKET: ("a stall of the market",),
    Seller.USED: ("a notice on the workshop's board",),
}


def planted_minor(part: str, day: int) -> int:
    """The least that a part costs on a day, 1 to 90."""
    steps = LEVELS.get(part, {1: 0})
    return {**LAST, **ON_SHELF}[part] + steps[max(begins for begins in steps if begins <= day)]


def day_of(number: int) -> date:
    """The date of a day, 1 to 90."""
    return FIRST + timedelta(days=number - 1)


def asked_prices(currency: Currency, seed: int = SEED) -> tuple[Offer, ...]:
    """All offers, the earliest day first."""
    built = _offers(LAST, currency, np.random.default_rng(seed))
    further = _offers(ON_SHELF, currency, np.random.default_rng(seed + 1))
    return tuple(sorted((*built, *further), key=lambda offer: offer.on))


def _offers(parts: Iterable[str], currency: Currency, rng: np.random.Generator) -> Iterator[Offer]:
    return (offer for day in _looks(rng) for offer in _on(day, parts, currency, rng))


TURNS = frozenset(begins for steps in LEVELS.values() for begins in steps) | {DAYS}
"""Days on which somebody looked at everything."""


def _looks(rng: np.random.Generator) -> Iterator[int]:
    """The days on which somebody looked: those on which something turns, the last, and others at random."""
    day = 1
    while day <= DAYS:
        yield day
        further = day + int(rng.integers(2, 6))
        day = min(further, min((turn for turn in TURNS if turn > day), default=DAYS + 1))


def _on(day: int, parts: Iterable[str], currency: Currency, rng: np.random.Generator) -> Iterator[Offer]:
    """What was offered on a day: of each part the cheapest, of some a dearer one, now and then a used one."""
    for part in parts:
        minor, chance = planted_minor(part, day), rng.random(4)
        if day not in TURNS and part not in LEVELS and chance[0] > 0.6:
            continue
        post = 6 if chance[1] < 0.3 else 0
        stock = day not in OUT.get(part, ())
        yield _offer(part, minor - post, day, currency, Seller.SHOP, post=post, stock=stock)
        if chance[2] < 0.25 and stock:
            dearer = minor + 3 + int(rng.integers(0, max(minor // 12, 2)))
            yield _offer(part, dearer, day, currency, Seller.MARKET)
        if chance[3] < 0.04:
            yield _offer(part, round(0.62 * minor), day, currency, Seller.USED)


def _offer(
    part: str, item: int, day: int, currency: Currency, seller: Seller, *, post: int = 0, stock: bool = True
) -> Offer:
    return Offer(
        part=part, item_minor=item, shipping_minor=post, currency=currency, on=day_of(day), seller=seller,
        in_stock=stock, note=NOTES[seller][1 if post else 0],
    )  # fmt: skip
