"""Who is better value at which prices, in words: within a band nobody is."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from evenhand.money.break_even import BreakEven
from evenhand.money.value import Lead, Stand
from evenhand.publish.money_words import amount, band_ends, bare_amount, even_words, inside
from evenhand.publish.names import Names
from evenhand.publish.numbers import capital, counted, listed, number, with_unit
from evenhand.records.prices import Currency

UNSAID = "nothing is said of value"


def stand_words(stand: Stand, a: str, b: str) -> str:
    """How two stand by value, in a few words.

    >>> stand_words(Stand.A, "Plover", "Dunlin"), stand_words(Stand.OPEN, "Plover", "Dunlin")
    ('Plover is better value', 'not told apart by value')
    """
    if stand in (Stand.A, Stand.B):
        return f"{a if stand is Stand.A else b} is better value"
    return UNSAID if stand is Stand.UNKNOWN else even_words(value_open=stand is Stand.OPEN)


def at_prices_words(stand: Stand, sides: Sequence[tuple[str, int]], currency: Currency) -> str:
    r"""How two stand at two prices, as a sentence.

    >>> drell = Currency(symbol="dl", decimals=0)
    >>> at_prices_words(Stand.LEVEL, [("Plover", 1022), ("Dunlin", 1012)], drell)
    'Plover at 1,022\xa0dl and Dunlin at 1,012\xa0dl: level by value.'
    """
    (a, one), (b, other) = sides
    at = f"{a} at {amount(one, currency)} and {b} at {amount(other, currency)}"
    return f"{at}: {stand_words(stand, a, b)}."


def by_owning_words(stand: Stand, a: str, b: str) -> str:
    """Whose money is better spent by what the two cost to own, as a sentence.

    >>> by_owning_words(Stand.A, "Plover", "Dunlin")
    'By what they cost to own, Plover is better value, whatever of the assumptions holds.'
    """
    if stand in (Stand.A, Stand.B):
        who = stand_words(stand, a, b)
        return f"By what they cost to own, {who}, whatever of the assumptions holds."
    if stand is Stand.LEVEL:
        return f"By what they cost to own, {a} and {b} are level by value, whatever of the assumptions holds."
    if stand is Stand.OPEN:
        return f"By what they cost to own, {a} and {b} are not told apart by value."
    return "Of value by what they cost to own nothing is said."


def keeps_words(rival: str, even: BreakEven, currency: Currency) -> str:
    r"""Up to which price the one stays better value than its nearest rival, as a sentence.

    >>> drell = Currency(symbol="dl", decimals=0)
    >>> keeps_words("Dunlin", BreakEven(at=1026.4, low=1013.5, high=1039.2), drell)
    'It keeps that below 1,014\xa0dl; from there to 1,039\xa0dl neither it nor Dunlin is,
     and above that Dunlin is.'
    """
    band = inside(even)
    if band is None:
        return f"It keeps that below about {amount(even.at, currency)}, beside {rival}."
    low, high = (amount(end, currency) for end in band)
    if band[1] <= 0:
        return ""
    return (
        f"It keeps that below {low}; from there to {high} neither it nor {rival} is, and above that "
        f"{rival} is."
    )


def turns_words(a: str, b: str, even: BreakEven, currency: Currency) -> str:
    r"""Of two that are not told apart: at which prices of the first each would be better value.

    >>> drell = Currency(symbol="dl", decimals=0)
    >>> turns_words("Plover", "Dunlin", BreakEven(at=1026.4, low=1013.5, high=1039.2), drell)
    'Plover would be better value below 1,014\xa0dl, Dunlin where Plover costs more than 1,039\xa0dl.'
    >>> turns_words("Plover", "Dunlin", BreakEven(at=12.0, low=-8.0, high=31.0), drell)
    'Dunlin would be better value where Plover costs more than 31\xa0dl.'
    """
    band = inside(even)
    if band is None or band[1] <= 0:
        return ""
    low, high = (amount(end, currency) for end in band)
    if band[0] <= 0:  # what must be bought with either is more than what a is better by
        return f"{b} would be better value where {a} costs more than {high}."
    return f"{a} would be better value below {low}, {b} where {a} costs more than {high}."


def lead_words(found: Sequence[Lead], names: Names, currency: Currency) -> str:
    """Who gives most for the money from which further cost on, by the middle of each interval."""
    first, *later = found
    said = f"{names.setup(first.setup)} gives most for the money alone"
    for each in later:
        said += f", {names.setup(each.setup)} from {amount(each.fixed_from, currency)} of further costs on"
    return said if later else f"{said} and with any further costs"


def band_digits(even: BreakEven, currency: Currency) -> str:
    r"""The price at which two are level, with its band.

    >>> band_digits(BreakEven(at=1026.4, low=1013.5, high=1039.2), Currency(symbol="dl", decimals=0))
    '1,026\xa0dl (1,014 to 1,039)'
    """
    ends = band_ends(even)
    if ends is None:
        return amount(even.at, currency)
    low, high = (bare_amount(end, currency) for end in ends)
    return f"{amount(even.at, currency)} ({low} to {high})"


def days_words(a: str, b: str, counts: tuple[int, int, int], known: int) -> str:
    """On how many days each was better value, as a sentence.

    >>> days_words("Plover", "Dunlin", (20, 53, 17), 90)
    'Of 90 days on which both could be had, Plover was better value on 20, Dunlin on 53; on 17 neither was.'
    """
    one, other, neither = counts
    days = counted(known, "day")
    return (
        f"Of {days} on which both could be had, {a} was better value on {one}, {b} on {other}; "
        f"on {neither} neither was."
    )


def left_days_words(known: int, out: int, *, over: int, who: str) -> str:
    """Which of so many days are left out: those on which one was out of stock, and those without a price.

    >>> left_days_words(80, 6, over=90, who="both")
    'Left out are six days on which one of them was out of stock and four days without a price of both.'
    >>> left_days_words(90, 0, over=90, who="both")
    ''
    """
    bare, told = over - known - out, []
    if out:
        told.append(f"{counted(out, 'day')} on which one of them was out of stock")
    if bare:
        told.append(f"{counted(bare, 'day')} without a price of {who}")
    return f"Left out {'is' if out + bare == 1 else 'are'} {' and '.join(told)}." if told else ""


def led_words(known: int, led: Mapping[tuple[str, ...], int]) -> str:
    r"""On which share of the days each led, and on which several were tied, as a sentence.

    `led` has the names of who led, with on how many of the `known` days; each by itself first.

    >>> led_words(80, {("Wren",): 20, ("Plover",): 0, ("Wren", "Plover"): 60}).replace("\u00a0", " ")
    'Of 80 days on which all could be had, Wren led on 20 (25 %) and Plover on none.
     On 60 (75 %) Wren and Plover were tied.'
    """
    told = {names: f"on {days_share(many, known)}" for names, many in led.items()}
    first, *others = (names for names in told if len(names) == 1)
    alone = listed((f"{first[0]} led {told[first]}", *(f"{each[0]} {told[each]}" for each in others)))
    tied = [f"{on} {listed(names)} were tied" for names, on in told.items() if len(names) > 1]
    said = f"Of {counted(known, 'day')} on which all could be had, {alone}."
    return f"{said} {capital('; '.join(tied))}." if tied else said


def days_share(many: int, known: int) -> str:
    r"""So many of the known days, with their share.

    >>> days_share(20, 80).replace("\u00a0", " "), days_share(0, 80)
    ('20 (25 %)', 'none')
    """
    return f"{many} ({with_unit(number(100 * many / known), '%')})" if many else "none"
