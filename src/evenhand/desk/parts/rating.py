"""Exchange rates as a reviewer says them: each with its day, added, taken back and put back.

A rate that is far from the last one of its two currencies is asked about once; one that does not agree with
other rates is kept, and told. So are the offers that it brings into the prices; one of these that is far from
what its part usually costs is asked about.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from decimal import Decimal
from fractions import Fraction

from evenhand.desk.parts.currencies import currency_called, known_currencies
from evenhand.desk.parts.given import Fields, day_said, refuse_problems
from evenhand.desk.parts.rate_brings import brought_asked, brought_words, offers_brought
from evenhand.desk.study.checking import FieldProblem, Given
from evenhand.errors import BadRecord, NotFound
from evenhand.folders.offers import rate_said
from evenhand.money.exchange import detour, rate_for
from evenhand.publish.numbers import listed
from evenhand.publish.offer_words import fraction_words, rate_words
from evenhand.records.prices import Currency
from evenhand.records.rates import Rate
from evenhand.store import rates as rate_store
from evenhand.store.workbench import Workbench

FAR, APART = 2, Fraction(2, 100)
"""So many times the last rate, or its part, is asked about; by so much more than other rates say is told."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RateDraft:
    """A rate as far as it can be read, what keeps it from being one, what is asked and told of it."""

    record: Rate | None
    problems: tuple[FieldProblem, ...] = ()
    asks: str = ""
    told: str = ""


def drafted_rate(wb: Workbench, given: Given, *, currency: Currency | None, today: date) -> RateDraft:
    """A rate out of text fields: of, of_decimals, into, into_decimals, rate, on, note.

    Without `into` it is into this currency; `sure` says that it is right. Each problem stands at its field.
    """
    fields, known = Fields(given), known_currencies(wb, currency)
    rate = fields.read("rate", rate_said, Decimal(1))
    on = fields.read("on", lambda text: day_said(text, today=today), today)
    of, into = (_side(fields, side, known, currency) for side in ("of", "into"))
    if of and into and of.symbol == into.symbol:
        said = f"this is a rate of {of.symbol} into itself"
        fields.problems.append(FieldProblem(field="of", found=said, todo="name the other currency"))
    if fields.problems or of is None or into is None:
        return RateDraft(record=None, problems=tuple(fields.problems))
    made = Rate(of=of, into=into, rate=rate, on=on, note=fields.text("note"))
    others = rate_store.rates(wb)
    into_counted = currency or made.into
    brought = offers_brought(wb, made, others, into_counted)
    asks = (far_words(made, others), brought_asked(wb, made, others, brought, into_counted))
    told = (apart_words(made, others), brought_words(wb, brought, into_counted))
    asked = "" if given.get("sure") else " ".join(filter(None, asks))
    return RateDraft(record=made, asks=asked, told=" ".join(filter(None, told)))


def _side(fields: Fields, side: str, known: Sequence[Currency], usual: Currency | None) -> Currency | None:
    symbol = fields.text(side)
    if not symbol and side == "into" and usual is not None:
        return usual
    found = currency_called(symbol, known, decimals=fields.text(f"{side}_decimals"), field=side)
    if isinstance(found, FieldProblem):
        at = f"{side}_decimals" if found.field == "decimals" else side
        fields.problems.append(replace(found, field=at))
        return None
    return found


def far_words(rate: Rate, others: Sequence[Rate]) -> str:
    """That a rate is far from the last one of its currencies, as a question; "" where it is not."""
    last = rate_for(others, rate.of, rate.into, on=rate.on)
    if last is None:
        return ""
    own, before = Fraction(rate.rate), _into(last, rate)
    if own >= FAR * before or before >= FAR * own:
        return f"The last rate on record says otherwise, {rate_words(last)}: is {rate_words(rate)} so?"
    return ""


def _into(last: Rate, rate: Rate) -> Fraction:
    return Fraction(last.rate) if last.of == rate.of else 1 / Fraction(last.rate)


def apart_words(rate: Rate, others: Sequence[Rate]) -> str:
    """That other rates say otherwise of its two currencies, as a sentence; "" where they do not."""
    found = detour(rate, others)
    if found is None or abs(Fraction(rate.rate) / found.rate - 1) <= APART:
        return ""
    through = listed(tuple(each.symbol for each in found.through))
    one, other = f"one {rate.of.symbol} is {fraction_words(found.rate)} {rate.into.symbol}", f"{rate.rate:f}"
    return (
        f"By the rates through {through} {one} on that day, not {other}: these rates do not agree. Each "
        "amount is changed by the direct one."
    )


def add_rate(
    wb: Workbench, given: Given, *, currency: Currency | None, now: datetime, today: date
) -> tuple[Rate, str]:
    """A rate, on record, and what is told of it. Raises BadRecord that names the field, or asks."""
    with wb.writing():
        draft = drafted_rate(wb, given, currency=currency, today=today)
        refuse_problems(draft.problems)
        if draft.asks:
            raise BadRecord(draft.asks, where="rate", todo="correct it, or say that you are sure")
        assert draft.record is not None
        return rate_store.add_rate(wb, draft.record, at=now), draft.told


def rates_told(wb: Workbench) -> tuple[Rate, ...]:
    """Every rate that counts, the earliest day first."""
    return rate_store.rates(wb)


def rate_numbered(wb: Workbench, number: int) -> Rate:
    """A rate, taken back or not. Raises NotFound."""
    for rate in rate_store.rates(wb, ever=True):
        if rate.id == number:
            return rate
    raise NotFound(f"there is no rate {number}", where=str(wb.path), todo="see the exchange rates")


def rate_stands(wb: Workbench, rate: Rate) -> bool:
    """Whether a rate was not taken back."""
    return any(each.id == rate.id for each in rate_store.rates(wb))


def take_back_rate(wb: Workbench, number: int, *, now: datetime) -> Rate:
    """A rate that was a mistake counts no more; it stays on record. Raises NotFound."""
    with wb.writing():
        rate = rate_numbered(wb, number)
        if not rate_stands(wb, rate):
            raise NotFound(f"rate {number} was taken back before", todo="put it back, if it was no mistake")
        return rate_store.take_back_rate(wb, number, at=now)


def put_back_rate(wb: Workbench, number: int, *, now: datetime) -> Rate:
    """The same rate again, where it was taken back; it has a number of its own then."""
    with wb.writing():
        rate = rate_numbered(wb, number)
        return rate if rate_stands(wb, rate) else rate_store.add_rate(wb, rate, at=now)
