"""The picture of a plan: a lane for each setup, a mark of its length for each run, blocks and days apart."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

from evenhand.desk.bench.plan_standing import PlanNow, SlotNow
from evenhand.desk.on_record import StudyOnRecord
from evenhand.plans.laying import minutes_of
from evenhand.publish.durations import clock_words
from evenhand.publish.names import Names
from evenhand.publish.numbers import counted, listed

GAP = 0.12  # of a run: so much apart do runs of one lane stand


@dataclass(frozen=True, slots=True, kw_only=True)
class Lane:
    """A setup's lane: its name and slot."""

    name: str
    slot: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """One run: its lane, where it begins and how long it is in shares of the day's width, and its state."""

    lane: int
    x: float
    width: float
    slot: int
    kind: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """A block: its number, and its stretch in shares of the day's width."""

    number: int
    x: float
    width: float


@dataclass(frozen=True, slots=True, kw_only=True)
class DayPicture:
    """One bench day. `told` says in a sentence what is seen; `length` how long it is."""

    day: int
    length: str
    told: str
    marks: tuple[Mark, ...]
    blocks: tuple[Block, ...]


def day_pictures(
    standing: PlanNow, record: StudyOnRecord, names: Names
) -> tuple[tuple[DayPicture, ...], tuple[Lane, ...]]:
    """All days of a plan on one scale, and the lanes."""
    setups = tuple(dict.fromkeys(each.slot.setup for each in standing.slots))
    setups = tuple(key for key in record.study.setups if key in setups)
    lanes = tuple(Lane(name=names.setup(key), slot=names.slot(key).number) for key in setups)
    by_day = [(day, tuple(own)) for day, own in groupby(standing.slots, key=lambda each: each.slot.day)]
    longest = max((minutes_of([each.slot for each in own]) for _, own in by_day), default=1.0)
    return tuple(_day(day, own, setups, lanes, longest) for day, own in by_day), lanes


def _day(
    day: int, own: Sequence[SlotNow], setups: Sequence[str], lanes: Sequence[Lane], longest: float
) -> DayPicture:
    placed = list(_placed(own))
    length = minutes_of([each.slot for each in own])
    marks = tuple(
        Mark(
            lane=setups.index(each.slot.setup), x=100 * at / longest,
            width=100 * each.slot.minutes * (1 - GAP) / longest,
            slot=lanes[setups.index(each.slot.setup)].slot, kind=each.state.value.replace(" ", "-"),
        )
        for at, each in placed if each.slot.setup in setups
    )  # fmt: skip
    blocks = tuple(_blocks(placed, longest))
    who = listed(tuple(lane.name for lane in lanes))
    told = f"{counted(len(blocks), 'block')}, {len(own)} runs on {who}, {clock_words(length)}"
    return DayPicture(day=day, length=clock_words(length), told=told, marks=marks, blocks=blocks)


def _placed(own: Sequence[SlotNow]) -> Iterator[tuple[float, SlotNow]]:
    """Slots with the minute at which they begin; those of one turn begin together."""
    at = 0.0
    for _, turn in groupby(own, key=lambda each: each.slot.turn or -each.slot.number):
        together = list(turn)
        for each in together:
            yield at, each
        at += max(each.slot.minutes for each in together)


def _blocks(placed: Sequence[tuple[float, SlotNow]], longest: float) -> Iterator[Block]:
    for block, members in groupby(placed, key=lambda one: one[1].slot.block):
        there = list(members)
        begin, end = there[0][0], max(at + each.slot.minutes for at, each in there)
        yield Block(number=block, x=100 * begin / longest, width=100 * (end - begin) / longest)
