"""Laying out runs: blocks in which every setup boots afresh and takes its turn in every test."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import groupby
from typing import TypeAlias

import numpy as np

from evenhand.plans.balance import order_of
from evenhand.records.plans import Slot

Cell: TypeAlias = tuple[str, str]
"""A test and a setup."""

DEFAULT_MINUTES = 4.0  # a run of a test that does not say how long it takes


@dataclass(frozen=True, slots=True, kw_only=True)
class Pace:
    """How long things take, in minutes, and how many rigs run at once.

    Every run begins with `warm_up`; the first after a fresh boot also has `reboot`. `day` is how long one
    measures in a day: a block is not spread over two days unless it is longer than that.
    """

    warm_up: float = 2.0
    reboot: float = 4.0
    day: float = 360.0
    at_once: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Bench:
    """Which rig each setup runs on (a build is one rig), and the minutes of one run by test, where known."""

    rigs: Mapping[str, str]
    minutes: Mapping[str, float] = field(default_factory=dict)

    def length(self, test: str) -> float:
        """How long one run of a test takes."""
        return self.minutes.get(test, DEFAULT_MINUTES)


@dataclass(frozen=True, slots=True, kw_only=True)
class Begin:
    """Where a layout takes up: the first free numbers after what is on record already."""

    number: int = 1
    block: int = 1
    order: int = 1
    turn: int = 1
    day: int = 1
    used: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class _Turn:
    """Cells that are run at the same time, each on its own rig."""

    block: int
    test: str
    setups: tuple[str, ...]


def lay_out(
    needs: Mapping[Cell, int], *, bench: Bench, pace: Pace, seed: int, begin: Begin | None = None
) -> tuple[Slot, ...]:
    """Slots for so many runs of each test on each setup, in the order in which they are made.

    One run of each cell a block, so that a cell's runs come from different boots (a boot's error is then part
    of the spread that is measured). In a block all setups meet in one test after the other; the order of
    tests is drawn anew for each block, the same for all setups, and the order of setups is mirrored from
    block to block (`balance.order_of`). Setups that share a rig cannot meet: they follow each other, a boot
    each, mirrored likewise. Where several rigs run at once they take the same test at the same time, so that
    the room is alike for all of them.

    >>> bench = Bench(rigs={"plover": "plover", "dunlin": "dunlin"})
    >>> made = lay_out({("quay", "plover"): 2, ("quay", "dunlin"): 2}, bench=bench, pace=Pace(), seed=1)
    >>> [slot.setup for slot in made]
    ['plover', 'dunlin', 'dunlin', 'plover']
    """
    start = begin or Begin()
    turns = _turns(needs, bench=bench, pace=pace, seed=seed, start=start)
    return _in_days(tuple(_slots(turns, bench, pace, start)), pace, start)


def _turns(
    needs: Mapping[Cell, int], *, bench: Bench, pace: Pace, seed: int, start: Begin
) -> Iterator[_Turn]:
    tests = tuple(dict.fromkeys(test for test, _ in needs))
    setups = tuple(dict.fromkeys(setup for _, setup in needs))
    rng = np.random.default_rng(seed)
    places = {tests[int(i)]: place for place, i in enumerate(rng.permutation(len(tests)))}
    for made in range(max(needs.values(), default=0)):
        number = start.block - 1 + made
        drawn = [tests[int(i)] for i in rng.permutation(len(tests))]
        wanted = {cell for cell, runs in needs.items() if runs > made}
        here = [setup for setup in setups if any((test, setup) in wanted for test in tests)]
        for leg in _legs([here[i] for i in order_of(len(here), block=number)], bench):
            members = [setup for setup in setups if setup in leg]
            for test in drawn:
                yield from _visit(
                    [s for s in members if (test, s) in wanted], test, number, places[test], pace.at_once
                )


def _legs(setups: Sequence[str], bench: Bench) -> list[list[str]]:
    """Setups in their order, cut wherever a rig would be needed a second time."""
    legs: list[list[str]] = []
    for setup in setups:
        if not legs or any(bench.rigs[setup] == bench.rigs[other] for other in legs[-1]):
            legs.append([])
        legs[-1].append(setup)
    return legs


def _visit(setups: Sequence[str], test: str, block: int, place: int, at_once: int) -> Iterator[_Turn]:
    """One test on the setups of a leg, so many at once; `place` lets tests begin at different orders."""
    if not setups:
        return
    order = order_of(len(setups), block=block, shift=place // 2, flip=place % 2)
    taken = [setups[i] for i in order]
    step = max(1, at_once)
    for i in range(0, len(taken), step):
        yield _Turn(block=block + 1, test=test, setups=tuple(taken[i : i + step]))


def _slots(turns: Iterator[_Turn], bench: Bench, pace: Pace, start: Begin) -> Iterator[Slot]:
    booted: set[str] = set()
    made = 0
    for number, turn in enumerate(turns):
        for setup in turn.setups:
            boot = f"{setup}-{turn.block}"
            fresh = pace.reboot if boot not in booted else 0.0
            booted.add(boot)
            yield Slot(
                number=start.number + made, block=turn.block, test=turn.test, setup=setup, boot=boot,
                order=start.order + made, minutes=bench.length(turn.test) + pace.warm_up + fresh,
                warm_up=pace.warm_up, turn=start.turn + number,
            )  # fmt: skip
            made += 1


def _in_days(slots: tuple[Slot, ...], pace: Pace, start: Begin) -> tuple[Slot, ...]:
    """The same slots, whole blocks put into days as they fit."""
    day, used, placed = start.day, start.used, list[Slot]()
    for _, members in groupby(slots, key=lambda slot: slot.block):
        block = tuple(members)
        length = minutes_of(block)
        if used and used + length > pace.day:
            day, used = day + 1, 0.0
        used += length
        placed += [replace(slot, day=day) for slot in block]
    return tuple(placed)


def minutes_of(slots: Sequence[Slot]) -> float:
    """How long slots take by the clock: those of one turn run at the same time.

    >>> one = Slot(number=1, block=1, test="t", setup="a", boot="a-1", order=1, minutes=5.0, turn=1)
    >>> minutes_of([one, replace(one, number=2, setup="b", minutes=6.0)])
    6.0
    """
    longest: dict[tuple[int, int], float] = {}
    for slot in slots:
        turn = (0, slot.turn) if slot.turn else (1, slot.number)
        longest[turn] = max(longest.get(turn, 0.0), slot.minutes)
    return sum(longest.values())
