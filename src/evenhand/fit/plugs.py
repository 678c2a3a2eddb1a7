"""What plugs into headers of the board: fans and pumps, lights, leads of the case."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import product

from evenhand.fit.reading import Item, Reading
from evenhand.fit.rules import Rule
from evenhand.fit.said import Said, of_kind
from evenhand.fit.words import word

FAN_PLUGS = (("fans", "plugs"), ("cooler", "fan_plugs"), ("case", "own_fans"))
LIGHTS = (("light_plugs_5v", "light_headers_5v"), ("light_plugs_12v", "light_headers_12v"))


def fans(_: Rule, build: Sequence[Item]) -> Iterator[tuple[tuple[Item, ...], Said]]:
    """All fan and pump plugs against the headers of a board."""
    for board in of_kind(build, "board"):
        read, own = Reading(), of_kind(build, *(kind for kind, _ in FAN_PLUGS))
        if not own:
            continue
        needed = sum(read.total(of_kind(build, kind), fact) for kind, fact in FAN_PLUGS)
        there = read.of(board, "fan_headers")
        yield (*own, board), Said(read, misfit=there is not None and needed > there)


def lights(_: Rule, build: Sequence[Item]) -> Iterator[tuple[tuple[Item, ...], Said]]:
    """All light plugs of a voltage against the headers of that voltage."""
    own = of_kind(build, "fans", "cooler")
    for board in of_kind(build, "board"):
        if not own:
            continue
        read, wrong = Reading(), False
        for plugs, headers in LIGHTS:
            needed = read.total(own, plugs)
            there = read.of(board, headers) if needed else None
            wrong = wrong or (there is not None and needed > there)
        yield (*own, board), Said(read, misfit=wrong)


def front(_: Rule, build: Sequence[Item]) -> Iterator[tuple[tuple[Item, ...], Said]]:
    """Each lead of a case at a header of the board."""
    for case, board in product(of_kind(build, "case"), of_kind(build, "board")):
        read = Reading()
        leads, headers = read.of(case, "front_leads"), read.of(board, "front_headers")
        known = leads is not None and headers is not None
        wrong = known and bool(Counter(map(word, leads)) - Counter(map(word, headers)))
        yield (case, board), Said(read, misfit=wrong)
