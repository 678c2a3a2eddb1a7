"""When each run was made: five blocks over three days, the machines in turn, forwards and back."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from enum import StrEnum

import numpy as np

from evenhand.demo.truth import DUNLIN, GAMES, MACHINES, PLOVER, TASKS, WREN

BLOCK_STARTS = (
    datetime(2026, 11, 21, 9, 5, tzinfo=UTC),
    datetime(2026, 11, 21, 13, 20, tzinfo=UTC),
    datetime(2026, 11, 22, 9, 0, tzinfo=UTC),
    datetime(2026, 11, 22, 13, 30, tzinfo=UTC),
    datetime(2026, 11, 23, 9, 10, tzinfo=UTC),
)
HOT_START = datetime(2026, 11, 23, 15, 5, tzinfo=UTC)
HOT_ROOM_C = 29.6
GAME_MINUTES = 3


class Sort(StrEnum):
    """What became of a run: the good ones, and those with a fault planted in them."""

    GOOD = "good"
    CAPPED = "capped"
    LOWER_RESOLUTION = "lower resolution"
    OTHER_DRIVER = "other driver"
    HOT_ROOM = "hot room"
    COPY = "copy"


PLANTED_AT = {
    (2, "regatta", PLOVER): Sort.CAPPED,
    (1, "ember", DUNLIN): Sort.OTHER_DRIVER,
    (1, "causeway", WREN): Sort.LOWER_RESOLUTION,
}
"""Block, test and machine of three faults; two take a good run's place, the third is redone at once."""

REPLACES_GOOD = (Sort.CAPPED, Sort.OTHER_DRIVER)


@dataclass(frozen=True, slots=True, kw_only=True)
class Slot:
    """One run's place in the bench days. `block` counts from 0; `room_c` is the room when it began."""

    test: str
    machine: str
    block: int
    order: int
    boot: str
    started_at: datetime
    room_c: float
    sort: Sort = Sort.GOOD


def slots(rng: np.random.Generator) -> tuple[Slot, ...]:
    """Every run that was made, in order. Each block begins with a fresh boot of every machine.

    Within a block each test visits the machines in turn, forwards in one block and backwards in the next:
    any two machines meet as A B, B A, A B and so on.
    """
    return tuple(placed(list(_visits()), rng, starts=(*BLOCK_STARTS, HOT_START)))


@dataclass(frozen=True, slots=True, kw_only=True)
class Visit:
    """One run to be made, before it has a time and a place in the order."""

    test: str
    machine: str
    block: int
    minutes: float
    sort: Sort = Sort.GOOD


def _visits() -> Iterator[Visit]:
    minutes = {game.key: float(GAME_MINUTES) for game in GAMES} | {
        task.key: task.minutes + 1 for task in TASKS
    }
    machines = [machine.key for machine in MACHINES]
    for block in range(len(BLOCK_STARTS)):
        for test, length in minutes.items():
            for machine in machines if block % 2 == 0 else reversed(machines):
                sort = PLANTED_AT.get((block, test, machine), Sort.GOOD)
                yield Visit(test=test, machine=machine, block=block, minutes=length, sort=sort)
                if sort is Sort.LOWER_RESOLUTION:
                    yield Visit(test=test, machine=machine, block=block, minutes=length, sort=Sort.GOOD)
    yield Visit(
        test="render", machine=DUNLIN, block=len(BLOCK_STARTS), minutes=minutes["render"], sort=Sort.HOT_ROOM
    )


def placed(
    visits: list[Visit], rng: np.random.Generator, *, starts: Sequence[datetime], first: int = 1
) -> Iterator[Slot]:
    """Each run with its time and its place in the order; block after block begins at `starts`."""
    at = starts[0]
    for order, visit in enumerate(visits, first):
        if order > first and visit.block != visits[order - first - 1].block:
            at = starts[visit.block]
        yield Slot(
            test=visit.test,
            machine=visit.machine,
            block=visit.block,
            order=order,
            boot=f"{visit.machine}-{visit.block + 1}",
            started_at=at,
            room_c=HOT_ROOM_C if visit.sort is Sort.HOT_ROOM else _room_c(at, rng),
            sort=visit.sort,
        )
        at += timedelta(minutes=visit.minutes, seconds=int(rng.integers(5, 50)))


def _room_c(at: datetime, rng: np.random.Generator) -> float:
    """A warm harbour town in November: the room gains about a degree and a half from morning to evening."""
    return round(23.2 + 0.2 * (at.hour + at.minute / 60 - 9) + float(rng.normal(0.0, 0.1)), 1)
