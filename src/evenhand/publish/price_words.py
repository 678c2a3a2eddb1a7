"""What is usual of a price and how it stands among those of the days before it, in words."""

from __future__ import annotations

from evenhand.money.price_days import FEWEST_DAYS, HISTORY_DAYS, USUAL_DAYS, Stand, Standing, Usual
from evenhand.publish.money_words import amount, bare_amount
from evenhand.publish.numbers import counted, with_unit
from evenhand.records.prices import Currency


def usual_words(usual: Usual | None, currency: Currency) -> str:
    r"""The median of the last days with how many they were, as a sentence.

    >>> drell = Currency(symbol="dl", decimals=0)
    >>> usual_words(Usual(minor=1004, days=22), drell)
    'Usual is 1,004\xa0dl: the median of 22 days in stock within 30 days.'
    """
    if usual is None:
        return (
            f"On none of {with_unit(str(USUAL_DAYS), 'days')} was there a price in stock: nothing is usual."
        )
    days = counted(usual.days, "day") if usual.days > 1 else "one day"
    return (
        f"Usual is {amount(usual.minor, currency)}: the median of {days} in stock within {USUAL_DAYS} days."
    )


def standing_words(standing: Standing, currency: Currency) -> str:
    r"""Whether a price is good against its own history, as a sentence.

    >>> drell = Currency(symbol="dl", decimals=0)
    >>> standing_words(Standing(stand=Stand.LOW, days=40, lower=4, least=990, most=1044), drell)
    'That is a low price: it was lower on 4 of 40 days before, 990 to 1,044\xa0dl.'
    """
    if standing.stand is Stand.UNKNOWN or standing.least is None or standing.most is None:
        days = "no day" if not standing.days else counted(standing.days, "day")
        return (
            f"Whether that is a good price is not known: of the {HISTORY_DAYS} days before, {days} "
            f"{'has' if standing.days <= 1 else 'have'} one, and {FEWEST_DAYS} are needed."
        )
    between = amount(standing.most, currency)
    if standing.least != standing.most:
        between = f"{bare_amount(standing.least, currency)} to {between}"
    lower = "none" if not standing.lower else str(standing.lower)
    return (
        f"That is a {standing.stand.value} price: it was lower on {lower} of {standing.days} days before, "
        f"{between}."
    )
