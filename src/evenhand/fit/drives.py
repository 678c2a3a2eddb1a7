"""Drives: places and ports on the board, bays of the case, plugs of the supply."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from evenhand.fit.placing import OFF_BOARD, Putting, is_on_board, placed_in, takes_port
from evenhand.fit.reading import Item, Reading
from evenhand.fit.rules import Rule
from evenhand.fit.said import Said, of_kind

SMALL, LARGE = OFF_BOARD


def places(_: Rule, build: Sequence[Item]) -> Iterator[tuple[tuple[Item, ...], Said]]:
    """All drives in the places and at the ports of a board."""
    own = of_kind(build, "storage")
    for board in of_kind(build, "board"):
        if not own:
            continue
        read, putting = Reading(), Putting(board=board, cards=(), drives=own)
        putting.read_drives(read)
        if any(is_on_board(each) is not False for each in own):
            read.of(board, "drive_places")
        if any(map(takes_port, own)):
            read.of(board, "sata_ports")
        best, worst = placed_in(putting, hoping=True), placed_in(putting, hoping=False)
        odd = any(is_on_board(each) is False and not takes_port(each) for each in own)
        yield (*own, board), Said(read, misfit=best is None, open=best is not None and (worst is None or odd))


def bays(_: Rule, build: Sequence[Item]) -> Iterator[tuple[tuple[Item, ...], Said]]:
    """All drives that are off the board in the bays of a case."""
    own = of_kind(build, "storage")
    for case in of_kind(build, "case"):
        if not own:
            continue
        read = Reading()
        forms = [read.of(each, "form") for each in own]
        small, large = forms.count(SMALL), forms.count(LARGE)
        if not (small or large):
            yield (*own, case), Said(read)
            continue
        wide = read.of(case, "bays_35")
        narrow = read.of(case, "bays_25") if small else 0
        wrong = wide is not None and (large > wide or (narrow is not None and small + large > narrow + wide))
        yield (*own, case), Said(read, misfit=wrong)


def power(_: Rule, build: Sequence[Item]) -> Iterator[tuple[tuple[Item, ...], Said]]:
    """All SATA drives off the board at the plugs of a supply."""
    own = of_kind(build, "storage")
    for supply in of_kind(build, "supply"):
        if not own:
            continue
        read = Reading()
        for each in own:
            if read.of(each, "form") in (*OFF_BOARD, None):
                read.of(each, "interface")
        needed = sum(map(takes_port, own))
        there = read.of(supply, "sata_plugs") if needed else None
        yield (*own, supply), Said(read, misfit=there is not None and needed > there)
