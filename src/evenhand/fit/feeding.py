"""Whether a supply goes into the case, and what feeds a graphics card: plugs, and what they are rated for."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import product

from evenhand.fit.reading import Item, Reading
from evenhand.fit.rules import Rule
from evenhand.fit.said import Said, of_kind
from evenhand.fit.words import is_in

SLOT_W, SIX_W, EIGHT_W = 75.0, 75.0, 150.0


def held(_: Rule, build: Sequence[Item]) -> Iterator[tuple[tuple[Item, ...], Said]]:
    """Format and length of each supply against each case; of several supplies the places for them as well."""
    supplies = of_kind(build, "supply")
    for supply, case in product(supplies, of_kind(build, "case")):
        read = Reading()
        own, formats = read.of(supply, "format"), read.of(case, "supply_formats")
        length, room = read.of(supply, "length_mm"), read.of(case, "supply_length_mm")
        places = read.of(case, "supply_places") if len(supplies) > 1 else None
        wrong = (
            own is not None and formats is not None and not is_in(own, formats),
            length is not None and room is not None and length > room,
            places is not None and len(supplies) > places,
        )
        yield (supply, case), Said(read, misfit=any(wrong))


def graphics(_: Rule, build: Sequence[Item]) -> Iterator[tuple[tuple[Item, ...], Said]]:
    """The sockets of all cards against the plugs of a supply and their rating."""
    cards = of_kind(build, "graphics")
    for supply in of_kind(build, "supply"):
        if not cards:
            continue
        read = Reading()
        small = read.total(cards, "leads_6pin") + read.total(cards, "leads_8pin")
        large = read.total(cards, "leads_16pin")
        wrong = False
        if small:
            there = read.of(supply, "leads_8pin")
            wrong = there is not None and small > there
        if large:
            there, rated = read.of(supply, "leads_16pin"), read.of(supply, "lead_16pin_w")
            asked = [read.of(card, "lead_16pin_w") for card in cards if card.facts.get("leads_16pin")]
            over = rated is not None and any(each > rated for each in asked if each is not None)
            wrong = wrong or over or (there is not None and large > there)
        yield (*cards, supply), Said(read, misfit=wrong)


def drawn(_: Rule, build: Sequence[Item]) -> Iterator[tuple[tuple[Item, ...], Said]]:
    """What each card draws against what its slot and sockets are rated for."""
    for card in of_kind(build, "graphics"):
        read = Reading()
        power, six = read.of(card, "power_w"), read.of(card, "leads_6pin")
        eight, sixteen = read.of(card, "leads_8pin"), read.of(card, "leads_16pin")
        each = read.of(card, "lead_16pin_w") if sixteen else 0
        parts = (six, eight, sixteen, each)
        if power is None or None in parts:
            yield (card,), Said(read)
            continue
        rated = SLOT_W + SIX_W * six + EIGHT_W * eight + sixteen * each
        yield (card,), Said(read, misfit=power > rated)
