"""What a rate brings into the prices: offers that counted nowhere, since nothing changed their currency."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from evenhand.desk.parts.usual_prices import asked_about, beside_of
from evenhand.money.exchange import exchanged, rate_for
from evenhand.publish.money_words import amount
from evenhand.publish.numbers import listed
from evenhand.records.builds import Part
from evenhand.records.offers import Offer
from evenhand.records.prices import Currency
from evenhand.records.rates import Rate
from evenhand.store import offers as offer_store
from evenhand.store import shelves
from evenhand.store.workbench import Workbench

MOST_NAMED = 8


def offers_brought(
    wb: Workbench, rate: Rate, others: Sequence[Rate], into: Currency
) -> tuple[tuple[Offer, int], ...]:
    """The offers that this rate is the first to change into a currency, each with what it comes to."""
    if into not in (rate.of, rate.into):
        return ()
    foreign = rate.of if into == rate.into else rate.into
    parts = [part.key for part in shelves.every(wb, Part)]
    return tuple(
        (offer, exchanged(offer.total_minor, rate, into=into))
        for offer in offer_store.offers_of(wb, parts)
        if offer.currency == foreign
        and rate.on <= offer.on
        and rate_for(others, foreign, into, on=offer.on) is None
    )


def brought_words(wb: Workbench, brought: Sequence[tuple[Offer, int]], into: Currency) -> str:
    """Which offers those are and what each comes to, as a sentence; "" for none."""
    if not brought:
        return ""
    names = {part.key: part.name for part in shelves.every(wb, Part)}
    said = [
        f"{names[offer.part]} for {amount(offer.total_minor, offer.currency)}, {amount(minor, into)}"
        for offer, minor in brought[:MOST_NAMED]
    ]
    more = len(brought) - MOST_NAMED
    said += [f"{more} more"] * (more > 0)
    what = "one offer" if len(brought) == 1 else f"{len(brought)} offers"
    return f"It brings {what} into the prices: {listed(tuple(said))}."


def brought_asked(
    wb: Workbench, rate: Rate, others: Sequence[Rate], brought: Sequence[tuple[Offer, int]], into: Currency
) -> str:
    """Which of them are far from what their part or its kind usually costs, as questions; "" for none."""
    if not brought:
        return ""
    parts = dict.fromkeys(offer.part for offer, _ in brought)
    beside = replace(beside_of(wb, parts, into), rates=(*others, rate))
    asked = [
        f"Offer {offer.id} of {beside.parts[offer.part].name} would be {amount(minor, into)}: {question}"
        for offer, minor in brought
        if (question := asked_about(offer, beside))
    ]
    return " ".join(asked)
