"""What a part was offered for, as a reviewer says it: looked at field by field, added, taken back, put back.

An amount far from what the part usually costs is asked about once, and kept when it is confirmed.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from evenhand.desk.parts.currencies import currency_called, currency_of_part
from evenhand.desk.parts.given import Fields, day_said, refuse_problems
from evenhand.desk.parts.usual_prices import Beside, asked_about, beside_of
from evenhand.desk.study.checking import FieldProblem, Given
from evenhand.desk.study.shelving import refuse_closed
from evenhand.errors import BadRecord, NotFound, nearest
from evenhand.folders.offers import EXTRAS, extra_minor
from evenhand.money.exchange import rate_for
from evenhand.publish.money_words import amount
from evenhand.publish.offer_words import rateless_words, unowned_words
from evenhand.records.amounts import minor_of
from evenhand.records.builds import Build, Part
from evenhand.records.offers import Offer, Seller
from evenhand.records.prices import Currency
from evenhand.store import offers as offer_store
from evenhand.store import rates as rate_store
from evenhand.store import shelves
from evenhand.store.workbench import Workbench


@dataclass(frozen=True, slots=True, kw_only=True)
class OfferDraft:
    """An offer as far as it can be read, what keeps it from being one, and what is asked about it.

    What is asked keeps it from being kept until whoever gave it says that they are sure.
    """

    record: Offer | None
    problems: tuple[FieldProblem, ...] = ()
    asks: str = ""


def drafted_offer(given: Given, beside: Beside, *, today: date) -> OfferDraft:
    """An offer out of text fields: part, item, shipping, tax, coupon, currency, decimals, seller, on, note.

    `in_stock` is True where it is not said; `sure` says that the amount is right. Each problem stands at its
    field.
    """
    fields = Fields(given)
    part = fields.read("part", lambda text: _part(text, beside), "")
    on = fields.read("on", lambda text: day_said(text, today=today), today)
    seller = fields.read("seller", seller_said, Seller.SHOP)
    money = _money(fields, beside)
    if money is None:
        return OfferDraft(record=None, problems=tuple(fields.problems))
    item = fields.read("item", lambda text: _item(text, money), 1)
    shipping, tax, coupon = (
        fields.read(name, lambda text: extra_minor(text, money), 0) for name in EXTRAS
    )  # fmt: skip
    offer = Offer(
        part=part, item_minor=item, shipping_minor=shipping, tax_minor=tax, coupon_minor=coupon,
        currency=money, on=on, seller=seller, in_stock=bool(given.get("in_stock", True)),
        note=fields.text("note"),
    )  # fmt: skip
    if not fields.problems and offer.total_minor < 1:
        left = amount(offer.total_minor, money)
        todo = "write what it takes off, less than all the rest"
        said = FieldProblem(field="coupon", found=f"this coupon leaves {left} to pay", todo=todo)
        return OfferDraft(record=None, problems=(said,))
    if fields.problems:
        return OfferDraft(record=None, problems=tuple(fields.problems))
    return OfferDraft(record=offer, asks="" if given.get("sure") else asked_about(offer, beside))


def _part(text: str, beside: Beside) -> str:
    if text in beside.parts:
        return text
    todo = nearest(text, beside.parts) if beside.parts else "add the part to a build first"
    raise BadRecord(f"no part is called '{text}'", todo=todo)


def _money(fields: Fields, beside: Beside) -> Currency | None:
    symbol = fields.text("currency")
    if not symbol and beside.currency is not None:
        return beside.currency
    if symbol:
        found = currency_called(symbol, beside.currencies, decimals=fields.text("decimals"))
    else:
        todo = "say it, or say first in which currency the study counts"
        found = FieldProblem(field="currency", found="it is not said in which currency this is", todo=todo)
    if isinstance(found, FieldProblem):
        fields.problems.append(found)
        return None
    return found


def _item(text: str, money: Currency) -> int:
    if not text:
        raise BadRecord("the amount is missing", todo="write what the item costs")
    return minor_of(text, money)


def seller_said(text: str) -> Seller:
    """A kind of seller, a shop where nothing is said. Raises BadRecord."""
    try:
        return Seller(text.strip().casefold() or Seller.SHOP)
    except ValueError:
        todo = f"write {', '.join(Seller)}"
        raise BadRecord(f"'{text.strip()[:40]}' is no kind of seller", todo=todo) from None


def sound_offer(draft: OfferDraft) -> Offer:
    """The offer. Raises BadRecord that names the field, or asks."""
    refuse_problems(draft.problems)
    if draft.asks:
        raise BadRecord(draft.asks, where="item", todo="correct it, or say that you are sure")
    assert draft.record is not None
    return draft.record


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """An offer that is on record, and whether it was so before.

    `unowned` says that no build has its part, `unrated` that no rate changes it into the studies' currency.
    """

    offer: Offer
    again: bool
    unowned: str = ""
    unrated: str = ""


def add_offer(
    wb: Workbench, given: Given, *, currency: Currency | None = None, now: datetime, today: date
) -> Said:
    """An offer of a part, in its own currency or else this one, or that of the studies which have the part.

    Raises BadRecord that names the field, or asks whether its amount is so.
    """
    part = str(given.get("part") or "")
    with wb.writing():
        if currency is None and (known := next((p for p in shelves.every(wb, Part) if p.key == part), None)):
            currency = currency_of_part(wb, known)
        offer = sound_offer(drafted_offer(given, beside_of(wb, [part], currency), today=today))
        refuse_closed(wb, shelves.one(wb, Part, part))
        before = {each.id for each in offer_store.offers_of(wb, [part])}
        (kept,) = offer_store.add_offers(wb, [offer], at=now)
        unowned, unrated = unowned_of(wb, part), _unrated_of(wb, kept, currency)
    return Said(offer=kept, again=kept.id in before, unowned=unowned, unrated=unrated)


def _unrated_of(wb: Workbench, offer: Offer, into: Currency | None) -> str:
    if into is None or into == offer.currency:
        return ""
    rate = rate_for(rate_store.rates(wb), offer.currency, into, on=offer.on)
    return rateless_words((offer,), into) if rate is None else ""


def unowned_of(wb: Workbench, part: str) -> str:
    """That no build has a part, in words; "" where one has it. Raises NotFound."""
    owned = any(part in build.parts for build in shelves.every(wb, Build))
    return "" if owned else unowned_words(shelves.one(wb, Part, part).name)


def take_back_offer(wb: Workbench, number: int, *, now: datetime) -> Offer:
    """An offer that was a mistake counts no more; it stays on record. Raises NotFound."""
    return take_back_offers(wb, [number], now=now)[0]


def take_back_offers(wb: Workbench, numbers: Sequence[int], *, now: datetime) -> tuple[Offer, ...]:
    """The same of several, all or none."""
    with wb.writing():
        offers = [offer_store.offer_numbered(wb, number) for number in numbers]
        for offer in offers:
            if not offer_stands(wb, offer):
                found = f"offer {offer.id} was taken back before"
                raise NotFound(found, where=offer.part, todo="put it back, if it was no mistake")
        _refuse_closed(wb, offers)
        return tuple(offer_store.take_back_offer(wb, number, at=now) for number in numbers)


def put_back_offer(wb: Workbench, number: int, *, now: datetime) -> Offer:
    """The same offer again, where it was taken back; it has a number of its own then."""
    return put_back_offers(wb, [number], now=now)[0]


def put_back_offers(wb: Workbench, numbers: Sequence[int], *, now: datetime) -> tuple[Offer, ...]:
    """The same of several, all or none; those that stand stay as they are."""
    with wb.writing():
        offers = [offer_store.offer_numbered(wb, number) for number in numbers]
        _refuse_closed(wb, offers)
        return offer_store.add_offers(wb, offers, at=now)


def _refuse_closed(wb: Workbench, offers: Iterable[Offer]) -> None:
    for part in dict.fromkeys(offer.part for offer in offers):
        refuse_closed(wb, shelves.one(wb, Part, part))


def offer_stands(wb: Workbench, offer: Offer) -> bool:
    """Whether an offer was not taken back."""
    return offer_store.offer_stands(wb, offer.id)
