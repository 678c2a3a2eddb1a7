"""How much memory a board takes, and at which speed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from evenhand.fit.reading import Item, Reading
from evenhand.fit.rules import Rule
from evenhand.fit.said import Said, of_kind

RATED = {1: "memory_speed_one", 2: "memory_speed_two"}


def size(_: Rule, build: Sequence[Item]) -> Iterator[tuple[tuple[Item, ...], Said]]:
    """All modules, and the largest of them, against what the board takes."""
    sets = of_kind(build, "memory")
    for board in of_kind(build, "board"):
        read = Reading()
        most, each_gb = read.of(board, "memory_most_gb"), [read.of(own, "module_gb") for own in sets]
        counts = [read.of(own, "modules") for own in sets]
        known = [gb for gb in each_gb if gb is not None]
        whole = sum(gb * n for gb, n in zip(each_gb, counts, strict=True) if gb is not None and n is not None)
        wrong, unsure = most is not None and whole > most, False
        largest = board.facts.get("memory_module_most_gb")
        if largest is not None:
            read.of(board, "memory_module_most_gb")
            wrong = wrong or any(gb > largest for gb in known)
        elif known:
            slots = read.of(board, "memory_slots")
            unsure = not most or not slots or max(known) > most / slots
        if unsure and not wrong:
            read.of(board, "memory_module_most_gb")
        yield (*sets, board), Said(read, misfit=wrong)


def speed(_: Rule, build: Sequence[Item]) -> Iterator[tuple[tuple[Item, ...], Said]]:
    """The speed of each set against the rating for so many modules to a channel."""
    sets = of_kind(build, "memory")
    for board in of_kind(build, "board"):
        read = Reading()
        channels, counts = read.of(board, "memory_channels"), [read.of(own, "modules") for own in sets]
        speeds = [read.of(own, "speed") for own in sets]
        if not channels or None in counts:
            yield (*sets, board), Said(read, open=True)
            continue
        deep = -(-sum(counts) // channels)
        rated = read.of(board, RATED[deep]) if deep in RATED else None
        fastest = max((each for each in speeds if each is not None), default=None)
        above = rated is not None and fastest is not None and fastest > rated
        remark = {"rated": _number(rated), "speed": _number(fastest)} if above else {}
        yield (*sets, board), Said(read, open=deep not in RATED, remark=remark)


def _number(value: float | None) -> str:
    return "" if value is None else f"{value:,.10g}"
