"""What a cooler reaches over, and where its radiator goes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import product

from evenhand.fit.reading import Item, Reading
from evenhand.fit.rules import Rule
from evenhand.fit.said import Said, of_kind
from evenhand.fit.words import is_in, word


def is_asked(rule: Rule, cooler: Item, read: Reading) -> bool:
    """Whether a rule for one way of cooling is asked of this cooler; of one whose way is not known it is."""
    way = read.of(cooler, "way")
    return way is None or word(way) == rule.way


def over_memory(rule: Rule, build: Sequence[Item]) -> Iterator[tuple[tuple[Item, ...], Said]]:
    """Each set of memory under each cooler that reaches over it."""
    for cooler, own in product(of_kind(build, "cooler"), of_kind(build, "memory")):
        read = Reading()
        if not is_asked(rule, cooler, read):
            continue
        over, room = cooler.facts.get("over_memory"), cooler.facts.get("memory_height_mm")
        height = own.facts.get("height_mm")
        low = room is not None and height is not None and height <= room
        if not low:
            read.of(cooler, "over_memory")
        if over is not False:
            read.of(cooler, "memory_height_mm")
            read.of(own, "height_mm")
        yield (cooler, own), Said(read, misfit=bool(over) and None not in (room, height) and not low)


def radiator(rule: Rule, build: Sequence[Item]) -> Iterator[tuple[tuple[Item, ...], Said]]:
    """Each radiator in the case."""
    for cooler, case in product(of_kind(build, "cooler"), of_kind(build, "case")):
        read = Reading()
        if is_asked(rule, cooler, read):
            where = places_for(cooler, case, read)
            held, perhaps = True in where.values(), None in where.values()
            unknown = bool(read.missing) and case.facts.get("radiators") != []
            nowhere = not held and not perhaps and not unknown
            yield (cooler, case), Said(read, misfit=nowhere, open=not held and perhaps)


def places_for(cooler: Item, case: Item, read: Reading) -> dict[str, bool | None]:
    """The places of a case by name, and whether the radiator goes there; None where that is not known."""
    size, places = read.of(cooler, "radiator"), read.of(case, "radiators")
    if size is None or places is None:
        return {}
    return {each["name"]: is_in(size, each["sizes"]) if "sizes" in each else None for each in places}
