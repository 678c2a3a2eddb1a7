"""What a machine costs over the years, in words: hours, tariffs, and amounts with their range."""

from __future__ import annotations

import math
from collections.abc import Sequence
from decimal import Decimal

from evenhand.money.owning import Keeping, Range
from evenhand.publish.money_words import amount, bare_amount
from evenhand.publish.numbers import listed, number, with_unit
from evenhand.records.amounts import plain_fine
from evenhand.records.prices import Currency


def hours_words(span: tuple[float, float]) -> str:
    r"""Hours a year.

    >>> hours_words((900, 1500)), hours_words((1000, 1000))
    ('900 to 1,500\xa0h', '1,000\xa0h')
    """
    low, high = (number(end, 0) if end >= 10 else f"{end:.3g}" for end in span)
    return with_unit(low if low == high else f"{low} to {high}", "h")


def drawn_words(named: Sequence[tuple[str, float]], hours: tuple[float, float] | None) -> str:
    r"""What each machine draws at the wall, and what that comes to in a year; "" where nobody read it.

    >>> drawn_words([("Plover", 273.07)], (900, 1500))
    'At the wall, in these tests: Plover 273\xa0W, 246 to 410\xa0kWh a year.'
    >>> drawn_words([("Plover", 273.07)], None), drawn_words([], (900, 1500))
    ('At the wall, in these tests: Plover 273\xa0W.', '')
    """
    if not named:
        return ""
    told = [f"{name} {with_unit(number(watts, 0), 'W')}{_yearly(watts, hours)}" for name, watts in named]
    return f"At the wall, in these tests: {'; '.join(told)}."


def _yearly(watts: float, hours: tuple[float, float] | None) -> str:
    if hours is None:
        return ""
    low, high = (number(watts / 1000 * end, 0) for end in hours)
    return f", {with_unit(low if low == high else f'{low} to {high}', 'kWh')} a year"


def tariff_words(span: tuple[str, str], currency: Currency) -> str:
    r"""What a kilowatt-hour costs, in the currency, with every digit that was written.

    >>> tariff_words(("31.5", "34"), Currency(symbol="cr", decimals=2))
    '0.315 to 0.34\xa0cr'
    """
    low, high = (_decimal(plain_fine(end, currency)) for end in span)
    return with_unit(low if low == high else f"{low} to {high}", currency.symbol)


def _decimal(written: str) -> str:
    places = -int(Decimal(written).as_tuple().exponent)
    return number(float(written), max(places, 0))


def years_words(years: float) -> str:
    r"""How long something is kept.

    >>> years_words(3.0), years_words(1.0), years_words(2.5)
    ('3\xa0years', '1\xa0year', '2.5\xa0years')
    """
    said = f"{years:.3g}"
    return with_unit(said, "year" if said == "1" else "years")


def range_words(found: Range, currency: Currency) -> str:
    r"""An amount in the middle of what is assumed, and from where to where it reaches.

    >>> range_words(Range(low=915, mid=1171, high=1405), Currency(symbol="dl", decimals=0))
    '1,171\xa0dl (915 to 1,405)'
    """
    mid = amount(found.mid, currency)
    if found.low == found.high:
        return mid
    return f"{mid} ({bare_amount(found.low, currency)} to {bare_amount(found.high, currency)})"


def line_words(kept: Keeping, currency: Currency, *, counted: bool) -> str:
    r"""What the line of a bar reaches over: hours, tariff and what is fetched, in a short sentence.

    >>> kept = Keeping(years=3, repairs_minor=0, resale=(0.6, 0.8), fall=(0.25, 0.45), hours=(900, 1500),
    ...                tariff=(0.28, 0.36))
    >>> line_words(kept, Currency(symbol="dl", decimals=0), counted=True)
    'Line: 900 to 1,500\xa0h a year at 0.28 to 0.36\xa0dl, 16 to 38\xa0% fetched in the end.'
    """
    (least, most), (slow, fast) = kept.resale, kept.fall
    ends = least * math.exp(-fast * kept.years), most * math.exp(-slow * kept.years)
    low, high = (number(100 * end, 0) for end in ends)
    fetched = with_unit(low if low == high else f"{low} to {high}", "%")
    if not counted or kept.hours is None or kept.tariff is None:
        return f"Line: {fetched} fetched in the end."
    paid = tariff_words((f"{kept.tariff[0]:.10g}", f"{kept.tariff[1]:.10g}"), currency)
    return f"Line: {hours_words(kept.hours)} a year at {paid}, {fetched} fetched in the end."


def wholes_words(wholes: Sequence[tuple[str, Range]], years: float, currency: Currency) -> str:
    r"""What each costs to own, in a sentence.

    >>> drell = Currency(symbol="dl", decimals=0)
    >>> wholes_words([("Wren", Range(low=700, mid=800, high=900))], 3, drell)
    'Over 3\xa0years: Wren 800\xa0dl (700 to 900).'
    """
    told = ", ".join(f"{name} {range_words(found, currency)}" for name, found in wholes)
    return f"Over {years_words(years)}: {told}."


def apart_words(a: str, b: str, found: Range, currency: Currency) -> str:
    r"""How much more one costs to own than another; no side where that hangs on what is assumed.

    >>> drell = Currency(symbol="dl", decimals=0)
    >>> apart_words("Dunlin", "Plover", Range(low=-72, mid=-47, high=-26), drell)
    'Dunlin costs 47\xa0dl less to own than Plover (26 to 72).'
    >>> apart_words("Elm", "Ash", Range(low=-9, mid=4, high=12), drell)
    'Which of Elm and Ash costs less to own hangs on the assumptions: Elm by up to 9\xa0dl,
     Ash by up to 12\xa0dl.'
    >>> apart_words("Elm", "Ash", Range(low=0, mid=4, high=8), drell)
    'Elm costs up to 8\xa0dl more to own than Ash, or the same.'
    """
    if found.low == found.high == 0:
        return f"{a} and {b} cost the same to own."
    if 0 in (found.low, found.high):
        most, way = amount(found.high - found.low, currency), "less" if found.low < 0 else "more"
        return f"{a} costs up to {most} {way} to own than {b}, or the same."
    if found.low < 0 < found.high:
        ends = amount(-found.low, currency), amount(found.high, currency)
        return (
            f"Which of {a} and {b} costs less to own hangs on the assumptions: {a} by up to {ends[0]}, "
            f"{b} by up to {ends[1]}."
        )
    less = found.high < 0
    near, far = sorted((abs(found.low), abs(found.high)))
    said = amount(abs(found.mid), currency)
    span = "" if near == far else f" ({bare_amount(near, currency)} to {bare_amount(far, currency)})"
    return f"{a} costs {said} {'less' if less else 'more'} to own than {b}{span}."


LACKING = {
    "hours": "how many hours a year this audience works at such a load",
    "tariff": "what a kilowatt-hour costs this audience",
    "watts": "watts at the wall of every machine in a test that this audience weighs",
}


def uncounted_words(lacking: Sequence[str]) -> str:
    """That electricity is not in it, and what is missing for that; "" where it is.

    >>> uncounted_words(["tariff"])
    'Electricity is not in it: what a kilowatt-hour costs this audience is not on record.'
    """
    if not lacking:
        return ""
    told = listed(tuple(LACKING[each] for each in lacking))
    verb = "is" if len(lacking) == 1 and lacking != ["watts"] else "are"
    return f"Electricity is not in it: {told} {verb} not on record."
