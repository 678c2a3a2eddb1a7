"""Whether a machine starts and shows a picture: the firmware of its board, and its outputs."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from itertools import product
from typing import TypeAlias

from evenhand.fit.reading import Item, Reading
from evenhand.fit.rules import Rule
from evenhand.fit.said import Said, of_kind
from evenhand.fit.words import word

ANY = "any"
_PLUG = re.compile(r"(?P<plug>.*(?:hdmi|displayport|dp))v?(?P<version>\d+(?:\.\d+)*[a-z]?)")
_VERSION = re.compile(r"\d+(\.\d+)*")


def firmware(_: Rule, build: Sequence[Item]) -> Iterator[tuple[tuple[Item, ...], Said]]:
    """The firmware that a board comes with against the least that starts each processor."""
    for processor, board in product(of_kind(build, "processor"), of_kind(build, "board")):
        read = Reading()
        least = least_for(processor, read.of(board, "firmware_for") or {})
        if least is not None and word(least) == ANY:
            yield (processor, board), Said(read)
            continue
        comes_with, alone = read.of(board, "firmware"), board.facts.get("firmware_alone")
        there, wanted = versions(comes_with, least)
        todo = "unknown" if alone is None else "alone" if alone else "needs"
        if there is None or wanted is None:
            yield (processor, board), Said(read, open=True)
        else:
            yield (processor, board), Said(read, misfit=there < wanted, todo=todo)


def least_for(processor: Item, named: Mapping[str, str]) -> str | None:
    """The least firmware that a list names for a processor, by its key or its name as printed.

    >>> osk = Item(key="osk-5", kind="processor", name="Osk 5 Tern")
    >>> [least_for(osk, {name: "1.20"}) for name in ("OSK 5 TERN", "osk-5", "Osk 5 Wren")]
    ['1.20', '1.20', None]
    """
    called = {word(processor.key), word(processor.name)}
    return next((least for name, least in named.items() if word(name) in called), None)


Version: TypeAlias = tuple[int, ...]


def versions(one: str | None, other: str | None) -> tuple[Version, Version] | tuple[None, None]:
    """Two versions as numbers that have an order; None for both where they have none.

    Where a number begins with a nought, as in 2.04, it may be counted or be decimals: then only versions with
    numbers of the same length are held against each other.

    >>> versions("1.20", "1.3"), versions("2.04", "2.10"), versions("2.04", "2.4"), versions("F12b", "1")
    (((1, 20), (1, 3)), ((2, 4), (2, 10)), (None, None), (None, None))
    """
    if not all(text and _VERSION.fullmatch(text.strip()) for text in (one, other)):
        return None, None
    parts = [str(text).strip().split(".") for text in (one, other)]
    led = any(len(each) > 1 and each.startswith("0") for part in parts for each in part)
    if led and list(map(len, parts[0])) != list(map(len, parts[1])):
        return None, None
    longest = max(map(len, parts))
    a, b = (tuple(int(each) for each in [*part, *["0"] * (longest - len(part))]) for part in parts)
    return a, b


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
            plugs = dict.fromkeys(f"{each[0]} into {each[1]}" for each in taken if each and older(*each))
            remark = {"plugs": ", ".join(plugs)} if plugs else {}
            yield (*cards, *screens, board), Said(_only_known(read), remark=remark)
            continue
        unknown = bool(read.missing) or not own
        yield (*cards, *screens, board), Said(read, misfit=not unknown, open=unknown)


def _takes(inputs: Sequence[str] | None, live: Sequence[str]) -> tuple[str, str] | None:
    """An output and an input that go together: of one version if there are, else of two that are known.

    None where none do.
    """
    pairs = [
        (output, given) for given in inputs or () for output in live if plug(output)[0] == plug(given)[0]
    ]
    return min(pairs, key=lambda pair: (word(pair[0]) != word(pair[1]), not older(*pair)), default=None)


def plug(text: str) -> tuple[str, str]:
    """A plug as it is compared, and its version, "" where it has none or it is no version of one plug.

    >>> plug("HDMI 2.1"), plug("Display-Port 1.4a"), plug("USB 3")
    (('hdmi', '2.1'), ('displayport', '1.4a'), ('usb3', ''))
    """
    found = _PLUG.fullmatch(word(text))
    return (found["plug"], found["version"]) if found else (word(text), "")


def older(one: str, other: str) -> bool:
    """Whether two of one plug say different versions, so that the older one bounds what is shown."""
    versions_said = (plug(one)[1], plug(other)[1])
    return all(versions_said) and versions_said[0] != versions_said[1]


def _only_known(read: Reading) -> Reading:
    """What was read and is known: it is enough, whatever else is not."""
    known = Reading()
    for each in read.seen:
        known.of(each.part, each.fact.key)
    return known
