"""The tables of a study file on what parts were offered for, and exchange rates."""

from __future__ import annotations

from typing import Annotated

from pydantic import BeforeValidator, Field
from pydantic_core import PydanticCustomError

from evenhand.folders.table import Key, Table, Words
from evenhand.folders.worth_tables import Amount, CurrencyTable, Day
from evenhand.records.offers import Seller


def _rate(given: object) -> object:
    """A rate as text, so that every digit stays; a whole number may stand without quotes."""
    if isinstance(given, float):
        said = {
            "found": f"{given:g} is a number with decimals",
            "todo": f'write it in quotes, as in "{given:g}"',
        }
        raise PydanticCustomError("amount", "{found}", said)
    return str(given) if isinstance(given, int) and not isinstance(given, bool) else given


class OfferTable(Table):
    """[[offers]]: what a part was offered for on a day."""

    part: Key
    item: Amount
    on: Day
    shipping: Amount | None = None
    tax: Amount | None = None
    coupon: Amount | None = None
    currency: CurrencyTable | None = None
    seller: Annotated[Seller, Field(strict=False)] = Seller.SHOP
    in_stock: bool = True
    note: str = ""


class RateTable(Table):
    """[[rates]]: what one unit of a currency is in another on a day."""

    of: CurrencyTable
    into: CurrencyTable
    rate: Annotated[Words, BeforeValidator(_rate)]
    on: Day
    note: str = ""
