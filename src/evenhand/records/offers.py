"""What a part was offered for on a day: the item, what comes on top, what comes off, and by whom."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from evenhand.records.prices import Currency


class Seller(StrEnum):
    """What kind of seller an offer is by: their warranties and risks are unlike."""

    SHOP = "shop"
    MARKET = "marketplace"
    USED = "used"


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """An offer of a part on a day, all amounts in whole minor units of one currency.

    `id` is 0 until it is on record.
    """

    part: str
    item_minor: int
    currency: Currency
    on: date
    shipping_minor: int = 0
    tax_minor: int = 0
    coupon_minor: int = 0
    seller: Seller = Seller.SHOP
    in_stock: bool = True
    note: str = ""
    id: int = 0

    @property
    def total_minor(self) -> int:
        """What is paid in the end: item, shipping and tax, less the coupon.

        >>> crown = Currency(symbol="cr")
        >>> Offer(part="osk-9", item_minor=39900, shipping_minor=490, coupon_minor=2000, currency=crown,
        ...       on=date(2031, 5, 4)).total_minor
        38390
        """
        return self.item_minor + self.shipping_minor + self.tax_minor - self.coupon_minor
