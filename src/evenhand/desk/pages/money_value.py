"""The part of the money page on price and performance: what each gives for a thousand, and each pair."""

from __future__ import annotations

from dataclasses import dataclass

from evenhand.desk.money.basis import MoneyGround
from evenhand.desk.money.valuing import ForMoney, PairForMoney, Valued, valued
from evenhand.publish.figures.worth import PerMoney, per_money
from evenhand.publish.money_words import amount
from evenhand.publish.names import Names
from evenhand.publish.numbers import capital
from evenhand.publish.picture import Picture
from evenhand.publish.spans import Span
from evenhand.publish.value_words import band_digits, lead_words, stand_words
from evenhand.records.prices import Currency

THOUSANDTHS = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class MoneyRow:
    """One machine of the table: its name and colour, price, index, and index for a thousand."""

    name: str
    slot: int
    price: str
    index: str
    alone: str
    with_more: str
    first_alone: bool
    first_with_more: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class PairRow:
    """One pair: how it stands at its prices, and at which price of the first it is level."""

    sides: tuple[tuple[str, int], tuple[str, int]]
    stands: str
    price: str
    level: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ValuePart:
    """The heading says who gives most, alone and with what must be bought besides."""

    heading: str
    about: str
    picture: Picture | None
    thousand: str
    more: str
    rows: tuple[MoneyRow, ...]
    pairs: tuple[PairRow, ...]
    whose: str


def value_part(ground: MoneyGround) -> ValuePart | None:
    """Price and performance of one audience; None where something lacks an interval or a number."""
    found = valued(ground)
    if found is None:
        return None
    names, currency = ground.names, ground.currency
    more = amount(found.more_minor, currency) if found.more_minor else ""
    thousand = amount(1000 * 10**currency.decimals, currency)
    drawn = [PerMoney(setup=row.setup, alone=row.alone[0], with_more=row.with_more[0]) for row in found.rows]
    return ValuePart(
        heading=f"{capital(lead_words(found.leads, names, currency))}",
        about=f"Index for {thousand}: alone, and with {more} of further costs" if more else "",
        picture=per_money(drawn, names, more=f"with {more} of further costs") if more else None,
        thousand=thousand,
        more=more,
        rows=tuple(_row(row, found, names, currency) for row in found.rows),
        pairs=tuple(_pair(each, ground) for each in found.pairs),
        whose=_whose(ground, more),
    )


def _whose(ground: MoneyGround, more: str) -> str:
    """Whose further costs these are."""
    if not more:
        return "No audience of the study must buy anything besides, so that prices stand alone."
    own = bool(ground.fixed_minor)
    others = [
        each.audience.name for each in ground.judgement.audiences if each.audience.fixed_minor and not own
    ]
    who = "this audience must" if own else f"{others[0]} must, not this audience"
    return f"{more} is what must be bought with any of them: {who}."


def _row(row: ForMoney, found: Valued, names: Names, currency: Currency) -> MoneyRow:
    value, low, high = row.index
    index = Span(value=value, low=low, high=high).words("") if low is not None else "1, as the slowest"
    return MoneyRow(
        name=names.setup(row.setup), slot=names.slot(row.setup).number, price=amount(row.minor, currency),
        index=index, alone=_told(row.alone), with_more=_told(row.with_more) if found.more_minor else "",
        first_alone=found.first_at(0) == row.setup,
        first_with_more=found.first_at(found.more_minor) == row.setup,
    )  # fmt: skip


def _told(index: tuple[float, float | None, float | None]) -> str:
    value, low, high = index
    span = Span(value=value, low=low, high=high)
    if low is None:
        return span.digits(decimals=THOUSANDTHS)
    return f"{span.digits(decimals=THOUSANDTHS)} ({span.range(decimals=THOUSANDTHS)})"


def _pair(found: PairForMoney, ground: MoneyGround) -> PairRow:
    names = ground.names
    a, b = ((names.setup(each), names.slot(each).number) for each in (found.a, found.b))
    return PairRow(
        sides=(a, b), stands=capital(stand_words(found.stand, a[0], b[0])),
        price=amount(ground.prices[found.a], ground.currency),
        level=band_digits(found.even, ground.currency),
    )  # fmt: skip
