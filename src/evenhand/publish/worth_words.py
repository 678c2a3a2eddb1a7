"""What a reviewer says of worth, in words: shares of weights, prices with their days, readings of sound."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from datetime import date

from evenhand.publish.dates import day_words
from evenhand.publish.money_words import amount
from evenhand.publish.numbers import listed, number, with_unit
from evenhand.records.prices import Currency, Price
from evenhand.records.sound import SoundReading

OLD_DAYS = 30  # beyond this somebody should look at the price again
CAREFUL_METER = (
    "Use the same meter at the same place for every build, and read the room without the machine, too, just "
    "before or after: what is compared is the machine alone."
)
BEFORE_LOOKING = (
    "Write weights down before you look at results: weights that were chosen after them can make any "
    "build the one to buy."
)


def share_words(weights: Mapping[str, float]) -> dict[str, str]:
    r"""What share of the whole each weight says; "" where none is above 0.

    >>> share_words({"games": 80, "work": 20}), share_words({"a": 1, "b": 2})
    ({'games': '80\xa0%', 'work': '20\xa0%'}, {'a': '33.3\xa0%', 'b': '66.7\xa0%'})
    """
    total = sum(weight for weight in weights.values() if weight > 0)
    if not total > 0:
        return dict.fromkeys(weights, "")
    return {
        key: with_unit(number(100 * max(weight, 0) / total, 1).removesuffix(".0"), "%")
        for key, weight in weights.items()
    }


def rescaled_words(weights: Mapping[str, float]) -> str:
    """That weights were rescaled, and from what; "" where they add up to 1 or 100, or are all alike.

    >>> rescaled_words({"games": 3, "work": 2}), rescaled_words({"games": 80, "work": 20})
    ('rescaled from 3 and 2, which add up to 5', '')
    """
    given = [weight for weight in weights.values() if weight > 0]
    total = math.fsum(given)
    alike = len(set(given)) < 2
    if alike or any(math.isclose(total, whole, rel_tol=1e-9) for whole in WHOLES):
        return ""
    return f"rescaled from {listed(tuple(f'{w:.6g}' for w in given))}, which add up to {total:.6g}"


WHOLES = (1.0, 100.0)


def currency_words(currency: Currency | None) -> str:
    """The currency of a study as a sentence."""
    if currency is None:
        return "No currency is said yet: amounts need one."
    decimals = {0: "whole amounts only", 1: "one decimal"}.get(
        currency.decimals, f"{currency.decimals} decimals"
    )
    return f"Amounts are in {currency.symbol}, {decimals}."


SEEN_ON = "give the day on which it was seen"


def to_come_words(day: date) -> str:
    """That nobody can have seen a price or an offer on this day."""
    return f"{day_words(day)} is still to come: nobody can have seen it"


TO_COME = "a day still to come"


def asked_words(on: date, *, to_come: bool) -> str:
    """The day on which a price was asked; one that nobody can have asked on yet says so.

    >>> asked_words(date(2031, 5, 4), to_come=True)
    '4 May 2031, a day still to come'
    """
    return f"{day_words(on)}, {TO_COME}" if to_come else day_words(on)


def not_exchanged(currency: Currency) -> str:
    """Why a price in another currency does not count."""
    return (
        f"amounts are compared in {currency.symbol} alone, as no rate of its day or before it is on record."
    )


def price_words(price: Price, *, to_come: bool = False) -> str:
    r"""An amount and the day on which it was asked.

    >>> drell = Currency(symbol="dl", decimals=0)
    >>> price_words(Price(build="b", minor=742, currency=drell, on=date(2031, 5, 4)))
    '742\xa0dl, asked on 4 May 2031'
    """
    return f"{amount(price.minor, price.currency)}, asked on {asked_words(price.on, to_come=to_come)}"


def no_price_words(others: Sequence[Price], currency: Currency | None, *, early: Sequence[Price] = ()) -> str:
    """Why a build has no price that counts: none is on record, or only in another currency, or too early.

    `early` are those of a day that is still to come.
    """
    if others and currency is not None:
        held = amount(others[0].minor, others[0].currency)
        return f"Its price of {held} is in another currency: {not_exchanged(currency)}"
    if early:
        told = price_words(early[0], to_come=True)
        return f"{told}, counts from then on: nothing can be said of its worth yet."
    return "No price is on record: nothing can be said of what it is worth."


def old_price_words(price: Price | None, today: date) -> str:
    """That the newest price should be asked again; "" where it is new enough."""
    if price is None or (today - price.on).days <= OLD_DAYS:
        return ""
    return (
        f"The newest price is {number((today - price.on).days)} days old: ask again before you spend by it."
    )


def later_price_words(price: Price | None, on: date) -> str:
    """That a price of a later day goes before one that is given for this day; "" where none does."""
    if price is None or price.on <= on:
        return ""
    return f"{price_words(price)}, is of a later day and goes on counting."


def reading_words(reading: SoundReading, test: str) -> str:
    """One reading: its level, what ran, the room, and how it was read; `test` is the test's name."""
    told = [
        f"{_level(reading.level_db, reading.weighting)} {f'in {test}' if test else 'at idle'}",
        "room not read"
        if reading.background_db is None
        else f"room {_level(reading.background_db, reading.weighting)}",
    ]
    if reading.distance_m is not None:
        told.append(with_unit(f"{reading.distance_m:g}", "m"))
    told += [f"{part} {_degrees(value)}" for part, value in reading.temperatures_c.items()]
    if reading.room_c is not None:
        told.append(f"air {_degrees(reading.room_c)}")
    return ", ".join(told)


def _level(db: float, weighting: str) -> str:
    return with_unit(number(db, 1), f"dB({weighting})")


def _degrees(value: float) -> str:
    return with_unit(number(value, 1).removesuffix(".0"), "°C")


def near_room_words(over_db: float, least_db: float) -> str:
    """What a level close to the room's is good for."""
    over, least = with_unit(number(over_db, 1), "dB"), with_unit(number(least_db, 0), "dB")
    return (
        f"Only {over} over the room: under {least} no level of the machine alone is told, only the most "
        "that it can be. Read closer, or in a quieter room."
    )


def other_distance_words(own_m: float, usual_m: float) -> str:
    """That a reading from another place than the others of its test keeps them from being compared."""
    own, usual = (with_unit(f"{each:g}", "m") for each in (own_m, usual_m))
    return (
        f"Read from {own}, the others from {usual}: distance alone makes a difference, so this one keeps "
        f"what was read there from being compared. Read it again from {usual}, or take it back."
    )


def other_filter_words(own: str, usual: str) -> str:
    """The same of a reading with another filter."""
    return (
        f"Read with the filter {own}, the others with {usual}: two numbers that do not compare, so this one "
        f"keeps what was read there from being compared. Read it again with {usual}, or take it back."
    )
