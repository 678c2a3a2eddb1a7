"""The fields of offers of parts and of exchange rates: what stands in new ones, what was sent, how kept."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from starlette.datastructures import FormData

from evenhand.desk.parts.offering import OfferDraft, add_offer, drafted_offer
from evenhand.desk.parts.rating import add_rate, drafted_rate
from evenhand.desk.parts.usual_prices import Beside, beside_of
from evenhand.desk.study.checking import FieldProblem
from evenhand.desk.study.on_shelf import study_called
from evenhand.desk.study.quoting import read_back
from evenhand.folders.offers import EXTRAS
from evenhand.publish.money_words import amount
from evenhand.publish.offer_words import rate_words
from evenhand.records.offers import Seller
from evenhand.records.prices import Currency
from evenhand.web.forms import Reader, Reading
from evenhand.web.served import Site
from evenhand.web.worth_fields import Values, today_at

OFFER, RATE = "offer", "rate"
KINDS = (OFFER, RATE)
AMOUNTS = ("item", *EXTRAS)
SELLERS = (
    (Seller.SHOP.value, "A shop", ""),
    (Seller.MARKET.value, "A seller on a marketplace", ""),
    (Seller.USED.value, "Somebody who sells it used", "Counts only for a part that has no other offers."),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Looked:
    """What was sent and what is wrong with it."""

    reading: Reading
    problems: tuple[FieldProblem, ...]


def new_offer(site: Site, study: str) -> Values:
    """An offer of today by a shop, in stock, in the study's currency."""
    money = study_called(site.wb, study).currency
    return {
        "on": today_at(site).isoformat(),
        "seller": Seller.SHOP.value,
        "stock": "yes",
        "symbol": money.symbol if money else "",
    }


def new_rate(site: Site, study: str) -> Values:
    """A rate of today into the study's currency."""
    money = study_called(site.wb, study).currency
    return {"on": today_at(site).isoformat(), "into": money.symbol if money else "", "of_decimals": ""}


def looked_at(site: Site, study: str, kind: str, key: str, sent: FormData) -> Looked:
    """What was sent of an offer of a part, or of a rate."""
    return _offer(site, study, key, sent) if kind == OFFER else _rate(site, study, sent)


def _offer(site: Site, study: str, part: str, sent: FormData) -> Looked:
    reader = Reader(sent)
    given = offer_given(reader, part)
    beside = beside_of(site.wb, [part], study_called(site.wb, study).currency)
    draft = drafted_offer(given, beside, today=today_at(site))
    _read_back(reader, draft, beside)
    if draft.asks:
        reader.errors["sure"] = draft.asks
    return Looked(reading=reader.done(**given), problems=draft.problems)


def offer_given(reader: Reader, part: str) -> dict[str, object]:
    """An offer as the desk takes it, out of the form's fields."""
    named = ("item", *EXTRAS, "decimals", "on", "seller", "note")
    return {
        "part": part,
        **{name: reader.text(name) for name in named},
        "currency": reader.text("symbol"),
        "in_stock": reader.text("stock") == "yes",
        "sure": reader.text("sure") == "yes",
    }


def _read_back(reader: Reader, draft: OfferDraft, beside: Beside) -> None:
    """Each amount as it was read, with what is paid in the end once all can be read."""
    money = draft.record.currency if draft.record else _meant(reader, beside)
    if money is None:
        return
    total = f", {amount(draft.record.total_minor, money)} in all" if draft.record else ""
    for name in AMOUNTS:
        if read := read_back(reader.text(name), money):
            reader.read[name] = f"Read as {read}{total}."


def _meant(reader: Reader, beside: Beside) -> Currency | None:
    symbol = reader.text("symbol").casefold()
    return next((each for each in beside.currencies if each.symbol.casefold() == symbol), beside.currency)


def _rate(site: Site, study: str, sent: FormData) -> Looked:
    reader = Reader(sent)
    named = ("of", "of_decimals", "into", "into_decimals", "rate", "on", "note")
    given: dict[str, object] = {name: reader.text(name) for name in named}
    given["sure"] = reader.text("sure") == "yes"
    money = study_called(site.wb, study).currency
    draft = drafted_rate(site.wb, given, currency=money, today=today_at(site))
    if draft.record is not None:
        reader.read["rate"] = f"Read as: {rate_words(draft.record)}. {draft.told}".strip()
    if draft.asks:
        reader.errors["sure"] = draft.asks
    return Looked(reading=reader.done(**given), problems=draft.problems)


def saved(site: Site, study: str, kind: str, given: Mapping[str, object]) -> str:
    """The offer or rate, on record; "offer-3" or the like. Raises BadRecord."""
    money, now = study_called(site.wb, study).currency, site.now()
    if kind == OFFER:
        said = add_offer(site.wb, given, currency=money, now=now, today=today_at(site))
        return f"{OFFER}-{said.offer.id}"
    rate, _ = add_rate(site.wb, given, currency=money, now=now, today=today_at(site))
    return f"{RATE}-{rate.id}"
