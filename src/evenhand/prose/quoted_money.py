"""Prices and what a difference is worth, as figures that prose may quote."""

from __future__ import annotations

from collections.abc import Iterator

from evenhand.prose.material import Material
from evenhand.prose.quotable import Quotable, Sort
from evenhand.publish.dates import day_words
from evenhand.publish.money_words import amount, band_ends, bare_amount
from evenhand.records.prices import Currency, Price
from evenhand.verdicts.verdict import Verdict


def money(material: Material) -> Iterator[Quotable]:
    """The price of each setup, with its day, and for each audience the price at which a pair is level."""
    if material.currency is None:
        return
    for setup, price in material.prices.items():
        yield _price(setup, price, material)
    for verdict in material.verdicts:
        yield from _worth(verdict, material.currency, material)


def _price(setup: str, price: Price, material: Material) -> Quotable:
    said = amount(price.minor, price.currency)
    return Quotable(
        address=f"price of {setup}", sort=Sort.PRICE, value=price.minor / 10**price.currency.decimals,
        unit=price.currency.symbol, words=said, ranged=f"{said} on {day_words(price.on)}",
        definition="what the complete build costs", setups=(setup,), day=price.on,
        source=", ".join(filter(None, (material.names.setup(setup), day_words(price.on), price.note))),
    )  # fmt: skip


def _worth(verdict: Verdict, currency: Currency, material: Material) -> Iterator[Quotable]:
    even, prices = verdict.break_even, verdict.prices
    if even is None or prices is None:
        return
    band = ""
    if (ends := band_ends(even)) is not None:
        band = f" ({bare_amount(ends[0], currency)} to {bare_amount(ends[1], currency)})"
    said, whole = amount(even.at, currency), 10**currency.decimals
    days = dict.fromkeys(day_words(material.prices[s].on) for s in (verdict.b,) if s in material.prices)
    yield Quotable(
        address=f"break-even of {verdict.a} over {verdict.b} for {verdict.audience}", sort=Sort.BREAK_EVEN,
        value=even.at / whole, unit=currency.symbol, words=said, ranged=said + band,
        low=None if even.low is None else even.low / whole,
        high=None if even.high is None else even.high / whole, level=None if even.low is None else 0.95,
        definition="the price of the first at which both give the same for the money",
        source=f"{material.names.setup(verdict.b)} at {amount(prices[1], currency)}, {', '.join(days)}",
        setups=(verdict.a, verdict.b), audience=verdict.audience,
        day=material.prices[verdict.b].on if verdict.b in material.prices else None,
    )  # fmt: skip
