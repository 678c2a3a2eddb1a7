"""A graphics card in its slot and in its case."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import product

from evenhand.fit.cooling import places_for
from evenhand.fit.placing import Placed, Putting, placed_in
from evenhand.fit.reading import Item, Reading
from evenhand.fit.rules import Rule
from evenhand.fit.said import Said, of_kind
from evenhand.fit.words import word

PLUG_16PIN_MM, PLUG_MM = 35, 20  # straight cable before its first bend
FRONT = "front"
YES, NO, PERHAPS = "yes", "no", "perhaps"
ELSEWHERE = ("top", "roof", "rear", "back", "side", "bottom", "floor")


def slot(_: Rule, build: Sequence[Item]) -> Iterator[tuple[tuple[Item, ...], Said]]:
    """All cards in the slots of a board, with drives in its places."""
    own = of_kind(build, "graphics")
    for board in of_kind(build, "board"):
        if not own:
            continue
        read, drives = Reading(), of_kind(build, "storage")
        if placed_in(Putting(board=board, cards=(), drives=drives), hoping=True) is None:
            drives = ()  # they go nowhere anyway, which their own rule says
        putting = Putting(board=board, cards=own, drives=drives)
        best, worst = placed_in(putting, hoping=True), placed_in(putting, hoping=False)
        crowded = placed_in(replace(putting, drives=(), crowded=True), hoping=False)
        if best is not None and crowded is not None and crowded.lanes == best.lanes:
            worst = crowded  # wherever the drives go, the cards get the same
        else:
            putting.read_drives_of_board(read)
        putting.read_cards(read)
        lanes = _fewer(own, worst) if worst else {}
        unsure = best is not None and worst is None
        yield (*own, board), Said(read, misfit=best is None, open=unsure, remark=lanes)


def _fewer(cards: Sequence[Item], placed: Placed) -> dict[str, object]:
    """The first card that gets fewer lanes than it uses."""
    for card, got in zip(cards, placed.lanes, strict=True):
        wanted = card.facts.get("lanes")
        if wanted is not None and got < wanted:
            return {"lanes": got, "wanted": wanted}
    return {}


def length(_: Rule, build: Sequence[Item]) -> Iterator[tuple[tuple[Item, ...], Said]]:
    """Each card in the length that the case and a radiator in front leave."""
    for card, case in product(of_kind(build, "graphics"), of_kind(build, "case")):
        read = Reading()
        long, whole = read.of(card, "length_mm"), read.of(case, "graphics_length_mm")
        told = [_in_front(cooler, case, read) for cooler in of_kind(build, "cooler")]
        behind = (
            read.of(case, "graphics_length_behind_radiator_mm") if any(each != NO for each in told) else None
        )
        least = [room for room in (whole, behind if YES in told else None) if room is not None]
        misfit = long is not None and any(long > room for room in least)
        unsure = long is not None and behind is not None and long > behind
        yield (card, case), Said(read, misfit=misfit, open=unsure)


def _in_front(cooler: Item, case: Item, read: Reading) -> str:
    """Whether a radiator goes in front: `NO` where it may go elsewhere, `PERHAPS` where no name says it."""
    way = read.of(cooler, "way")
    if way is not None and word(way) != "liquid":
        return NO
    places = places_for(cooler, case, read)
    holding = [name for name, holds in places.items() if holds]
    if not holding or any(map(_is_elsewhere, holding)):
        return NO
    return YES if all(FRONT in word(name) for name in holding) else PERHAPS


def _is_elsewhere(name: str) -> bool:
    """Whether a place is told to be somewhere else; of one whose name says nothing it is not known."""
    said = word(name)
    return FRONT not in said and any(each in said for each in ELSEWHERE)


def height(_: Rule, build: Sequence[Item]) -> Iterator[tuple[tuple[Item, ...], Said]]:
    """Each card with its plug below the side panel."""
    for card, case in product(of_kind(build, "graphics"), of_kind(build, "case")):
        read = Reading()
        tall, room, plug = (
            read.of(card, "height_mm"),
            read.of(case, "graphics_height_mm"),
            _plug_mm(card, read),
        )
        wrong = tall is not None and room is not None and tall + plug > room
        yield (card, case), Said(read, misfit=wrong)


def _plug_mm(card: Item, read: Reading) -> int:
    """What a plug wants at least, as far as the card's sockets are known."""
    if read.of(card, "leads_16pin"):
        return PLUG_16PIN_MM
    return PLUG_MM if any([read.of(card, "leads_8pin"), read.of(card, "leads_6pin")]) else 0


def thickness(_: Rule, build: Sequence[Item]) -> Iterator[tuple[tuple[Item, ...], Said]]:
    """All cards beside each other."""
    own = of_kind(build, "graphics")
    for case in of_kind(build, "case"):
        read = Reading()
        thick, room = [read.of(card, "thickness_slots") for card in own], read.of(case, "slots")
        if own:
            whole = sum(math.ceil(each) for each in thick if each is not None)
            yield (*own, case), Said(read, misfit=room is not None and whole > room)
