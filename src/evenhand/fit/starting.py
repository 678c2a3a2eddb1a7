"""Whether a machine starts and shows a picture: the firmware of its board, and its outputs."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from itertools import product

from evenhand.fit.reading import Item, Reading, word
from evenhand.fit.rules import Rule
from evenhand.fit.said import Said, of_kind

ANY = "any"
_VERSION = re.compile(r"\d+(\.\d+)*")


def firmware(_: Rule, build: Sequence[Item]) -> Iterator[tuple[tuple[Item, ...], Said]]:
    """The firmware that a board comes with against the least that starts each processor."""
    for processor, board in product(of_kind(build, "processor"), of_kind(build, "board")):
        read = Reading()
        least = (read.of(board, "firmware_for") or {}).get(processor.key)
        if least is not None and word(least) == ANY:
            yield (processor, board), Said(read)
            continue
        comes_with, alone = read.of(board, "firmware"), board.facts.get("firmware_alone")
        there, wanted = version(comes_with), version(least)
        todo = "unknown" if alone is None else "alone" if alone else "needs"
        if there is None or wanted is None:
            yield (processor, board), Said(read, open=True)
        else:
            yield (processor, board), Said(read, misfit=there < wanted, todo=todo)


def version(text: str | None) -> tuple[int, ...] | None:
    """A version as numbers that have an order, trailing zeros left out; None where it is none.

    >>> version("1.20") > version("1.3"), version("2") == version("2.0"), version("F12b")
    (True, True, None)
    """
    if text is None or not _VERSION.fullmatch(text.strip()):
        return None
    numbers = [int(each) for each in text.strip().split(".")]
    while numbers and not numbers[-1]:
        numbers.pop()
    return tuple(numbers)


def picture(_: Rule, build: Sequence[Item]) -> Iterator[tuple[tuple[Item, ...], Said]]:
    """Whether something is live, and every screen takes one of it."""
    cards, screens = of_kind(build, "graphics"), of_kind(build, "screen")
    for board in of_kind(build, "board"):
        read = Reading()
        live = [output for card in cards for output in read.of(card, "outputs") or ()]
        own = [read.of(processor, "own_graphics") for processor in of_kind(build, "processor")]
        if not own or any(each is not False for each in own):
            live_here = read.of(board, "outputs") or ()
            live += live_here if any(own) else ()
        taken = [_takes(read.of(screen, "inputs"), live) for screen in screens]
        proved = all(taken) if screens else bool(live)
        if proved:
            yield (*cards, *screens, board), Said(_only_known(read))
            continue
        unknown = bool(read.missing) or not own
        yield (*cards, *screens, board), Said(read, misfit=not unknown, open=unknown)


def _takes(inputs: Sequence[str] | None, live: Sequence[str]) -> bool:
    return inputs is not None and bool(set(map(word, inputs)) & set(map(word, live)))


def _only_known(read: Reading) -> Reading:
    """What was read and is known: it is enough, whatever else is not."""
    known = Reading()
    for each in read.seen:
        known.of(each.part, each.fact.key)
    return known
