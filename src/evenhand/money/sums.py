"""What a build costs by the prices of its parts, day by day.

A part's price stands until it is looked up again, at most 14 days, and no longer where somebody looked and it
was out of stock. A sum is of a day on which one of the parts was looked up, and every part has a price.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from evenhand.money.looked import Looked, seen_on
from evenhand.records.offers import Offer, Seller
from evenhand.records.rates import Rate

NEW = frozenset({Seller.SHOP, Seller.MARKET})


@dataclass(frozen=True, slots=True, kw_only=True)
class SumOfParts:
    """What all parts of a build cost on a day; the `oldest` of their prices is of that day.

    `rates` are those that some of these prices were changed by, each once.
    """

    minor: int
    oldest: date
    rates: tuple[Rate, ...] = ()


def counting_sellers(offers: Iterable[Offer]) -> frozenset[Seller]:
    """Whose offers make a part's price: those of new ones, and of used ones where there are no others.

    New and used are never in one line.
    """
    own = frozenset(offer.seller for offer in offers)
    return own & NEW or own


def sums(parts: Sequence[Looked]) -> Mapping[date, SumOfParts]:
    """The sum of these parts, each as often as it is among them, by day.

    >>> board, card = (Looked(days={date(2031, 5, day): minor}) for day, minor in ((1, 90), (4, 300)))
    >>> sums((board, card)) == {date(2031, 5, 4): SumOfParts(minor=390, oldest=date(2031, 5, 1))}
    True
    """
    found = {}
    for day in sorted({day for part in parts for day in part.days}):
        seen = [seen_on(part, day) for part in parts]
        days = [each for each in seen if each is not None]
        if len(days) == len(parts):
            minor = sum(part.days[each] for part, each in zip(parts, days, strict=True))
            used = (part.rates.get(each) for part, each in zip(parts, days, strict=True))
            rates = tuple(dict.fromkeys(rate for rate in used if rate is not None))
            found[day] = SumOfParts(minor=minor, oldest=min(days), rates=rates)
    return found
