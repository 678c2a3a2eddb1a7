"""What feeds a graphics card: plugs of the supply, and what its sockets are rated for."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from evenhand.fit.reading import Item, Reading
from evenhand.fit.rules import Rule
from evenhand.fit.said import Said, of_kind

SLOT_W, SIX_W, EIGHT_W = 75.0, 75.0, 150.0


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
