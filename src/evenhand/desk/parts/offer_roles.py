"""What the columns of a table of offers may be, and what they seem to be."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from evenhand.desk.parts.currencies import known_currencies
from evenhand.folders.cells import is_amount, is_day, is_yes_or_no
from evenhand.folders.sheet_roles import Proposal, Role, plain_words, proposed
from evenhand.folders.sheets import Sheet
from evenhand.records.builds import Part
from evenhand.records.offers import Seller
from evenhand.records.prices import Currency
from evenhand.store import shelves
from evenhand.store.workbench import Workbench

SELLERS: Mapping[str, Seller] = {
    "shop": Seller.SHOP, "store": Seller.SHOP, "retailer": Seller.SHOP, "new": Seller.SHOP,
    "marketplace": Seller.MARKET, "market": Seller.MARKET,
    "used": Seller.USED, "second hand": Seller.USED, "refurbished": Seller.USED,
}  # fmt: skip
"""Words that a table may have for kinds of sellers."""

NAMES: Mapping[str, str] = {
    "part": "The part",
    "item": "The item’s price",
    "shipping": "Shipping",
    "tax": "Tax on top",
    "coupon": "Coupon",
    "currency": "Currency",
    "seller": "Kind of seller",
    "stock": "In stock, yes or no",
    "day": "The day",
    "note": "Note",
}
"""What a column may be, and how that is called."""

WORDS: Mapping[str, tuple[str, ...]] = {
    "part": ("part", "part name", "product", "article", "name"),
    "item": ("item", "item price", "price", "unit price", "amount"),
    "shipping": ("shipping", "delivery", "postage"),
    "tax": ("tax", "duty", "vat"),
    "coupon": ("coupon", "discount", "voucher"),
    "currency": ("currency", "unit"),
    "seller": ("seller", "kind of seller", "condition"),
    "stock": ("stock", "in stock", "available", "availability"),
    "day": ("day", "date", "seen", "seen on", "on"),
    "note": ("note", "notes", "remark", "comment", "where"),
}


def roles(parts: Sequence[Part], currencies: Sequence[Currency]) -> tuple[Role, ...]:
    """What a column of offers may be; parts and currencies are known by their names."""
    named = {plain_words(name) for part in parts for name in (part.key, part.name)}
    signs = {each.symbol.casefold() for each in currencies}
    shapes = {
        **dict.fromkeys(("item", "shipping", "tax", "coupon"), is_amount),
        "stock": is_yes_or_no,
        "day": is_day,
    }
    known = {
        "part": lambda cell: plain_words(cell) in named,
        "currency": lambda cell: cell.strip().casefold() in signs,
        "seller": lambda cell: plain_words(cell) in SELLERS,
    }
    alone = ("part", "day", "item", "currency", "seller")
    return tuple(
        Role(
            key=key, name=name, words=WORDS[key], shape=shapes.get(key),
            alone=(known | shapes)[key] if key in alone else None,
        )
        for key, name in NAMES.items()
    )  # fmt: skip


def columns_proposed(wb: Workbench, sheet: Sheet, currency: Currency | None) -> tuple[Proposal, ...]:
    """What each column of a table seems to be."""
    return proposed(sheet, roles(tuple(shelves.every(wb, Part)), known_currencies(wb, currency)))
