"""Cards into slots and drives into places of a board that may share lanes and ports with each other.

A list that nobody knows is read twice: `hoping` that nothing in it harms, and fearing that all of it does.
Where even hope finds no way there is none; a way found in fear is a way.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import permutations
from typing import Any

from evenhand.fit.reading import Item, Reading
from evenhand.fit.words import is_in, word

OFF_BOARD = ("2.5", "3.5")
SATA = "sata"
Place = Mapping[str, Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """One way to put all in: the lanes that each card gets."""

    lanes: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Putting:
    """What is put where. `crowded` takes every place of the board for in use, whatever drives there are."""

    board: Item
    cards: tuple[Item, ...]
    drives: tuple[Item, ...]
    crowded: bool = False

    def read_cards(self, read: Reading) -> None:
        """Asks for all that says which lanes a card gets."""
        for card in self.cards:
            read.of(card, "slot_length")
            read.of(card, "lanes")
        read.of(self.board, "slots")

    def read_drives_of_board(self, read: Reading) -> None:
        """Asks for all that says which places are in use."""
        if any(is_on_board(each) is not False for each in self.drives):
            read.of(self.board, "drive_places")
            self.read_drives(read)

    def read_drives(self, read: Reading) -> None:
        """Asks for all that says which place a drive takes."""
        for drive in self.drives:
            read.of(drive, "form")
            read.of(drive, "interface")


def is_on_board(drive: Item) -> bool | None:
    """Whether a drive is put on the board, None where its form is not known."""
    form = drive.facts.get("form")
    return None if form is None else form not in OFF_BOARD


def takes_port(drive: Item) -> bool:
    """Whether a drive takes a SATA port of the board, as far as is known."""
    return is_on_board(drive) is False and word(drive.facts.get("interface", "")) == SATA


def placed_in(putting: Putting, *, hoping: bool) -> Placed | None:
    """The way that gives the first card the most lanes, then the second; None where not all go in."""
    ways = _ways(putting, hoping=hoping)
    return max(ways, key=lambda way: way.lanes, default=None)


def _ways(putting: Putting, *, hoping: bool) -> Iterator[Placed]:
    slots, places = _listed(putting.board, "slots"), _listed(putting.board, "drive_places")
    drives = [each for each in putting.drives if _needs_place(each, hoping=hoping)]
    if hoping:  # what is not on any list may be
        drives = [] if places is None else drives
        cards = () if slots is None else putting.cards
    else:
        cards = putting.cards
    for chosen in drive_ways(places or (), drives, hoping=hoping):
        if _ports_left(putting, chosen, hoping=hoping) < 0:
            continue
        for own in permutations(slots or (), len(cards)):
            used = [*(places or () if putting.crowded else chosen), *own]
            lanes = tuple(_lanes(each, used, hoping=hoping) for each in own)
            if all(map(_is_long_enough, own, cards, [hoping] * len(own))) and all(lanes):
                yield Placed(lanes=lanes)


def drive_ways(
    places: Sequence[Place], drives: Sequence[Item], *, hoping: bool
) -> Iterator[tuple[Place, ...]]:
    """Every set of places that drives can be put into, each once: which drive is where changes nothing."""
    alike = sorted(drives, key=_sort_of)
    seen: set[frozenset[int]] = set()

    def further(used: tuple[int, ...]) -> Iterator[tuple[int, ...]]:
        if len(used) == len(alike):
            yield used
            return
        drive = alike[len(used)]
        again = bool(used) and _sort_of(drive) == _sort_of(alike[len(used) - 1])
        for at in range(used[-1] + 1 if again else 0, len(places)):
            if at not in used and _takes(places[at], drive, hoping=hoping):
                yield from further((*used, at))

    for used in further(()):
        if frozenset(used) not in seen:
            seen.add(frozenset(used))
            yield tuple(places[at] for at in used)


def _sort_of(drive: Item) -> tuple[str, str]:
    """Drives of one form and interface go wherever the other goes."""
    return str(drive.facts.get("form")), str(drive.facts.get("interface"))


def _listed(board: Item, fact: str) -> Sequence[Place] | None:
    return board.facts.get(fact)


def _needs_place(drive: Item, *, hoping: bool) -> bool:
    on = is_on_board(drive)
    return (not hoping) if on is None else on


def _takes(place: Place, drive: Item, *, hoping: bool) -> bool:
    """Whether a place has the drive's form and interface."""
    asked = (("lengths", "form"), ("takes", "interface"))
    for has, fact in asked:
        wanted, there = drive.facts.get(fact), place.get(has)
        if wanted is None or there is None:
            if not hoping:
                return False
        elif not is_in(wanted, there):
            return False
    return True


def _is_long_enough(slot: Place, card: Item, hoping: bool) -> bool:  # noqa: FBT001
    length, wanted = slot.get("length"), card.facts.get("slot_length")
    return hoping if length is None or wanted is None else length >= wanted


def _ports_left(putting: Putting, used: Sequence[Place], *, hoping: bool) -> int:
    """SATA ports beyond those that drives take, less those that places in use switch off."""
    wanted, ports = sum(map(takes_port, putting.drives)), putting.board.facts.get("sata_ports")
    if ports is None:
        return 0 if hoping or not wanted else -1
    if wanted and not hoping and any("shares" not in place for place in used):
        return -1
    off = {word(name) for place in used for name in place.get("shares", ()) if word(name).startswith(SATA)}
    return int(ports) - len(off) - wanted


def _lanes(slot: Place, used: Sequence[Place], *, hoping: bool) -> int:
    """The lanes that a slot has beside all else that is in use."""
    whole = slot.get("lanes", slot.get("length", 1) if hoping else 1)
    shared = slot.get("lanes_if_shared", whole if hoping else 0)
    return int(
        shared if any(_share(slot, other, hoping=hoping) for other in used if other is not slot) else whole
    )


def _share(slot: Place, other: Place, *, hoping: bool) -> bool:
    """Whether two share lanes, which one of them may say for both."""
    if is_in(other["name"], slot.get("shares", ())) or is_in(slot["name"], other.get("shares", ())):
        return True
    return not hoping and ("shares" not in slot or "shares" not in other)
